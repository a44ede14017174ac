"""Finds, for many windows of heard words at once, the few forms of terms that may sound alike.

Each stretch is reduced to its skeleton: classes of phones that are often heard for each other. Two stretches meet where
their skeletons agree after dropping one or two classes from each: every such key of the terms lies in one sorted array,
so a window costs a fixed number of binary searches, whatever the number of terms. Keys that very many forms share say
nothing and are left out, which bounds the cost of a search.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pipeline.correct.channel import PLAIN
from pipeline.correct.sounds import CODES, PAD

Ints = NDArray[np.int64]

_CONSONANTS = ("pb", "fvTD", "td", "szSZCJ", "kg", "mnN", "l", "w")
_CONFUSED = ("pbvm", "fTD", "td", "szSZCJ", "kg", "nN", "l", "w")
_FINE = ("p", "b", "fv", "TD", "t", "d", "sz", "SZCJ", "k", "g", "m", "nN", "l", "w", "r")
_MANNERS = ("pbtdkgCJ", "fvTDszSZh", "mnN", "lw")
_VOWELS = ("1iE8Ay", "aoOUe037r", "I9")
CROWDED = 64


def _classes(members: tuple[str, ...]) -> Ints:
    table = np.zeros(PAD + 1, dtype=np.int64)
    for number, chars in enumerate(members, 1):
        for char in chars:
            table[CODES[char]] = number
    return table[PLAIN]


@dataclass(frozen=True)
class Reduction:
    """How stretches become keys. `class_of`: class of each phone (0: left out). `longest`: classes kept.

    `shortest`: classes a stretch must have at least. `drop_one`, `drop_two`: from this many classes on one and two of
    them may be dropped.
    """

    class_of: Ints
    base: int
    longest: int
    shortest: int
    drop_one: int
    drop_two: int


CONFUSED = Reduction(_classes(_CONFUSED + _VOWELS), len(_CONFUSED + _VOWELS) + 1, 14, 3, 3, 6)
"""Consonants that are often heard for each other, and three sorts of vowels."""

CONSONANTS = Reduction(_classes(_FINE), len(_FINE) + 1, 14, 3, 3, 5)
"""Consonants told apart, whatever the accent makes of the vowels."""

MANNERS = Reduction(_classes(_MANNERS + _VOWELS), len(_MANNERS + _VOWELS) + 1, 14, 7, 3, 6)
"""Stops, hisses, nasals and glides, wherever in the mouth they are made, for long stretches: noise hides places."""

REMAINDERS = Reduction(_classes(_CONSONANTS), len(_CONSONANTS) + 1, 10, 0, 2, 5)
"""Consonants of what is left of a stretch beside a word that was heard right (which keeps the crowd small)."""

_SALT = np.int64(1) << 40


def keys(rows: NDArray[np.uint8], how: Reduction, salt: Ints | None = None) -> tuple[Ints, Ints]:
    """Every key of every row of phones, with the row it belongs to. `salt` keeps rows of different sorts apart."""
    classes = how.class_of[rows]
    classes[:, 1:][classes[:, 1:] == classes[:, :-1]] = 0
    order = np.argsort(classes == 0, axis=1, kind="stable")[:, : how.longest + 1]
    packed = np.take_along_axis(classes, order, axis=1)
    lengths = np.minimum((packed > 0).sum(axis=1), how.longest)
    packed = packed[:, : how.longest]
    powers = how.base ** np.arange(packed.shape[1], dtype=np.int64)
    before = np.concatenate([np.zeros((len(packed), 1), np.int64), np.cumsum(packed * powers, axis=1)], axis=1)
    before = before.T.copy()
    usable = lengths >= how.shortest
    found, owners = [before[-1][usable]], [np.flatnonzero(usable)]
    for first in range(how.longest):
        chosen = np.flatnonzero(usable & (lengths >= how.drop_one) & (lengths > first))
        if not len(chosen):
            break
        whole = before[-1][chosen]
        head, tail = before[first][chosen], before[first + 1][chosen]
        found.append(head + (whole - tail) // how.base)
        owners.append(chosen)
        for second in range(first + 1, how.longest):
            both = (lengths[chosen] >= how.drop_two) & (lengths[chosen] > second)
            if not both.any():
                break
            upto, past = before[second][chosen[both]], before[second + 1][chosen[both]]
            found.append(head[both] + (upto - tail[both]) // how.base + (whole[both] - past) // how.base**2)
            owners.append(chosen[both])
    joined, owner = np.concatenate(found), np.concatenate(owners)
    return (joined if salt is None else joined + salt[owner] * _SALT), owner


_SCATTER = np.uint64(0x9E3779B97F4A7C15)  # odd and without pattern: multiplicative hashing (Knuth, vol. 3, 6.4)
_ROOM = 8


def _changes(values: Ints) -> NDArray[np.bool_]:
    """Where each value differs from the one before it; the first one does."""
    found = np.ones(len(values), dtype=bool)
    np.not_equal(values[1:], values[:-1], out=found[1:])
    return found


class SoundIndex:
    """Sorted keys of the rows of phones it was built from, behind a table of marks that turns most askers away."""

    def __init__(self, rows: NDArray[np.uint8], how: Reduction, salt: Ints | None = None) -> None:
        self.rows, self.how = len(rows), how
        found, owners = keys(rows, how, salt)
        order = np.argsort(found)
        found = found[order]
        fresh = _changes(found)
        entries = np.cumsum(fresh, dtype=np.int64)
        entries *= self.rows
        entries += owners[order]
        entries.sort()
        entries = entries[_changes(entries)]
        group = entries // max(1, self.rows)
        self._owners = entries - group * self.rows
        self._keys = found[fresh]
        self._starts = np.flatnonzero(_changes(group))
        self._sizes = np.diff(np.append(self._starts, len(self._owners)))
        self._shift = np.uint64(64 - max(1, (_ROOM * len(self._keys)).bit_length()))
        self._marks = np.zeros(1 << (64 - int(self._shift)), dtype=bool)
        self._marks[self._spots(self._keys[self._sizes <= CROWDED])] = True

    def _spots(self, asked: Ints) -> NDArray[np.intp]:
        return ((asked.astype(np.uint64) * _SCATTER) >> self._shift).astype(np.intp)

    def pairs(self, rows: NDArray[np.uint8], salt: Ints | None = None) -> Ints:
        """Pairs (row of `rows`, row of the index) that may sound alike, as `row * self.rows + own row`, not sorted."""
        if not len(rows) or not len(self._keys):
            return np.zeros(0, dtype=np.int64)
        asked, askers = keys(rows, self.how, salt)
        marked = np.flatnonzero(self._marks[self._spots(asked)])
        asked, askers = asked[marked], askers[marked]
        spots = np.minimum(np.searchsorted(self._keys, asked), len(self._keys) - 1)
        hits = np.flatnonzero((self._keys[spots] == asked) & (self._sizes[spots] <= CROWDED))
        spots, askers = spots[hits], askers[hits]
        sizes = self._sizes[spots]
        offsets = np.arange(sizes.sum()) - np.repeat(np.cumsum(sizes) - sizes, sizes)
        own = self._owners[np.repeat(self._starts[spots], sizes) + offsets]
        pairs: Ints = np.repeat(askers, sizes) * self.rows + own
        return pairs
