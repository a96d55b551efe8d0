"""What the verbs print: tables and lines. No calculation."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager

from rich.box import SIMPLE
from rich.console import Console
from rich.progress import Progress, SpinnerColumn, TextColumn, TimeElapsedColumn
from rich.table import Table

from printworthy.evidence.by_weight import ByWeight
from printworthy.evidence.claims import Claim
from printworthy.evidence.oblique import Oblique
from printworthy.evidence.recommend import Recommended
from printworthy.evidence.study import Study
from printworthy.inputs import Quantity
from printworthy.options import words
from printworthy.results import Assessment, DropLimit, PartAssessment, ShapeReport, Varied
from printworthy.strength import NEEDS

PIPE_WIDTH = 140


def console() -> Console:
    """Standard output, made when it is needed so that tests may catch it; wide where nobody looks at it directly."""
    width = None if sys.stdout.isatty() else PIPE_WIDTH
    return Console(width=width, markup=False, emoji=False)  # a name in brackets is a name, not a style


@contextmanager
def progress_line(*, quiet: bool) -> Iterator[Callable[[str, str, float], None]]:
    """One line on the error stream that says which part is at what; what each needs is left standing above it."""
    stream = Console(stderr=True, markup=False, emoji=False)
    with Progress(
        SpinnerColumn(),
        TextColumn("{task.description}", markup=False),
        TimeElapsedColumn(),
        console=stream,
        disable=quiet or not stream.is_terminal,
    ) as bar:
        task = bar.add_task("reading", total=None)

        def tell(part: str, stage: str, share: float) -> None:
            if stage.startswith(NEEDS) and not quiet:  # it stays, while the line below moves on
                bar.console.print(f"{part}: {stage}", highlight=False)
            done = f" {share:.0%}" if 0 < share < 1 else ""
            bar.update(task, description=f"{part}: {stage}{done}" if part else stage)

        yield tell


def summary_table(done: Assessment) -> Table:
    """The parts with verdict, governing mode and case, utilisation, build direction, material, mass."""
    table = Table(box=SIMPLE, title=f"{done.title}{' (all data invented)' if done.invented else ''}")
    for heading in ("part", "verdict", "used", "up", "material", "mass", "governed by (mode; case)"):
        table.add_column(heading, justify="right" if heading in ("used", "mass") else "left", no_wrap=heading == "part")
    table.caption = "used: utilisation, 1 is the limit with all factors; up: build direction"
    for part in done.parts:
        table.add_row(*_row(part))
    for refusal in done.refusals:
        table.add_row(refusal.part, refusal.word, "", "", "", "", "")
    return table


def _row(part: PartAssessment) -> tuple[str, ...]:
    option = part.option
    worst = option.result.governing
    return (
        part.part,
        option.verdict.word,
        f"{option.result.utilisation:.2f}",
        words(option.result.direction)
        + ("" if option.result.raster is None else f", beads {option.result.raster:.3g} deg"),
        option.result.material,
        mass_words(option.mass),
        f"{worst.mode}; {worst.case}",
    )


def varied_tables(found: Varied, title: str) -> Iterator[Table]:
    """Handling and parts before and after."""
    table = Table(box=SIMPLE, title=title)
    for heading, side in (("figure", "left"), ("before", "right"), ("after", "right"), ("unit", "left")):
        table.add_column(heading, justify=side)  # type: ignore[arg-type]
    for old, new in found.handling:
        table.add_row(old.name, f"{old.value:.4g}", f"{new.value:.4g}", old.unit)
    yield table
    table = Table(box=SIMPLE)
    for heading in ("part", "case", "load before", "after [N]", "used", "after", "verdict", "after", "how"):
        table.add_column(heading, justify="right" if heading in ("load before", "after [N]", "used") else "left")
    for part in found.parts:
        case = next((c for c in part.cases if c.case == part.governing), None)
        loads = ("", "") if case is None else (f"{case.before:.4g}", f"{case.after:.4g}")
        used = tuple("" if u is None else f"{u:.2f}" for u in part.used)
        after = part.word[1] or "assess again"
        table.add_row(part.part, part.governing, *loads, *used, part.word[0] or "not assessed", after, part.how)
    table.caption = "case: the governing one; load: its largest force on a face; used: utilisation, 1 is the limit"
    yield table
    was, now = found.drop
    if was is not None and now is not None and was.parts and now.parts:
        yield _drop_table(was, now)


def drop_lines(found: Varied) -> Iterator[str]:
    """Why there is no drop limit before or after; else what it is not."""
    for when, limit in zip(("before", "after"), found.drop, strict=True):
        if limit is not None and limit.refused:
            yield f"no drop limit {when}: {'; '.join(limit.refused)}"
    if all(limit is not None and limit.parts for limit in found.drop):
        yield found.drop[1].words  # type: ignore[union-attr]


def _drop_table(was: DropLimit, now: DropLimit) -> Table:
    """Heights at which parts go, and how far they are used at the height of the event, before and after."""
    title = f"{now.event}: height at which a part reaches its limit (mm), and how far it is used at the height stated"
    table = Table(box=SIMPLE, title=title)
    for heading in ("part", "made as", "limit before", "after", f"used at {was.height:.4g}", f"at {now.height:.4g}"):
        table.add_column(heading, justify="left" if heading in ("part", "made as") else "right")
    before = {p.name: p for p in was.parts}
    for p in now.parts:
        old = before.get(p.name)
        heights = (_height(q.height) for q in (old or p, p))
        used = (f"{q.stated:.2f}" for q in (old or p, p))
        table.add_row(p.name, "metal" if p.metal else "printed", *heights, *used)
    return table


def _height(mm: float | None) -> str:
    return "not reached" if mm is None else f"{mm:.0f}" if mm >= 100 else f"{mm:.1f}"


def mass_words(kg: float) -> str:
    """Grams below a kilogram."""
    return f"{kg * 1000:.0f} g" if kg < 1 else f"{kg:.2f} kg"


def shape_lines(report: ShapeReport) -> Iterator[str]:
    """A shape report in lines."""
    size = " x ".join(f"{h - l:.4g}" for l, h in zip(report.low, report.high, strict=True))
    yield f"{report.file}: {report.kind}, unit {report.unit} ({report.unit_source})"
    faces = f"{report.cad_faces} CAD faces" if report.cad_faces else f"{report.triangles} triangles"
    yield f"  {size} mm, {report.volume:.6g} mm3, {report.area:.6g} mm2"
    yield f"  {faces}, body {report.body} of {len(report.bodies)}"
    for words_found in report.found:
        yield f"  found: {words_found}"
    for words_mended in report.mended:
        yield f"  mended: {words_mended}"


def coupon_lines(studies: Sequence[Study]) -> Iterator[str]:
    """Coupon studies in lines."""
    for s in studies:
        batches = f" in {s.batches} batches" if s.batches > 1 else ""
        yield f"{s.title}: n = {len(s.values)}{batches}"
        spread = f"standard deviation {s.deviation:.3g} MPa, scatter {100 * s.cv:.1f} %"
        yield f"  mean {s.mean:.4g} MPa, {spread if len(s.values) > 1 else 'scatter not known from one coupon'}"
        for fit in s.fits:
            word = "rejected" if fit.rejected else "not rejected"
            other = "" if fit.stephens is None else f" (by Stephens's correction {fit.stephens:.3f})"
            yield f"  {fit.family}: A2 {fit.statistic:.3f}, significance {fit.significance:.3f}{other}, {word}"
        for name, b, a in s.limits:
            shown = (f"{v:.4g} MPa" if v > 0 else f"{v:.3g} MPa, not usable with n = {len(s.values)}" for v in (b, a))
            yield "  {}: B-basis {}; A-basis {}".format(name, *shown)
        if s.recommended is not None:
            yield from basis_lines(s.recommended)
        if s.used is not None:
            yield f"  lower limit used in decisions: {s.used:.4g} MPa"
        for remark in s.remarks:
            yield f"  {remark}"


def basis_lines(found: Recommended) -> Iterator[str]:
    """The recommended basis: values first, then the path and what speaks against relying on it."""
    shown = (("none" if v is None else f"{v:.4g} MPa" if v > 0 else "not usable, too few coupons for this scatter")
             for v in (found.b, found.a))  # fmt: skip
    yield "  recommended ({}): B-basis {}; A-basis {}".format(found.method, *shown)
    yield f"    path: {'; '.join(found.path)}"
    for caution in found.cautions:
        yield f"    caution: {caution}"


def oblique_lines(found: Sequence[Oblique]) -> Iterator[str]:
    """Shear strength, shear modulus and exponent of each material, measured or assumed."""
    for o in found:
        yield f"{o.title}: shear between layers"
        for f in o.figures:
            unit = f" {f.unit}" if f.unit else ""
            value = "not known" if f.value is None else f"{f.value:.4g}{unit}"
            if not f.assumed and f.low is not None and f.high is not None:
                value += f" ({f.low:.4g} to {f.high:.4g}, 90 %)"
            yield f"  {f.name}: {value}{' ASSUMED' if f.assumed and f.value is not None else ''}; {f.words}"


def card_value_lines(name: str, quantity: Quantity) -> Iterator[str]:
    """A value as a card states it, with its range, source and standing."""
    yield f"[values.{name}]"
    for field, number in (("value", quantity.value), ("low", quantity.low), ("high", quantity.high)):
        if number is not None:
            yield f'{field} = "{number:.4g} {quantity.unit}"' if quantity.unit else f"{field} = {number:.4g}"
    yield f'source = "{quantity.source}"'
    yield f'confidence = "{quantity.confidence}"'


def weight_lines(found: Sequence[ByWeight]) -> Iterator[str]:
    """Strength, stiffness and scatter beside other processes."""
    if found:
        yield "By weight, beside other processes (means and typical values, no limits)"
    for r in found:
        strength = "" if r.by_strength is None else f", {r.by_strength:.3g} kN m/kg"
        stiff = "modulus not known"
        if r.modulus is not None:
            over = "" if r.by_modulus is None else f", {r.by_modulus:.3g} MN m/kg"
            stiff = f"modulus {r.modulus:.4g} MPa ({'curves' if r.measured else 'card'}){over}"
        scatter = "scatter not known" if r.scatter is None else f"scatter {100 * r.scatter:.1f} %"
        count = f"n = {r.n}" if r.n else "card or stated"
        yield f"  {r.name}: {r.strength:.4g} MPa{strength}; {stiff}; {scatter}; {count}"


def claim_lines(found: Sequence[Claim]) -> Iterator[str]:
    """Claims about printing: they decide nothing."""
    if found:
        yield "Claims about printing, held against these coupons (they decide nothing)"
    for c in found:
        yield f"  {c.claim}: {c.answer}; {c.figures} ({c.source})"
