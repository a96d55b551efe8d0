"""The written dossier: well-formed, self-contained, nothing of a person's text as markup, nothing left out."""

from __future__ import annotations

import html
import json
import re
from collections import Counter
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path

import pytest
import synthetic
from pydantic import TypeAdapter

from printworthy import dossier
from printworthy.dossier import record, vehicle
from printworthy.dossier.history import said
from printworthy.errors import InputError
from printworthy.results import Assessment

VOID = {"meta", "link", "br", "img", "input", "hr"}
HOSTILE = '"><script>alert(1)</script><img src=x onerror=alert(2)>&amp;'


class Page(HTMLParser):
    """Collects tags, attributes and text, and insists that every tag is closed in order."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[str] = []
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.words: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        assert self.open, f"</{tag}> closes nothing"
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        self.words.append(data)

    @property
    def text(self) -> str:
        return " ".join(" ".join(self.words).split())


def read(path: Path) -> Page:
    page = Page()
    page.feed(path.read_text(encoding="utf-8"))
    page.close()
    assert page.open == []
    return page


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return dossier.write(*synthetic.everything(), tmp_path_factory.mktemp("dossier"))


@pytest.fixture(scope="module")
def page(written: Path) -> Page:
    return read(written)


def test_one_page_and_one_record_and_nothing_else(written: Path) -> None:
    assert sorted(p.name for p in written.parent.iterdir()) == ["hut-carrier-dossier.html", "hut-carrier-dossier.json"]


def test_nothing_is_loaded_and_nothing_runs(written: Path, page: Page) -> None:
    for tag, attributes in page.tags:
        assert tag not in {"script", "iframe", "object", "link", "base", "form"}
        for name, value in attributes.items():
            assert not name.startswith("on")
            if name in {"href", "src", "xlink:href"}:
                assert value is not None
                assert value.startswith(("#", "data:image/png;base64,"))
    text = written.read_text(encoding="utf-8")
    links = re.findall(r"(?:https?:)?//[a-z][^\s\"')<]*", re.sub(r"base64,[A-Za-z0-9+/=]+", "", text))
    assert set(links) <= {"http://www.w3.org/2000/svg"}  # the name of SVG, never fetched
    assert "@import" not in text
    above = {f"#{what}-{name}-above" for what in ("picture", "disc") for name in ("lever", "foot-peg", "lamp-shell")}
    assert set(re.findall(r"url\(([^)]*)\)", text)) <= above


def test_anchors_are_single_and_links_lead_somewhere(page: Page) -> None:
    anchors = Counter(a["id"] for _, a in page.tags if a.get("id"))
    assert [a for a, n in anchors.items() if n > 1] == []
    targets = {a["href"][1:] for _, a in page.tags if (a.get("href") or "").startswith("#")}
    assert targets <= set(anchors)


def test_semantics(page: Page) -> None:
    tags = Counter(tag for tag, _ in page.tags)
    assert dict(page.tags)["html"]["lang"] == "en"
    assert tags["h1"] == 1
    assert tags["table"] == tags["caption"] > 10
    assert all(a.get("scope") in {"row", "col"} for t, a in page.tags if t == "th")
    plates = [a for _, a in page.tags if a.get("class") == "plate"]
    assert len(plates) == 8 + 3 + 3  # two and a waterfall for each part, disc and refinement for the first, coupons
    assert all(a["role"] == "img" and len(a["aria-label"] or "") > 60 for a in plates)


def test_every_reason_condition_refusal_and_source_is_there(page: Page) -> None:
    assessment = synthetic.assessment()
    for part in assessment.parts:
        for reason in part.verdict.reasons:
            for words in (reason.screen, reason.words, reason.effect, reason.source):
                assert words in page.text
        for condition in part.verdict.conditions:
            assert condition in page.text
        for value in part.inputs.values():
            assert value.source in page.text
        assert part.key in page.text
    for refusal in assessment.refusals:
        assert refusal.line in page.text


def test_reasons_stand_in_the_order_asked(page: Page) -> None:
    places = [page.text.index(r.words) for r in synthetic.assessment().parts[0].verdict.reasons]
    assert places == sorted(places)


def test_a_turned_part_that_changes_the_word_says_so(page: Page) -> None:
    assert "The build direction alone changes the word: do not print / print with conditions." in page.text


def test_invented_data_are_marked_on_every_section_and_every_printed_page(written: Path, page: Page) -> None:
    marked = page.text.count("Invented data. Made up")
    assert marked == 1 + 1 + 3 + 1 + 1  # head, summary, three parts, coupons, rules
    assert '@top-right { content: "INVENTED DATA' in written.read_text(encoding="utf-8")


def test_real_data_are_not_called_invented(tmp_path: Path) -> None:
    assessment, fields, job = synthetic.everything(1)
    real = replace(assessment, invented=False, parts=tuple(replace(p, invented=False) for p in assessment.parts))
    text = dossier.write(real, fields, job, tmp_path).read_text(encoding="utf-8")
    assert "Made up to show" not in text
    assert "INVENTED DATA" not in text


def test_text_of_a_person_is_never_markup(tmp_path: Path) -> None:
    assessment, fields, job = synthetic.everything(1)
    part, stated = assessment.parts[0], job.parts[0]
    governing = replace(part.option.result.cases[0], case=HOSTILE, near_face=HOSTILE)
    result = replace(part.option.result, cases=(governing,), solver=HOSTILE)
    reason = replace(part.verdict.reasons[0], screen=HOSTILE, words=HOSTILE, source=HOSTILE)
    option = replace(
        part.option, result=result, verdict=replace(part.verdict, reasons=(reason,), conditions=(HOSTILE,))
    )
    part = replace(part, title=HOSTILE, role=HOSTILE, options=(option,), chosen=0)
    support = replace(stated.supports[0], face=HOSTILE)
    stated = replace(
        stated, supports=(support,), cases=(replace(stated.cases[0], name=HOSTILE, source=HOSTILE),), title=HOSTILE
    )
    field = fields[part.part]
    field = replace(field, faces={**field.faces, HOSTILE: field.faces["root"]})
    written = dossier.write(
        replace(assessment, title=HOSTILE, vehicle="../../" + HOSTILE, parts=(part,)),
        {part.part: field},
        replace(job, parts=(stated,)),
        tmp_path / "out",
    )
    assert written.parent == tmp_path / "out"
    page = read(written)
    assert {t for t, _ in page.tags}.isdisjoint({"script", "img"})
    assert not [n for _, a in page.tags for n in a if n.startswith("on")]
    assert html.unescape(html.escape(HOSTILE)) in page.text
    assert [a["class"] for t, a in page.tags if t == "div" and a.get("class") == "plate"] == [
        "plate"
    ] * 8  # two of the part, its disc, its refinement, its waterfall, three of coupons


def test_every_number_comes_back_from_the_record(written: Path) -> None:
    assessment = synthetic.assessment()
    text = written.with_suffix(".json").read_text(encoding="utf-8")
    assert record.load(text) == assessment
    adapter = TypeAdapter(Assessment)
    assert adapter.validate_python(adapter.dump_python(assessment)) == assessment
    assert "Infinity" in text  # an unbounded check utilisation survives as a text, which JSON allows
    json.loads(text, parse_constant=lambda name: pytest.fail(f"not JSON: {name}"))


def test_the_record_names_no_folder_of_this_machine(written: Path) -> None:
    job = json.loads(written.with_suffix(".json").read_text(encoding="utf-8"))["job"]
    assert job["root"] == "."
    assert job["parts"][0]["geometry"]["path"] == "parts/foot-peg.stl"


def test_a_part_without_a_skin_says_so(tmp_path: Path) -> None:
    assessment, _, job = synthetic.everything(1)
    assert "No picture: the skin" in read(dossier.write(assessment, {}, job, tmp_path)).text


def test_an_assessment_of_another_workspace_is_refused(tmp_path: Path) -> None:
    assessment, fields, job = synthetic.everything(1)
    with pytest.raises(InputError, match="has a part 'foot-peg' that the workspace does not have"):
        dossier.write(assessment, fields, replace(job, parts=()), tmp_path)
    assert list(tmp_path.iterdir()) == []


def test_numbers_carry_their_unit_and_value() -> None:
    """A table cell with a value shows that value to the digits written, and its column or cell names a unit."""
    document = vehicle.document(*synthetic.everything(1))
    tables = [b for s in document.sections for x in (s, *s.sections) for b in x.blocks if b.kind == "table"]
    stress = next(t for t in tables if t.caption.startswith("Stress at the governing place"))
    assert [c.value for c in stress.rows[0].cells[1:]] == [1.25, -0.5, 17.125, 2.5, -6.25, 0.125]
    assert all(c.unit == "MPa" for c in stress.columns[1:])
    assert all(len(row.cells) == len(t.columns) for t in tables for row in t.rows)


def test_design_steps_end_at_the_design_value() -> None:
    document = vehicle.document(*synthetic.everything(1))
    tables = [b for s in document.sections for x in (s, *s.sections) for b in x.blocks if b.kind == "table"]
    steps = next(t for t in tables if t.caption.startswith("From start"))
    assert [r.cells[3].value for r in steps.rows[:3]] == pytest.approx([62.0, 62.0 * 0.72, 62.0 * 0.72 * 0.81])


def test_recorded_figures_are_told_in_units_people_write() -> None:
    body = {"time [s]": 7200.0, "hold [s]": 60.0, "mass [kg]": 0.0943, "distance [mm]": 2.4e7, "level [-]": 1.25,
            "mass_kg": 0.21, "deflection [mm]": 4.35, "note": "", "finding": "sound"}  # fmt: skip
    assert said(body) == (
        "time [h] 2; hold [s] 60; mass [g] 94.3; distance [km] 24; level 1.25; mass [g] 210; deflection [mm] 4.35; "
        "finding sound"
    )
