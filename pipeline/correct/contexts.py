"""How well a stretch of words fits where it stands, by the words around it.

Two words before, two behind and all others nearby each bring a vector of their own, by where they stand; their sum is
held against the mean of the vectors of the stretch's own words. The product is about the logarithm of how much likelier
the words are there than anywhere (pointwise mutual information). Learned by `tools/fit_contexts.py` from workshop talk
and general English (Mikolov and others, "Efficient estimation of word representations in vector space", 2013; the loss
is that of van den Oord and others, 2018), on top of the vectors of all-MiniLM-L6-v2, so that rare words have a place.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

TABLE = Path(__file__).resolve().parent.parent / "data" / "contexts.npz"

ROLES = ("before 2", "before 1", "after 1", "after 2", "nearby")
NEARBY = 12
"""So many words on either side count as nearby."""
BOUND, UNKNOWN, FIGURE = 0, 1, 2
"""Numbers of what stands beyond a sentence, of a word that has no vector, and of a word with a digit."""

Ints = NDArray[np.int64]
Vectors = NDArray[np.float32]


@dataclass(frozen=True)
class Contexts:
    """`numbers` of the words; `around`: vectors by role, shape (roles, words, width); `own`: shape (words, width)."""

    numbers: Mapping[str, int]
    around: Vectors
    own: Vectors

    def places(self, words: Iterable[str]) -> Ints:
        """Number of each word."""
        return np.array([number_of(word, self.numbers) for word in words], dtype=np.int64)

    def means(self, numbers: Ints, start: Ints, end: Ints) -> Vectors:
        """Mean of the words' own vectors in each stretch; shape (stretches, width)."""
        total = _sums(self.own[numbers])
        found: Vectors = ((total[end] - total[start]) / np.maximum(1, end - start)[:, None]).astype(np.float32)
        return found

    def surroundings(self, numbers: Ints, sentence: Ints, start: Ints, end: Ints) -> Vectors:
        """What stands around each stretch of a text; shape (stretches, width). `sentence`: number of each word's."""
        count = len(numbers)
        found = np.zeros((len(start), self.own.shape[1]), dtype=np.float32)
        for role, offset in enumerate((-2, -1, 0, 1)):
            place = (start if offset < 0 else end) + offset
            inside = (place >= 0) & (place < count)
            place = np.clip(place, 0, max(0, count - 1))
            inside &= sentence[place] == sentence[start]
            found += self.around[role][np.where(inside, numbers[place], BOUND)]
        total = _sums(self.around[len(ROLES) - 1][numbers])
        low, high = np.maximum(0, start - NEARBY), np.minimum(count, end + NEARBY)
        near = total[start] - total[low] + total[high] - total[end]
        found += (near / np.maximum(1, (start - low) + (high - end))[:, None]).astype(np.float32)
        return found


def _sums(rows: Vectors) -> NDArray[np.float64]:
    """Sums of the first 0, 1, ... rows."""
    return np.concatenate([np.zeros((1, rows.shape[1])), np.cumsum(rows, axis=0, dtype=np.float64)])


def number_of(word: str, numbers: Mapping[str, int]) -> int:
    """A word's number among those that have a vector."""
    return FIGURE if any(char.isdigit() for char in word) else numbers.get(word, UNKNOWN)


def read_contexts(path: Path) -> Contexts:
    """What `tools/fit_contexts.py` has written."""
    with np.load(path) as packed:
        words: Sequence[str] = str(packed["words"]).split("\n")
        around = packed["around"].astype(np.float32) * packed["around_steps"][:, None, None]
        own = packed["own"].astype(np.float32) * packed["own_step"]
    return Contexts({word: number for number, word in enumerate(words) if number > FIGURE}, around, own)


@cache
def shipped_contexts() -> Contexts:
    """The table of the installed package."""
    return read_contexts(TABLE)
