"""What the speech model gives back for a piece of a stream: words and their text for the model."""

from __future__ import annotations

import zlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from pipeline.hearing.faults import has_loop

# Text that packs better than this repeats itself; text less likely than this is guessed. Both, and what is taken for
# silence, are the values of Radford et al. 2022, section 4.5.
_MOST_PACKED = 2.4
_LEAST_LOG_PROBABILITY = -1.0
_NO_SPEECH = 0.6


@dataclass(frozen=True, slots=True)
class HeardWord:
    """A word with its time inside the piece and the mean probability of its tokens."""

    text: str
    start_ms: int
    end_ms: int
    probability: float


@dataclass(frozen=True, slots=True)
class HeardPiece:
    """`tokens`: the text for the model, context of the next piece, which begins at `heard_ms` of this one.

    `log_probability`: mean over the tokens. `no_speech`: the model's probability that nobody spoke. `steady` is False
    where no decoding was satisfying: such text is no context.
    """

    words: tuple[HeardWord, ...]
    tokens: tuple[int, ...]
    heard_ms: int
    log_probability: float
    no_speech: float
    steady: bool = True


@dataclass(frozen=True, slots=True)
class Decoded:
    """Text as decoded, with its tokens, times among them."""

    text: str
    tokens: tuple[int, ...]
    log_probability: float
    no_speech: float
    steady: bool = True

    @property
    def is_loop(self) -> bool:
        """True where the text repeats itself."""
        data = self.text.strip().encode()
        return len(data) > _MOST_PACKED * len(zlib.compress(data)) or has_loop(self.text.split())

    @property
    def is_good(self) -> bool:
        """True where another try would bring nothing better: likely text, or silence."""
        if self.log_probability < _LEAST_LOG_PROBABILITY:
            return self.no_speech > _NO_SPEECH
        return not self.is_loop


def heard_words(words: Sequence[Mapping[str, Any]]) -> tuple[HeardWord, ...]:
    """Words from the speech library's (times in seconds), whole ones.

    The library breaks words at punctuation; only a space begins a word ("1" and ".5" are one figure).
    """
    heard: list[HeardWord] = []
    for word in words:
        start_ms = max(0, round(word["start"] * 1000))
        end_ms = max(start_ms, round(word["end"] * 1000))
        text, probability = word["word"].strip(), round(float(word["probability"]), 4)
        if heard and not word["word"].startswith(" "):
            before = heard.pop()
            text, start_ms = before.text + text, before.start_ms
            probability = min(before.probability, probability)
        if text:
            heard.append(HeardWord(text, start_ms, end_ms, probability))
    return tuple(heard)
