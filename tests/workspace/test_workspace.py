"""Whole workspaces: the example reads as written; each fault gives its one line, with file, line, field and remedy.

What is expected is what a person wrote into the file, so nothing here is taken from the program's own output.
"""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sound import PART, Sound

from printworthy import workspace
from printworthy.errors import InputError, Place, UnitNeeded
from printworthy.inputs import Load, PlaneSelector


def test_the_example_is_sound(sound: Sound) -> None:
    assert sound.lines() == []


def test_the_example_reads_as_it_is_written(sound: Sound) -> None:
    job = workspace.read(sound.root)
    (part,) = job.parts
    assert (job.vehicle.service_low, job.vehicle.service_high, job.vehicle.invented) == (-10.0, 45.0, True)
    assert (part.name, part.role, part.material, part.near) == ("lamp-bracket", "lamp holder", "petg", ())
    assert part.geometry.path == sound.root / "parts/lamp-bracket.stl"
    assert part.faces["wall"].selector == PlaneSelector((0.0, 0.0, 30.0), (-1.0, 0.0, 0.0))
    assert part.faces["shelf"].deflection_limit == 2.0
    force, gravity = part.cases[0].loads
    assert force == Load("force", "shelf", (0.0, 0.0, -50.0), place=force.place)
    assert gravity.vector == pytest.approx((0.0, 0.0, -98066.5), rel=1e-12)
    (coupons,) = job.coupons
    assert (coupons.strengths, coupons.temperature) == ((31.2, 28.4, 33.0, 29.7, 30.5), 23.0)


def test_what_nobody_said_about_heat_stays_unsaid(sound: Sound) -> None:
    sound.swap("near = []", "# near = []")
    assert workspace.read(sound.root).parts[0].near is None


def test_places_lead_to_the_lines(sound: Sound) -> None:
    text = (sound.root / PART).read_text(encoding="utf-8").split("\n")
    (part,) = workspace.read(sound.root).parts
    place = part.cases[0].loads[1].place
    assert isinstance(place, Place)
    assert text[place.line - 1].startswith("[[case.load]]")
    assert text[place.line].startswith("gravity")


