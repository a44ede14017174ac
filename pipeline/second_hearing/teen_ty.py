"""Fifteen or fifty: small convolutional networks over the encoder's states, trained for the default model only.

The decoder of a speech model often has no opinion on a -teen against its -ty, or a wrong one with confidence, while
the encoder's states over the word, in their order, still tell them apart. `tools/train_teen_ty.py` trains the networks.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from math import tanh
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from pipeline.hearing.speech_model import STATE_MS, EncodedSound

_WEIGHTS = Path(__file__).resolve().parent.parent / "data" / "teen_ty.npz"
LEAD, KEPT = 10, 44
"""States looked at: so many, from so many before the contested word on (880 ms, 200 ms of them before it)."""
# Nats at which what the networks say levels off: on voices that they do not know they are surer than they are right.
_LEVEL = 4.0

Floats = NDArray[np.float32]
Span = tuple[int, int]


def window(states: Floats, spans: tuple[Span, Span], beyond: Floats) -> tuple[Floats, Floats]:
    """What the networks look at: states about a word, and where it is.

    Args:
        states: of a stretch of sound, shape (n, width).
        spans: first state and end of the word as a -teen and as a -ty.
        beyond: stands where the sound has no states any more, shape (width,).

    Returns:
        States, shape (KEPT, width), and ones where the word is, shape (KEPT, 2): as a -teen and as a -ty.
    """
    first = max(0, min(start for start, _ in spans) - LEAD)
    kept = np.tile(beyond, (KEPT, 1))
    own = states[first : first + KEPT]
    kept[: len(own)] = own
    places = np.zeros((KEPT, 2), np.float32)
    for column, (start, end) in enumerate(spans):
        places[start - first : max(end, start + 1) - first, column] = 1.0
    return kept, places


@dataclass(frozen=True)
class TeenTyProbe:
    """Networks alike in shape, whose mean counts. For one model only.

    `mean`: of the states, shape (width,). `layers`: weights by name, the first axis is the network; `project` (width to
    fewer), then convolutions over time `first`, `second` (added to what goes in) and `third`, then `out` over the
    highest and the mean value of each unit; biases are `NAME_bias`.
    """

    encoder: str
    mean: Floats
    layers: Mapping[str, Floats]

    def teen_nats(self, encoded: EncodedSound, teen_ms: Span, ty_ms: Span) -> float:
        """By how much the sound speaks for -teen (negative: for -ty), at most 4 nats.

        `teen_ms` and `ty_ms`: when the contested word begins and ends if it is the one and if it is the other.
        """
        spans = [(start // STATE_MS, end // STATE_MS) for start, end in (teen_ms, ty_ms)]
        states, places = window(encoded.states, (spans[0], spans[1]), self.mean)
        count = len(self.layers["out_bias"])
        return _LEVEL * tanh(sum(self._one(n, states, places) for n in range(count)) / count / _LEVEL)

    def _one(self, number: int, states: Floats, places: Floats) -> float:
        layer = {name: values[number] for name, values in self.layers.items()}
        low = np.hstack([states @ layer["project"].T + layer["project_bias"], places])
        first = _convolved(low, layer["first"], layer["first_bias"])
        second = first + _convolved(first, layer["second"], layer["second_bias"])
        third = _convolved(second, layer["third"], layer["third_bias"])
        pooled = np.concatenate([third.max(axis=0), third.mean(axis=0)])
        return float(pooled @ layer["out"] + layer["out_bias"])


def _convolved(rows: Floats, kernel: Floats, bias: Floats) -> Floats:
    """Rectified convolution over time, as long as `rows`, shape (n, in); `kernel` has shape (out, in, width)."""
    beside = kernel.shape[2] // 2
    padded = np.pad(rows, ((beside, beside), (0, 0)))
    total = sum(padded[at : at + len(rows)] @ kernel[:, :, at].T for at in range(kernel.shape[2]))
    return np.asarray(np.maximum(total + bias, 0.0), np.float32)


@cache
def shipped_probe() -> TeenTyProbe:
    """The networks in `pipeline/data/teen_ty.npz`, with the name of the encoder that they were trained for."""
    with np.load(_WEIGHTS) as data:
        layers = {name: data[name].astype(np.float32) for name in data.files if name not in ("encoder", "mean")}
        return TeenTyProbe(str(data["encoder"]), data["mean"].astype(np.float32), layers)
