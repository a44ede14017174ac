"""Each of several test processes keeps to a core of its own, so that their networks do not crowd each other."""

from __future__ import annotations

import os


def pytest_configure() -> None:
    """Workers of `pytest -n` are called gw0, gw1, ..."""
    worker = os.environ.get("PYTEST_XDIST_WORKER", "")
    if worker and hasattr(os, "sched_setaffinity"):
        cores = sorted(os.sched_getaffinity(0))
        os.sched_setaffinity(0, {cores[int(worker.removeprefix("gw")) % len(cores)]})
