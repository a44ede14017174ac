"""Figures that the speaker owns to have been wrong.

"I said two quarts ... you were right, it's a quart and a half"; "sixty-five, I've got seventy-five in the book. It's
seventy-five, I was wrong".
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from pipeline.quantities.scan import Bare, Found, Scan

_OWNS = (
    ("i", "was", "wrong"), ("you", "were", "right"), ("my", "mistake"), ("i", "stand", "corrected"),
    ("i", "had", "it", "wrong"), ("i", "had", "that", "wrong"), ("i", "got", "that", "wrong"),
)  # fmt: skip
# The figure that stays is said right before or behind these words; those that were wrong, so far before it.
_BESIDE, _BEFORE = 3, 32
_IT_IS = frozenset(("it's", "its", "it", "is", "that's", "thats", "so", "there", "and", "the"))


def without_wrong(scan: Scan, figures: Sequence[Found]) -> list[Found]:
    """The figures without those that the speaker says were wrong."""
    wrong: set[int] = set()
    for at, end in _owned(scan):
        right = _right(scan, figures, at, end)
        if right is None:
            continue
        start, value = right
        near = [found for found in figures if max(at, start) - _BEFORE <= found.start <= start]
        kinds = {(found.kind, found.unit) for found in near if found.value == value}
        wrong |= {id(found) for found in near if (found.kind, found.unit) in kinds and found.value != value}
    return [found for found in figures if id(found) not in wrong]


def _owned(scan: Scan) -> Iterator[tuple[int, int]]:
    for at in range(len(scan.words)):
        for words in _OWNS:
            if tuple(scan.words[at : at + len(words)]) == words:
                yield at, at + len(words)


def _right(scan: Scan, figures: Sequence[Found], at: int, end: int) -> tuple[int, Fraction] | None:
    """Where the figure that stays is said, and what it is."""
    said: list[Found | Bare] = sorted([*figures, *scan.bare], key=lambda each: each.start)
    behind = next((each for each in said if each.start >= end), None)
    if behind is not None and behind.start - end <= _BESIDE and _IT_IS.issuperset(scan.words[end : behind.start]):
        return behind.start, behind.value
    before = next((each for each in reversed(said) if each.end <= at), None)
    if before is not None and at - before.end <= _BESIDE:
        return before.start, before.value
    return None
