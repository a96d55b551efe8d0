"""Measured pieces against predictions that stand in closed form: a bar pulled at its end, its movement by its strain
F / (E A), its mass its volume times the card's density. All measurements are made up."""

from __future__ import annotations

import math
import shutil
import tomllib
from pathlib import Path

import beam
import pytest
from typer.testing import CliRunner

from printworthy import flow
from printworthy.cli import app
from printworthy.dossier import tallied, vehicle
from printworthy.errors import TextError
from printworthy.inputs import Job
from printworthy.records import decisions, forms, keeping, store
from printworthy.records.entries import Draft
from printworthy.records.pairs import Measure, Pair
from printworthy.records.tally import Group, Tally, tally
from printworthy.workspace.cache import Cache
from printworthy.workspace.card_text import free_name, restated

RUN = CliRunner()
LENGTH, AREA, FORCE = 80.0, 96.0, 500.0  # [mm], [mm2], [N] of `beam`


def quiet(part: str, stage: str, share: float) -> None: ...


def logged(root: Path, *drafts: Draft) -> None:
    with store.opened(root, write=True) as records:
        records.append(drafts)


def weighed(piece: str, grams: float) -> Draft:
    return forms.draft("inspection", "bar", piece, "Ann", [f"mass={grams} g", "result=passed"])


def pulled(piece: str, moved: float, *more: str) -> Draft:
    pairs = ["case=pull", f"deflection={moved} mm", "hold=60 s", "noise=no", *more]
    pairs += [] if any(p.startswith("result=") for p in more) else ["result=passed"]
    return forms.draft("proof", "bar", piece, "Ann", pairs)


def tallied_of(root: Path) -> tuple[Tally, Job]:
    job = flow.read(root)
    with store.opened(root) as records:
        return tally(records, job), job


def group_of(found: Tally, measure: Measure) -> Group:
    return next(g for g in found.groups if g.measure == measure and g.whole)


@pytest.fixture(scope="module")
def solved(tmp_path_factory: pytest.TempPathFactory) -> Path:
    root = beam.write(tmp_path_factory.mktemp("tally") / "cart")
    job = flow.read(root)
    keeping.keep(flow.assess(job, Cache(root / ".cache"), quiet)[0], job, "Ann")
    return root


@pytest.fixture
def bar(solved: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(solved, tmp_path / "cart"))


@pytest.fixture
def expected(bar: Path) -> tuple[float, float]:
    """Mass [g] and movement [mm] of the far corner under twice the stated load, by hand: 80 mm longer by the strain,
    12 and 8 mm narrower by Poisson's ratios times it."""
    values = flow.read(bar).cards["petg"].values
    density, modulus = values["density"].value, values["modulus_in_layer"].value
    across = 12 * values["poisson_in_layer"].value, 8 * values["poisson_through"].value
    return LENGTH * AREA * density / 1000, 2 * FORCE / (modulus * AREA) * math.hypot(LENGTH, *across)


def test_masses_and_movements_are_held_against_closed_forms(bar: Path, expected: tuple[float, float]) -> None:
    mass, moved = expected
    drafts = [weighed(n, mass * k) for n, k in (("1", 1.01), ("2", 1.02), ("3", 1.015))]
    logged(bar, *drafts, pulled("1", 1.1 * moved, "level=2"), pulled("2", 1.1 * moved, f"load={2 * FORCE} N"))
    found, _ = tallied_of(bar)
    assert found.unpaired == ()
    assert [p.ratio for p in found.pairs if p.measure == "mass"] == pytest.approx([1.01, 1.02, 1.015], rel=2e-4)
    assert [p.ratio for p in found.pairs if p.measure == "deflection"] == pytest.approx([1.1, 1.1], rel=1e-4)
    group = group_of(found, "mass")
    assert (group.pieces, group.part, group.material, group.present) == (3, "bar", "petg", True)


def test_what_cannot_be_compared_says_why(bar: Path) -> None:
    logged(
        bar, pulled("1", 0.2), pulled("2", 0.2, "level=2", "temperature=60 degC"),
        pulled("3", 0.2, "level=2", "result=failed"),
        forms.draft("proof", "bar", "4", "Ann", ["case=push", "hold=60 s", "noise=no", "result=passed",
                                                 "deflection=1 mm"]),
        forms.draft("proof", "bar", "5", "Ann", ["case=pull", "hold=60 s", "noise=no", "result=passed"]),
        forms.draft("ride", "bar", "6", "Ann", ["time=3 h"]),
    )  # fmt: skip
    found, _ = tallied_of(bar)
    assert found.pairs == ()
    said = [u.words for u in found.unpaired]
    for words, part in zip(said, ("state level=", "at 60 degC", "did not pass", "no proof test", "no deflection",
                                  "no life is predicted"), strict=True):  # fmt: skip
        assert part in words


