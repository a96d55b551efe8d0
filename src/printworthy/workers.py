"""The same task for many items on all cores: one process each, one thread each, with progress and clean stop."""

from __future__ import annotations

import os
import queue
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from contextlib import contextmanager
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


def spread(
    task: Callable[[Item, Tell], Result], items: Sequence[Item], tell: Tell, workers: int | None = None,
    each: Callable[[Result], None] = lambda result: None,
) -> list[Result]:  # fmt: skip
    """task(item, tell) for every item, in order. `workers` None: as many as cores; 1, or one item: in this process.
    `each` is called here with every result, while the other items go on.

    Solvers wait for each other by spinning, so two processes of one thread do twice the work of one with two.
    An error in a task ends the others and is raised here.
    """
    count = min(len(items), workers or os.cpu_count() or 1)
    if count <= 1:
        return [_met(task(item, tell), each) for item in items]
    context = get_context("spawn")
    told = context.Queue()
    memory = (context.Condition(), context.Value("d", 0.0, lock=False))
    with _one_thread(), ProcessPoolExecutor(count, context, _start, (told, memory)) as pool:
        futures = [pool.submit(_run, task, item) for item in items]
        try:
            _watch(futures, told, tell, each)
            return [f.result() for f in futures]
        except BaseException:
            pool.shutdown(wait=False, cancel_futures=True)
            for child in active_children():
                child.terminate()
            raise


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
