"""Work spread over the cores of the machine, in processes; results come in the order of the work.

Where processes cannot be had, or one of them is killed (memory), the work is done here instead: spreading changes how
long something takes and nothing else.
"""

from __future__ import annotations

import os
import signal
import sys
from collections.abc import Callable, Iterator, Sequence
from typing import TypeVar

Item = TypeVar("Item")
Result = TypeVar("Result")


def available() -> int:
    """Number of cores this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def spread(work: Callable[[Item], Result], items: Sequence[Item], processes: int) -> Iterator[Result]:
    """``work`` of each item, in order. It must be a function of a module, its results and errors must pickle.

    An exception of ``work`` is raised when its turn comes. With one process or one item nothing is started.
    """
    if min(processes, len(items)) < 2:
        yield from map(work, items)
        return
    import multiprocessing
    from concurrent.futures import ProcessPoolExecutor
    from concurrent.futures.process import BrokenProcessPool

    done = 0
    try:
        # Starting anew takes 0.2 s per process (measured); a fork is safe while no thread runs.
        context = multiprocessing.get_context("fork" if sys.platform == "linux" else "spawn")
        with ProcessPoolExecutor(min(processes, len(items)), context, initializer=_quiet) as pool:
            try:
                for result in pool.map(work, items):
                    yield result
                    done += 1
            finally:
                pool.shutdown(wait=False, cancel_futures=True)
    except (BrokenProcessPool, OSError, ImportError):  # ImportError: a system without semaphores
        yield from map(work, items[done:])


def _quiet() -> None:
    """Ctrl-C ends a worker without a traceback; the process that started it says what is to be said."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)
