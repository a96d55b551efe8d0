"""The process that computes for the page: `python -m printworthy.page.worker FOLDER`, orders and answers as JSON lines.

It leads a process group of its own, so that it can be stopped with all it started. When its orders end, because the
page was closed or killed, it ends the group itself: nothing is left running. What is finished is in the cache by then.
"""

from __future__ import annotations

import json
import os
import queue
import signal
import sys
import threading
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import Any, TextIO

from printworthy import dossier, flow, making, options, shape, strength
from printworthy.answers import from_cache, part_key
from printworthy.errors import InputError, NotComputed, PrintworthyError
from printworthy.inputs import Geometry, Job, Part, Vector
from printworthy.making.plan import Made, part_made
from printworthy.page import picking, runs
from printworthy.records.tally import Tally
from printworthy.results import Assessment, Option, PartAssessment, Printing
from printworthy.workspace import WorkspaceProblems
from printworthy.workspace.cache import Cache

Say = Callable[[Mapping[str, Any]], None]
NICE = 10  # so that the page itself answers while this computes


class Bench:
    """What the worker keeps between orders: the part it looked at last, ready for more questions."""

    def __init__(self, folder: Path, say: Say) -> None:
        self.folder, self.say = folder, say
        self.cache = Cache(folder / ".cache")
        self._study: tuple[str, options.Study] | None = None
        self._solid: tuple[str, shape.Solid] | None = None
        self._body: tuple[Geometry, shape.Surface] | None = None
        self._pieces: dict[str, Mapping[str, Any]] = {}

    def assess(self, order: Mapping[str, Any]) -> Mapping[str, Any]:
        """Assess the parts asked for; what is kept of others joins the run. Writes the run and the dossier."""
        job = flow.read(self.folder)
        asked = order["parts"] or [p.name for p in job.parts] if not order.get("kept") else []
        known = [p.name for p in job.parts if p.name in asked or self.cache.holds(part_key(job, p))]
        if not known:
            return {"words": "nothing to gather"}
        done, fields = flow.assess(job, self.cache, partial(self._told, order["id"]), tuple(known))
        for damaged in self.cache.reported:
            self.say({"id": order["id"], "note": damaged})
        self.cache.reported.clear()
        ids, tally = self._recorded(done, job, asked, order["id"])
        dossier.write(done, fields, job, self.folder / "dossier", ids, self.cache, tally)
        whole, keys = runs.completed(done, job, runs.last(self.folder))
        runs.put(self.folder, whole, keys | {p.name: part_key(job, p) for p in job.parts if p.name in known})
        return {"words": f"{len(known)} parts"}

    def _recorded(
        self, done: Assessment, job: Job, asked: Sequence[str], order: Any
    ) -> tuple[dict[str, str], Tally | None]:
        """Write what was asked for into the records, as the verb does (what was only gathered was recorded when it was
        computed): ids of all that is shown, and what was measured against what was predicted."""
        from printworthy.records import keeping, store, tally  # here: a database library is slow to start

        try:
            if asked:
                keeping.keep(done, job, only=asked)
            with store.opened(job.root) as records:
                return keeping.recorded(done, job, records.entries()), tally.tally(records, job)
        except NotComputed as stop:
            self.say({"id": order, "note": f"{stop.where}: the assessment was not recorded ({stop.what})"})
        except InputError:  # no records yet, and nothing to write into them
            pass
        return {}, None

    def exact(self, order: Mapping[str, Any]) -> Mapping[str, Any]:
        """One build direction solved and judged."""
        job = flow.read(self.folder)
        study = self._studied(job, order["part"])
        n = order["direction"]
        found = options.option(study, study.cards[0], _vector(n), lambda *_: None)
        worst = found.result.governing
        return {
            "utilisation": found.result.utilisation, "mode": worst.mode, "case": worst.case,
            "word": found.verdict.word, "material": found.result.material,
        }  # fmt: skip

    def making(self, order: Mapping[str, Any]) -> Mapping[str, Any]:
        """What one piece takes, printed each of some ways up in the material that answers for the part."""
        job = flow.read(self.folder)
        part = next(p for p in job.parts if p.name == order["part"])
        kept = from_cache(job, part, self.cache)
        if kept is None or not isinstance(kept[0], PartAssessment):
            raise InputError("the part was not assessed with its present inputs", do="Assess it first")
        return {"pieces": [self._piece(job, part, kept[0].option, n) for n in order["directions"]]}

    def propose(self, order: Mapping[str, Any]) -> Mapping[str, Any]:
        """Selectors for the smooth patch under a point of the skin."""
        g = order["geometry"]
        geometry = Geometry(Path(g["file"]), g["unit"], g["body"], g["mend"])
        return {"proposals": picking.proposals(self._meshed(geometry, g["size"]), order["point"])}

    def _told(self, number: int, part: str, stage: str, share: float) -> None:
        self.say({"id": number, "part": part, "stage": stage, "share": share})

    def _piece(self, job: Job, part: Part, answer: Option, direction: list[float]) -> Mapping[str, Any]:
        key = f"{part_key(job, part)} {direction}"
        if key not in self._pieces:
            if self._body is None or self._body[0] != part.geometry:
                self._body = part.geometry, shape.read(part.geometry).surface
            turned = replace(answer, result=replace(answer.result, direction=_vector(direction)))
            printing = making.layers(job, part, self._body[1], turned, lambda *_: None)
            self._pieces[key] = {} if printing is None else _told(job, part, answer, printing)
        return self._pieces[key]

    def _meshed(self, geometry: Geometry, size: float | None) -> shape.Solid:
        key = runs.shape_key(geometry, size)
        if self._solid is None or self._solid[0] != key:
            solid = shape.mesh(shape.read(geometry), element_size=size, cache=self.cache.folder)
            self._solid = key, solid
        return self._solid[1]

    def _studied(self, job: Job, name: str) -> options.Study:
        part = next(p for p in job.parts if p.name == name)
        key = part_key(job, part)
        if self._study is None or self._study[0] != key:
            solid = self._meshed(part.geometry, part.element_size)
            ready = strength.prepared(solid, {n: shape.select(solid, face) for n, face in part.faces.items()})
            self._study = key, options.study(job, part, ready, flow.polymers(job, part)[:1])
        return self._study[1]


