"""The probe that ships: whose it is, its shape, and what part of the sound it looks at."""

import numpy as np

from pipeline.hearing.model import DEFAULT_SHA256
from pipeline.hearing.speech_model import EncodedSound
from pipeline.second_hearing.teen_ty import PARTS, TeenTyProbe, shipped_probe, span_features

WIDTH = 512


def test_the_shipped_probe_belongs_to_the_default_model() -> None:
    probe = shipped_probe()
    assert DEFAULT_SHA256[:12] in probe.identity
    assert probe.weights.shape == (PARTS * WIDTH + 1,)
    assert np.isfinite(probe.weights).all()


def test_features_are_those_of_the_word_and_a_little_around_it() -> None:
    states = np.zeros((100, 2), np.float32)
    states[50:60] = 1.0  # 1,000 to 1,200 ms
    features = span_features(EncodedSound(states, 200), 1_000, 1_200)
    assert features.shape == (PARTS * 2 + 1,)
    assert features[:-1].max() == 1.0
    assert features[0] < 1.0
    assert span_features(EncodedSound(states, 200), 200, 400)[:-1].max() == 0.0


def test_a_word_at_the_very_end_of_the_sound_still_has_features() -> None:
    features = span_features(EncodedSound(np.ones((10, 2), np.float32), 20), 200, 200)
    assert np.isfinite(features).all()


def test_support_is_linear_in_the_states() -> None:
    probe = TeenTyProbe("any", np.append(np.ones(PARTS * 2), 0).astype(np.float32), -1.0)
    low = probe.teen_nats(EncodedSound(np.zeros((50, 2), np.float32), 100), 200, 500)
    high = probe.teen_nats(EncodedSound(np.full((50, 2), 2.0, np.float32), 100), 200, 500)
    assert (low, high) == (-1.0, 2.0 * PARTS * 2 - 1.0)
