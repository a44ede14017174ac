"""Readings written by `train_reader.py --folds`: of each narration by a network that had not seen its author."""

from __future__ import annotations

from collections import defaultdict
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

    def __init__(self, tells: NDArray[np.int64], pair: NDArray[np.int8], spots: NDArray[np.int64],
                 verb_place: NDArray[np.int8], part_place: NDArray[np.int8]) -> None:  # fmt: skip
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


class RecordedReader:
    """Answers from files; what stands in none of them the other reader reads."""

    def __init__(self, folds: Sequence[Path], other: TextReader) -> None:
        self._other = other
        self._found: dict[tuple[str, ...], Reading] = {}
        self._marks: dict[tuple[str, ...], Floats] = {}
        for path in folds:
            stored: dict[str, dict[str, Any]] = defaultdict(dict)
            for name, array in np.load(path).items():
                view, _, field = name.rpartition("|")
                stored[view][field] = array
            for get in stored.values():
                words = tuple(str(get["words"]).split(" "))
                if "marks" in get:
                    self._marks[words] = get["marks"].astype(np.float32)
                    continue
                pairs = RecordedPairs(get["tells"], get["pair"], get["attr"], get["verb_attr"], get["noun_attr"])
                scores = (get[name].astype(np.float32) for name in ("trig", "status", "ends"))
                self._found[words] = Reading(*scores, pairs)

    def read(self, words: Sequence[str]) -> Reading | None:
        return self._found.get(tuple(words)) or self._other.read(words)

    def breaks(self, words: Sequence[str]) -> Floats:
        found = self._marks.get(tuple(words))
        return self._other.breaks(words) if found is None else found
