"""The words beside a figure, as evidence that learned weights add up."""

from __future__ import annotations

from collections.abc import Iterator

from pipeline.numbers.words import NUMBER_WORDS
from pipeline.quantities.scan import Scan


def stem(word: str) -> str:
    """A word without the s of a plural or a verb.

    >>> stem("nuts"), stem("glass"), stem("has")
    ('nut', 'glass', 'has')
    """
    return word[:-1] if len(word) > 3 and word.endswith("s") and not word.endswith(("ss", "us")) else word


def words_beside(scan: Scan, start: int, end: int) -> Iterator[str]:
    """The words right before and right behind the pieces `start` to `end`, in one sentence: "-1 with", "+1 bolt"."""
    for sign, place, joined in (("-", start - 1, start not in scan.breaks), ("+", end, end not in scan.breaks)):
        word = scan.at(place) and scan.plain[place]
        if word and joined and word[0].isalpha() and word not in NUMBER_WORDS:
            yield f"{sign}1 {stem(word)}"
