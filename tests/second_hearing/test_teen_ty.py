"""The networks that ship: whose they are, their shape, what part of the sound they look at, and their arithmetic."""

import numpy as np
import pytest

from pipeline.hearing.model import DEFAULT_SHA256
from pipeline.hearing.speech_model import EncodedSound
from pipeline.second_hearing.teen_ty import KEPT, LEAD, TeenTyProbe, shipped_probe, window

WIDTH = 512


def test_the_shipped_networks_belong_to_the_default_model() -> None:
    probe = shipped_probe()
    assert probe.encoder == f"whisper-base-{DEFAULT_SHA256[:12]}"
    count, low, width = probe.layers["project"].shape
    assert (width, probe.mean.shape) == (WIDTH, (WIDTH,))
    assert probe.layers["first"].shape[2] == low + 2
    assert all(len(values) == count and np.isfinite(values).all() for values in probe.layers.values())


def test_the_window_is_the_word_and_a_little_around_it() -> None:
    states = np.arange(100, dtype=np.float32)[:, None] * np.ones(2, np.float32)
    kept, places = window(states, ((50, 60), (51, 58)), np.full(2, -1, np.float32))
    assert kept[:, 0].tolist() == list(range(50 - LEAD, 50 - LEAD + KEPT))
    assert np.flatnonzero(places[:, 0]).tolist() == list(range(LEAD, LEAD + 10))
    assert np.flatnonzero(places[:, 1]).tolist() == list(range(LEAD + 1, LEAD + 8))


def test_a_window_at_the_edges_of_the_sound() -> None:
    states = np.ones((10, 2), np.float32)
    beyond = np.full(2, -1, np.float32)
    kept, places = window(states, ((2, 6), (2, 5)), beyond)
    assert kept[:10].tolist() == states.tolist()
    assert (kept[10:] == -1).all()
    assert np.flatnonzero(places[:, 0]).tolist() == [2, 3, 4, 5]
    kept, places = window(states, ((60, 60), (60, 60)), beyond)
    assert (kept == -1).all()
    assert places.sum() == 2


def one_network(units: int, width: int) -> TeenTyProbe:
    """Any weights."""
    draw = np.random.default_rng(5)
    sizes = {"project": (3, width), "first": (units, 5, 5), "second": (units, units, 5), "third": (units, units, 5)}
    sizes |= {"project_bias": (3,), "out": (2 * units,), "out_bias": ()}
    sizes |= {f"{name}_bias": (units,) for name in ("first", "second", "third")}
    layers = {name: draw.normal(0, 0.3, (1, *size)).astype(np.float32) for name, size in sizes.items()}
    return TeenTyProbe("any", np.zeros(width, np.float32), layers)


# The sums are those of numpy's own convolution and of nothing else of ours.
def test_the_arithmetic_is_that_of_a_convolutional_network() -> None:
    probe = one_network(units=2, width=4)
    states = np.random.default_rng(6).normal(size=(70, 4)).astype(np.float32)
    layer = {name: values[0].astype(float) for name, values in probe.layers.items()}
    kept, places = window(states, ((20, 30), (21, 31)), probe.mean)
    rows = np.hstack([kept @ layer["project"].T + layer["project_bias"], places])
    for name in ("first", "second", "third"):
        out = np.zeros((KEPT, 2))
        for unit in range(2):
            for channel in range(rows.shape[1]):
                out[:, unit] += np.convolve(rows[:, channel], layer[name][unit, channel, ::-1], mode="same")
        out = np.maximum(out + layer[f"{name}_bias"], 0)
        rows = rows + out if name == "second" else out
    nats = np.concatenate([rows.max(axis=0), rows.mean(axis=0)]) @ layer["out"] + layer["out_bias"]
    heard = probe.teen_nats(EncodedSound(states, 140), (400, 600), (420, 620))
    assert heard == pytest.approx(4 * np.tanh(nats / 4), abs=1e-3)


def test_what_they_say_levels_off() -> None:
    probe = one_network(units=2, width=4)
    loud = TeenTyProbe("any", probe.mean, {**probe.layers, "out_bias": np.array([1e4], np.float32)})
    assert loud.teen_nats(EncodedSound(np.zeros((50, 4), np.float32), 100), (200, 500), (200, 500)) == 4.0