FAULTS = [
    (
        'role = "lamp holder"',
        'role = "lamp holdr"',
        '(role): role "lamp holdr" is not known. Did you mean "lamp holder"?',
    ),
    ('material = "petg"', 'material = "petgg"', '(material): material "petgg" is not known. Did you mean "petg"?'),
    ('"al-6061-t6"]', '"al-6061-t66"]', '(alternatives[1]): material "al-6061-t66" is not known'),
    ('"al-6061-t6"]', '"petg"]', '(alternatives[1]): material "petg" is named twice'),
    ("near = []", 'near = "none"', '(near): "none" is not a list'),
    ("near = []", 'near = [{ source = "exhaust" }]', '(near[1].source): "exhaust" is not one of: disc, motor'),
    (
        "near = []",
        'near = [{ source = "disc", temperature = "80 degC" }]',
        "(near[1]): a temperature is stated without its source",
    ),
    ('"sunlight", ', '"sunlite", ', '(exposure[1]): "sunlite" is not one of: sunlight, fuel, rain'),
    ('inspection = "none"', 'inspection = "nothing"', '(inspection): inspection "nothing" is not known'),
    ('note = "invented"', "note = 3", "(note): 3 is not a text in quotes"),
    ('note = "invented"', "notes = 3", '(notes): "notes" is not known here. Did you mean "note"?'),
    ('note = "invented"', "fitting = 1", "(fitting): 1 is not true or false"),
    ('note = "invented"', "load_factor = 1.4", "(load_factor): 1.4 is smaller than the rule's 1.5"),
    ('note = "invented"', 'load_factor = "-1"', '(load_factor): "-1" is not above zero'),
    ('note = "invented"', 'build_direction = "up"', '(build_direction): "up" is not a direction'),
    ('note = "invented"', 'extra_directions = ["0, 0, 0"]', '(extra_directions[1]): "0, 0, 0" has no length'),
    ('note = "invented"', 'consequence = "mild"', '(consequence): "mild" is not one of: harmless, may injure'),
    ('file = "lamp-bracket.stl"', "", '(geometry.file): "file" is missing'),
    ('"lamp-bracket.stl"', '"lamp-braket.stl"', '"lamp-braket.stl" is not there. Did you mean "lamp-bracket.stl"?'),
    ('"lamp-bracket.stl"', '"../../lamp.stl"', '"../../lamp.stl" leads out of the workspace'),
    ('"lamp-bracket.stl"', '"lamp-bracket.iges"', '"lamp-bracket.iges" is not a kind of file that is read'),
    ('unit = "mm"', 'body = 0\nunit = "mm"', "(geometry.body): 0 is below 1. Write 1 or more"),
    ('note = "invented"', 'name = "a/b"', '(name): "a/b" is not a name'),
    ('note = "invented"', f'note = "{"x" * 2001}"', "(note): the text has more than 2000 characters"),
    ('note = "invented"', "load_factor = true", '(load_factor): ratio "True" is not a quantity'),
    ('note = "invented"', "retirement_life = 1979-05-27", "(retirement_life): 1979-05-27 is not a text in quotes"),
    ('note = "invented"', 'retirement_life = "Never"', '(retirement_life): "Never" is no age to retire at'),
    ('note = "invented"', 'inspection_interval = "10"', "(inspection_interval): "),
    (
        "[geometry]",
        '[fill]\nwall = "1.6 mm"\ndensity = "40 %"\n[geometry]',
        "(fill): no law is known for infill of 0.4: it holds from 0.05 to 0.3",
    ),
    (
        "[geometry]",
        '[fill]\nwall = "1.6 mm"\ndensity = "25 %"\nstiffness = "9 %"\n[geometry]',
        "(fill): one share of the infill stands alone",
    ),
    (
        "[geometry]",
        '[fill]\nwall = "1.6 mm"\ndensity = "25 %"\nstiffness = "9 %"\nstrength = "5 %"\n[geometry]',
        "(fill): measured shares stand without their source",
    ),
    (
        "[geometry]",
        '[fill]\nwall = "0.1 mm"\ndensity = "20 %"\n[geometry]',
        "(fill): a wall of 0.1 mm is thinner than a bead of",
    ),
    (
        "[geometry]",
        'making = { walls = 3 }\nfill = { wall = "1 mm", density = "20 %" }\n[geometry]',
        "(making.walls): the walls are stated twice. Leave out walls",
    ),
    (
        "[geometry]",
        'fill = { wall = "1.6 mm", density = "130 %" }\n[geometry]',
        '(fill.density): "130 %" is not between 0 and 100 %',
    ),
    ('unit = "mm"', 'unit = "yard"', '(geometry.unit): "yard" is not a unit a geometry file may have'),
    ('"2 mm"', '"-2 mm"', '(faces.shelf.deflection_limit): "-2 mm" is not above zero'),
    ('"2 mm"', "2", '(faces.shelf.deflection_limit): length "2" has no unit'),
    ('"2 mm"', '"2 N"', '(faces.shelf.deflection_limit): "N" is not a unit of length'),
    ('kind = "fixed"', 'kind = "fixd"', '(support[1].kind): "fixd" is not one of: fixed, sliding'),
    ('face = "wall"', 'face = "wal"', '(support[1].face): face "wal" is not defined. Did you mean "wall"?'),
    ('face = "wall"', "", '(support[1].face): "face" is missing'),
    ('force = "0, 0, -50 N"', 'force = "0, 0, 0 N"', '(case[1].load[1].force): "0, 0, 0 N" is zero'),
    ('force = "0, 0, -50 N"', 'force = "0, 0, -50"', '(case[1].load[1].force): force "0, 0, -50" has no unit'),
    ('force = "0, 0, -50 N"', 'pressure = "0 MPa"', '(case[1].load[1].pressure): "0 MPa" is zero'),
    ('force = "0, 0, -50 N"', "", "(case[1].load[1]): no kind of load"),
    (
        'force = "0, 0, -50 N"',
        'displacement = "0, 0, -1 mm"',
        '(case[1].load[1].displacement): face "shelf" is to be moved but is not a fixed support',
    ),
    (
        'gravity = "0, 0, -10 g"',
        'gravity = "0, 0, -10 g"\nface = "wall"',
        "(case[1].load[2]): gravity acts on the whole",
    ),
    ('gravity = "0, 0, -10 g"', 'warming = "0 K"', '(case[1].load[2].warming): "0 K" is zero'),
    ('gravity = "0, 0, -10 g"', 'warming = "30 K"\nface = "wall"', "(case[1].load[2]): warming acts on the whole part"),
    ('name = "rough road"', "", '(case[1].name): "name" is missing'),
    (
        'source = "invented: lamp of 0.5 kg, shaken with ten times gravity"',
        'source = ""',
        '(case[1].source): "source" is an',
    ),
]


