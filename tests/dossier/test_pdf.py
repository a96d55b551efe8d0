"""The PDF: tagged, for the archive, complete, fonts inside, nothing of a person's text as markup.

ISO 19005-3 (PDF/A-3) and ISO 14289-1 (PDF/UA) as far as they can be read off with a PDF library; the typesetter itself
refuses what breaks them. scripts/check_pdf.py holds files against all rules of both with a validator.
"""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pypdf
import pytest
import synthetic

from printworthy import dossier
from printworthy.dossier import vehicle
from printworthy.dossier.guards import GUARDS
from printworthy.dossier.pdf import pdf
from printworthy.dossier.pdf_ends import unmistakable
from printworthy.errors import InputError
from printworthy.records.entries import Entry, Input

ROOT = Path(__file__).parents[2]
ENTRY = Entry(
    1, "assessment", "2026-11-25T09:50:00+00:00", "Ann", "foot-peg", "", "", {"word": "print with conditions"},
    (Input("vehicle.toml", "ab" * 32, "cd" * 32),), {}, "0123456789ab" * 5 + "cdef",
)  # fmt: skip


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> dict[str, pypdf.PdfReader]:
    told: list[str] = []
    paths = dossier.write_pdf(
        *synthetic.everything(1), tmp_path_factory.mktemp("pdf"), [ENTRY], told.append
    )  # fmt: skip
    assert told == ["foot-peg", "hut-carrier"]
    return {path.name: pypdf.PdfReader(path) for path in paths}


def words(reader: pypdf.PdfReader) -> str:
    return " ".join(" ".join(page.extract_text() for page in reader.pages).split())


def test_one_of_each_part_and_one_of_the_vehicle(written: dict[str, pypdf.PdfReader]) -> None:
    assert set(written) == {"foot-peg.pdf", "hut-carrier-dossier.pdf"}


def test_it_is_tagged_and_for_the_archive(written: dict[str, pypdf.PdfReader]) -> None:
    for reader in written.values():
        root = reader.trailer["/Root"]
        assert root["/MarkInfo"]["/Marked"]
        assert "/StructTreeRoot" in root
        assert root["/Lang"] == "en"
        assert root["/ViewerPreferences"]["/DisplayDocTitle"]
        meta = root["/Metadata"].get_data().decode()
        assert "<pdfaid:part>3</pdfaid:part>" in meta
        assert "<pdfaid:conformance>A</pdfaid:conformance>" in meta
        assert "<pdfuaid:part>1</pdfuaid:part>" in meta
        assert root["/OutputIntents"][0]["/S"] == "/GTS_PDFA1"


def test_an_end_that_looks_like_another_is_made_whole(tmp_path: Path) -> None:
    """A file by hand with streams that end in a carriage return: lengths hold (ISO 19005-3, 6.1.7.1, from memory),
    every object is where the table says (ISO 32000-1, 7.5.4)."""
    data = [b"one\r", b"two", b"\r\r"]
    raw, offsets = b"%PDF-1.7\n", []
    for number, one in enumerate(data, 1):
        offsets.append(len(raw))
        raw += b"%d 0 obj\n<</Length %d>>\nstream\n%s\nendstream\nendobj\n" % (number, len(one), one)
    rows = b"".join(b"%010d 00000 n\r\n" % o for o in offsets)
    table = b"xref\n0 4\n0000000000 65535 f\r\n" + rows + b"trailer\n<</Size 4/Root 1 0 R>>\n"
    made = unmistakable(raw + table + b"startxref\n%d\n%%%%EOF" % len(raw))
    assert len(made) == len(raw + table) + len(b"startxref\n%d\n%%%%EOF" % len(raw)) + 2
    at = int(made.rpartition(b"startxref\n")[2].split(b"\n")[0])
    assert made[at : at + 4] == b"xref"
    for number, (row, one) in enumerate(zip(made[at:].split(b"\r\n")[1:4], data, strict=True), 1):
        held = made[int(row[:10]) :]
        assert held.startswith(b"%d 0 obj" % number)
        after = held[held.index(b"stream\n") + 7 :]
        assert after.startswith(one)
        assert after[len(one) :].startswith(b"\r\nendstream" if one.endswith(b"\r") else b"\nendstream")


