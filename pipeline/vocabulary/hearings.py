"""What was heard instead of a term, and how often: mined with synthetic voices, shipped in `vocab/hearings/`."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable
from pathlib import Path

from pipeline.errors import WitnessmarkError
from pipeline.resources import resource_folder


def read_hearings(paths: Iterable[Path]) -> dict[str, dict[str, int]]:
    """Spelling of a term -> what was heard instead -> how often, added up over the files.

    Raises:
        WitnessmarkError: a file cannot be read or is not valid.
    """
    found: dict[str, dict[str, int]] = {}
    for path in paths:
        try:
            table = tomllib.loads(path.read_text(encoding="utf-8"))["hearings"]
            for spelling, counts in table.items():
                own = found.setdefault(spelling, {})
                for stretch, count in counts.items():
                    own[stretch] = own.get(stretch, 0) + int(count)
        except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError, KeyError, AttributeError, ValueError) as error:
            raise WitnessmarkError(f"cannot read hearings {path}: {error}; mend the file or take it away") from error
    return found


def shipped_hearings() -> dict[str, dict[str, int]]:
    """All that ships."""
    return read_hearings(sorted((resource_folder("vocab") / "hearings").glob("*.toml")))
