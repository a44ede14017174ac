"""Corrections that are found without the judge, from the words around them, put beside those that it made."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from pipeline.records import Correction


def put_beside(
    corrections: Sequence[Correction], found: Iterable[Correction], is_wanted: Callable[[Correction], bool]
) -> list[Correction]:
    """The corrections with those found that are wanted; what was made without asking stays, what was not gives way."""
    made = [corr for corr in corrections if corr.decision == "auto"]
    new = [own for own in found if not any(_overlap(own, corr) for corr in made) and is_wanted(own)]
    others = [corr for corr in corrections if not any(_overlap(own, corr) for own in new)]
    return sorted([*others, *new], key=lambda corr: corr.start_word)


def _overlap(one: Correction, other: Correction) -> bool:
    return one.start_word < other.end_word and other.start_word < one.end_word
