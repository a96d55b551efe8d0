"""The same task for many items on all cores: one process each, one thread each, with progress and clean stop."""

from __future__ import annotations

import os
import queue
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from contextlib import ExitStack, contextmanager
from importlib import import_module
from multiprocessing import active_children, get_context, parent_process
from threading import Thread
from typing import Any, TypeVar

Item = TypeVar("Item")
Result = TypeVar("Result")
Tell = Callable[[str, str, float], None]
ONE_THREAD = ("NGS_NUM_THREADS", "OPENBLAS_NUM_THREADS", "NUMBA_NUM_THREADS", "OMP_NUM_THREADS")
POLL = 0.1  # [s]
_told: Any = None
_memory: Any = None


class Crew:
    """Processes, `count` or as many as cores, that start with the first tasks and stay for the next ones."""

    def __init__(self, count: int | None = None) -> None:
        self.count = count or os.cpu_count() or 1
        self._all = ExitStack()
        self._pool: ProcessPoolExecutor | None = None
        self._told: Any = None

    def __enter__(self) -> Crew:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: object, trace: object) -> None:
        """Wait for the processes to end; after an error, end them."""
        if kind is not None and self._pool is not None:
            self._pool.shutdown(wait=False, cancel_futures=True)
            for child in active_children():
                child.terminate()
        self._all.close()

    def spread(
        self, task: Callable[[Item, Tell], Result], items: Sequence[Item], tell: Tell,
        each: Callable[[Result], None] = lambda result: None,
    ) -> list[Result]:  # fmt: skip
        """task(item, tell) for every item, in order; one item, or a crew of one: in this process. `each` is called here
        with every result, while the other items go on.

        Solvers wait for each other by spinning, so two processes of one thread do twice the work of one with two.
        An error in a task is raised here.
        """
        if min(len(items), self.count) <= 1:
            return [_met(task(item, tell), each) for item in items]
        pool = self._pool or self._started()
        futures = [pool.submit(_run, task, item) for item in items]
        _watch(futures, self._told, tell, each)
        return [f.result() for f in futures]

    def load(self, module: str) -> None:
        """Let the processes, if there are any, load a module that later tasks need."""
        if self._pool is not None:
            for _ in range(self.count):
                self._pool.submit(import_module, module)

    def end(self) -> None:
        """Let the processes end, while this one goes on; later tasks start new ones."""
        if self._pool is not None:
            self._pool.shutdown(wait=False)
            self._pool = None

    def _started(self) -> ProcessPoolExecutor:
        context = get_context("spawn")
        self._told = context.Queue()
        memory = (context.Condition(), context.Value("d", 0.0, lock=False))
        self._all.enter_context(_one_thread())
        made = ProcessPoolExecutor(self.count, context, _start, (self._told, memory))
        self._pool = self._all.enter_context(made)
        return made


def spread(
    task: Callable[[Item, Tell], Result], items: Sequence[Item], tell: Tell, workers: int | Crew | None = None,
    each: Callable[[Result], None] = lambda result: None,
) -> list[Result]:  # fmt: skip
    """`Crew.spread` by a crew that is there, or one for these items alone: of so many processes, None: one a core."""
    if isinstance(workers, Crew):
        return workers.spread(task, items, tell, each)
    with Crew(min(len(items), workers or os.cpu_count() or 1)) as crew:
        return crew.spread(task, items, tell, each)


@contextmanager
def room(gigabytes: float, there: float, waits: Callable[[], None]) -> Iterator[None]:
    """Memory [GB] kept for what is computed inside, out of what is `there`: begins once it fits beside what the other
    processes of a `spread` keep, and calls `waits` if that takes time. Alone it begins at once."""
    if _memory is None:
        yield
        return
    changed, kept = _memory
    with changed:
        if kept.value + gigabytes > there:
            waits()
        # Nothing is waited for that no other process can give back.
        changed.wait_for(lambda: kept.value <= 0 or kept.value + gigabytes <= there)
        kept.value += gigabytes
    try:
        yield
    finally:
        with changed:
            kept.value = max(0.0, kept.value - gigabytes)
            changed.notify_all()


def _start(told: Any, memory: Any) -> None:
    global _told, _memory  # a worker process has one channel, and one account of memory, for its whole life
    _told, _memory = told, memory
    Thread(target=_end_with_parent, daemon=True).start()


def _end_with_parent() -> None:
    """A killed parent cannot stop its workers, which would compute on for nobody."""
    if (parent := parent_process()) is not None:
        parent.join()
        os._exit(1)


def _run(task: Callable[[Item, Tell], Result], item: Item) -> Result:
    return task(item, lambda *words: _told.put(words))


def _met(result: Result, each: Callable[[Result], None]) -> Result:
    each(result)
    return result


def _watch(futures: Sequence[Future[Any]], told: Any, tell: Tell, each: Callable[[Any], None]) -> None:
    waiting = set(futures)
    while waiting:
        done, waiting = wait(waiting, timeout=POLL, return_when=FIRST_COMPLETED)
        for future in done:
            each(future.result())
        while True:
            try:
                tell(*told.get_nowait())
            except queue.Empty:
                break


@contextmanager
def _one_thread() -> Iterator[None]:
    """Children inherit one thread each; the environment is put back after."""
    before = {name: os.environ.get(name) for name in ONE_THREAD}
    os.environ.update(dict.fromkeys(ONE_THREAD, "1"))
    try:
        yield
    finally:
        for name, value in before.items():
            if value is None:
                os.environ.pop(name, None)
            else:
                os.environ[name] = value
