"""Puts contests to the speech model: how well the sound supports each wording."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from pipeline.hearing.sound import SAMPLE_RATE, Sound
from pipeline.hearing.speech_model import EncodedSound, ForcedWord
from pipeline.records import Word
from pipeline.second_hearing.contests import Contest, Context, share_contexts, wording_in

# How much of a wording's likelihood without any sound is taken off: what is merely common English counts less.
PRIOR_WEIGHT = 0.3
# Words beside the contested ones that are enough to tell how common a wording is.
_PRIOR_WORDS = 2
_NOISE_MS = 1_000
_NOISE_LEVEL = 1e-3
_LEAST_SAMPLES = SAMPLE_RATE // 4


class Ears(Protocol):
    """What this stage needs of the speech model; `encoder` changes with the weights that turn sound into states."""

    encoder: str

    def encode_short(self, samples: NDArray[np.float32]) -> EncodedSound:
        """Encodes a stretch of at most 30 s."""

    def force(self, encoded: EncodedSound, wordings: Sequence[str]) -> list[tuple[ForcedWord, ...]]:
        """Log probabilities and times of each word of each wording."""


@dataclass(frozen=True, slots=True)
class Heard:
    """One contest after hearing: for each wording its words in the context and its prior, in the contest's order.

    `start`: index of the first contested word within the forced words.
    """

    contest: Contest
    context: Context
    encoded: EncodedSound
    forced: tuple[tuple[ForcedWord, ...], ...]
    priors: tuple[float, ...]
    start: int

    def nats(self, wording: int) -> float:
        """Natural log likelihood of the whole context with this wording, given the sound."""
        return sum(word.log_probability for word in self.forced[wording])

    def pieces(self, wording: int) -> int:
        """Pieces of text that the context has with this wording."""
        return sum(word.tokens for word in self.forced[wording])

    def support(self, wording: int) -> float:
        """The same less a share of what the model gives the wording without sound."""
        return self.nats(wording) - PRIOR_WEIGHT * self.priors[wording]


def noise_only(ears: Ears) -> EncodedSound:
    """A second of faint noise: what the model makes of a wording when nobody says it is its prior."""
    noise = np.random.default_rng(0).standard_normal(_NOISE_MS * SAMPLE_RATE // 1000)
    return ears.encode_short((noise * _NOISE_LEVEL).astype(np.float32))


def hear_contests(words: Sequence[Word], contests: Sequence[Contest], sound: Sound, ears: Ears) -> list[Heard]:
    """Every contest put to the sound, in order of place. Each context is encoded once, its wordings are one batch."""
    if not contests:
        return []
    silence = noise_only(ears)
    heard: list[Heard] = []
    for context, group in share_contexts(words, contests, sound.duration_ms):
        low, high = (ms * SAMPLE_RATE // 1000 for ms in (context.start_ms, context.end_ms))
        samples = sound.samples[low:high]
        # words may be dated at or past the end of a recording that was cut short
        encoded = ears.encode_short(np.pad(samples, (0, max(0, _LEAST_SAMPLES - len(samples)))))
        own = {id(contest): _texts(words, context.start_word, context.end_word, contest) for contest in group}
        forced = _force_once(ears, encoded, [text for texts in own.values() for text in texts])
        for contest in group:
            priors = [0.0] * len(contest.wordings)
            if contest.with_prior:
                first = max(context.start_word, contest.start_word - _PRIOR_WORDS)
                last = min(context.end_word, contest.end_word + _PRIOR_WORDS)
                texts = _texts(words, first, last, contest)
                alone = _force_once(ears, silence, texts)
                priors = [sum(word.log_probability for word in alone[text]) for text in texts]
            rows = tuple(forced[text] for text in own[id(contest)])
            heard.append(Heard(contest, context, encoded, rows, tuple(priors), contest.start_word - context.start_word))
    return heard


def _texts(words: Sequence[Word], start_word: int, end_word: int, contest: Contest) -> list[str]:
    return [wording_in(words, start_word, end_word, contest, wording) for wording in contest.wordings]


def _force_once(ears: Ears, encoded: EncodedSound, texts: Sequence[str]) -> dict[str, tuple[ForcedWord, ...]]:
    unique = list(dict.fromkeys(texts))
    return dict(zip(unique, ears.force(encoded, unique), strict=True))
