"""What all tabs of the page share: the workspace as it stands on the disk, the last runs, the models that turn parts.

Nothing is kept here that is not also on the disk: the page may be killed at any time.
"""

from __future__ import annotations

import threading
import tomllib
from collections import OrderedDict
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

import numpy as np

from printworthy import flow, shape, workspace
from printworthy.answers import from_cache, part_key, turning_of
from printworthy.errors import InputError, PrintworthyError, TextError
from printworthy.inputs import Geometry, Job, Part
from printworthy.page import runs, skins, texts
from printworthy.page.jobs import Answers, Jobs
from printworthy.results import PartAssessment, SurfaceField
from printworthy.strength import Turning
from printworthy.workspace import WorkspaceProblems
from printworthy.workspace.cache import Cache
from printworthy.workspace.files import inside

if TYPE_CHECKING:
    from printworthy.records.standing import Standing  # its database library is slow to start

T = TypeVar("T")
FLEETING = ("jobs.json", "-wal", "-shm")  # the page's own queue; a database's own while it is open
READY = 4  # parts whose arrays are kept in memory
Mark = tuple[tuple[str, int, int], ...]


@dataclass(frozen=True, slots=True, eq=False)
class Snapshot:
    """The workspace at one moment: the job, or what is wrong with its texts; the last two runs; the key of each part's
    inputs now ('' where its geometry cannot be read); what is recorded of signatures, or why that cannot be read."""

    job: Job | None
    problems: tuple[InputError, ...]
    run: runs.Run | None
    before: runs.Run | None
    keys: Mapping[str, str]
    signed: Mapping[str, Standing] = field(default_factory=dict)
    unread: str = ""

    def part(self, name: str) -> Part | None:
        """One part as stated."""
        return next((p for p in self.job.parts if p.name == name), None) if self.job else None

    def found(self, name: str) -> PartAssessment | None:
        """One part as assessed last."""
        return self.run.part(name) if self.run else None

    def stale(self, name: str) -> bool:
        """Whether a part's inputs changed since it was assessed."""
        return self.run is not None and name in self.run.keys and self.run.keys[name] != self.keys.get(name)


@dataclass(frozen=True, slots=True, eq=False)
class Looked:
    """A part ready to be drawn: its skin, and where it was assessed its field and the model that turns it; the source
    surface for figures of how it stands on the bed."""

    skin: skins.Skin
    field: SurfaceField | None
    turning: Turning | None
    source: shape.Surface


