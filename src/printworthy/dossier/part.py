"""The sections of one part: word and reasons, pictures, options, cases, evidence, shape, inputs, cautions."""

from __future__ import annotations

from printworthy.dossier import (
    beads,
    care,
    claims,
    criteria,
    drawn,
    hollow,
    lasting,
    making,
    pieces,
    precision,
    ride,
    spectra,
    strengths,
    tables,
    turning,
    warmth,
    waterfall,
    words,
    yardsticks,
)
from printworthy.dossier.document import Block, Cell, Decision, Facts, Items, ReasonLine, Section, Text
from printworthy.inputs import Job, MaterialCard, Part
from printworthy.results import FreeBody, Making, MeshReport, PartAssessment, ShapeReport, SurfaceField
from printworthy.workspace.cache import Cache


def section(
    part: PartAssessment,
    stated: Part,
    field: SurfaceField | None,
    job: Job,
    anchor: str,
    bodies: tuple[FreeBody, ...] = (),
    made: Making | None = None,
    cache: Cache | None = None,
) -> Section:
    """Everything the dossier says about one part; `anchor` is its address in the file, `bodies` its free bodies,
    `cache` where its pictures are kept."""
    cards = dict(job.cards)

    def sub(name: str, title: str, *blocks: Block | None) -> Section:
        return Section(f"{anchor}-{name}", title, tuple(b for b in blocks if b is not None), invented=part.invented)

    result, design = part.option.result, part.option.design
    used = {o.result.material for o in part.options}
    pictures: tuple[Block, ...] = (Text("No picture: the skin of the solved solid was not kept for this part."),)
    if field is not None:
        pictures = drawn.pictures(part, stated, field, cards[result.material], cache)
    discs = () if part.search is None else drawn.disc(part, part.search, cache)
    return Section(
        anchor,
        part.title,
        (decision(part), facts(part, cards), *pictures),
        (
            sub("care", "Conditions in figures", *care.blocks(part.care, stated)),
            sub("options", "What turns the answer", *turning.blocks(part, discs), hollow.compared(part, stated.fill)),
            *((sub("heat", "Heat", *warmth.states(part, stated)),) if part.option.heat else ()),
            sub("precision", "How sure the number is", *sure(part)),
            sub("cases", "Load cases", tables.cases(result, stated), tables.modes(result), tables.stresses(result),
                criteria.table(design, result),
                tables.deflections(result), tables.loads(stated), tables.supports(stated), tables.factors(part)),
            sub("ride", "Free body", *ride.part_blocks(bodies, result.governing.case, stated)),
            sub("strengths", "Strengths", *waterfall.waterfalls(design, result, job.rules),
                strengths.design(design), strengths.design_steps(design),
                strengths.coupons([c for c in job.coupons if c.material in used])),
            sub("life", "Life", *lasting.blocks(part.option.life, job.fatigue, job.rules),
                *spectra.blocks(stated.cases, part.option.life.curves if part.option.life else ())),
            sub("tests", "What if, and tests of open standards", *yardsticks.blocks(part.yardsticks)),
            sub("pieces", "Weighed and measured pieces",
                *pieces.blocks(part.option.weight, part.dimensions, job.dimensions, job.rules,
                               [w for w in job.weighings if (w.part, w.material) == (part.part, result.material)])),
            sub("beside", "Beside strength", tables.checks(part) or Text("No check beside strength was asked for."),
                tables.metals(part, cards) or Text("No metal was compared.")),
            sub("making", "Making", *making.part_blocks(part, made)),
            sub("processes", "Against other processes", claims.specific(part, cards),
                claims.claims(part, cards, job.rules)),
            sub("shape", "Shape and mesh", shape(part.shape), mesh(part.mesh)),
            sub("inputs", "Inputs", tables.inputs(part)),
            sub("cautions", "Cautions for this part", Items("", cautions(part, job))),
        ),
        invented=part.invented,
        word=part.verdict.word,
        new_page=True,
    )  # fmt: skip


def sure(part: PartAssessment) -> tuple[Block, ...]:
    """Mesh error of the answering option, error of the map of directions; or that neither was made."""
    found = list(precision.blocks(part.option.bracket, part.option.distance))
    if part.search is not None:
        found.append(turning.exact_checks(part.search))
        found += beads.blocks(part.search.raster, part.option.result.factor)
    return tuple(found) or (Text("The mesh was not refined and no map of directions was made for this part."),)


def decision(part: PartAssessment) -> Decision:
    """The word, what governs, the reasons in the order they were asked, the conditions."""
    governing = part.option.result.governing
    line = (
        f"{part.verdict.material}, built {words.direction(part.verdict.direction)}: utilisation "
        f"{words.utilisation(governing.utilisation)} of 1 ({governing.mode}; case {governing.case}), margin of safety "
        f"{words.margin(governing.utilisation)}."
    )
    word = part.verdict.word
    reasons = tuple(
        ReasonLine(r.screen, r.words, r.effect, r.source, decides=r.effect == word != "print")
        for r in part.verdict.reasons
    )
    return Decision(word, line, reasons, part.verdict.conditions, turning.better(part))


