"""Diameters in inches, as threads are named by: "5/16", "three eighths inch", "three by sixteen", "inch and a half"."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from pipeline.numbers import read_number
from pipeline.quantities.scan import Bare, Scan


@dataclass(frozen=True, slots=True)
class InchSize:
    """A diameter in inches, with its text, over pieces `start` to `end`."""

    start: int
    value: Fraction
    text: str
    end: int


def inch_sizes(scan: Scan, index: int) -> list[InchSize]:
    """Readings of an inch diameter at a piece: "5/16", "three eighths inch", "three by sixteen"."""
    number = read_number(scan.words, index, scan.breaks)
    if (size := _inch_and_more(scan, index)) is not None:
        return [size]
    if number is None:
        return []
    sizes = []
    if number.exact < 4 and (number.shape in ("fraction", "mixed") or number.exact in (1, 2)):
        end = number.end + (1 if scan.at(number.end) in ("inch", "inches", '"', "in") else 0)
        sizes.append(InchSize(index, number.exact, _inches(number.exact), end))
    if scan.at(number.end) == "by" and number.shape == "whole" and number.exact.numerator % 2:
        below = read_number(scan.words, number.end + 1, scan.breaks)
        if below is not None and below.exact in (8, 16, 32, 64) and number.exact < below.exact:
            value = number.exact / below.exact
            sizes.append(InchSize(index, value, _inches(value), below.end))
    return sizes


def _inch_and_more(scan: Scan, index: int) -> InchSize | None:
    """ "an inch", "inch and three eighths"."""
    start = index + (scan.at(index) == "an")
    if scan.at(start) != "inch":
        return None
    more = read_number(scan.words, start + 2, scan.breaks) if scan.at(start + 1) == "and" else None
    part = more is not None and more.shape == "fraction" and more.exact < 1
    value = 1 + more.exact if more is not None and part else Fraction(1)
    return InchSize(index, value, _inches(value), more.end if more is not None and part else start + 1)


def _inches(value: Fraction) -> str:
    whole, part = divmod(value, 1)
    return " ".join(filter(None, (str(whole) if whole else "", str(part) if part else "")))


def parts_of_an_inch(bare: Bare) -> Fraction | None:
    """3/32 for "three thirty-two", 5/64 for "five sixty-four"; None for a number that is none of them."""
    over, under = divmod(int(bare.value), 100)
    said = bare.shape == "joined" and bare.spoken and bare.value.denominator == 1 and under in (32, 64)
    return Fraction(over, under) if said and over % 2 and over < under else None
