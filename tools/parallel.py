"""Work spread over processes, for the tools that read many narrations. No part of the installed package."""

from __future__ import annotations

import multiprocessing
import os
from collections.abc import Callable, Sequence
from typing import Any, TypeVar

Item = TypeVar("Item")
Result = TypeVar("Result")
Setup = tuple[Callable[..., None], tuple[Any, ...]]


def spread(
    function: Callable[[Item], Result], items: Sequence[Item], setup: Setup | None = None, workers: int | None = None
) -> list[Result]:
    """`function` of each item, in order. `setup` is called in each process first; one thread a process.

    `workers` is the number of processor cores where it is not given.
    """
    workers = min(workers or len(os.sched_getaffinity(0)), len(items))
    os.environ["OMP_NUM_THREADS"] = "1"  # modules make their networks ready before `_begin` is called
    context = multiprocessing.get_context("spawn")  # the network's threads do not survive a fork
    with context.Pool(workers, _begin, (setup,)) as pool:
        return pool.map(function, items, chunksize=max(1, min(8, len(items) // (4 * workers))))


def one_core() -> None:
    """From here on the hearing stage takes one core of this process, and not every core it finds."""
    os.cpu_count = lambda: 1


def _begin(setup: Setup | None) -> None:
    cores = sorted(os.sched_getaffinity(0))  # one core a process, also for the threads of libraries
    os.sched_setaffinity(0, {cores[multiprocessing.current_process()._identity[0] % len(cores)]})
    if setup is not None:
        function, arguments = setup
        function(*arguments)
