"""Finds `vocab/` and `templates/`, both in a checkout and inside an installed wheel."""

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent


def resource_folder(name: str) -> Path:
    """Folder of shipped data: inside the package when installed from a wheel, beside it in a checkout."""
    inside = _PACKAGE / name
    return inside if inside.is_dir() else _PACKAGE.parent / name
