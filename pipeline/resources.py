"""What the program may use: `vocab/` and `templates/`, in a checkout and in an installed wheel, and the cores."""

import os
from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent


def resource_folder(name: str) -> Path:
    """Folder of shipped data: inside the package when installed from a wheel, beside it in a checkout."""
    inside = _PACKAGE / name
    return inside if inside.is_dir() else _PACKAGE.parent / name


def usable_cores() -> int:
    """The cores that this process may run on; more threads than those wait for each other."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1
