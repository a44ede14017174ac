"""How the test processes share the machine."""

from __future__ import annotations

import os


def pytest_configure() -> None:
    """Each worker of `pytest -n` (gw0, gw1, ...) keeps to a core of its own, so that their networks do not crowd each
    other. The program is started some hundred times: compiled modules are kept, or each start takes a second more."""
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
    worker = os.environ.get("PYTEST_XDIST_WORKER", "")
    if worker and hasattr(os, "sched_setaffinity"):
        cores = sorted(os.sched_getaffinity(0))
        os.sched_setaffinity(0, {cores[int(worker.removeprefix("gw")) % len(cores)]})