@pytest.mark.parametrize(("old", "new", "words"), FAULTS, ids=[words[:40] for *_, words in FAULTS])
def test_one_fault_gives_one_line_at_its_place(sound: Sound, old: str, new: str, words: str) -> None:
    line = sound.swap(old, new)
    (told,) = sound.lines()
    assert words in told
    # A key that is not there is placed at its table, which in this file is at most three lines above.
    at = int(told.split(":")[1].split(" ")[0])
    assert line - at in ((0, 1, 2, 3) if "missing" in told or "load[" in told or "near[1])" in told else (0,))
    assert told.split(". ", 1)[1], "nothing is said about what to do"


def test_twelve_faults_at_once_give_twelve_lines(sound: Sound) -> None:
    here = {
        sound.swap('role = "lamp holder"', 'role = "lantern"'): "lantern",
        sound.swap('material = "petg"', 'material = "cheese"'): "cheese",
        sound.swap('["sunlight", "rain"]', '["sunlight", "snow"]'): "snow",
        sound.swap('note = "invented"', 'nota = "invented"'): "nota",
        sound.swap("lamp-bracket.stl", "gone.stl"): "gone.stl",
        sound.swap('unit = "mm"', 'unit = "league"'): "league",
        sound.swap('point = "0, 0, 30 mm"', 'point = "0, 30 mm"'): "0, 30 mm",
        sound.swap('"2 mm"', '"2 kg"'): "kg",
        sound.swap('face = "wall"', 'face = "floor"'): "floor",
        sound.swap('kind = "steady"', 'kind = "stormy"'): "stormy",
        sound.swap('"0, 0, -50 N"', '"0, 0, 0 N"'): "is zero",
        sound.swap('"0, 0, -10 g"', '"0, 0, nan g"'): "nan",
    }
    told = sound.lines()
    assert len(told) == 12
    for (line, word), text in zip(sorted(here.items()), told, strict=True):
        assert text.startswith(f"{PART}:{line} ("), text
        assert word in text


def test_faults_of_all_files_come_together(sound: Sound) -> None:
    service = sound.swap('high = "45 degC"', 'high = "-45 degC"', "vehicle.toml")
    coupon = sound.swap("29.7,MPa", "29.7,kN", "evidence/petg.csv")
    (sound.root / "cards").mkdir()
    (sound.root / "cards/mine.toml").write_text('name = "mine"\n', encoding="utf-8")
    (sound.root / "parts/broken.toml").write_text("title = 'x'\nrole = peg\n", encoding="utf-8")
    told = "\n".join(sound.lines())
    assert f"vehicle.toml:{service - 2} (service): low is above high" in told
    assert f'evidence/petg.csv:{coupon} (unit): strength is given in "kN", a force' in told
    assert 'cards/mine.toml:1 (values): "values" is missing' in told
    assert "parts/broken.toml:2: is not sound TOML" in told
    with pytest.raises(workspace.WorkspaceProblems) as caught:
        workspace.read(sound.root)
    assert len(caught.value.problems) == len(sound.lines())
    assert "\n" not in str(caught.value)


def test_a_mesh_without_unit_is_asked_about(sound: Sound) -> None:
    sound.swap('unit = "mm"', "")
    (problem,) = workspace.problems(sound.root)
    assert isinstance(problem, UnitNeeded)
    assert "STL file has no length unit" in str(problem)


