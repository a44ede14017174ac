"""What becomes of a sound between mouth and page: edits of phones with probabilities learned from mined hearings.

Each phone that is said is heard as some phone or not at all, more or less often by where it stands in its word;
besides, phones are heard that nobody said. The weight of an edit is its log odds in nats: how much likelier it is if
the term was said than if just anything was. So a stretch and a term have `support`, the sum over the best alignment,
which grows with every phone that fits, and `likeness`, its share of what the very same sounds would have.

Probabilistic edit distance: E. S. Ristad, P. N. Yianilos, "Learning string-edit distance", IEEE PAMI 20 (1998). The
table is made by `tools/fit_sounds.py`.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from pipeline.correct.pronounce import VOWELS
from pipeline.correct.sounds import CODES, PAD, Edits, Ints, Rows, edit_costs

_TABLE = Path(__file__).resolve().parent.parent / "data" / "sound_channel.npz"

PLACES = 6
"""Where a phone stands in its word: within, first, first of a cluster, last, last of a cluster, within a cluster."""

SIZE = PAD + 1
PLAIN: NDArray[np.uint8] = (np.arange(256) % SIZE).astype(np.uint8)
"""The phone of each code of a phone in its place."""


@cache
def in_place(way: str) -> tuple[int, ...]:
    """Codes of the phones of one word, each with its place: phone + `SIZE` * place."""
    found = []
    vowels = [True, *(phone in VOWELS for phone in way), True]
    for number, phone in enumerate(way):
        cluster = not vowels[number + 1] and not (vowels[number] and vowels[number + 2])
        if number == 0:
            place = 2 if cluster else 1
        elif number == len(way) - 1:
            place = 4 if cluster else 3
        else:
            place = 5 if cluster else 0
        found.append(CODES[phone] + SIZE * place)
    return tuple(found)


@cache
def _tables() -> tuple[Edits, NDArray[np.float32]]:
    """Costs of the edits (what is not as likely as it is by chance costs, what fits pays), and pay of each phone."""
    with np.load(_TABLE) as packed:
        swap, drop, add = (packed[name].astype(np.float32) for name in ("swap", "drop", "add"))
    codes = np.arange(SIZE * PLACES)
    best = np.zeros(256, dtype=np.float32)
    best[codes] = -swap[codes, PLAIN[codes]]
    best[PLAIN == PAD] = 0.0
    return Edits(swap, add, drop), best


def best_support(rows: Rows) -> NDArray[np.float32]:
    """Support that each row would have if it was heard just as it is said; shape (rows,)."""
    total: NDArray[np.float32] = _tables()[1][rows].sum(axis=1)
    return total


def pay(codes: NDArray[np.uint8]) -> NDArray[np.float32]:
    """What each code brings where it is heard as it is said."""
    paid: NDArray[np.float32] = _tables()[1][codes]
    return paid


def support(heard: Rows, said: Rows, own: Ints, other: Ints) -> NDArray[np.float64]:
    """Nats in favour of rows `other` of `said` where rows `own` of `heard` were heard, against no connexion."""
    return -edit_costs(PLAIN[heard], said, own, other, _tables()[0]).astype(np.float64)


def likeness(heard: Rows, said: Rows, own: Ints, other: Ints) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Support, and its share of what the same sounds would have: 1 for the same, down to 0 for nothing in common."""
    nats = support(heard, said, own, other)
    most = (best_support(heard)[own] + best_support(said)[other]) / 2
    return nats, np.clip(nats / np.maximum(most, 0.1), 0.0, 1.0)
