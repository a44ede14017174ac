"""The learned weights of features (pipeline/data/loose_ends.json), made by tools/fit_loose_ends.py."""

from __future__ import annotations

import json
import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

_DATA = Path(__file__).resolve().parent.parent / "data" / "loose_ends.json"
KINDS = ("provisional", "loose", "waiting", "not_closed", "promised", "one_side_only")


@dataclass(frozen=True)
class Weights:
    """Weights of clause features for each kind of loose end, and of part features; "" is the constant of a kind."""

    kinds: Mapping[str, Mapping[str, float]]
    parts: Mapping[str, float]

    def probability(self, kind: str, features: Iterable[str]) -> float:
        """How probable it is that a clause with these features tells of a loose end of this kind."""
        weights = self.kinds[kind]
        return 1 / (1 + math.exp(-weights[""] - sum(weights.get(name, 0.0) for name in features)))

    def shares(self, candidates: Sequence[Iterable[str]]) -> list[float]:
        """How probable each candidate is the part that a clause is about; they add up to one."""
        scores = [sum(self.parts.get(name, 0.0) for name in features) for features in candidates]
        top = max(scores, default=0.0)
        odds = [math.exp(score - top) for score in scores]
        total = sum(odds)
        return [each / total for each in odds]


@cache
def load_weights() -> Weights:
    """The weights, read once."""
    data = json.loads(_DATA.read_text(encoding="utf-8"))
    return Weights(data["kinds"], data["parts"])
