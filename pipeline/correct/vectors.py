"""How alike two stretches sound at a glance: a short vector for each, whose product is high for a term and its garbles.

Every phone brings a vector of its own, by where it stands in the stretch; their sum, of length 1, stands for the
stretch. There are two tables, for what is said and for what is heard, learned by `tools/fit_sound_vectors.py` from
mined hearings, so that a garble is nearest to the term that it was heard for (A. van den Oord, Y. Li, O. Vinyals,
"Representation learning with contrastive predictive coding", 2018). One matrix product then holds thousands of
stretches against hundreds of terms.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from pipeline.correct.channel import PLAIN, SIZE
from pipeline.correct.sounds import PAD

_TABLE = Path(__file__).resolve().parent.parent / "data" / "sound_vectors.npz"

PLACES = 8
"""Into so many parts of like length a stretch is cut: its phones are told apart by the part they stand in."""

Vectors = NDArray[np.float32]


@cache
def _tables() -> tuple[Vectors, Vectors]:
    with np.load(_TABLE) as packed:
        return packed["said"].astype(np.float32), packed["heard"].astype(np.float32)


def places(rows: NDArray[np.uint8]) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Phones of all rows end to end, as phone + `SIZE` * part of the row, and how many each row has."""
    phones = PLAIN[rows]
    real = phones != PAD
    counts = real.sum(axis=1)
    rank = np.cumsum(real, axis=1)[real] - 1
    part = (2 * rank + 1) * PLACES // (2 * np.repeat(counts, counts))
    return phones[real] + SIZE * part, counts


def _vectors(rows: NDArray[np.uint8], table: Vectors) -> Vectors:
    found = np.zeros((len(rows), table.shape[1]), dtype=np.float32)
    keys, counts = places(rows)
    filled = np.flatnonzero(counts)
    if len(filled):
        firsts = np.cumsum(counts[filled]) - counts[filled]
        found[filled] = np.add.reduceat(table[keys], firsts, axis=0)
        found /= np.maximum(np.sqrt((found * found).sum(axis=1, keepdims=True)), 1e-6)
    return found


def said_vectors(rows: NDArray[np.uint8]) -> Vectors:
    """Vectors of rows of phones as they are said; shape (rows, dimensions)."""
    return _vectors(rows, _tables()[0])


def heard_vectors(rows: NDArray[np.uint8]) -> Vectors:
    """Vectors of rows of phones as they are heard; shape (rows, dimensions)."""
    return _vectors(rows, _tables()[1])
