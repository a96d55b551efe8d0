"""Pictures are drawn once for an answer, and anew for another answer or where what was kept is damaged."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
import synthetic

from printworthy.dossier import drawn, figures
from printworthy.dossier.document import Figure
from printworthy.results import PartAssessment
from printworthy.workspace.cache import Cache


class Drawer:
    """Draws for a part of key `key`, and counts how often it really did."""

    def __init__(self, folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        assessment, fields, self.job = synthetic.everything(1)
        self.part, self.cache, self.count = assessment.parts[0], Cache(folder), 0
        self.field, self.real = fields[self.part.part], figures.pictures
        monkeypatch.setattr(figures, "pictures", self.counted)

    def counted(self, *args):  # type: ignore[no-untyped-def]
        self.count += 1
        return self.real(*args)

    def draw(self, key: str, cache: Cache | None) -> tuple[Figure, ...]:
        part: PartAssessment = replace(self.part, key=key)
        card = self.job.cards[part.option.result.material]
        return drawn.pictures(part, self.job.parts[0], self.field, card, cache)


@pytest.fixture
def drawer(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Drawer:
    return Drawer(tmp_path, monkeypatch)


def test_the_same_answer_is_drawn_once(drawer: Drawer) -> None:
    first = drawer.draw("a", drawer.cache)
    assert drawer.draw("a", drawer.cache) == first
    assert drawer.count == 1


def test_another_answer_is_drawn_anew(drawer: Drawer) -> None:
    drawer.draw("a", drawer.cache)
    drawer.draw("b", drawer.cache)
    assert drawer.count == 2


def test_without_cache_or_key_nothing_is_kept(drawer: Drawer) -> None:
    drawer.draw("a", None)
    drawer.draw("", drawer.cache)
    drawer.draw("", drawer.cache)
    assert drawer.count == 3
    assert not list(drawer.cache.folder.iterdir())


def test_damaged_pictures_are_drawn_anew(drawer: Drawer) -> None:
    first = drawer.draw("a", drawer.cache)
    (path,) = drawer.cache.folder.iterdir()
    path.write_bytes(path.read_bytes()[:-7] + b"damaged")
    assert drawer.draw("a", drawer.cache) == first
    assert drawer.count == 2
    assert drawer.cache.reported
