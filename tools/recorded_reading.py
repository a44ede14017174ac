"""Readings written by `read_left_out.py`: of each narration by a network that had not seen its author."""

from __future__ import annotations

import lzma
import pickle
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pipeline.events.finder import TextReader
from pipeline.reader.reading import (
    FIGURE_EVENT,
    FIGURE_OWNER,
    PART_PLACE,
    UNRELATED,
    VERB_PART,
    VERB_PLACE,
    Floats,
    Reading,
)

BEFORE, PLACE_BEFORE = 110, 40


class RecordedPairs:
    """Pair scores that were kept, in eighths."""

    def __init__(self, get: Mapping[str, NDArray[Any]]) -> None:
        def rows(places: str, scores: str) -> dict[int, NDArray[Any]]:
            return {int(at): row for at, row in zip(get[places], get[scores], strict=True)} if places in get else {}

        self._rows = {
            VERB_PART: rows("tells", "pair"),
            VERB_PLACE: rows("attr", "verb_attr"),
            PART_PLACE: rows("attr", "noun_attr"),
            FIGURE_OWNER: rows("numbers", "owner"),
            FIGURE_EVENT: rows("numbers", "telling"),
        }

    def score(self, role: int, first: int, second: int) -> float:
        if role in (VERB_PLACE, PART_PLACE):
            row, at = self._rows[role].get(second), first - second + PLACE_BEFORE
        else:
            row, at = self._rows[role].get(first), second - first + BEFORE
        if row is None or not 0 <= at < len(row) or row[at] == -128:
            return UNRELATED
        return float(row[at]) / 8

    def around(self, role: int, first: int, low: int, high: int) -> Floats:
        return np.array([self.score(role, first, at) for at in range(low, high)], dtype=np.float32)


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
                    self._found[words] = Reading(nothing, nothing, nothing, figures, RecordedPairs(get))
                    continue
                trig, status, ends = (get[name].astype(np.float32) / 8 for name in ("trig", "status", "ends"))
                self._found[words] = Reading(trig, status, ends, figures, RecordedPairs(get))

    def read(self, words: Sequence[str]) -> Reading | None:
        return self._found.get(tuple(words)) or self._other.read(words)

    def breaks(self, words: Sequence[str]) -> Floats:
        found = self._marks.get(tuple(words))
        return self._other.breaks(words) if found is None else found
