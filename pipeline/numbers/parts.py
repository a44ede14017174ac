"""Numbers that are said short: "sixteenth of an inch", "11 16ths", "twenty five oh one two", "a couple of"."""

from __future__ import annotations

from fractions import Fraction

from pipeline.numbers.number import Number
from pipeline.numbers.whole import WholeReader
from pipeline.numbers.words import MEASURED_IN_COUPLES, POINTS, REPEATS, SCALES, TEENS, TENS

PARTS_OF_INCHES = frozenset({8, 16, 32, 64})


class PartReader(WholeReader):
    """What is read of fractions and decimals that lack a word. Methods take the index of the first word."""

    def part_of_an_inch(self, start: int) -> Number | None:
        """ "sixteenth of an inch", "the eighth inch packing": a part without its article."""
        found = self.denominator(start)
        if found is None or found[0] not in PARTS_OF_INCHES or found[2].endswith("s"):
            return None
        behind = tuple(self.at(found[1] + place) for place in range(3))
        pointed = start > 0 and self.words[start - 1] == "the" and behind[0] == "inch"
        if behind != ("of", "an", "inch") and not pointed:
            return None
        return Number(Fraction(1, found[0]), start, found[1], "fraction", True)

    def ordinal_part(self, start: int) -> Number | None:
        """ "a 16th of a turn", "11 16ths", as recognisers write them."""
        one = self.at(start) in ("a", "an", "another")
        above = (1, start + 1) if one else self.two_digits(start) or self.numeral(start, 63)
        below = self.at(above[1]) if above is not None else ""
        if above is None or below not in ("8", "16", "32", "64") or not 0 < above[0] < int(below):
            return None
        ending = self.at(above[1] + 1)
        if ending not in ("th", "ths", "nd", "nds") or (one and self.at(above[1] + 2) not in ("of", "inch")):
            return None
        if (
            not one
            and not ending.endswith("s")
            and (above[0] % 2 == 0 or self.at(above[1] + 2) not in ("", "of", "inch"))
        ):
            return None
        return Number(Fraction(above[0], int(below)), start, above[1] + 2, "fraction", False)

    def thousandths_said(self, start: int) -> Number | None:
        """ "twenty five oh one two", "twenty-nine nine nine five": a size with three digits, without its point."""
        whole, index = self.two_digits(start) or (0, start)
        said = [self.digits_at(index + place) for place in range(4)]
        digits = "".join(item[0] for item in said[:3] if item is not None and self.at(index) not in REPEATS)
        follows = self.at(index + 3)
        closes = said[3] is None and not (follows in TEENS or follows in TENS or follows in SCALES or follows in POINTS)
        if whole < 10 or len(digits) != 3 or not closes or self.denominator(index + 3) is not None:
            return None
        return Number(Fraction(f"{whole}.{digits}"), start, index + 3, "decimal", True)

    def couple(self, start: int) -> Number | None:
        """ "a couple of", "a couple hundred", "a pair of"."""
        index = start + 1 if self.at(start) == "a" else start
        word, following = self.at(index), self.at(index + 1)
        if word == "couple" and following in MEASURED_IN_COUPLES:
            return Number(Fraction(2), start, index + 1, "whole", True, approximate=True)
        if word not in ("couple", "pair") or following not in ("of", "hundred", "thousand"):
            return None
        scale = SCALES.get(following, 1)
        return Number(Fraction(2 * scale), start, index + 2, "whole", True, approximate=word == "couple")

    def dozen(self, start: int) -> Number | None:
        """ "a dozen", "half a dozen"; "two dozen" is a cardinal."""
        half = self.at(start) == "half"
        index = start + 1 if half else start
        if self.at(index) == "a":
            index += 1
        if self.at(index) != "dozen" or index == start:
            return None
        return Number(Fraction(6 if half else 12), start, index + 1, "whole", True)

    def by(self, numerator: int, index: int) -> tuple[int, int, str] | None:
        """ "three by sixteen inch": 3/16, where it can be nothing else."""
        below = self.two_digits(index + 1) or self.numeral(index + 1, 64)
        if self.at(index) != "by" or below is None or below[0] not in (8, 16, 32, 64) or numerator % 2 == 0:
            return None
        if numerator >= below[0] or self.at(below[1]) not in ("inch", "inches", '"'):
            return None
        return below[0], below[1], "sixteenths"
