"""Work spread over processes, for the tools that read many narrations. No part of the installed package."""

from __future__ import annotations

import multiprocessing
import os
from collections.abc import Callable, Sequence
from typing import Any, TypeVar

from pipeline.resources import usable_cores

Item = TypeVar("Item")
Result = TypeVar("Result")
Setup = tuple[Callable[..., None], tuple[Any, ...]]


def spread(
    function: Callable[[Item], Result], items: Sequence[Item], setup: Setup | None = None, workers: int | None = None
) -> list[Result]:
    """`function` of each item, in order. `setup` is called in each process first; one thread a process.

    `workers` is the number of processor cores where it is not given.
    """
    workers = min(workers or usable_cores(), len(items))
    os.environ["OMP_NUM_THREADS"] = "1"  # modules make their networks ready before `_begin` is called
    context = multiprocessing.get_context("spawn")  # the network's threads do not survive a fork
    with context.Pool(workers, _begin, (setup,)) as pool:
        return pool.map(function, items, chunksize=max(1, min(8, len(items) // (4 * workers))))


def one_core(number: int | None = None) -> None:
    """Binds this process to one core: hearing, networks and libraries take every core that they may use.

    `number` tells it from those beside it; that of a process of a pool is known.
    """
    own = multiprocessing.current_process()._identity[0] if number is None else number
    cores = sorted(os.sched_getaffinity(0))
    os.sched_setaffinity(0, {cores[own % len(cores)]})


def _begin(setup: Setup | None) -> None:
    one_core()
    if setup is not None:
        function, arguments = setup
        function(*arguments)