@dataclass(eq=False)
class Desk:
    """The shared state of one page; safe to use from several threads."""

    root: Path
    version: int = 0  # counts changes of anything that tabs show
    jobs: Jobs = field(init=False)
    answers: Answers = field(init=False)
    cache: Cache = field(init=False)

    def __post_init__(self) -> None:
        self.cache = Cache(self.root / ".cache")
        self.jobs = Jobs(self.root, self.changed)
        self.answers = Answers(self.root)
        self._lock = threading.RLock()
        self._kernel = threading.Lock()  # the compiled loops share one pool of threads, which takes one caller
        self._mark: Mark = ()
        self._snapshot: Snapshot | None = None
        self._looked: OrderedDict[str, Looked] = OrderedDict()
        self._texts: Mark = ()
        self._checked: tuple[Snapshot, Sequence[InputError], Sequence[str]] | None = None
        self._checking = threading.Lock()

    def changed(self) -> None:
        """Tell all tabs to look again."""
        self.version += 1

    def snapshot(self) -> Snapshot:
        """The workspace as it stands; read again only if a file changed."""
        with self._lock:
            mark = self._now()
            if self._snapshot is None or mark != self._mark:
                self._mark, self._snapshot = mark, self._read()
            return self._snapshot

    def checked(self) -> tuple[Sequence[InputError], Sequence[str]]:
        """All that is wrong with texts and geometry files, and what is worth a second look; geometry is read again only
        if a file changed."""
        now = self.snapshot()
        with self._checking:
            if self._checked is None or self._checked[0] is not now:
                wrong = now.problems if now.job is None else flow.geometry_problems(now.job)
                self._checked = now, wrong, tuple(workspace.remarks(now.job)) if now.job else ()
            return self._checked[1:]

    def watch(self) -> None:
        """Notice files that changed on the disk; called once a second."""
        mark = self._now()
        if mark != self._texts:
            self._texts = mark
            self.changed()

    def open(self) -> None:
        """Take up the queue that was left, and gather answers that other commands left in the cache."""
        self.jobs.resume()
        now = self.snapshot()
        seen = dict(now.run.keys) if now.run else {}
        kept = [name for name, key in now.keys.items() if key and self.cache.holds(key)]
        if any(seen.get(name) != now.keys[name] for name in kept):
            self.jobs.add([], kept=True)

    def close(self) -> None:
        """End every process that was started."""
        self.jobs.close()
        self.answers.close()

    def looked(self, name: str) -> Looked:
        """A part ready to be drawn. Raises InputError where its geometry cannot be read, KeyError for no such part."""
        now = self.snapshot()
        part, found = self.part(name), now.found(name)
        if part is None:
            raise KeyError(name)
        key = now.keys.get(name) or f"{part.geometry} {part.geometry.path.stat().st_mtime_ns}"
        with self._lock:
            if key in self._looked:
                self._looked.move_to_end(key)
                return self._looked[key]
        made = self._look(now, part, found)
        with self._lock:
            self._looked[key] = made
            while len(self._looked) > READY:
                self._looked.popitem(last=False)
        return made

    def part(self, name: str) -> Part | None:
        """A part as stated; where the texts cannot be read whole, as much of it as its own text tells."""
        return self.snapshot().part(name) or draft(self.root, name)

    def calculated(self, work: Callable[[], T]) -> T:
        """The result of work that uses compiled loops, one caller at a time."""
        with self._kernel:
            return work()

    def _look(self, now: Snapshot, part: Part, found: PartAssessment | None) -> Looked:
        source = shape.read(part.geometry).surface
        answer = from_cache(now.job, part, self.cache) if now.job and now.keys.get(part.name) else None
        field = answer[1] if answer else None
        if field is None or field.patches is None or found is None:
            plain = skins.skin(source.points, source.triangles, source.patches, {})
            return Looked(plain, None, None, source)
        skin = skins.skin(field.points, field.triangles, field.patches, field.faces)
        turning = turning_of(self.cache, now.keys[part.name])
        return Looked(skin, field, turning.ready() if turning else None, source)

    def _now(self) -> Mark:
        inputs = (self.root, self.root / "parts", self.root / "cards", self.root / "evidence")
        found = []
        for folder in (*inputs, runs.folder_of(self.root)):
            for path in sorted(folder.glob("*")):
                if path.is_file() and not path.name.startswith(".") and not path.name.endswith(FLEETING):
                    state = path.stat()
                    found.append((str(path), state.st_mtime_ns, state.st_size))
        return tuple(found)

    def _read(self) -> Snapshot:
        run, before = runs.last(self.root), runs.before(self.root)
        try:
            job = flow.read(self.root)
        except WorkspaceProblems as wrong:
            return Snapshot(None, tuple(wrong.problems), run, before, {})
        signed, unread = _signed(job)
        return Snapshot(job, (), run, before, {p.name: _key(job, p) for p in job.parts}, signed, unread)


def _signed(job: Job) -> tuple[Mapping[str, Standing], str]:
    from printworthy.records import signing  # here: a database library is slow to start

    try:
        return signing.standings(job), ""
    except PrintworthyError as stop:
        return {}, str(stop)


def _key(job: Job, part: Part) -> str:
    try:
        return part_key(job, part)
    except InputError:
        return ""


def draft(root: Path, name: str) -> Part | None:
    """A part of which only the geometry is known: its text is not complete yet."""
    try:
        table = tomllib.loads(texts.read(root, f"parts/{name}.toml").content)
        stated = table["geometry"]
        path = root / "parts" / str(stated["file"])
    except (TextError, tomllib.TOMLDecodeError, KeyError, TypeError):
        return None
    if not inside(path, root) or not path.is_file():
        return None
    body, unit = stated.get("body"), stated.get("unit")
    geometry = Geometry(
        path, unit if isinstance(unit, str) else None, body if isinstance(body, int) else None,
        stated.get("mend") is True,
    )  # fmt: skip
    title, role, material = (str(table.get(k, "")) for k in ("title", "role", "material"))
    return Part(name, title or name, geometry, role, material, {}, (), ())


def text_marks(root: Path) -> dict[str, str]:
    """The hash of every text file, so that a tab can tell whether the one it edits was changed elsewhere."""
    found = {}
    for name in texts.names(root):
        try:
            found[name] = texts.read(root, name).digest
        except InputError:
            found[name] = "unreadable"
    return found


def direction_of(words: tuple[str, str, str]) -> np.ndarray:
    """A direction (3,) of unit length from three numbers as text. Raises InputError."""
    try:
        v = np.array([float(w) for w in words])
    except ValueError:
        v = np.zeros(3)
    size = float(np.linalg.norm(v))
    if not np.isfinite(v).all() or not 1e-6 < size < 1e6:
        raise InputError("a build direction is three numbers, not all 0", where="direction")
    return np.asarray(v / size)
