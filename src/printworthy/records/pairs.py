"""Measured pieces, each beside what was predicted of it by the assessment it was made to."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal

from printworthy.answers import OUTCOME
from printworthy.evidence.values import ROOM
from printworthy.inputs import Job, LoadCase
from printworthy.records.entries import Entry
from printworthy.records.forms import corrected
from printworthy.results import PartAssessment, ProofTest
from printworthy.results.life import LONGEST
from printworthy.verdict.proof import BENCH
from printworthy.verdict.strength import MODULI

if TYPE_CHECKING:  # a database library is slow to start, and a dossier draws pairs without one
    from printworthy.records.store import Records

Measure = Literal["mass", "deflection", "life"]
UNITS: Mapping[Measure, str] = {"mass": "g", "deflection": "mm", "life": ""}
# Card values that a prediction is proportional to, or to whose inverse; a life rests on S-N sets, on no card value.
RESTS_ON: Mapping[Measure, tuple[str, ...]] = {"mass": ("density",), "deflection": MODULI, "life": ()}
WARMEST_OFF = 5.0  # [K] from room temperature within which a proof test is held against moduli of room temperature
NOTHING = ("none", "no", "nothing")


@dataclass(frozen=True, slots=True)
class Pair:
    """One measurement and its prediction, in `unit`. `low`, `high`: ends of the prediction that the card leaves;
    `cards` values it rests on, by name; `hollow`: printed with infill; `went_on`: the piece had not failed, its life is
    at least `measured`."""

    measure: Measure
    part: str
    piece: str
    material: str
    predicted: float
    low: float
    high: float
    measured: float
    unit: str
    words: str
    assessment: Entry
    entries: tuple[Entry, ...]
    cards: tuple[tuple[str, float], ...]
    hollow: bool
    invented: bool
    went_on: bool = False

    @property
    def ratio(self) -> float:
        """Measured over predicted [-]."""
        return self.measured / self.predicted


@dataclass(frozen=True, slots=True)
class Unpaired:
    """A measurement that no prediction stands beside, and why."""

    entry: Entry
    words: str

    @property
    def said(self) -> str:
        """The measurement and the reason in one line."""
        return f"{self.entry.kind} {self.entry.id} of {self.entry.part}/{self.entry.piece}: {self.words}"


def pairs(records: Records, job: Job) -> tuple[tuple[Pair, ...], tuple[Unpaired, ...]]:
    """Every weighed, proved or ridden piece beside its prediction, in the order of the records.

    A piece was made to the newest assessment of its part that stood when it was first written down. Corrections are
    counted, withdrawn entries are not; of masses the last one counts. Raises NotComputed for damaged records.
    """
    every = records.entries()
    said = corrected(every)
    found: list[Pair] = []
    without: list[Unpaired] = []
    kept: dict[str, PartAssessment | str] = {}
    for (part, piece), mine in _by_piece(every, said).items():
        made_to = _assessment(part, mine[0], every)
        if made_to is None:
            without += [Unpaired(e, "nothing was assessed when it was first written down") for e in _measured(mine)]
            continue
        if made_to.id not in kept:
            outcome = OUTCOME.validate_json(records.content(made_to.contents["result"]))
            kept[made_to.id] = outcome if isinstance(outcome, PartAssessment) else outcome.line
        answer = kept[made_to.id]
        if isinstance(answer, str):
            without += [Unpaired(e, f"nothing was computed: {answer}") for e in _measured(mine)]
            continue
        cases = {c.name: c for p in job.parts if p.name == part for c in p.cases}
        for one in _of_piece(_Piece(part, piece, mine, said, made_to, answer), cases):
            (found if isinstance(one, Pair) else without).append(one)  # type: ignore[arg-type]
    return tuple(found), tuple(without)


@dataclass(frozen=True, slots=True)
class _Piece:
    part: str
    name: str
    entries: tuple[Entry, ...]
    said: Mapping[str, Mapping[str, Any]]
    made_to: Entry
    answer: PartAssessment

    def of(self, *kinds: str) -> list[tuple[Entry, Mapping[str, Any]]]:
        return [(e, self.said[e.id]) for e in self.entries if e.kind in kinds]

    def pair(
        self, measure: Measure, predicted: tuple[float, float, float], measured: float, unit: str, words: str,
        entries: tuple[Entry, ...], *, went_on: bool = False,
    ) -> Pair:  # fmt: skip
        values = self.answer.inputs
        cards = tuple((n, values[n].value) for n in RESTS_ON[measure] if n in values)
        return Pair(
            measure, self.part, self.name, self.answer.option.result.material, *predicted, measured, unit, words,
            self.made_to, entries, cards, self.answer.solid is not None, self.answer.invented, went_on,
        )  # fmt: skip


def _by_piece(
    every: Sequence[Entry], said: Mapping[str, Mapping[str, Any]]
) -> dict[tuple[str, str], tuple[Entry, ...]]:
    found: dict[tuple[str, str], tuple[Entry, ...]] = {}
    for e in every:
        if e.piece and e.kind != "correction" and e.id in said:
            found[e.part, e.piece] = (*found.get((e.part, e.piece), ()), e)
    return found


def _assessment(part: str, first: Entry, every: Sequence[Entry]) -> Entry | None:
    before = [e for e in every if e.kind == "assessment" and e.part == part and e.number < first.number]
    return before[-1] if before else None


def _measured(entries: Sequence[Entry]) -> Iterator[Entry]:
    """Entries that hold something to be compared."""
    yield from (e for e in entries if e.kind == "proof test" or "mass [kg]" in e.body)


def _of_piece(piece: _Piece, cases: Mapping[str, LoadCase]) -> Iterator[Pair | Unpaired]:
    weighed = [(e, body) for e, body in piece.of("inspection") if "mass [kg]" in body]
    if weighed:
        entry, body = weighed[-1]
        yield _mass(piece, entry, 1000 * float(body["mass [kg]"]))
    for entry, body in piece.of("proof test"):
        yield _deflection(piece, entry, body, cases)
    if piece.of("ride", "retirement"):
        yield from _life(piece)


def _mass(piece: _Piece, entry: Entry, measured: float) -> Pair:
    predicted = 1000 * piece.answer.option.mass
    density = piece.answer.inputs.get("density")
    ends = (1.0, 1.0) if density is None else (
        (density.low or density.value) / density.value, (density.high or density.value) / density.value
    )  # fmt: skip
    low, high = (predicted * end for end in ends)
    return piece.pair("mass", (predicted, low, high), measured, "g", "weighed", (entry,))


def _deflection(piece: _Piece, entry: Entry, body: Mapping[str, Any], cases: Mapping[str, LoadCase]) -> Pair | Unpaired:
    name, measured = str(body["case"]), body.get("deflection [mm]")
    proofs = piece.answer.care.proofs if piece.answer.care is not None else ()
    proof = next((p for p in proofs if p.case == name), None)
    why = _unfit(body, proof, cases.get(name))
    if why or proof is None or proof.movement is None or proof.level is None or not measured:
        return Unpaired(entry, why or f"no movement is predicted in case '{name}'")
    level = _level(piece, body, name)
    if level is None:
        return Unpaired(entry, "state level=, times the stated loads: load= is told apart only where one force acts")
    k = level / proof.level
    predicted = (k * proof.movement, k * (proof.stiff or proof.movement), k * (proof.soft or proof.movement))
    return piece.pair("deflection", predicted, float(measured), "mm", f"'{name}', {proof.face}", (entry,))


def _unfit(body: Mapping[str, Any], proof: ProofTest | None, case: LoadCase | None) -> str:
    """Why the deflection of a proof test cannot be held against the prediction; "" where it can."""
    temperature = body.get("temperature [degC]")
    if not body.get("deflection [mm]"):
        return "no deflection was written down"
    if proof is None:
        return f"case '{body['case']}' has no proof test in the assessment"
    if body["result"] != "passed":
        return "it did not pass: a piece that cracks moves otherwise"
    if temperature is not None and abs(temperature - ROOM) > WARMEST_OFF:
        return f"made at {temperature:g} degC, predicted for {ROOM:g} degC"
    if case is not None and any(load.kind not in BENCH for load in case.loads):
        return "loads of the case that a bench does not put on are in the prediction"
    if case is not None and len(case.loads) > 1 and "level [-]" not in body:
        return "state level=, times the stated loads: several loads act in the case"
    return ""


def _level(piece: _Piece, body: Mapping[str, Any], name: str) -> float | None:
    """Times the stated loads: as written down, or load over the force that acts in the case."""
    if "level [-]" in body:
        return float(body["level [-]"])
    case = next((c for c in piece.answer.option.result.cases if c.case == name), None)
    force = 0.0 if case is None else sum(x * x for x in case.applied) ** 0.5
    return float(body["load [N]"]) / force if "load [N]" in body and force > 0 else None


def _life(piece: _Piece) -> Iterator[Pair | Unpaired]:
    """Ride until damage was found, or so far, against the life that half of the pieces reach at most."""
    life = piece.answer.option.life
    entries = tuple(e for e, _ in piece.of("ride", "retirement"))
    if life is None or life.per is None or life.middle is None or life.low is None:
        yield Unpaired(entries[-1], "no life is predicted")
        return
    if life.middle >= LONGEST:
        yield Unpaired(entries[-1], f"life is predicted beyond {LONGEST:g} {life.per}, without a figure")
        return
    key, unit = ("time [s]", 3600.0) if life.per == "h" else ("distance [mm]", 1e6)
    measured, damaged = 0.0, False
    for entry, body in piece.of("ride", "retirement"):
        done = float(body.get(key, 0.0)) / unit
        measured = measured + done if entry.kind == "ride" else max(measured, done)  # a retirement states the whole
        if damaged := _damage(body):
            break
    if measured <= 0:
        yield Unpaired(entries[-1], f"no {key.partition(' ')[0]} was written down")
        return
    words = "damage found" if damaged else "no damage so far"
    predicted = (life.middle, min(life.low, life.middle), life.middle)
    yield piece.pair("life", predicted, measured, life.per, words, entries, went_on=not damaged)


def _damage(body: Mapping[str, Any]) -> bool:
    return str(body.get("damage", "none")).strip().lower() not in NOTHING