def test_what_a_computed_part_needs_and_a_metal_one_does_not(sound: Sound) -> None:
    head = (sound.root / PART).read_text(encoding="utf-8").split("# Faces")[0]
    (sound.root / PART).write_text(head, encoding="utf-8")
    told = "\n".join(sound.lines())
    for words in ("no face is defined", "nothing holds the part", "no load case is stated"):
        assert words in told
    sound.swap('role = "lamp holder"', 'role = "axle"')
    assert sound.lines() == []


def test_two_parts_of_one_name(sound: Sound) -> None:
    copy = (sound.root / PART).read_text(encoding="utf-8")
    (sound.root / "parts/other.toml").write_text(f'name = "lamp-bracket"\n{copy}', encoding="utf-8")
    (told,) = sound.lines()
    assert told.startswith('parts/other.toml:1 (name): part "lamp-bracket" is already stated in lamp-bracket.toml')


@pytest.mark.parametrize("name", ["", "   ", "a\\tb", "x" * 61])
def test_a_face_has_a_name_that_can_be_shown(sound: Sound, name: str) -> None:
    line = sound.swap("[[support]]", f'[faces."{name}"]\npatch = {{ point = "0, 0, 0 mm" }}\n[[support]]')
    (told,) = sound.lines()
    assert told.startswith(f"{PART}:{line} ")
    assert "a face needs a name that can be shown" in told


def test_a_case_and_a_support_stand_once(sound: Sound) -> None:
    more = (
        '\n[[support]]\nface = "wall"\nkind = "sliding"\n[[case]]\nname = "rough road"\nkind = "steady"\nsource = "x"\n'
    )
    path = sound.root / PART
    path.write_text(
        path.read_text(encoding="utf-8") + more + '[[case.load]]\ngravity = "0, 0, -1 g"\n', encoding="utf-8"
    )
    told = "\n".join(sound.lines())
    assert 'a support on face "wall" stands already in line' in told
    assert 'case "rough road" stands already in line' in told


@pytest.mark.parametrize("reason", ["", "   ", "only at walking pace"])
def test_a_milder_consequence_needs_a_reason(sound: Sound, reason: str) -> None:
    sound.swap('role = "lamp holder"', f'role = "peg"\nconsequence = "harmless"\nconsequence_reason = "{reason}"')
    told = sound.lines()
    assert [("milder than the rule's" in line) for line in told] == ([] if reason.strip() else [True])


def test_a_smaller_factor_needs_a_reason(sound: Sound) -> None:
    sound.swap('note = "invented"', 'load_factor = 1.2\nload_factor_reason = "loads were measured"')
    assert workspace.read(sound.root).parts[0].load_factor == 1.2


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "is empty"),
        (b" \n\n", "is empty"),
        (b'a = 1\nb = "\xff"\n', ":2: is not UTF-8 text"),
        (b"a = 1\n" * 200_000, "more than any text"),
        (b'a = "' + b"x" * 4000 + b'"', ":1: has a line of 4006 characters"),
        (b"a = 1\nb = \n", ":2: is not sound TOML"),
        (b"a = 1\na = 2\n", ":2: is not sound TOML"),
        (b'a = 1\nb = "open\n', ":2: is not sound TOML"),
        ("a = “x”\n".encode(), "The quotes must be straight ones"),
        (b"a = " + b"[" * 2900 + b"]" * 90, "nested too deeply"),
        (b"a = 0x" + b"f" * 2900, "is not known here"),
    ],
)
def test_files_that_are_not_usable_text(sound: Sound, content: bytes, words: str) -> None:
    (sound.root / "vehicle.toml").write_bytes(content)
    assert any(words in line and line.startswith("vehicle.toml") for line in sound.lines())


def test_windows_text_reads_the_same(sound: Sound) -> None:
    before = workspace.read(sound.root)
    for file in (PART, "vehicle.toml", "evidence/petg.csv"):
        path = sound.root / file
        path.write_bytes(b"\xef\xbb\xbf" + path.read_bytes().replace(b"\n", b"\r\n"))
    assert workspace.read(sound.root) == before


