"""The changes a person can ask for, each an order in plain data: jobs, texts, faces, exact answers."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from printworthy.errors import InputError, TextError
from printworthy.inputs import Job
from printworthy.page import bringing, picking, texts, turn, views, whatif
from printworthy.page.desk import Desk, direction_of
from printworthy.page.texts import Text
from printworthy.records.entries import Entry

Order = Mapping[str, Any]
LONGEST = 400  # characters of a name or of what a signature is given for


def assess(desk: Desk, order: Order) -> Order:
    """Queue an assessment of some parts, or of all."""
    known = {p.name for p in _whole(desk).parts}
    parts = [str(p) for p in order["parts"]]
    if unknown := set(parts) - known:
        raise TextError(f"no part named {', '.join(sorted(unknown))[:80]}")
    return {"id": desk.jobs.add(parts)}


def stop(desk: Desk, order: Order) -> Order:
    """Stop a job."""
    desk.jobs.stop(int(order["id"]))
    return {}


def exact(desk: Desk, order: Order) -> Order:
    """One direction solved without reduction, in a process of its own; `superseded` if a newer question came."""
    name = _part(desk, order)
    if desk.snapshot().part(name) is None:
        raise TextError("the texts have problems", do="Mend them first")
    n = direction_of((str(order["x"]), str(order["y"]), str(order["z"])))
    said = desk.answers.ask("exact", part=name, direction=n.tolist())
    return {"superseded": True} if said is None else _answer(said)


def making(desk: Desk, order: Order) -> Order:
    """Printing time and cost of one piece built along a direction, in words."""
    n = direction_of((str(order["x"]), str(order["y"]), str(order["z"])))
    pieces = _pieces(desk, _part(desk, order), "making", [n.tolist()])
    return {"superseded": True} if pieces is None else turn.making_words(pieces[0])


def unbeaten(desk: Desk, order: Order) -> Order:
    """The directions that nothing beats: figures of those of note, pictures of all of them."""
    name = _part(desk, order)
    now, looked = desk.snapshot(), desk.looked(name)
    found = now.found(name)
    if found is None or found.search is None or now.job is None:
        raise InputError("build directions were not compared for this part", do="Assess it first")
    printer, every = now.job.vehicle.printer, turn.noted(found)
    pieces = _pieces(desk, name, "unbeaten", [list(n) for n in every])
    return {"superseded": True} if pieces is None else turn.unbeaten(desk, found, looked, printer, pieces)


def _pieces(desk: Desk, name: str, kind: str, directions: list[list[float]]) -> list[Order] | None:
    if desk.snapshot().part(name) is None:
        raise TextError("the texts have problems", do="Mend them first")
    said = desk.answers.ask("making", kind=kind, part=name, directions=directions)
    return None if said is None else list(_answer(said)["pieces"])


def propose(desk: Desk, order: Order) -> Order:
    """Selectors for the face under a point."""
    point = [float(v) for v in order["point"]]
    if len(point) != 3:
        raise InputError("a point is three numbers")
    part = desk.part(_part(desk, order))
    assert part is not None
    g = part.geometry
    geometry = {"file": str(g.path), "unit": g.unit, "body": g.body, "mend": g.mend, "size": part.element_size}
    said = desk.answers.ask("propose", geometry=geometry, point=point)
    return {"superseded": True} if said is None else _answer(said)


def add_face(desk: Desk, order: Order) -> Order:
    """Write a face, with its support or load, into the text of a part."""
    name = _text_of(desk, _part(desk, order))
    before = texts.read(desk.root, name)
    use = {str(k): str(v) for k, v in dict(order["use"]).items()}
    new = picking.with_face(before.content, str(order["name"]).strip(), str(order["selector"]), use)
    return _written(desk, texts.write(desk.root, name, new, before.digest))


def save(desk: Desk, order: Order) -> Order:
    """Write a text over the version it was made from."""
    return _written(desk, texts.write(desk.root, str(order["name"]), str(order["content"]), str(order["digest"])))


def undo(desk: Desk, order: Order) -> Order:
    """Bring the version of a text before the last change back."""
    name = str(order["name"]) if "name" in order else _text_of(desk, _part(desk, order))
    digest = str(order["digest"]) if "digest" in order else texts.read(desk.root, name).digest
    return _written(desk, texts.undo(desk.root, name, digest))


def vary(desk: Desk, order: Order) -> Order:
    """What other figures of the vehicle would do; nothing is written."""
    blocks, wrong = whatif.told(desk, _whole(desk), order)
    return {"html": views.blocks(blocks), "problems": [views.problem(desk.root, p) for p in wrong]}


def keep(desk: Desk, order: Order) -> Order:
    """Write figures that were tried into vehicle.toml."""
    before = texts.read(desk.root, whatif.VEHICLE)
    new = whatif.kept(before.content, whatif.asked(desk, {"figures": order["figures"]}))
    return _written(desk, texts.write(desk.root, whatif.VEHICLE, new, before.digest))


def begin(desk: Desk, order: Order) -> Order:
    """Write the first text of a workspace, vehicle.toml."""
    return _written(desk, bringing.begin(desk, order))


def look(desk: Desk, order: Order) -> Order:
    """What a brought file holds, under the unit, body and repairs stated."""
    return bringing.look(desk, order)


def make_part(desk: Desk, order: Order) -> Order:
    """Write the text of a new part for a brought file."""
    return bringing.make_part(desk, order)


def sign(desk: Desk, order: Order) -> Order:
    """Sign the verdict that the person has read, `read` its record."""
    from printworthy.records import signing  # here: a database library is slow to start

    job, part, read = _whole(desk), str(order["part"]), str(order["read"])
    return _recorded(desk, part, lambda: signing.sign(job, part, _line(order, "who"), _line(order, "words"), read))


def revoke(desk: Desk, order: Order) -> Order:
    """Take the signature of a part back, for a reason."""
    from printworthy.records import signing

    job, part = _whole(desk), str(order["part"])
    return _recorded(desk, part, lambda: signing.revoke(job, part, _line(order, "who"), _line(order, "words")))


def _recorded(desk: Desk, part: str, write: Callable[[], Entry]) -> Order:
    entry = write()
    desk.changed()
    found = desk.snapshot().signed[part]
    return {"record": entry.id, "state": found.state, "words": found.words}


def _line(order: Order, key: str) -> str:
    """What a person wrote into one field, as printable text."""
    text = "".join(c if c.isprintable() else " " for c in str(order[key])).strip()
    if len(text) > LONGEST:
        raise InputError(f"{len(text)} characters are too many", where=key, do=f"Write up to {LONGEST}")
    return text


def _whole(desk: Desk) -> Job:
    job = desk.snapshot().job
    if job is None:
        raise TextError("the texts have problems", do="Mend them first; they are listed on the first page")
    return job


def _written(desk: Desk, text: Text) -> Order:
    desk.changed()
    now = desk.snapshot()
    return {
        "name": text.name, "content": text.content, "digest": text.digest, "earlier": text.earlier,
        "problems": [views.problem(desk.root, p) for p in now.problems],
    }  # fmt: skip


def _part(desk: Desk, order: Order) -> str:
    name = str(order["part"])
    if desk.part(name) is None:
        raise TextError("there is no such part", where=name[:40])
    return name


def _text_of(desk: Desk, part: str) -> str:
    stated = desk.snapshot().part(part)
    if stated is None or stated.place is None:
        return f"parts/{part}.toml"
    return stated.place.file.resolve().relative_to(desk.root.resolve()).as_posix()


def _answer(said: Order) -> Order:
    if "failed" in said:
        raise InputError(str(said["failed"]))
    return dict(said["done"])


VERBS: Mapping[str, Callable[[Desk, Order], Order]] = {
    "assess": assess, "begin": begin, "stop": stop, "exact": exact, "making": making, "unbeaten": unbeaten,
    "propose": propose, "add-face": add_face, "save": save, "undo": undo, "look": look, "make-part": make_part,
    "sign": sign, "revoke": revoke, "vary": vary, "keep": keep,
}  # fmt: skip