def test_a_whole_dossier_is_read_the_same_after_its_ends_were_made_whole(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """As the typesetter leaves it and as it is written: the same pages, and nothing but line ends between them."""
    from printworthy.dossier import pdf as module

    found, fields, job = synthetic.everything(1)
    document = vehicle.of_part(found, "foot-peg", fields, job, [ENTRY])
    written = [pdf(document, json.dumps({"n": n}), found.when) for n in range(4)]
    monkeypatch.setattr(module, "unmistakable", lambda raw: raw)
    left = [pdf(document, json.dumps({"n": n}), found.when) for n in range(4)]
    for n, (a, b) in enumerate(zip(written, left, strict=True)):
        (tmp_path / f"{n}a.pdf").write_bytes(a)
        (tmp_path / f"{n}b.pdf").write_bytes(b)
        assert words(pypdf.PdfReader(tmp_path / f"{n}a.pdf")) == words(pypdf.PdfReader(tmp_path / f"{n}b.pdf"))
        assert not unmistakable(a).count(b"startxref") - 1
        assert len(a) - len(b) == b.count(b"\r\nendstream\nendobj")


def fonts(reader: pypdf.PdfReader) -> dict[str, bool]:
    """Name of every font and whether its outlines are in the file."""
    found: dict[str, bool] = {}
    for page in reader.pages:
        for font in (page["/Resources"].get("/Font") or {}).values():
            inner = font.get_object()["/DescendantFonts"][0].get_object()
            program = inner["/FontDescriptor"].get_object()
            found[str(inner["/BaseFont"])] = any(k in program for k in ("/FontFile", "/FontFile2", "/FontFile3"))
    return found


def test_every_font_is_inside_and_of_the_typesetter(written: dict[str, pypdf.PdfReader]) -> None:
    for reader in written.values():
        found = fonts(reader)
        assert found
        assert all(found.values())
        assert all("Libertinus" in name for name in found)


def test_verdict_reasons_records_and_limits_are_there(written: dict[str, pypdf.PdfReader]) -> None:
    part = synthetic.assessment().parts[0]
    said = words(written["foot-peg.pdf"])
    for reason in part.verdict.reasons:
        assert " ".join(reason.words.split()) in said
    for condition in part.verdict.conditions:
        assert condition in said
    assert ENTRY.id in said
    assert "What guards these numbers" in said
    assert "Nothing here certifies a part" in said
    assert all("INVENTED DATA" in page.extract_text() for page in written["foot-peg.pdf"].pages)
    assert said.index(part.verdict.word) < said.index("Reasons, in the order asked") < said.index("Limits of use")


def test_the_figures_as_computed_are_attached(written: dict[str, pypdf.PdfReader]) -> None:
    (content,) = written["foot-peg.pdf"].attachments["record.json"]
    held = json.loads(content)["assessment"]["parts"]
    assert [p["part"] for p in held] == ["foot-peg"]


def test_every_figure_has_its_words(written: dict[str, pypdf.PdfReader]) -> None:
    """Alternative text in the structure tree, as long as it is in the HTML."""

    def figures(node: object) -> list[str]:
        node = node.get_object()  # type: ignore[attr-defined]
        if isinstance(node, list):
            return [f for kid in node for f in figures(kid)]
        if not isinstance(node, dict):
            return []
        own = [str(node.get("/Alt", ""))] if node.get("/S") == "/Figure" else []
        return own + (figures(node["/K"]) if "/K" in node and not isinstance(node["/K"], int) else [])

    found = figures(written["foot-peg.pdf"].trailer["/Root"]["/StructTreeRoot"])
    assert len(found) >= 5
    assert all(len(alt) > 20 for alt in found)


def test_text_of_a_person_is_never_markup() -> None:
    document = vehicle.of_part(*_arguments("*strong* #panic(1) $x$ @ref <label> [b] \\ `raw` //"))
    made = pdf(document, "{}", "2026-11-25T09:50:00+00:00")
    assert made.startswith(b"%PDF-")


def _arguments(hostile: str) -> tuple[object, ...]:
    assessment, fields, job = synthetic.everything(1)
    part = assessment.parts[0]
    reason = replace(part.verdict.reasons[0], words=hostile, source=hostile)
    option = replace(part.option, verdict=replace(part.verdict, reasons=(reason,), conditions=(hostile,)))
    part = replace(part, title=hostile, options=(option,), chosen=0)
    return replace(assessment, title=hostile, parts=(part,)), "foot-peg", fields, job, []


def test_a_part_that_was_not_computed_is_a_line() -> None:
    assessment, fields, job = synthetic.everything(1)
    with pytest.raises(InputError, match="'axle' was not computed"):
        vehicle.of_part(assessment, "axle", fields, job, [])


def test_same_document_same_bytes() -> None:
    document = vehicle.short(synthetic.assessment(), synthetic.everything()[2], {})
    assert pdf(document, "{}", "2026-11-25T09:50:00+00:00") == pdf(document, "{}", "2026-11-25T09:50:00+00:00")


def test_what_guards_the_numbers_is_in_the_validation_report() -> None:
    entries = {
        line[3:]
        for line in (ROOT / "docs" / "validation.md").read_text(encoding="utf-8").splitlines()
        if line.startswith("## ")
    }
    assert {e for _, named in GUARDS for e in named} - entries == set()
