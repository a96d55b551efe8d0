"""Pictures of a part, drawn once: they are kept beside its answer and read back while it stays the same."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from pathlib import Path

from pydantic import TypeAdapter

from printworthy.dossier import figures, turning, warmth
from printworthy.dossier.document import Figure
from printworthy.inputs import MaterialCard, Part
from printworthy.results import DirectionSearch, PartAssessment, SurfaceField
from printworthy.workspace.cache import Cache, key

FIGURES: TypeAdapter[tuple[Figure, ...]] = TypeAdapter(tuple[Figure, ...])


def pictures(
    part: PartAssessment, stated: Part, field: SurfaceField, card: MaterialCard, cache: Cache | None
) -> tuple[Figure, ...]:
    """The part under load, on the bed, and its temperature where computed."""
    anchor = f"picture-{part.part}"  # keeps names in the SVG apart

    def made() -> tuple[Figure, ...]:
        warm = warmth.picture(part, field, card, anchor)
        return (*figures.pictures(part, stated, field, anchor), *((warm,) if warm else ()))

    return _kept(part, anchor, made, cache)


def disc(part: PartAssessment, search: DirectionSearch, cache: Cache | None) -> tuple[Figure, ...]:
    """Every build direction of a part that was searched."""
    anchor = f"disc-{part.part}"
    return _kept(part, anchor, lambda: (turning.disc(part, search, anchor),), cache)


def _kept(
    part: PartAssessment, anchor: str, made: Callable[[], tuple[Figure, ...]], cache: Cache | None
) -> tuple[Figure, ...]:
    name = key("pictures", part.key, anchor, _code()) if cache and part.key else None
    if cache and name and (kept := cache.get(name)):
        return FIGURES.validate_json(kept.text)
    drawn = made()
    if cache and name:
        cache.put(name, FIGURES.dump_json(drawn).decode())
    return drawn


@lru_cache(maxsize=1)
def _code() -> str:
    """What draws: other code draws anew."""
    return key(sorted(Path(__file__).parent.glob("*.py")))
