"""Fifteen or fifty: a small linear probe on the encoder's states, trained for the default model only.

The decoder of a speech model often has no opinion on a -teen against its -ty, or a wrong one with confidence, while
the encoder's states over the word still tell them apart. The probe is fitted by `tools/train_teen_ty.py`.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from pipeline.hearing.speech_model import STATE_MS, EncodedSound

_WEIGHTS = Path(__file__).resolve().parent.parent / "data" / "teen_ty.npz"
PARTS = 4
BEFORE_MS, AFTER_MS = 40, 120
LEAST_MS = 160

Floats = NDArray[np.float32]


def span_features(encoded: EncodedSound, start_ms: int, end_ms: int) -> Floats:
    """What the probe looks at: the states over a word in four equal parts, each averaged; shape (4 * width + 1,).

    `start_ms` and `end_ms` are those of the contested word in the encoded stretch. The last entry is the logarithm of
    the word's length in states.
    """
    end_ms = max(end_ms, start_ms + LEAST_MS)
    low = max(0, (start_ms - BEFORE_MS) // STATE_MS)
    high = min(len(encoded.states), (end_ms + AFTER_MS) // STATE_MS)
    low = max(0, min(low, high - PARTS))
    parts = [part.mean(axis=0) for part in np.array_split(encoded.states[low:high], PARTS)]
    return np.concatenate([*parts, [np.log(high - low)]]).astype(np.float32)


@dataclass(frozen=True)
class TeenTyProbe:
    """`features @ weights + bias`: above 0 for a -teen, in nats. For one model only."""

    identity: str
    weights: Floats
    bias: float

    def teen_nats(self, encoded: EncodedSound, start_ms: int, end_ms: int) -> float:
        """By how much the sound of the word speaks for -teen (negative: for -ty)."""
        features = span_features(encoded, start_ms, end_ms)
        return float(features @ self.weights + self.bias)


@cache
def shipped_probe() -> TeenTyProbe:
    """The probe in `pipeline/data/teen_ty.npz`, stored with the identity of the model that it was trained for."""
    with np.load(_WEIGHTS) as data:
        return TeenTyProbe(str(data["identity"]), data["weights"], float(data["bias"]))