def facts(part: PartAssessment, cards: dict[str, MaterialCard]) -> Facts:
    """The few figures a reader looks for first."""
    option = part.option
    pairs = [
        ("role", Cell(part.role)),
        ("if it fails", Cell(part.consequence)),
        ("material", Cell(tables.title(option.result.material, cards))),
        ("build direction", Cell(tables.turned(option.result.direction))),
        (
            "mass printed",
            Cell(words.mass(option.mass), option.mass, "kg", "polymer volume times the card's density"),
        ),
    ]
    pairs += [(f"mass in {m.material}", Cell(words.mass(m.mass), m.mass, "kg", "same solid")) for m in part.metals]
    if how := beads.lie(option.result):
        pairs.insert(4, ("beads", Cell(how, option.result.raster, "deg")))
    return Facts("At a glance", tuple(pairs))


def shape(report: ShapeReport) -> Facts:
    """What the geometry file held."""
    size = tuple(h - l for h, l in zip(report.high, report.low, strict=True))
    body = f"{report.body} of {len(report.bodies)}" if report.bodies else str(report.body)
    surface = f"{report.cad_faces} CAD faces" if report.cad_faces else f"{words.number(report.triangles)} triangles"
    return Facts(
        "Geometry file",
        (
            ("file", Cell(report.file)),
            ("kind", Cell(report.kind)),
            ("unit", Cell(f"{report.unit}, {report.unit_source}")),
            ("body", Cell(body)),
            ("surface", Cell(surface)),
            ("size", Cell(" × ".join(words.number(s) for s in size) + " mm")),
            ("volume", Cell(f"{words.number(report.volume / 1000, 4)} cm³", report.volume, "mm3", report.file)),
            ("area", Cell(f"{words.number(report.area / 100, 4)} cm²", report.area, "mm2", report.file)),
            ("found", Cell("; ".join(report.found) or "nothing wrong")),
            ("mended", Cell("; ".join(report.mended) or "nothing")),
            ("SHA-256", Cell(report.sha256)),
        ),
    )


def mesh(report: MeshReport) -> Facts:
    """The tetrahedra and how good they are."""
    return Facts(
        "Mesh",
        (
            ("mesher", Cell(report.mesher)),
            ("elements", Cell(f"{words.number(report.elements)} second-order tetrahedra" + (
                ", curved to the surface" if report.curved else ", straight-sided"), report.elements)),
            ("unknowns", Cell(words.number(report.unknowns), report.unknowns)),
            ("element size", Cell(f"{words.number(report.element_size)} mm", report.element_size, "mm")),
            ("thin wall", Cell(f"{words.number(report.thickness)} mm", report.thickness, "mm")),
            ("elements through it", Cell(words.number(report.across, 2), report.across)),
            ("quality", Cell(f"worst {words.number(report.worst_quality, 2)}, mean "
                             f"{words.number(report.mean_quality, 2)} (1 is best)", report.worst_quality)),
            ("volume error", Cell(f"{words.number(report.volume_error * 100, 2)} %", report.volume_error)),
            ("warnings", Cell("; ".join(report.warnings) or "none")),
        ),
    )  # fmt: skip


def cautions(part: PartAssessment, job: Job) -> tuple[str, ...]:
    """What this part's numbers do not say."""
    option = part.option
    found = []
    tilted = sorted(o for o in {o.result.material for o in part.options})
    bare = [m for m in tilted if not any(c.material == m and c.direction == "45 degrees" for c in job.coupons)]
    if bare:
        found.append(
            "Criterion not validated on prints at intermediate angles: no 45 degree coupons at hand of "
            f"{', '.join(bare)}."
        )
    found += beads.cautions(option.result, part.search.raster if part.search is not None else None)
    assumed = [v.name for v in option.design.strengths if v.confidence == "assumed"]
    if assumed:
        found.append(f"Assumed, not measured, for {option.design.material}: {'; '.join(assumed)}.")
    example = [m for m in tilted if m in job.cards and job.cards[m].example_only]
    if example:
        found.append(f"Card given as an example only, not to be built on: {', '.join(example)}.")
    held = [c.case for c in option.result.cases if c.at_support]
    if held:
        found.append(
            f"The governing place lies at a support in: {', '.join(held)}. A stress beside a held face grows as the "
            "mesh is refined; it is a figure of this mesh, not a limit value."
        )
    found.append(
        "Stresses are raw values at quadrature points of one mesh"
        + (
            "; its error was not bracketed."
            if option.bracket is None
            else "; the bracket of the mesh error stands beside."
        )
    )
    if part.search is not None and not part.search.reached:
        found.append(
            f"The map of build directions is off by up to {words.number(100 * part.search.error, 2)} %, more than its "
            "target."
        )
    found += [f"Mesh: {w}." for w in part.mesh.warnings]
    if part.invented:
        found.append("Some data of this part are invented: its answer must not be used for a real part.")
    return tuple(found)
