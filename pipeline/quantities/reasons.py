"""What `why` says of a figure whose unit was not said beside it: whose it takes, or that nobody said one."""

from __future__ import annotations

from collections.abc import Sequence

LENT, UNSAID = "takes its unit", "no unit was said"
BOLT_LENGTH = "the length after the thread size"
_BEHIND, _FOR_ALL = ", said behind it", ", said for all"


def lent_by(words: Sequence[str]) -> str:
    """The reason of a figure that has its unit from others, by the words of these.

    >>> lent_by(["twenty", "mil"])
    "takes its unit from 'twenty mil'"
    """
    return f"{LENT} from {' '.join(words)!r}"


def put_right_why(words: Sequence[str]) -> str:
    """The reason of a figure that is said instead of another, whose unit was said.

    >>> put_right_why(["twenty", "mil"])
    "put right from 'twenty mil'"
    """
    return f"put right from {' '.join(words)!r}"


def is_lent(why: str) -> bool:
    """Whether a figure has its unit from others."""
    return why.startswith(LENT)


def said_behind(words: Sequence[str]) -> str:
    """The reason of a figure whose unit is said behind it and others.

    >>> said_behind(["kilograms"])
    "takes its unit from 'kilograms', said behind it"
    """
    return lent_by(words) + _BEHIND


def said_for_all(words: Sequence[str]) -> str:
    """The reason of a figure whose unit was given once for all.

    >>> said_for_all(["foot", "pounds"])
    "takes its unit from 'foot pounds', said for all"
    """
    return lent_by(words) + _FOR_ALL


def is_said_apart(why: str) -> bool:
    """Whether the unit that a figure takes is no other figure's but was said for it, behind it or for all."""
    return is_lent(why) and why.endswith((_BEHIND, _FOR_ALL))
