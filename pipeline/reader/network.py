"""Runs the reader network over the words of a text.

The network is a BERT encoder of six layers (all-MiniLM-L6-v2, Apache-2.0) with heads of our own, trained by
`tools/train_reader.py` and kept in 8-bit numbers. It reads windows of word pieces; each word's scores come from a
window in which it does not stand at the edge.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache, lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pipeline.reader.pieces import DATA, load_pieces, one_session
from pipeline.reader.reading import ACTIONS, FIGURES, KINDS, MARKS, STATUSES, Floats, Reading

LENGTH, MARGIN = 384, 48
ROLES, WIDTH = 5, 64
# Distances, in words, at which the score of a pair changes.
STEPS = np.array((-60, -40, -27, -18, -12, -8, -5, -3, -2, -1, 0, 1, 2, 3, 4, 6, 9, 13, 20))
_SPLITS = np.cumsum([1 + len(ACTIONS), len(STATUSES), 1 + len(KINDS), len(MARKS), 1 + len(FIGURES)])


class ReadPairs:
    """Scores of pairs of words from the queries and keys [tokens, roles, width] of the network."""

    def __init__(self, queries: Floats, keys: Floats, bias: Floats) -> None:
        self._queries, self._keys, self._bias = queries * (2 / np.sqrt(WIDTH)), keys, bias

    def score(self, role: int, first: int, second: int) -> float:
        """How much the word `second` is what the word `first` is about, in the sense of the role."""
        step = int(np.searchsorted(STEPS, second - first))
        return float(self._queries[first, role] @ self._keys[second, role] + self._bias[role, step])

    def around(self, role: int, first: int, low: int, high: int) -> Floats:
        """The scores of the words `low`..`high` as what the word `first` is about, in the sense of the role."""
        steps = np.searchsorted(STEPS, np.arange(low - first, high - first))
        scores: Floats = self._keys[low:high, role] @ self._queries[first, role] + self._bias[role, steps]
        return scores


class Reader:
    """The network, ready to read. Loading it takes about a tenth of a second."""

    def __init__(self) -> None:
        self._pieces = load_pieces()
        self._bias: Floats = np.load(DATA / "reader_bias.npy")
        self._read = lru_cache(maxsize=2)(self._read_afresh)
        self._session = one_session(DATA / "reader.onnx")

    def read(self, words: Sequence[str]) -> Reading | None:
        """What the network says of the words; None for a text without words. Events and loose ends ask one after the
        other, so the last readings are kept."""
        return self._read(tuple(words)) if words else None

    def _read_afresh(self, words: tuple[str, ...]) -> Reading:
        scores = self._scores(words)
        actions, statuses, ends, _, figures, both = np.split(scores, _SPLITS, axis=1)
        queries, keys = np.split(both, 2, axis=1)
        shape = (len(words), len(self._bias), WIDTH)
        pairs = ReadPairs(queries.reshape(shape), keys.reshape(shape), self._bias)
        return Reading(actions, statuses, ends, figures, pairs)

    def breaks(self, words: Sequence[str]) -> Floats:
        """Scores [words, marks] for each of `MARKS` behind each of some words without punctuation (log odds)."""
        return np.split(self._scores(words), _SPLITS, axis=1)[3] if words else np.zeros((0, len(MARKS)), np.float32)

    def _scores(self, words: Sequence[str]) -> Floats:
        first, pieces = self._pieces.of_words(words)
        return np.concatenate([self._window(first, pieces, *window) for window in windows(first, len(pieces))])

    def _window(self, first: list[int], pieces: list[int], start: int, stop: int, low: int, high: int) -> Floats:
        """Scores [words, numbers] of the words `low`..`high`, read together with `start`..`stop`."""
        ends = [*first[1:], len(pieces)]
        shown = [self._pieces.first, *pieces[first[start] : ends[stop - 1]], self._pieces.last]
        (scores,) = self._session.run(None, {"words": self._pieces.vectors(shown)[None]})
        places: NDArray[Any] = np.array(first[low:high]) - first[start] + 1
        found: Floats = scores[0, places]
        return found


def windows(first: Sequence[int], pieces: int) -> list[tuple[int, int, int, int]]:
    """(first word, end word) of each window, and (first, end) of the words whose scores come from it."""
    found, low, words = [], 0, len(first)
    ends = [*first[1:], pieces]
    while low < words:
        start = low
        while start > 0 and first[low] - first[start - 1] <= MARGIN:
            start -= 1
        stop = low + 1
        while stop < words and ends[stop] - first[start] <= LENGTH - 2:
            stop += 1
        high = stop
        if stop < words:
            while high > low + 1 and first[stop] - first[high - 1] < MARGIN:
                high -= 1
        found.append((start, stop, low, high))
        low = high
    return found


@cache
def load_reader() -> Reader:
    """The reader of this installation."""
    return Reader()
