"""Pictures of a part, drawn once: they are kept beside its answer and read back while it stays the same."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

from pydantic import TypeAdapter

from printworthy.dossier import figures, warmth
from printworthy.dossier.document import Figure
from printworthy.inputs import MaterialCard, Part
from printworthy.results import PartAssessment, SurfaceField
from printworthy.workspace.cache import Cache, key

FIGURES: TypeAdapter[tuple[Figure, ...]] = TypeAdapter(tuple[Figure, ...])


def pictures(
    part: PartAssessment, stated: Part, field: SurfaceField, card: MaterialCard, cache: Cache | None
) -> tuple[Figure, ...]:
    """The part under load, on the bed, and its temperature where computed."""
    anchor = f"picture-{part.part}"  # keeps names in the SVG apart
    name = key("pictures", part.key, anchor, _code()) if cache and part.key else None
    if cache and name and (kept := cache.get(name)):
        return FIGURES.validate_json(kept.text)
    warm = warmth.picture(part, field, card, anchor)
    made = (*figures.pictures(part, stated, field, anchor), *((warm,) if warm else ()))
    if cache and name:
        cache.put(name, FIGURES.dump_json(made).decode())
    return made


@lru_cache(maxsize=1)
def _code() -> str:
    """What draws: other code draws anew."""
    return key(sorted(Path(__file__).parent.glob("*.py")))
