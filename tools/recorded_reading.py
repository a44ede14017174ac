"""Readings written by `train_reader.py --folds`: of each narration by a network that had not seen its author."""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from pipeline.events.finder import TextReader
from pipeline.reader.reading import PART_PLACE, UNRELATED, VERB_PART, VERB_PLACE, Reading

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

    def __init__(self, examples: Path, folds: Sequence[Path], other: TextReader) -> None:
        self._other = other
        self._found: dict[tuple[str, ...], Reading] = {}
        stored = {}
        for path in folds:
            stored.update(np.load(path))
        for example in json.loads(examples.read_text(encoding="utf-8")):
            key = f"{example['name']}|{example['view']}|"
            if key + "trig" in stored:
                get = {name: stored[key + name] for name in
                       ("trig", "status", "ends", "tells", "pair", "attr", "verb_attr", "noun_attr")}  # fmt: skip
                pairs = RecordedPairs(get["tells"], get["pair"], get["attr"], get["verb_attr"], get["noun_attr"])
                self._found[tuple(example["words"])] = Reading(
                    get["trig"].astype(np.float32),
                    get["status"].astype(np.float32),
                    get["ends"].astype(np.float32),
                    pairs,
                )

    def read(self, words: Sequence[str]) -> Reading | None:
        return self._found.get(tuple(words)) or self._other.read(words)
