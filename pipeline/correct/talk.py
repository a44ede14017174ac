"""How usual a term is in workshop talk, whatever the recording: in how many narrations it and its words were said; and
which words stand beside terms, whatever the trade.

Counted by `tools/count_talk.py` in narrations that are used for nothing but tuning. A vocabulary of a
trade that nobody has counted goes without.
"""

from __future__ import annotations

import gzip
from collections.abc import Iterable, Mapping, Sequence
from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from pipeline.correct.language import COMMON, english

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]

_TABLE = Path(__file__).resolve().parent.parent / "data" / "correction_talk.gz"
_NEIGHBOURS = _TABLE.with_name("correction_neighbours.gz")
_SCALE = 3.0
_LEAST_KNOWN = 0.12


@cache
def counted() -> Mapping[str, int]:
    """Words and stretches of up to four words -> in how many narrations they were said, two at least."""
    lines = gzip.decompress(_TABLE.read_bytes()).decode("utf-8").splitlines()
    return {text: int(count) for text, _, count in (line.rpartition("\t") for line in lines)}


@cache
def term_neighbours() -> Mapping[str, tuple[float, float]]:
    """Word -> how much oftener it stands right before, and right after, a term than other words do; in nats.

    The word "" is the bounds of a sentence; a word that is not there is not known to lean either way.
    """
    lines = gzip.decompress(_NEIGHBOURS.read_bytes()).decode("utf-8").splitlines()
    parts = (line.split("\t") for line in lines)
    return {word: (int(before) / 10, int(after) / 10) for word, before, after in parts}


def talk_for(words: Iterable[str]) -> Mapping[str, int]:
    """What is counted, for a vocabulary of these words; nothing where they are of a trade that was not counted."""
    special = [word for word in words if english().frequency(word) < COMMON]
    known = sum(word in counted() for word in special)
    return counted() if known >= _LEAST_KNOWN * len(special) else {}


def usualness(forms: Sequence[tuple[str, ...]], owners: Ints, terms: int, talk: Mapping[str, int]) -> Floats:
    """How usual each term is, and how usual its words are on average; damped; shape (terms, 2).

    `owners`: the term of each form, whose words are in `forms`. The most usual form of a term counts.
    """
    found = np.zeros((terms, 2))
    if not terms:
        return found
    whole = np.log1p([talk.get(" ".join(words), 0) for words in forms])
    single = np.log1p([sum(talk.get(word, 0) for word in words) / len(words) for words in forms])
    np.maximum.at(found[:, 0], owners, whole)
    np.maximum.at(found[:, 1], owners, single)
    found -= found.mean(axis=0)
    return found / _SCALE
