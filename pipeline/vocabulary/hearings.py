"""What was heard instead of a term, and how often: mined with synthetic voices, shipped in `vocab/hearings/`.

One file a pack holds what was heard in sentences made for each term, `narrated.toml` what was heard in narrations.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Iterator
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
                pairs = counts.items() if isinstance(counts, dict) else _pairs(counts)
                for stretch, count in pairs:
                    own[stretch] = own.get(stretch, 0) + int(count)
        except (OSError, KeyError, AttributeError, ValueError) as error:
            reason = getattr(error, "strerror", None) or error
            raise WitnessmarkError(f"cannot read hearings {path}: {reason}; mend it or take it away") from error
    return found


def _pairs(text: str) -> Iterator[tuple[str, int]]:
    """Hearings and counts of one line: "good gin pin 3, gudgin pin 1"."""
    for piece in text.split(","):
        stretch, _, count = piece.strip().rpartition(" ")
        yield stretch, int(count)


def shipped_hearings(narrated: bool = True) -> dict[str, dict[str, int]]:
    """All that ships; or without what was mined in narrations."""
    paths = sorted((resource_folder("vocab") / "hearings").glob("*.toml"))
    return read_hearings(path for path in paths if narrated or path.stem != "narrated")
