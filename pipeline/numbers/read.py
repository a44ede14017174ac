"""Reads one spoken or written number: "three forty five", "two and three quarters", "point four", "3/8"."""

from __future__ import annotations

import re
from collections.abc import Container, Sequence
from fractions import Fraction

from pipeline.numbers.number import Number
from pipeline.numbers.parts import PARTS_OF_INCHES, PartReader
from pipeline.numbers.whole import Shape
from pipeline.numbers.words import (
    AFTER_COMMA,
    BEFORE_A_PART,
    DENOMINATORS,
    LEADING_ZEROS,
    LONE_DENOMINATORS,
    NOT_BEFORE_POINT,
    NUMBER_WORDS,
    ONES,
    ORDINAL_LOOKALIKES,
    POINTS,
    REPEATS,
    SCALES,
    SINGULAR_DENOMINATORS,
    VULGAR,
    ZEROS,
)

_WHOLE = re.compile(r"\d+|\d{1,3}(?:,\d{3})+")
_DECIMAL = re.compile(r"(?:\d+|\d{1,3}(?:,\d{3})+)?\.\d+|\d+,\d{1,2}|\d+,\d{4,}")
_FRACTION = re.compile(r"(\d+)[/'](\d+)")
# "Eleven oh forty": so many inches, said with thousandths.
_MOST_INCHES, _LAST_EIGHTH = 24, 15
_PARTS_OF = frozenset({12, 20, 32, 64})
# "a point four feeler"
_SMALL_THINGS = frozenset({"feeler", "mil", "millimetre", "drill", "shim", "jet"})
_BEHIND_A_PART = frozenset(
    ("of", "inch", "under", "over", "undersize", "oversize", "behind", "proud", "total", "thick", "deep", "wide", "off",
     "gap", "clear", "clearance", "below", "above")
)  # fmt: skip
_RUN_ON = re.compile(r"(\d*[13579])(16|32|64)")
# What a number can begin with: anything else is turned away at once.
_OPENS = frozenset(
    (
        *NUMBER_WORDS,
        "millions",
        "billions",
        *POINTS,
        *ZEROS,
        *LONE_DENOMINATORS,
        *SCALES,
        *VULGAR,
        *REPEATS,
        "a",
        "an",
        "another",
        "half",
    )
) | {"couple", "pair", "minus", "negative", "eighth", "sixteenth", "comma"}
_DIGITS = frozenset("0123456789.,") | frozenset(VULGAR)


def read_number(words: Sequence[str], start: int = 0, breaks: Container[int] = ()) -> Number | None:
    """The longest number that begins at `start`, or None.

    Args:
        words: lower-case words and figures without punctuation, compounds cut at their hyphens.
        start: index of the number's first word.
        breaks: indexes of words with punctuation before them; a number does not run over one.

    >>> read_number("three hundred and forty five of them".split()).value
    345.0
    >>> read_number("two and three quarters".split()).value, read_number("one oh five".split()).value
    (2.75, 105.0)
    >>> read_number(["of"]) is None
    True
    """
    if start < len(words) and words[start] not in _OPENS and words[start][:1] not in _DIGITS:
        return None
    reader = _Reader(words, breaks, start)
    if reader.at(start) in ("minus", "negative"):
        number = reader.unsigned(start + 1) if reader.at(start + 1) else None
        if number is None:
            return None
        return Number(-number.exact, start, number.end, number.shape, number.spoken, number.approximate)
    return reader.unsigned(start)


