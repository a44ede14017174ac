"""Words laid end to end with their sounds, so that any window of them is one slice."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from pipeline.correct.channel import PLAIN, in_place, pay
from pipeline.correct.language import english
from pipeline.correct.pronounce import speak
from pipeline.correct.sounds import PAD

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

WIDTH = 28
"""Phones kept of a stretch; the longest terms are told apart well before that."""


@dataclass(frozen=True)
class Strip:
    """Words with everything that is looked up once a word. Offsets have one entry more than there are words.

    `ids`: number of each word in a table of words, -1 for one that is not in it. `frequency` and
    `places`: see `English`. `phones`: codes of phones in their places (see `channel`).
    """

    words: tuple[str, ...]
    ids: Ints
    frequency: Ints
    places: Ints
    phones: NDArray[np.uint8]
    phone_offsets: Ints
    again: Bools
    letters: str
    letter_offsets: list[int]
    text: str
    text_offsets: list[int]

    def window_letters(self, start: int, end: int) -> str:
        """Letters and digits of a window with nothing between them."""
        return self.letters[self.letter_offsets[start] : self.letter_offsets[end]]

    def window_text(self, start: int, end: int) -> str:
        """Words of a window with single spaces between them."""
        return self.text[self.text_offsets[start] : self.text_offsets[end] - 1]

    def rows(self, starts: Ints, ends: Ints) -> NDArray[np.uint8]:
        """Phones of each window; shape (windows, WIDTH). Of two like phones at a joint of words one is left out."""
        low, high = self.phone_offsets[starts], self.phone_offsets[ends]
        width = int(min(WIDTH, (high - low).max(initial=1)))
        spots = low[:, None] + np.arange(width)
        inside = spots < high[:, None]
        np.minimum(spots, len(self.phones) - 1, out=spots)
        rows = np.full((len(starts), WIDTH), PAD, dtype=np.uint8)
        rows[:, :width] = np.where(inside & ~self.again[spots], self.phones[spots], PAD)
        if len(rows):
            rows[:, 0] = np.where(high > low, self.phones[low], PAD)
        return rows

    def mass(self, starts: Ints, ends: Ints) -> Floats:
        """Support that each window would have if it was said as it was heard, in nats."""
        total = np.concatenate([[0.0], np.cumsum(pay(self.phones), dtype=np.float64)])
        found: Floats = total[self.phone_offsets[ends]] - total[self.phone_offsets[starts]]
        return found


def _offsets(lengths: Iterable[int]) -> Ints:
    return np.cumsum([0, *lengths], dtype=np.int64)


@cache
def letters_of(word: str) -> str:
    """Letters and digits of a word with nothing between them."""
    return "".join(filter(str.isalnum, word))


@cache
def word_codes(word: str) -> tuple[int, ...]:
    """Phones of the first way to say a word; its parts at hyphens are said one after the other."""
    return tuple(code for part in word.split("-") if part and (ways := speak(part)) for code in in_place(ways[0]))


@cache
def word_frequency(word: str) -> int:
    """Frequency of a word, of its rarest part where it has hyphens."""
    return min((english().frequency(part) for part in word.split("-") if part), default=0)


def lay(words: Iterable[str], ids: Mapping[str, int], silent: frozenset[int] = frozenset()) -> Strip:
    """Lays words end to end; the words at `silent` places get no sounds."""
    words = tuple(words)
    sounds = [() if place in silent else word_codes(word) for place, word in enumerate(words)]
    letters = [letters_of(word) for word in words]
    phones = np.array([code for way in sounds for code in way] + [PAD], dtype=np.uint8)
    again = np.zeros(len(phones), dtype=bool)
    again[1:] = PLAIN[phones[1:]] == PLAIN[phones[:-1]]
    return Strip(
        words=words,
        ids=np.array([ids.get(word, -1) for word in words], dtype=np.int64),
        frequency=np.array([word_frequency(word) for word in words], dtype=np.int64),
        places=np.array([english().place(word) for word in words], dtype=np.int64),
        phones=phones,
        phone_offsets=_offsets(map(len, sounds)),
        again=again,
        letters="".join(letters),
        letter_offsets=_offsets(map(len, letters)).tolist(),
        text="".join(word + " " for word in words),
        text_offsets=_offsets(len(word) + 1 for word in words).tolist(),
    )