def _told(job: Job, part: Part, answer: Option, printing: Printing) -> Mapping[str, Any]:
    """Time of one piece, and its cost from a full bed with its range; or what is missing to tell the cost."""
    card = job.cards[answer.result.material]
    made = part_made(Made(part, card, printing, answer.verdict.word, answer.life), job.workshop)
    found = {"seconds": printing.seconds, "lacks": [made.refusal] if made.refusal else []}
    if made.cost.total is not None:
        total = made.cost.total
        return found | {"euros": [total.value, total.low, total.high]}
    return found | {"lacks": found["lacks"] or [f"cost not known: {', '.join(made.cost.missing)} missing"]}


def _vector(v: list[float]) -> Vector:
    return float(v[0]), float(v[1]), float(v[2])


def serve(folder: Path, orders: TextIO, answers: TextIO) -> None:
    """Carry out orders one after the other until they end."""
    lock = threading.Lock()

    def say(message: Mapping[str, Any]) -> None:
        with lock:
            answers.write(json.dumps(message) + "\n")
            answers.flush()

    waiting: queue.SimpleQueue[str] = queue.SimpleQueue()
    threading.Thread(target=_listen, args=(orders, waiting), daemon=True).start()
    bench = Bench(folder, say)
    verbs = {"assess": bench.assess, "exact": bench.exact, "making": bench.making, "propose": bench.propose}
    while True:
        order = json.loads(waiting.get())
        try:
            say({"id": order["id"], "done": verbs[order["do"]](order)})
        except WorkspaceProblems as found:
            say({"id": order["id"], "failed": "; ".join(str(p) for p in found.problems)})
        except PrintworthyError as stop:
            say({"id": order["id"], "failed": str(stop)})


def _listen(orders: TextIO, waiting: queue.SimpleQueue[str]) -> None:
    for line in orders:
        waiting.put(line)
    os.killpg(os.getpgid(0), signal.SIGKILL)  # the page is gone: end with all that was started from here


def main() -> None:
    """Answers go to the output this process was given; whatever libraries print goes to the error stream."""
    answers = os.fdopen(os.dup(1), "w", encoding="utf-8")
    os.dup2(2, 1)
    if hasattr(os, "nice"):
        os.nice(NICE)
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # Ctrl-C reaches the page, which ends this in its own time
    serve(Path(sys.argv[1]), sys.stdin, answers)


if __name__ == "__main__":
    main()
