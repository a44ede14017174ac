"""Readings written by `train_reader.py --folds`: of each narration by a network that had not seen its author."""

from __future__ import annotations

import lzma
import pickle
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pipeline.events.finder import TextReader
from pipeline.reader.reading import PART_PLACE, UNRELATED, VERB_PART, VERB_PLACE, Floats, Reading

BEFORE, PLACE_BEFORE = 110, 40


class RecordedPairs:
    """Pair scores that were kept, in eighths."""

    def __init__(self, tells: NDArray[Any], pair: NDArray[Any], spots: NDArray[Any],
                 verb_place: NDArray[Any], part_place: NDArray[Any]) -> None:  # fmt: skip
        self._rows = {int(at): row for at, row in zip(tells, pair, strict=True)}
        self._places = {
            VERB_PLACE: {int(at): row for at, row in zip(spots, verb_place, strict=True)},
            PART_PLACE: {int(at): row for at, row in zip(spots, part_place, strict=True)},
        }

    def score(self, role: int, first: int, second: int) -> float:
        if role == VERB_PART:
            row, at = self._rows.get(first), second - first + BEFORE
        else:
            row, at = self._places[role].get(second), first - second + PLACE_BEFORE
        if row is None or not 0 <= at < len(row) or row[at] == -128:
            return UNRELATED
        return float(row[at]) / 8

    def around(self, first: int, low: int, high: int) -> Floats:
        return np.array([self.score(VERB_PART, first, at) for at in range(low, high)], dtype=np.float32)


class RecordedReader:
    """Answers from files; what stands in none of them the other reader reads."""

    def __init__(self, folds: Sequence[Path], other: TextReader) -> None:
        self._other = other
        self._found: dict[tuple[str, ...], Reading] = {}
        self._marks: dict[tuple[str, ...], Floats] = {}
        for path in folds:
            with lzma.open(path) as file:
                views: list[dict[str, Any]] = pickle.load(file)
            for get in views:
                words = tuple(get["words"])
                self._marks[words] = get["marks"].astype(np.float32) / 8
                figures = get["figures"].astype(np.float32) / 8
                if "trig" not in get:  # a saying or a recording, of which only the figures are asked
                    nothing = np.zeros((len(words), 0), dtype=np.float32)
                    none = np.zeros(0, dtype=np.int64)
                    pairs = RecordedPairs(none, none, none, none, none)
                    self._found[words] = Reading(nothing, nothing, nothing, figures, pairs)
                    continue
                pairs = RecordedPairs(get["tells"], get["pair"], get["attr"], get["verb_attr"], get["noun_attr"])
                trig, status, ends = (get[name].astype(np.float32) / 8 for name in ("trig", "status", "ends"))
                self._found[words] = Reading(trig, status, ends, figures, pairs)

    def read(self, words: Sequence[str]) -> Reading | None:
        return self._found.get(tuple(words)) or self._other.read(words)

    def breaks(self, words: Sequence[str]) -> Floats:
        found = self._marks.get(tuple(words))
        return self._other.breaks(words) if found is None else found
