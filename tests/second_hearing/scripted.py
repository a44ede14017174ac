"""Ears that give each word of a wording the likelihood they are told, and count what they were asked."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from pipeline.hearing import Sound
from pipeline.hearing.speech_model import EncodedSound, ForcedWord
from pipeline.records import Recording, Transcript, Word

WORD_MS = 300


class ScriptedEars:
    """`nats`: log probability of a word given the sound; words that are not in it get `otherwise`. Silence gives -8."""

    encoder = "scripted"

    def __init__(self, nats: Mapping[str, float], otherwise: float = -1.0) -> None:
        self.nats, self.otherwise = dict(nats), otherwise
        self.encoded_ms: list[int] = []
        self.asked: list[list[str]] = []

    def encode_short(self, samples: NDArray[np.float32]) -> EncodedSound:
        self.encoded_ms.append(len(samples) // 16)
        is_noise = float(np.abs(samples).max(initial=0.0)) < 0.01
        return EncodedSound(np.full((max(1, len(samples) // 320), 8), float(is_noise), np.float32), len(samples) // 160)

    def force(self, encoded: EncodedSound, wordings: Sequence[str]) -> list[tuple[ForcedWord, ...]]:
        self.asked.append(list(wordings))
        silent = encoded.states[0, 0] == 1.0
        return [
            tuple(
                ForcedWord(word, -8.0 if silent else self.nats.get(word, self.otherwise), 1, i * 100, i * 100 + 100)
                for i, word in enumerate(wording.split())
            )
            for wording in wordings
        ]


def heard(text: str, doubted: Mapping[str, float] | None = None) -> Transcript:
    """A transcript of one word every 300 ms, certain but for the `doubted` ones."""
    words = tuple(
        Word(word, i * WORD_MS, i * WORD_MS + 280, (doubted or {}).get(word, 0.99))
        for i, word in enumerate(text.split())
    )
    return Transcript(Recording("bench.wav", len(words) * WORD_MS, "0" * 64), words, (0,), from_sound=True)


def sound_of(transcript: Transcript) -> Sound:
    """Loud enough not to be taken for the faint noise of the priors."""
    return Sound(np.full(transcript.recording.duration_ms * 16, 0.1, np.float32))