def test_corrections_count_and_withdrawn_entries_do_not(bar: Path, expected: tuple[float, float]) -> None:
    logged(bar, weighed("1", 3 * expected[0]), weighed("2", expected[0]))
    with store.opened(bar, write=True) as records:
        first, second = records.entries("inspection")
        records.append([
            forms.correction(first, "Bo", [f"mass={1.05 * expected[0]} g"]),
            forms.correction(second, "Bo", ["withdrawn=another bar"]),
        ])  # fmt: skip
    found, _ = tallied_of(bar)
    assert [p.ratio for p in found.pairs] == pytest.approx([1.05], rel=2e-4)


def test_a_piece_belongs_to_the_assessment_before_its_first_entry(bar: Path, expected: tuple[float, float]) -> None:
    """Twice as heavy a bar is assessed later: the older piece stays with the older prediction."""
    logged(bar, weighed("1", expected[0]))
    from netgen import occ

    occ.Box((0, 0, 0), (80, 12, 16)).WriteStep(str(bar / "parts" / "bar.step"))
    job = flow.read(bar)
    keeping.keep(flow.assess(job, Cache(bar / ".cache"), quiet)[0], job, "Ann")
    logged(bar, weighed("1", expected[0]), weighed("2", 2 * expected[0]))
    found, _ = tallied_of(bar)
    assert [p.ratio for p in found.pairs] == pytest.approx([1.0, 1.0], rel=2e-4)
    assert found.pairs[0].assessment.id != found.pairs[1].assessment.id


def heavy(root: Path, mass: float, k: float = 1.02) -> None:
    logged(root, *(weighed(str(n), k * mass * (1 + s)) for n, s in enumerate((-0.004, 0.0, 0.003, 0.001), 1)))


def test_an_accepted_card_is_written_once_with_its_source(bar: Path, expected: tuple[float, float]) -> None:
    heavy(bar, expected[0])
    found, job = tallied_of(bar)
    (proposal,) = found.proposals
    assert proposal.values["density"].value == pytest.approx(1.02 * proposal.old["density"].value, rel=1e-4)
    with store.opened(bar, write=True) as records:
        entry, path = decisions.accept(records, job, proposal, "Bo", "scale checked")
        assert records.content(entry.contents["card"]) == path.read_bytes()
    assert path == bar / "cards" / "petg.toml"
    stated = tomllib.loads(path.read_text())["values"]["density"]
    assert stated["confidence"] == "invented"  # of an invented vehicle nothing is measured
    assert "4 pieces weighed (bar)" in stated["source"]
    assert all(name in stated["source"] for name in proposal.records)
    assert (entry.who, entry.body["decision"], entry.body["file"]) == ("Bo", "accepted", "cards/petg.toml")
    after, _ = tallied_of(bar)
    assert after.proposals == ()
    assert not group_of(after, "mass").present
    low, high = (tomllib.loads(path.read_text())["values"]["density"][k] for k in ("low", "high"))
    density = flow.read(bar).cards["petg"].values["density"]
    assert density.low is not None
    assert density.high is not None
    assert density.low < density.value < density.high
    assert (low, high) == (f"{density.low:.5g} g/cm^3", f"{density.high:.5g} g/cm^3")


def test_a_refused_card_comes_back_with_new_evidence_only(bar: Path, expected: tuple[float, float]) -> None:
    heavy(bar, expected[0])
    found, job = tallied_of(bar)
    with store.opened(bar, write=True) as records:
        with pytest.raises(TextError, match="reason"):
            decisions.refuse(records, job, found.proposals[0], "Bo", " ")
        decisions.refuse(records, job, found.proposals[0], "Bo", "the scale was off")
    assert not (bar / "cards").exists()
    assert tallied_of(bar)[0].proposals == ()
    logged(bar, weighed("9", 1.02 * expected[0]))
    again = tallied_of(bar)[0].proposals
    assert len(again) == 1
    assert again[0].evidence != found.proposals[0].evidence


def test_no_file_is_written_over_and_comments_stay(bar: Path, expected: tuple[float, float]) -> None:
    heavy(bar, expected[0])
    shipped = Path(flow.__file__).parent / "cards" / "materials" / "petg.toml"
    (bar / "cards").mkdir()
    own = bar / "cards" / "petg.toml"
    own.write_text("# our own copy\n" + shipped.read_text())
    found, job = tallied_of(bar)
    with store.opened(bar, write=True) as records:
        with pytest.raises(TextError, match="not written over"):
            decisions.accept(records, job, found.proposals[0], "Bo", name="petg")
        _, path = decisions.accept(records, job, found.proposals[0], "Bo")
    assert path.name == "petg-as-made.toml"
    assert path.read_text().startswith("# our own copy\n")
    assert own.read_text() == "# our own copy\n" + shipped.read_text()
    assert free_name("petg", bar) == "petg-as-made-2"
    before = {line for line in own.read_text().splitlines() if line.startswith("#")}
    assert before <= set(path.read_text().splitlines())
    assert flow.read(bar).cards["petg-as-made"].number("strength_in_layer") == job.cards["petg"].number(
        "strength_in_layer"
    )


