"""A number as it was read from words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import zip_longest

from pipeline.numbers.whole import Shape
from pipeline.numbers.words import ONES, POINTS, TEENS, TENS


@dataclass(frozen=True, slots=True)
class Number:
    """A number read from words `start` to `end` (half-open).

    `shape` says how it was put: whole; joined ("three forty five", figures run together); decimal; fraction;
    mixed ("two and a half"). `spoken` is False where it was written with digits. `approximate` for "a couple".
    """

    exact: Fraction
    start: int
    end: int
    shape: Shape
    spoken: bool
    approximate: bool = False

    @property
    def value(self) -> float:
        """The number as a float."""
        return float(self.exact)


def count_decimals(words: Sequence[str]) -> int:
    """How many decimals a number was said with, noughts at the end too.

    >>> count_decimals([".050"]), count_decimals("one point oh five oh".split()), count_decimals(["twenty"])
    (3, 3, 0)
    """
    if len(words) == 1:
        return len(words[0].partition(".")[2])
    point = next((place for place, word in enumerate(words) if word in POINTS), len(words))
    digits = words[point + 1 :]
    pairs = sum(
        word in TEENS or (word in TENS and after not in ONES) for word, after in zip_longest(digits, digits[1:])
    )
    return sum(len(word) if word.isdecimal() else 1 for word in digits) + pairs