def test_links_that_lead_out_are_refused(sound: Sound, tmp_path: Path) -> None:
    for file in ("vehicle.toml", "parts/lamp-bracket.stl"):
        (sound.root / file).rename(tmp_path / "outside")
        (sound.root / file).symlink_to(tmp_path / "outside")
        (told,) = sound.lines()
        assert "leads out of the workspace" in told
        (sound.root / file).unlink()
        (tmp_path / "outside").rename(sound.root / file)


def test_a_link_to_itself_and_a_folder_instead_of_a_file(sound: Sound) -> None:
    os.symlink("loop.toml", sound.root / "parts/loop.toml")
    (sound.root / "parts/folder.toml").mkdir()
    told = "\n".join(sound.lines())
    assert "parts/folder.toml: is not a plain file" in told
    assert "parts/loop.toml: is not there" in told


def test_no_folder_and_no_parts(tmp_path: Path) -> None:
    assert "is not a folder" in str(workspace.problems(tmp_path / "none")[0])
    told = " ".join(str(problem) for problem in workspace.problems(tmp_path))
    assert "vehicle.toml: is not there" in told
    assert "parts: holds no part" in told


def test_new_overwrites_nothing(sound: Sound) -> None:
    before = {path: path.read_bytes() for path in sound.root.rglob("*") if path.is_file()}
    with pytest.raises(InputError, match="is there already"):
        workspace.new(sound.root)
    (sound.root / "vehicle.toml").unlink()
    with pytest.raises(InputError, match="is there already"):
        workspace.new(sound.root)
    assert not (sound.root / "vehicle.toml").exists()
    assert all(path.read_bytes() == before[path] for path in before if path.exists())


def test_the_solid_of_the_example_is_closed_and_has_the_volume_of_its_drawing(sound: Sound) -> None:
    trimesh = pytest.importorskip("trimesh")
    solid = trimesh.load(sound.root / "parts/lamp-bracket.stl")
    # wall 60 x 6, shelf 50 x 6, less the shared corner, plus the fillet (square less quarter circle), times 40 wide;
    # the fillet's 12 chords leave a little more material than the arc
    drawn = (60 * 6 + 50 * 6 - 36 + 100 - 25 * 3.14159265) * 40
    assert solid.is_watertight
    assert drawn < solid.volume < 1.0005 * drawn


@settings(max_examples=120, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data())
def test_no_damage_to_the_text_brings_anything_but_input_errors(sound: Sound, data: st.DataObject) -> None:
    file = data.draw(st.sampled_from([PART, "vehicle.toml", "evidence/petg.csv"]))
    path = sound.root / file
    original = path.read_bytes()
    text = original.decode()
    start = data.draw(st.integers(0, len(text)))
    end = data.draw(st.integers(start, min(len(text), start + 40)))
    pieces = st.sampled_from(
        ["", '"', "[", "]", "{", "}", "\n", ",", "=", "[[case]]\n", "0", "nan", "true", "\x00", "é"]
    )
    put = "".join(data.draw(st.lists(pieces | st.text(max_size=4), max_size=4)))
    try:
        path.write_bytes((text[:start] + put + text[end:]).encode("utf-8", "surrogatepass"))
        for problem in workspace.problems(sound.root):
            assert "\n" not in str(problem)
    finally:
        path.write_bytes(original)


def test_a_printer_card_and_parts_made_as_one_that_are_not_there(sound: Sound) -> None:
    path = sound.root / "vehicle.toml"
    path.write_text(
        path.read_text(encoding="utf-8")
        + '\n[[printers]]\nname = "warm"\ncard = "closed-machin"\nbuild_space = "300, 300, 300 mm"\n'
        + '\n[[consolidation]]\nname = "one"\ninto = "lamp-braket"\nparts = ["lamp-bracket", "lid"]\n',
        encoding="utf-8",
    )
    lines = sound.lines()
    assert len(lines) == 3
    assert '(printers[1].card): there is no printer card "closed-machin". Did you mean "closed-machine"?' in lines[0]
    assert '(consolidation[1].into): there is no part "lamp-braket". Did you mean "lamp-bracket"?' in lines[1]
    assert '(consolidation[1].parts): there is no part "lid". Parts are: lamp-bracket' in lines[2]