def test_a_softer_print_asks_for_lower_moduli(bar: Path, expected: tuple[float, float]) -> None:
    moved = expected[1]
    logged(bar, *(pulled(str(n), 1.25 * moved * (1 + s), "level=2") for n, s in enumerate((-0.02, 0.0, 0.02), 1)))
    (proposal,) = tallied_of(bar)[0].proposals
    ratios = [q.value / proposal.old[name].value for name, q in proposal.values.items()]
    assert set(proposal.values) == {"modulus_in_layer", "modulus_through", "shear_modulus_through"}
    assert ratios == pytest.approx([0.8] * 3, rel=3e-3)


def test_missing_polymer_is_no_density(bar: Path, expected: tuple[float, float]) -> None:
    heavy(bar, expected[0], 0.85)
    found, _ = tallied_of(bar)
    assert found.proposals == ()
    assert "mend the print" in found.remarks[0]


def test_restated_text_keeps_everything_else(bar: Path) -> None:
    job = flow.read(bar)
    shipped = Path(flow.__file__).parent / "cards" / "materials" / "petg.toml"
    same = tomllib.loads(restated(shipped, "petg", {}))
    assert same == tomllib.loads(shipped.read_text())
    changed = tomllib.loads(restated(shipped, "x", {"density": job.cards["petg"].values["density"]}))
    assert {k: v for k, v in changed["values"].items() if k != "density"} == {
        k: v for k, v in same["values"].items() if k != "density"
    }


def test_the_verb_tells_decides_and_draws(bar: Path, expected: tuple[float, float]) -> None:
    heavy(bar, expected[0])
    page = bar / "tally.html"
    said = RUN.invoke(app, ["tally", str(bar), "--chart", str(page)])
    assert said.exit_code == 0
    assert "Mass, bar in petg: 4 pieces, measured over predicted 1.02 (95 %" in said.output
    name = said.output.split("proposed ")[1].split(":")[0]
    drawn = page.read_text(encoding="utf-8")
    assert "Predicted against measured" in drawn
    assert "where 95 % of pieces lie" in drawn
    done = RUN.invoke(app, ["tally", str(bar), "--accept", name[:4], "--as", "Bo"])
    assert "accepted by Bo. Wrote" in done.output
    assert "accepted by Bo on" in RUN.invoke(app, ["tally", str(bar)]).output
    assert "decision accepted" in RUN.invoke(app, ["history", "vehicle", "--in", str(bar)]).output


@pytest.mark.parametrize(
    ("words", "what"),
    [
        (["--accept", "beef"], "nobody is named"),
        (["--accept", "beef", "--as", "Bo"], "no open proposals are called 'beef'"),
        (["--accept", "a", "--refuse", "b", "--as", "Bo"], "both stated"),
        (["--chart", "x.png"], "no ending of a page"),
        (["--chart", "no-such-folder/x.html"], "cannot be written: No such file"),
    ],
)
def test_what_cannot_be_is_one_line(bar: Path, words: list[str], what: str) -> None:
    result = RUN.invoke(app, ["tally", str(bar), *words])
    assert result.exit_code == 1
    assert what in str(result.exception)


def test_the_dossier_of_the_vehicle_shows_it(bar: Path, expected: tuple[float, float]) -> None:
    heavy(bar, expected[0])
    found, job = tallied_of(bar)
    done, _ = flow.assess(job, Cache(bar / ".cache"), quiet)
    section = next(s for s in vehicle.short(done, job, {}, found).sections if s.anchor == "tally")
    captions = [b.caption for b in section.blocks if hasattr(b, "caption")]
    assert any("On the line they are the same" in c for c in captions)
    assert "Cards proposed" in captions
    assert vehicle.short(done, job, {}).sections[-1].anchor == "run"
    assert tallied.section(Tally((), (), (), (), (), ()), False) is None


def test_lives_of_pieces_that_go_on_are_counted_as_such(bar: Path, expected: tuple[float, float]) -> None:
    logged(bar, weighed("1", expected[0]))
    base = tallied_of(bar)[0].pairs[0]

    def lived(piece: str, hours: float, *, went_on: bool = False) -> Pair:
        return Pair("life", "bar", piece, "petg", 1000.0, 100.0, 1000.0, hours, "h", "made up", base.assessment, (), (),
                    False, True, went_on)  # fmt: skip

    from printworthy.records import tally as module

    groups = tuple(module._groups([lived("1", 800), lived("2", 1300), lived("3", 900, went_on=True)], flow.read(bar)))
    assert "nothing speaks against" in tallied.says(groups[0])
    chart = tallied.chart("life", groups[0].pairs)
    assert "Triangles: pieces without damage so far" in chart.caption
    alone = tuple(module._groups([lived("1", 90, went_on=True), lived("2", 50, went_on=True)], flow.read(bar)))
    assert "none damaged so far, at most 0.09 of the prediction" in tallied.says(alone[0])
