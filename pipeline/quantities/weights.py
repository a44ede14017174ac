"""Weights learned from sayings with gold figures, by which doubtful figures get their unit and their owner."""

from __future__ import annotations

import json
from collections.abc import Iterable
from functools import cache
from pathlib import Path

WEIGHTS = Path(__file__).resolve().parent.parent / "data" / "figure_weights.json"


@cache
def figure_weights() -> dict[str, dict[str, float]]:
    """Question -> name of what speaks for an answer -> weight; written by `tools/fit_figures.py`."""
    data: dict[str, dict[str, float]] = json.loads(WEIGHTS.read_text(encoding="utf-8"))
    return data


def heaviest(rows: Iterable[Iterable[str]], question: str) -> int:
    """The first of the rows whose evidence weighs most for a question."""
    weights = figure_weights()[question]
    worths = [sum(weights.get(name, 0.0) for name in row) for row in rows]
    return worths.index(max(worths))
