"""Reads whole numbers said in words: "three hundred and forty five", "three forty five", "one oh five"."""

from __future__ import annotations

from collections.abc import Container, Sequence
from typing import Literal

from pipeline.numbers.words import (
    DENOMINATOR_PAIRS,
    DENOMINATORS,
    LEADING_ZEROS,
    ONES,
    REPEATS,
    SCALES,
    TEENS,
    TENS,
    ZEROS,
)

# "twenty two ten thousandths": ten belongs to what follows.
_NO_END = frozenset({"hundred", "thousand", "thousandth", "thousandths"})
_SOME = frozenset({"few", "several", "many", "couple", "odd", "the", "some"})
_BEFORE_SCALES = frozenset({"of", "to", "about", "is", "minus", "negative", "than", "over", "under"})
Shape = Literal["whole", "joined", "decimal", "fraction", "mixed"]


class WholeReader:
    """The grammar of whole numbers over a list of words. Methods take an index and give (value, end, ...) or None."""

    def __init__(self, words: Sequence[str], breaks: Container[int], start: int) -> None:
        self.words = words
        self.breaks = breaks
        self.start = start

    def at(self, index: int) -> str:
        """The word at `index` if the number may run on to it, else ""."""
        if index >= len(self.words) or (index > self.start and index in self.breaks):
            return ""
        return self.words[index]

    def denominator(self, index: int) -> tuple[int, int, str] | None:
        """(denominator, end, last word)."""
        pair = (self.at(index), self.at(index + 1))
        if pair in DENOMINATOR_PAIRS:
            return DENOMINATOR_PAIRS[pair], index + 2, pair[1]
        if pair[0] in DENOMINATORS:
            return DENOMINATORS[pair[0]], index + 1, pair[0]
        return None

    def numeral(self, index: int, limit: int) -> tuple[int, int] | None:
        """A number in figures, up to a limit."""
        word = self.at(index)
        if word.isdecimal() and word.isascii() and int(word[:7]) <= limit:
            return int(word), index + 1
        return None

    def two_digits(self, index: int) -> tuple[int, int] | None:
        """One to ninety-nine in words."""
        word = self.at(index)
        if word in TENS:
            unit = ONES.get(self.at(index + 1), 0)
            return TENS[word] + unit, index + (2 if unit else 1)
        value = ONES.get(word) or TEENS.get(word)
        return (value, index + 1) if value else None

    def cardinal(self, start: int) -> tuple[int, int, Shape] | None:
        """Whole numbers up to 999 999 999, also "fifteen hundred" and figures run together."""
        if self.at(start) in LEADING_ZEROS and self.at(start + 1) not in ONES:
            return 0, start + 1, "whole"
        total, index = 0, start
        part = self._below_thousand(index)
        for scale, name in ((1_000_000_000, "billion"), (1_000_000, "million"), (1000, "thousand")):
            if part is None and not index - start and self._lone_scale(index, name):
                part = (1, index + (self.at(index) == "a"), "whole")
            plural = f"{name}s" if scale > 1000 else name  # "two thousands of an inch"
            if part is None or self.at(part[1]) not in (name, plural):
                continue
            total, index = total + part[0] * scale, part[1] + 1
            following = index + 1 if self.at(index) == "and" else index
            rest = self._below_thousand(following)
            # "two thousand and three quarters" goes on as a fraction
            if rest is None or (following != index and self._opens_a_fraction(following, rest[1])):
                return total, index, "whole"
            if rest[0] >= 1000:
                return total, index, "whole"  # "between five thousand and fifty-five hundred"
            index, part = following, rest
        if part is None:
            return None
        if total and part[2] == "joined" and not 100 < part[0] < 1000:
            return total, index, "whole"
        return total + part[0], part[1], "whole" if total else part[2]

    def _lone_scale(self, index: int, name: str) -> bool:
        """ "thousand litres", "a million and one": the scale without a one; not "the last thousand"."""
        if self.at(index) == "a":
            return name != "thousand" and self.at(index + 1) == name
        before = self.words[index - 1] if index else ""
        alone = before in _BEFORE_SCALES and (index not in self.breaks or not index)
        return self.at(index) == name and (not before or alone)

    def _opens_a_fraction(self, start: int, end: int) -> bool:
        """What follows "thousand and": "three quarters", or "five and a half thousand" as the end of a range."""
        halved = self.at(end) == "and" and (self.denominator(end + 1) or self.denominator(end + 2))
        return bool(self.denominator(start + 1) or halved)

    def _below_thousand(self, index: int) -> tuple[int, int, Shape] | None:
        if self.at(index) in REPEATS:
            return self._digit_string(index)
        first = self.two_digits(index) or self.numeral(index, 999)
        if first is None and self.at(index) == "a" and self.at(index + 1) in ("hundred", "thousand"):
            first = (1, index + 1)
        if first is None and self.at(index) == "hundred" and not (index and self.words[index - 1] in _SOME):
            # "Hundred and fifty degrees": said without its "a"
            first = (1, index)
        if first is None:
            return None
        value, end = first
        if self.at(end) == "hundred":
            return self._after_hundred(value * 100, end + 1)
        if self.at(index).isdecimal():
            return value, end, "whole"
        return self._digit_string(index) or self._run_together(value, end) or (value, end, "whole")

    def _after_hundred(self, value: int, end: int) -> tuple[int, int, Shape]:
        index = end + 1 if self.at(end) == "and" else end
        rest = self.two_digits(index) or self.numeral(index, 99)
        if rest is None or self.denominator(rest[1]) is not None or self._opens_another(value, rest[1]):
            return value, end, "whole"
        return value + rest[0], rest[1], "whole"

    def _opens_another(self, value: int, end: int) -> bool:
        """ "between seven hundred and eleven hundred": what follows "and" is a number of its own."""
        between = self.start > 0 and self.words[self.start - 1] == "between"
        return self.at(end) == "hundred" or (self.at(end) == "thousand" and (between or value >= 1000))

    def _digit_string(self, index: int) -> tuple[int, int, Shape] | None:
        """Digits said one by one: three or more ("one seven five"), or two that end in nought ("one zero")."""
        digits, end = "", index
        while True:
            said = self.digits_at(end)
            if said is None or (not digits and said[0] == "0"):
                break
            digits, end = digits + said[0], said[1]
        follows = self.at(end)
        if follows in TENS or follows in TEENS or follows in SCALES or follows in DENOMINATORS:
            return None
        if len(digits) >= 3 or (len(digits) == 2 and digits[1] == "0" and self.at(end - 1) in LEADING_ZEROS):
            return int(digits), end, "joined"
        return None

    def digits_at(self, index: int) -> tuple[str, int] | None:
        """(digits, end) of a digit said in words, or of one said twice or three times ("double oh")."""
        times = REPEATS.get(self.at(index), 1)
        word = self.at(index + 1) if times > 1 else self.at(index)
        if word not in ONES and word not in ZEROS:
            return None
        return str(ONES.get(word, 0)) * times, index + (2 if times > 1 else 1)

    def _run_together(self, first: int, end: int) -> tuple[int, int, Shape] | None:
        """ "three forty five" 345, "twelve fifty" 1250, "one oh five" 105."""
        if self.at(end) in ZEROS and self.at(end + 1) in ONES:
            return first * 100 + ONES[self.words[end + 1]], end + 2, "joined"
        second = self.two_digits(end)
        if second is None or second[0] < 10 or self.at(second[1]) in _NO_END:
            return None
        if self.denominator(end) or self.denominator(second[1]):
            return None
        # "ten twelve thou" is a range, "twelve fifty" a number.
        if first >= 10 and first < second[0] <= first * 1.5:
            return None
        return first * 100 + second[0], second[1], "joined"
