"""How alike two stretches of speech sound: an edit distance over phones in which accents are cheap.

Costs follow the features of articulation (place, manner and voice of consonants; height, backness and rounding
of vowels, as in the chart of the International Phonetic Association). Cheap besides: a dropped h or r, a flapped or
glottal t, th-fronting, a vocalised l, a lost weak vowel, vowel shifts.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import chain, pairwise

import numpy as np
from numpy.typing import NDArray

from pipeline.correct.pronounce import PHONES, VOWELS

Rows = NDArray[np.uint8]
Ints = NDArray[np.int64]

PAD = len(PHONES)
CODES = {char: code for code, char in enumerate(PHONES)}

# phone: (height, backness, rounding) at the start and, for a diphthong, at the end; all from 0 to 1
_VOWEL_FEATURES = {
    "1": ((1.0, 0.0, 0.0), None), "i": ((0.8, 0.2, 0.0), None), "E": ((0.4, 0.1, 0.0), None),
    "A": ((0.1, 0.2, 0.0), None), "a": ((0.0, 0.8, 0.1), None), "o": ((0.3, 1.0, 0.7), None),
    "7": ((0.8, 0.8, 0.7), None), "U": ((1.0, 0.9, 1.0), None), "e": ((0.4, 0.6, 0.0), None),
    "3": ((0.5, 0.5, 0.2), None), "8": ((0.5, 0.1, 0.0), (0.9, 0.1, 0.0)), "I": ((0.0, 0.5, 0.0), (0.9, 0.1, 0.0)),
    "9": ((0.3, 1.0, 0.8), (0.9, 0.1, 0.0)), "0": ((0.5, 0.9, 0.8), (0.8, 0.9, 1.0)),
    "O": ((0.0, 0.5, 0.0), (0.8, 0.9, 0.9)),
}  # fmt: skip

# phone: (place from lips 0 to throat 1, manner, voiced)
_CONSONANT_FEATURES = {
    "p": (0.0, "stop", 0), "b": (0.0, "stop", 1), "t": (0.4, "stop", 0), "d": (0.4, "stop", 1),
    "k": (0.8, "stop", 0), "g": (0.8, "stop", 1), "C": (0.5, "affricate", 0), "J": (0.5, "affricate", 1),
    "f": (0.1, "fricative", 0), "v": (0.1, "fricative", 1), "T": (0.3, "fricative", 0), "D": (0.3, "fricative", 1),
    "s": (0.4, "sibilant", 0), "z": (0.4, "sibilant", 1), "S": (0.5, "sibilant", 0), "Z": (0.5, "sibilant", 1),
    "h": (1.0, "fricative", 0), "m": (0.0, "nasal", 1), "n": (0.4, "nasal", 1), "N": (0.8, "nasal", 1),
    "l": (0.4, "lateral", 1), "r": (0.5, "glide", 1), "w": (0.1, "glide", 1), "y": (0.6, "glide", 1),
}  # fmt: skip

# pairs of manners that are nearer to each other than two different ones are otherwise
_MANNERS = {
    frozenset(("stop", "affricate")): 0.3, frozenset(("affricate", "sibilant")): 0.2,
    frozenset(("fricative", "sibilant")): 0.25, frozenset(("stop", "fricative")): 0.35,
    frozenset(("lateral", "glide")): 0.3, frozenset(("lateral", "nasal")): 0.4, frozenset(("stop", "nasal")): 0.45,
}  # fmt: skip

# common shifts of accent and of hearing that the features do not show
_SHIFTS = {
    "td": 0.15, "fT": 0.2, "vD": 0.25, "dD": 0.3, "tT": 0.35, "e3": 0.15, "ei": 0.15, "eE": 0.25, "eA": 0.25,
    "e7": 0.2, "e0": 0.3, "ao": 0.15, "ae": 0.25, "iE": 0.25, "i1": 0.2, "7U": 0.2, "I9": 0.3, "8I": 0.3, "o0": 0.25,
    "E8": 0.25, "AE": 0.25, "Oa": 0.4, "l0": 0.45, "l7": 0.45, "le": 0.5, "nN": 0.2, "mn": 0.25, "CS": 0.2, "JZ": 0.2,
    "3r": 0.4, "er": 0.5, "yi": 0.4, "y1": 0.4, "w7": 0.4, "wU": 0.4, "JC": 0.25, "dJ": 0.3, "tC": 0.3,
}  # fmt: skip

# what it costs to drop or to add a phone
_DROPS = {
    "h": 0.3,
    "r": 0.35,
    "y": 0.35,
    "w": 0.5,
    "t": 0.5,
    "d": 0.5,
    "e": 0.35,
    "i": 0.4,
    "3": 0.5,
    "l": 0.6,
    "n": 0.6,
}
_DROP_VOWEL, _DROP_CONSONANT = 0.55, 0.75
_VOWEL_FOR_CONSONANT = 1.1


def _vowel_distance(first: str, second: str) -> float:
    (start, end), (other_start, other_end) = _VOWEL_FEATURES[first], _VOWEL_FEATURES[second]
    weights = (0.7, 0.4, 0.25)
    whole = sum(w * abs(a - b) for w, a, b in zip(weights, start, other_start, strict=True))
    glide = sum(w * abs(a - b) for w, a, b in zip(weights, end or start, other_end or other_start, strict=True))
    return float(min(0.7, 0.12 + 0.55 * (whole + glide) / 2 + 0.2 * ((end is None) != (other_end is None))))


def _consonant_distance(first: str, second: str) -> float:
    (place, manner, voice), (other_place, other_manner, other_voice) = (
        _CONSONANT_FEATURES[first],
        _CONSONANT_FEATURES[second],
    )
    gap = 0.0 if manner == other_manner else _MANNERS.get(frozenset((manner, other_manner)), 0.6)
    spot = 0.0 if place == other_place else 0.2 + 0.4 * abs(place - other_place)
    return float(min(0.95, 0.05 + gap + spot + 0.2 * (voice != other_voice)))


def _tables() -> tuple[NDArray[np.float32], NDArray[np.float32]]:
    size = PAD + 1
    swap = np.full((size, size), 9.0, dtype=np.float32)
    for first, row in CODES.items():
        for second, column in CODES.items():
            shift = _SHIFTS.get(first + second, _SHIFTS.get(second + first))
            if first == second:
                value = 0.0
            elif shift is not None:
                value = shift
            elif (first in VOWELS) != (second in VOWELS):
                value = _VOWEL_FOR_CONSONANT
            else:
                value = _vowel_distance(first, second) if first in VOWELS else _consonant_distance(first, second)
            swap[row, column] = value
    swap[PAD, PAD] = 0.0
    drop = np.zeros(size, dtype=np.float32)
    for char, code in CODES.items():
        drop[code] = _DROPS.get(char, _DROP_VOWEL if char in VOWELS else _DROP_CONSONANT)
    return swap, drop


SWAP, DROP = _tables()


@dataclass(frozen=True)
class Edits:
    """What edits cost: `swap[second, first]` one phone for another, `first` and `second` one left over in a row."""

    swap: NDArray[np.float32]
    first: NDArray[np.float32]
    second: NDArray[np.float32]


_EDITS = Edits(SWAP, DROP, DROP)


def codes(sounds: str) -> NDArray[np.uint8]:
    """The phones of `sounds` as numbers."""
    return np.array([CODES[char] for char in sounds], dtype=np.uint8)


def padded(stretches: Sequence[NDArray[np.uint8] | Sequence[int]], width: int) -> NDArray[np.uint8]:
    """Stretches of phones as rows of equal width, cut or filled with `PAD`; shape (len(stretches), width)."""
    rows = np.full((len(stretches), width), PAD, dtype=np.uint8)
    lengths = np.array([min(width, len(stretch)) for stretch in stretches], dtype=np.int64)
    flat = chain.from_iterable(stretch[:width] for stretch in stretches)
    rows[np.arange(width) < lengths[:, None]] = np.fromiter(flat, np.uint8, int(lengths.sum()))
    return rows


def mass(rows: Rows) -> NDArray[np.float32]:
    """What it would cost to drop everything in each row; shape (rows,)."""
    total: NDArray[np.float32] = DROP[rows].sum(axis=1)
    return total


def distances(first: Rows, second: Rows) -> NDArray[np.float32]:
    """Weighted edit distance of each row of `first` to the same row of `second`; shape (rows,).

    Padding costs nothing wherever it stands.
    """
    every = np.arange(len(first))
    return edit_costs(first, second, every, every, _EDITS)


def likeness(first: Rows, second: Rows, own: Ints, other: Ints) -> NDArray[np.float64]:
    """1 for the same sounds, falling to 0 for nothing in common: rows `own` of `first` with `other` of `second`."""
    longer = np.maximum(np.maximum(mass(first)[own], mass(second)[other]), 0.1)
    alike = np.maximum(0.0, 1.0 - edit_costs(first, second, own, other, _EDITS) / longer)
    return np.asarray(alike, dtype=np.float64)


_AT_ONCE = 4096  # pairs whose tables fit the processor's cache
_LENGTHS = (-1, 5, 7, 9, 11, 13, 16, 20, 255)


def edit_costs(first: Rows, second: Rows, own: Ints, other: Ints, edits: Edits) -> NDArray[np.float32]:
    """Least cost of turning rows `own` of `first` into rows `other` of `second`; shape (len(own),).

    Pairs of like length go through the dynamic programme together.
    """
    found = np.zeros(len(own), dtype=np.float32)
    longest = np.maximum(_extent(first)[own], _extent(second)[other])
    for low, high in pairwise(_LENGTHS):
        chosen = np.flatnonzero((longest > low) & (longest <= high))
        for begin in range(0, len(chosen), _AT_ONCE):
            some = chosen[begin : begin + _AT_ONCE]
            found[some] = _table_of_edits(first[own[some], :high], second[other[some], :high], edits)
    return found


def _extent(rows: Rows) -> Ints:
    """Columns of each row up to its last phone."""
    return np.asarray((np.arange(1, rows.shape[1] + 1) * (rows % (PAD + 1) != PAD)).max(axis=1, initial=0), np.int64)


def _table_of_edits(first: Rows, second: Rows, edits: Edits) -> NDArray[np.float32]:
    rows, width = second.shape
    columns = np.ascontiguousarray(second.T).astype(np.intp)
    drops = edits.second[columns]
    row = np.zeros((width + 1, rows), dtype=np.float32)
    row[1:] = np.cumsum(drops, axis=0)
    flat = edits.swap.ravel()
    columns *= edits.swap.shape[1]
    dropped = np.empty(rows, dtype=np.float32)
    places, swaps = np.empty_like(columns), np.empty_like(drops)
    for place in range(first.shape[1]):
        own = first[:, place].astype(np.intp)
        np.add(columns, own, out=places)
        np.take(flat, places, out=swaps, mode="clip")
        swaps += row[:-1]  # from the diagonal, before the row is overwritten
        row += edits.first[own]
        np.minimum(row[1:], swaps, out=row[1:])
        for column in range(width):
            np.add(row[column], drops[column], out=dropped)
            np.minimum(row[column + 1], dropped, out=row[column + 1])
    return row[width]
