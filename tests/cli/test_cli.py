"""The verbs as a person uses them: exit codes, one line an error, no traceback."""

from __future__ import annotations

import json
import subprocess
import sys
from importlib.metadata import version
from pathlib import Path

import pytest
from typer.testing import CliRunner

from printworthy.cli import app, main
from printworthy.cli.show import console, progress_line
from printworthy.strength import NEEDS

RUN = CliRunner()


def said(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], *words: str) -> tuple[int, str, str]:
    """Exit code, standard output, standard error of a run in this process."""
    monkeypatch.setattr(sys, "argv", ["printworthy", *words])
    with pytest.raises(SystemExit) as end:
        main()
    shown = capsys.readouterr()
    return int(end.value.code or 0), shown.out, shown.err


def test_every_verb_says_what_it_does_and_gives_an_example() -> None:
    for command in app.registered_commands:
        assert command.callback is not None
        assert command.callback.__doc__ is not None
        assert "Example: printworthy" in command.callback.__doc__


def test_new_then_check(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    assert said(monkeypatch, capsys, "new", str(tmp_path / "w"))[0] == 0
    code, out, err = said(monkeypatch, capsys, "check", str(tmp_path / "w"))
    assert (code, err) == (0, "")
    assert "no problems found" in out


def test_new_overwrites_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    said(monkeypatch, capsys, "new", str(tmp_path / "w"))
    code, _, err = said(monkeypatch, capsys, "new", str(tmp_path / "w"))
    assert code == 1
    assert len(err.splitlines()) == 1


def test_check_tells_every_problem_with_its_line(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    said(monkeypatch, capsys, "new", str(tmp_path))
    text = tmp_path / "parts" / "lamp-bracket.toml"
    text.write_text(text.read_text().replace('"mm"', '"furlong"', 1) + "\nsurprise = 1\n")
    code, _, err = said(monkeypatch, capsys, "check", str(tmp_path))
    assert code == 1
    assert len(err.splitlines()) >= 2
    assert all("lamp-bracket.toml:" in line for line in err.splitlines())


def test_a_file_without_unit_is_a_question_with_three_sizes(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    said(monkeypatch, capsys, "new", str(tmp_path))
    solid = next((tmp_path / "parts").glob("*.stl"))
    code, _, err = said(monkeypatch, capsys, "shape", str(solid))
    assert code == 1
    assert len(err.splitlines()) == 1
    assert all(unit in err for unit in ("mm", "inch", " m"))
    code, out, _ = said(monkeypatch, capsys, "shape", str(solid), "--unit", "mm", "--json")
    assert code == 0
    assert json.loads(out)["unit"] == "mm"


def test_assess_of_an_unknown_part_is_wrong_input(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    said(monkeypatch, capsys, "new", str(tmp_path))
    code, _, err = said(monkeypatch, capsys, "assess", str(tmp_path), "--part", "wing")
    assert code == 1
    assert "wing" in err
    assert "lamp-bracket" in err


@pytest.mark.parametrize("words", [["assess", "no-such-folder"], ["check", "no-such-folder"], ["shape", "no-such.stl"]])
def test_nothing_there_is_one_line(
    words: list[str], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    code, _, err = said(monkeypatch, capsys, *words)
    assert code == 1
    assert len(err.splitlines()) == 1


def test_the_module_starts_as_a_program() -> None:
    shown = subprocess.run([sys.executable, "-m", "printworthy", "--help"], capture_output=True, text=True, check=True)
    assert "assess" in shown.stdout


def test_the_version_is_told(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    assert said(monkeypatch, capsys, "--version") == (0, f"printworthy {version('printworthy')}\n", "")


def test_assess_writes_a_dossier_and_answers_by_its_exit_code(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    said(monkeypatch, capsys, "new", str(tmp_path))
    code, out, err = said(monkeypatch, capsys, "assess", str(tmp_path), "--json")
    done = json.loads(out)
    words = [p["options"][p["chosen"]]["verdict"]["word"] for p in done["parts"]]
    assert code == (0 if words and all(w.startswith("print") for w in words) else 3), err
    pages = list((tmp_path / "dossier").glob("*.html"))
    assert len(pages) == 1
    assert "Invented" in pages[0].read_text()


def test_what_a_part_needs_is_left_standing(capsys: pytest.CaptureFixture[str]) -> None:
    with progress_line(quiet=False) as tell:
        for stage in (f"{NEEDS}40 s and 0.9 GB", "exact checks"):
            tell("peg", stage, 0.0)
    assert "peg: needs about 40 s and 0.9 GB" in capsys.readouterr().err.splitlines()
    with progress_line(quiet=True) as tell:
        tell("peg", f"{NEEDS}40 s and 0.9 GB", 0.0)
    assert "needs" not in capsys.readouterr().err


def test_the_page_of_verbs_is_what_help_says() -> None:
    page = Path(__file__).parents[2] / "docs" / "cli.md"
    assert page.read_text() == _page(), "run scripts/write_cli_page.py"


def _page() -> str:
    shown = subprocess.run(
        [sys.executable, str(Path(__file__).parents[2] / "scripts" / "write_cli_page.py"), "-"],
        capture_output=True,
        text=True,
        check=True,
    )
    return shown.stdout


def test_words_in_brackets_are_printed(capsys: pytest.CaptureFixture[str]) -> None:
    console().print("add [[metal]] :skull:", highlight=False)
    assert capsys.readouterr().out == "add [[metal]] :skull:\n"
