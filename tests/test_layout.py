"""Short files, short functions, words on what is public, a clean lock, and words that agree with the commands."""

from __future__ import annotations

import ast
import re
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
MODULES = sorted((ROOT / "src").rglob("*.py"))
LOCKS = sorted((ROOT / "requirements").glob("*.txt"))
LINES_IN_A_FILE = 320  # aim: 300
LINES_IN_A_FUNCTION = 60  # of code; aim: 40

Function = ast.FunctionDef | ast.AsyncFunctionDef
Documented = ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef


def code_lines(function: Function, text: str) -> int:
    """Lines of a function without its docstring, comments and blank lines."""
    body = function.body[1:] if ast.get_docstring(function, clean=False) is not None else function.body
    if not body:
        return 0
    lines = text.splitlines()[body[0].lineno - 1 : function.end_lineno]
    return sum(bool(line.strip()) and not line.strip().startswith("#") for line in lines)


def undocumented(tree: ast.Module) -> list[str]:
    """Public names of a module, and methods of its public classes, that say nothing about themselves."""
    bare = [] if ast.get_docstring(tree) else ["the module"]
    for node in tree.body:
        if not isinstance(node, Documented) or node.name.startswith("_"):
            continue
        inner = [n for n in node.body if isinstance(n, Function)] if isinstance(node, ast.ClassDef) else []
        bare += [
            f"{n.name} (line {n.lineno})"
            for n in (node, *inner)
            if not n.name.startswith("_") and not ast.get_docstring(n)
        ]
    return bare


def name_of(path: Path) -> str:
    return path.relative_to(ROOT).as_posix()


def test_the_measures_measure() -> None:
    text = 'def f():\n    """Words."""\n    # why\n    a = 1\n\n    return (\n        a\n    )\n'
    (function,) = ast.parse(text).body
    assert isinstance(function, ast.FunctionDef)
    assert code_lines(function, text) == 4
    assert undocumented(ast.parse("class A:\n    def f(self): ...\n    def _g(self): ...\n")) == [
        "the module",
        "A (line 1)",
        "f (line 2)",
    ]


@pytest.mark.parametrize("module", MODULES, ids=name_of)
def test_files_and_functions_are_short(module: Path) -> None:
    text = module.read_text(encoding="utf-8")
    lines = len(text.splitlines())
    assert lines <= LINES_IN_A_FILE
    functions = [n for n in ast.walk(ast.parse(text)) if isinstance(n, Function)]
    long = {f"{f.name} (line {f.lineno})": code_lines(f, text) for f in functions}
    assert {name: n for name, n in long.items() if n > LINES_IN_A_FUNCTION} == {}


@pytest.mark.parametrize("module", MODULES, ids=name_of)
def test_what_is_public_has_a_docstring(module: Path) -> None:
    assert undocumented(ast.parse(module.read_text(encoding="utf-8"))) == []


@pytest.mark.parametrize("lock", LOCKS, ids=name_of)
def test_every_locked_release_has_hashes_and_no_place_of_origin(lock: Path) -> None:
    text = lock.read_text(encoding="utf-8")
    pins = [block for block in re.split(r"\n(?=\S)", text) if not block.startswith("#")]
    assert pins
    assert [
        block.split()[0] for block in pins if not re.match(r"[a-z0-9-]+==\S+ ", block) or "--hash=sha256:" not in block
    ] == []
    assert re.findall(r"\S*://\S*|file:\S*|-{1,2}(?:index-url|extra-index-url|find-links|f|i)\b", text) == []


def test_the_locks_hold_every_stated_dependency() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    groups = project["dependency-groups"]
    stated = {
        "run.txt": project["project"]["dependencies"] + groups["build"],
        "dev.txt": project["project"]["dependencies"] + groups["test"] + groups["check"],
    }
    for lock, wishes in stated.items():
        locked = set(
            re.findall(r"^([a-z0-9-]+)==", (ROOT / "requirements" / lock).read_text(encoding="utf-8"), re.MULTILINE)
        )
        wanted = {re.split(r"[^A-Za-z0-9_.-]", wish)[0].lower().replace("_", "-") for wish in wishes}
        assert wanted - locked == set(), f"requirements/{lock} is older than pyproject.toml: run make lock"


def test_the_interpreter_check_agrees_with_the_package() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    check = (ROOT / "scripts" / "check_python.py").read_text(encoding="utf-8")
    bounds = re.search(r"LOWEST, BEYOND = \((\d+), (\d+)\), \((\d+), (\d+)\)", check)
    assert bounds is not None
    assert project["requires-python"] == ">={}.{},<{}.{}".format(*bounds.groups())


def test_every_make_target_the_words_name_exists() -> None:
    targets = set(re.findall(r"^([a-z]+):", (ROOT / "Makefile").read_text(encoding="utf-8"), re.MULTILINE))
    for page in ("README.md", "CONTRIBUTING.md", ".ci/run"):
        named = set(re.findall(r"(?:^|`| {4})make ([a-z]+)", (ROOT / page).read_text(encoding="utf-8"), re.MULTILINE))
        assert named, page
        assert named - targets == set(), page
