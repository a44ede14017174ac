"""What `why` says of a figure whose unit was not said beside it: whose it takes, or that nobody said one."""

from __future__ import annotations

from collections.abc import Sequence

LENT, UNSAID = "takes its unit", "no unit was said"


def lent_by(words: Sequence[str]) -> str:
    """The reason of a figure that has its unit from others, by the words of these.

    >>> lent_by(["twenty", "mil"])
    "takes its unit from 'twenty mil'"
    """
    return f"{LENT} from {' '.join(words)!r}"


def is_lent(why: str) -> bool:
    """Whether a figure has its unit from others."""
    return why.startswith(LENT)
