"""What is sound and yet worth a second look."""

from __future__ import annotations

from sound import Sound

from printworthy import workspace


def test_the_example_needs_no_second_look(sound: Sound) -> None:
    assert workspace.remarks(workspace.read(sound.root)) == ()


def test_equal_values_and_unused_materials_are_pointed_out(sound: Sound) -> None:
    path = sound.root / "evidence/petg.csv"
    text = path.read_text(encoding="utf-8")
    for value in ("28.4", "33.0", "29.7", "30.5"):
        text = text.replace(value, "31.2")
    path.write_text(text + "p,pla,in layer,40,MPa,23,dry,invented,yes\n", encoding="utf-8")
    same, unused = workspace.remarks(workspace.read(sound.root))
    assert "petg.csv:4: set petg-up-1: all 5 values are the same" in same
    assert "petg.csv:9: set p: no part names its material pla" in unused


def test_sets_that_give_no_limit_are_pointed_out(sound: Sound) -> None:
    path = sound.root / "evidence/petg.csv"
    few = [line for line in path.read_text(encoding="utf-8").split("\n") if "33.0" not in line and "28.4" not in line]
    path.write_text("\n".join(few), encoding="utf-8")
    assert workspace.remarks(workspace.read(sound.root)) == ()  # three are enough
    path.write_text("\n".join(line for line in few if "29.7" not in line), encoding="utf-8")
    (line,) = workspace.remarks(workspace.read(sound.root))
    assert line.endswith("petg.csv:4: set petg-up-1: 2 coupons give no lower limit. Break at least 3")


def test_a_face_without_use_is_pointed_out(sound: Sound) -> None:
    line = sound.swap("[[support]]", '[faces.idle]\npatch = { point = "0, 0, 0 mm" }\n[[support]]')
    (idle,) = workspace.remarks(workspace.read(sound.root))
    assert f"lamp-bracket.toml:{line} (faces.idle): nothing holds, loads or limits this face" in idle


def test_exchanged_directions_and_silence_about_heat_are_pointed_out(sound: Sound) -> None:
    sound.swap('material = "petg"', 'material = "odd"')
    sound.swap("near = []", "")
    (sound.root / "evidence/petg.csv").unlink()
    (sound.root / "cards").mkdir()
    value = '[values.{}]\nvalue = "{} MPa"\nsource = "s"\nconfidence = "invented"\n'
    head = 'name = "odd"\ntitle = "t"\nkind = "printed polymer"\nexample_only = true\n'
    values = value.format("strength_in_layer", 20) + value.format("strength_through", 30)
    (sound.root / "cards/odd.toml").write_text(head + values, encoding="utf-8")
    heat, exchanged, example = workspace.remarks(workspace.read(sound.root))
    assert "parts/lamp-bracket.toml: nobody has said what is near the part" in heat
    assert "card odd: stronger between layers (30 MPa) than in the layer (20 MPa)" in exchanged
    assert "card odd: is an example only" in example
