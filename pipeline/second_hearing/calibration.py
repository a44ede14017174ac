"""Margins to probabilities: logistic weights fitted on the development set by `tools/measure_second_hearing.py`."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from math import exp
from pathlib import Path

_WEIGHTS = Path(__file__).resolve().parent.parent / "data" / "second_hearing.toml"
_MOST = 30.0


@dataclass(frozen=True)
class Calibration:
    """Weights by name of evidence for each kind of contest, and the probabilities from which something is done.

    `kinds`: teen_ty (with the probe), teen_ty_plain (another speech model), figure (no -teen or -ty), term, unit.
    """

    kinds: Mapping[str, Mapping[str, float]]
    doubtful_from: float
    doubtful_ending_from: float
    auto: float
    auto_guarded: float
    ask: float
    ask_unit: float

    def odds(self, kind: str, evidence: Mapping[str, float]) -> float:
        """Exponential of the weighted evidence; evidence without a weight does not count."""
        weights = self.kinds[kind]
        total = weights["bias"] + sum(weights.get(name, 0.0) * value for name, value in evidence.items())
        return exp(max(-_MOST, min(_MOST, total)))

    def probability(self, kind: str, evidence: Mapping[str, float]) -> float:
        """The odds as a probability."""
        odds = self.odds(kind, evidence)
        return odds / (1.0 + odds)

    def figure_doubt(self, evidence: Mapping[str, float]) -> float:
        """Probability that the rival was said, and not the figure that was heard."""
        kind = "teen_ty" if "probe" in evidence else "teen_ty_plain" if "words" in evidence else "figure"
        return 1.0 - self.probability(kind, evidence)

    def is_doubtful(self, evidence: Mapping[str, float]) -> bool:
        """Whether both figures are to be shown."""
        return self.figure_doubt(evidence) >= (self.doubtful_ending_from if "words" in evidence else self.doubtful_from)


@cache
def shipped_calibration() -> Calibration:
    """The weights in `pipeline/data/second_hearing.toml`."""
    data = tomllib.loads(_WEIGHTS.read_text(encoding="utf-8"))
    decision = data.pop("decision")
    data.pop("source")
    keys = ("doubtful", "doubtful_ending", "auto", "auto_guarded", "ask", "ask_unit")
    return Calibration(data, *(decision[key] for key in keys))