class _Reader(PartReader):
    """The grammar of fractions, decimals and what is made of them, on top of whole numbers."""

    def unsigned(self, start: int) -> Number | None:
        if not self.at(start):
            return None
        for read in (self.couple, self._fraction, self._decimal, self._written, self._mixed, self.dozen):
            number = read(start)
            if number is not None:
                return number
        return None

    def _fraction(self, start: int) -> Number | None:
        word = self.words[start]
        run_on = _RUN_ON.fullmatch(word)
        if run_on and self.at(start + 1) in ("ths", "th", "nds", "s") and int(run_on[1]) < int(run_on[2]):
            # "516ths" and "516s" for five sixteenths
            return Number(Fraction(int(run_on[1]), int(run_on[2])), start, start + 2, "fraction", False)
        written = _FRACTION.fullmatch(word)
        if written and int(written[2]):
            value = Fraction(int(written[1]), int(written[2]))
            end = start + 2 if self.at(start + 1) in ("ths", "th", "s", "rds", "nds") else start + 1
            return Number(value, start, end, "fraction", False)
        if word in VULGAR:
            return Number(VULGAR[word], start, start + 1, "fraction", False)
        if (part := self.ordinal_part(start)) is not None:
            return part
        if word == "half" and "dozen" in (self.at(start + 1), self.at(start + 2)):
            return None
        if word in LONE_DENOMINATORS:
            return Number(Fraction(1, DENOMINATORS[word]), start, start + 1, "fraction", True)
        if (part := self.part_of_an_inch(start)) is not None:
            return part
        if word in ("a", "an", "another"):
            # "a good sixteenth of an inch"
            found = self.denominator(start + 1) or (
                self.denominator(start + 2) if self.at(start + 1) in BEFORE_A_PART else None
            )
            if found is None or found[2].endswith("s"):
                return None
            # "a thirty second burst" is a time, "the twelfth" one of many, "a twentieth of a mil" a fraction.
            closes = found[0] in PARTS_OF_INCHES and self.at(found[1]) in ("", "on")  # "got it to a thirty-second."
            if found[0] in _PARTS_OF and not closes and self.at(found[1]) not in _BEHIND_A_PART:
                return None
            return Number(Fraction(1, found[0]), start, found[1], "fraction", True)
        numerator = self.two_digits(start) or self.numeral(start, 99)
        if numerator is None:
            return None
        found = self.denominator(numerator[1]) or self.by(*numerator)
        if found is None or not numerator[0] or numerator[0] >= 64:
            return None
        denominator, end, last = found
        plural = last.endswith("s")
        if last == "eights" and numerator[0] > _LAST_EIGHTH:
            # "a pair of twenty eights"
            return None
        if denominator == 4 and (numerator[0] % 2 == 0 or (numerator[0] > 3 and not plural)):
            # "two quarter inch bolts", "eleven quarter inch balls": a count and a size
            return None
        if numerator[0] > 1 and not plural and last not in SINGULAR_DENOMINATORS:
            return None
        if not plural and numerator[0] > 1 and last in ORDINAL_LOOKALIKES and denominator < 32:
            return None
        if denominator <= 2 and numerator[0] > 1:
            return None
        return Number(Fraction(numerator[0], denominator), start, end, "fraction", True)

    def _written(self, start: int) -> Number | None:
        """Figures, with what may follow them: "2 1/2", "2 and a half", "3 hundred"."""
        word = self.words[start]
        if _DECIMAL.fullmatch(word):
            text = word.replace(",", "") if "." in word else word.replace(",", ".")
            return self._scaled(
                Number(Fraction(text if text[0] != "." else "0" + text), start, start + 1, "decimal", False)
            )
        if word and word[-1] in VULGAR and word[:-1].isdecimal():
            return Number(int(word[:-1]) + VULGAR[word[-1]], start, start + 1, "mixed", False)
        if not _WHOLE.fullmatch(word):
            return None
        value = int(word.replace(",", ""))
        number = Number(Fraction(value), start, start + 1, "whole", False)
        following = self.at(start + 1)
        if following in ("dozen", "dozens"):
            return Number(Fraction(value * 12), start, start + 2, "whole", False)
        part = _FRACTION.fullmatch(following)
        if part and 0 < int(part[1]) < int(part[2]):
            fraction = Fraction(int(part[1]), int(part[2]))
            return Number(value + fraction, start, start + 2, "mixed", False)
        if following in VULGAR:
            return Number(value + VULGAR[following], start, start + 2, "mixed", False)
        below = self.numeral(start + 2, 99) or self.two_digits(start + 2) if following == "and" else None
        if below is not None and 0 < value < 1000 and value % 100 == 0 and self.denominator(below[1]) is None:
            # recognisers write "a hundred and ten" as "100 and 10" too
            return Number(Fraction(value + below[0]), start, below[1], "whole", False)
        if following in ("hundred", "thousand", "million", "millions", "billion", "billions") and value:
            whole = self.cardinal(start)
            if whole is not None:
                number = Number(Fraction(whole[0]), start, whole[1], "whole", False)
        return self._and_fraction(number) or number

    def _scaled(self, number: Number) -> Number:
        """ "two point five thousand", "three and a half million"."""
        scale = SCALES.get(self.at(number.end), 0)
        if scale < 100 or number.shape not in ("decimal", "mixed"):
            return number
        return Number(number.exact * scale, number.start, number.end + 1, "decimal", number.spoken)

    def _mixed(self, start: int) -> Number | None:
        whole = self.cardinal(start)
        if whole is None:
            return None
        value, end, shape = whole
        if self.at(end) in ("dozen", "dozens"):
            value, end = value * 12, end + 1
        number = Number(Fraction(value), start, end, shape, True)
        return self._scaled(self._and_fraction(number) or number)

    def _and_fraction(self, number: Number) -> Number | None:
        """ "two and a half", "two and three quarters", "2 and 1/2"."""
        if self.at(number.end) != "and" or self.at(number.end + 1) in ("", "another"):
            return None  # "a pint of thirty, and another half pint"
        if (self.at(number.end + 1), self.at(number.end + 2)) == ("half", "a"):
            return None  # "the clamp's a thirteen and half a turn does it"
        part = self._fraction(number.end + 1)
        if part is None or part.exact >= 1:
            return None
        return Number(number.exact + part.exact, number.start, part.end, "mixed", number.spoken)

    def _decimal(self, start: int) -> Number | None:
        """ "two point five", "point oh five", "2 point 5"."""
        word = self.words[start]
        if word in POINTS or (word == "comma" and self._leads_decimals(start + 1)):
            sized = self.words[start - 1 : start] == ["a"] and self.at(start + 2) in _SMALL_THINGS
            if start and start not in self.breaks and self.words[start - 1] in NOT_BEFORE_POINT and not sized:
                return None
            whole, point = 0, start
        elif (said := self.thousandths_said(start)) is not None:
            return said
        else:
            before = (0, start + 1, "whole") if word in ZEROS else self.cardinal(start) or self._numeral_item(start)
            if before is None:
                return None
            whole, point = before[0], before[1]
        thousandths = self.two_digits(point + 1) if self.at(point) in ZEROS and word not in ZEROS else None
        if thousandths is not None and thousandths[0] >= 10 and 0 < whole <= _MOST_INCHES:
            return Number(Fraction(f"{whole}.0{thousandths[0]}"), start, thousandths[1], "decimal", True)
        if word in LEADING_ZEROS and self.two_digits(point) is not None and self._closes_decimals(point):
            # "zero nine", "nought six", "zero eighty": said without the point
            return self._point_left_out(start)
        if self.at(point) not in POINTS and self.at(point) != "comma":
            return None
        digits, end = self._decimals(point + 1)
        return self._scaled(Number(Fraction(f"{whole}.{digits}"), start, end, "decimal", True)) if digits else None

    def _leads_decimals(self, index: int) -> bool:
        """ "gap comma seven five", "comma one, cold": the nought is left out, and no noun follows that is counted."""
        digits, end = self._decimals(index)
        return bool(digits) and (end in self.breaks or self.at(end) in AFTER_COMMA)

    def _point_left_out(self, start: int) -> Number | None:
        digits, end = self._decimals(start + 1)
        return Number(Fraction(f"0.{digits}"), start, end, "decimal", True) if digits else None

    def _closes_decimals(self, index: int) -> bool:
        """Whether what follows a leading nought is digits, and no scale or fraction goes on behind them."""
        _, end = self._decimals(index)
        return self.at(end) not in SCALES and self.denominator(end) is None and self.denominator(index) is None

    def _decimals(self, index: int) -> tuple[str, int]:
        digits = ""
        if re.fullmatch(r"\d+", self.at(index)):
            end = index + 1
            while len(self.at(index)) == 1 and re.fullmatch(r"\d", self.at(end)):
                end += 1
            return "".join(self.words[index:end]), end
        while True:
            said = self.digits_at(index)
            if said is not None and self.at(index) not in ONES:
                digits, index = digits + said[0], said[1]
                continue
            pair = self.two_digits(index)
            if pair is None or len(digits) > 5:
                return digits, index
            digits, index = digits + str(pair[0]), pair[1]

    def _numeral_item(self, index: int) -> tuple[int, int, Shape] | None:
        found = self.numeral(index, 999_999)
        return (found[0], found[1], "whole") if found else None
