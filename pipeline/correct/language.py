"""General English, as data: how words sound, how common they are, which ones stand next to each other.

Made by `tools/make_language_data.py`; sources and licences in THIRD_PARTY.md.
"""

from __future__ import annotations

import gzip
from bisect import bisect_left
from collections.abc import Sequence
from functools import cache, cached_property
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

_DATA = Path(__file__).resolve().parent.parent / "data"
COMMON = 45
"""A word of at least this frequency (see `English.frequency`; 32 in a million) is common."""


class English:
    """Look-ups in the shipped data. One instance serves the whole process: `english()`."""

    def __init__(self) -> None:
        self._lines = gzip.decompress((_DATA / "words.gz").read_bytes()).split(b"\n")
        self._seen: dict[str, tuple[int, int, tuple[str, ...]]] = {}

    @cached_property
    def _pairs(self) -> NDArray[np.int64]:
        """Pairs of places of neighbouring words, sorted: first place * number of words + second place."""
        with np.load(_DATA / "neighbours.npz") as packed:
            steps = (packed["high"].astype(np.int64) << 16) + packed["low"]
        return np.cumsum(steps, dtype=np.int64)

    def _entry(self, word: str) -> tuple[int, int, tuple[str, ...]]:
        entry = self._seen.get(word)
        if entry is None:
            entry = self._find(word)
            # "dont", "thats", "ive": written without the apostrophe, it is the same word
            for end in (1, 2) if entry[0] < 0 and word.isalpha() else ():
                whole = self._find(f"{word[:-end]}'{word[-end:]}")
                entry = max(entry, whole, key=lambda found: found[1]) if whole[1] >= COMMON else entry
            self._seen[word] = entry
        return entry

    def _find(self, word: str) -> tuple[int, int, tuple[str, ...]]:
        start = word.encode("utf-8", "replace") + b"\t"
        place = bisect_left(self._lines, start)
        if place == len(self._lines) or not self._lines[place].startswith(start):
            return -1, 0, ()
        _, frequency, sounds = self._lines[place].decode("ascii").split("\t")
        return place, int(frequency), tuple(sounds.split())

    def place(self, word: str) -> int:
        """Place in the list of words, -1 for a word that is not in it."""
        return self._entry(word)[0]

    def frequency(self, word: str) -> int:
        """Tenths of log10 of occurrences per thousand million words; 0 for an unknown word.

        >>> english().frequency("the") > english().frequency("gudgeon") > english().frequency("circlip")
        True
        """
        found = self._entry(word)[1]
        if not found and word.endswith("'s"):
            return self._entry(word[:-2])[1]
        return found

    def sounds(self, word: str) -> tuple[str, ...]:
        """Ways to say the word, one character a phone; empty for a word without an entry."""
        return self._entry(word)[2]

    def oddness(self, first: NDArray[np.int64], second: NDArray[np.int64]) -> NDArray[np.float64]:
        """For pairs of places: 1 for words that do not stand next to each other, 0.5 where one is unknown, else 0."""
        keys = first * len(self._lines) + second
        spots = np.minimum(np.searchsorted(self._pairs, keys), len(self._pairs) - 1)
        return np.where((first < 0) | (second < 0), 0.5, np.where(self._pairs[spots] == keys, 0.0, 1.0))

    def neighbours(self, words: Sequence[str]) -> NDArray[np.bool_]:
        """For each pair of adjacent words: do they stand next to each other in general English? Shape (len - 1,)."""
        places = np.array([self.place(word) for word in words], dtype=np.int64)
        return np.asarray(self.oddness(places[:-1], places[1:]) == 0.0, dtype=bool)


@cache
def english() -> English:
    """The shipped data, read once."""
    return English()
