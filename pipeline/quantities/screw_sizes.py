"""Screws by their diameter and their length: "four by twenty-fives", "five by fifty screws", "a box of 4 by 40s"."""

from __future__ import annotations

import re
from fractions import Fraction

from pipeline.numbers.words import ONES, TENS, word_set
from pipeline.quantities.scan import Bare, Found, Scan

_DIAMETERS = (Fraction(5, 2), Fraction(12))
# As they are sold, in millimetres: "two by twelves" and "four by eights" are timber and board.
_LENGTHS = frozenset({20, 25, 30, 35, 40, 45, 50, 55, 60, 65, 70, 75, 80, 90, 100, 120})
_TENS = {f"{word.removesuffix('y')}ies": value for word, value in TENS.items()}
_ONES = {f"{word}s": value for word, value in ONES.items()}
_HUNDREDS = re.compile(r"(\d{2,3})s")
_SCREWS = word_set("screw screws woodscrew woodscrews decking self-tappers coach")
# What else is so long by so wide.
_OTHERS = word_set("rim rims tyre tyres tire tires wheel wheels box tube timber batten battens joist joists beam")
_WHY = "a screw's {}, as screws are called by both; taken as millimetres"


def read_screw_size(scan: Scan, index: int) -> list[Found] | None:
    """The diameter and the length that end at a plural behind "by", whose diameter is the last bare number."""
    if scan.at(index - 1) not in ("by", "x") or not scan.bare or scan.bare[-1].end != index - 1:
        return None
    length, end = _plural(scan, index)
    found = _size(scan, scan.bare[-1], index, end, length)
    if found is not None:
        scan.bare.pop()
    return found


def screw_sizes(scan: Scan) -> None:
    """Makes sizes of bare numbers before the word itself: "four by twenty-five screws"."""
    for bare in list(scan.bare):
        length = next((item for item in scan.bare if item.start == bare.end + 1), None)
        if scan.at(bare.end) not in ("by", "x") or length is None or scan.at(length.end) not in _SCREWS:
            continue
        found = _size(scan, bare, length.start, length.end, length.value) if length.high is None else None
        if found is not None:
            scan.bare = [item for item in scan.bare if item not in (bare, length)]
            scan.found.extend(found)


def _plural(scan: Scan, index: int) -> tuple[Fraction, int]:
    """The number of "thirties", "twenty fives" or "25s" with where it ends, 0 where it is none."""
    word = scan.at(index)
    if word in _TENS:
        return Fraction(_TENS[word]), index + 1
    if word in TENS and scan.at(index + 1) in _ONES and index + 1 not in scan.breaks:
        return Fraction(TENS[word] + _ONES[scan.at(index + 1)]), index + 2
    written = _HUNDREDS.fullmatch(word)
    return (Fraction(int(written[1])), index + 1) if written else (Fraction(0), index)


def _size(scan: Scan, across: Bare, start: int, end: int, length: Fraction) -> list[Found] | None:
    fits = _DIAMETERS[0] <= across.value <= _DIAMETERS[1] and across.value.denominator in (1, 2) and length in _LENGTHS
    loose = across.end in scan.breaks or across.end + 1 in scan.breaks
    if not fits or across.high is not None or loose or length < 3 * across.value:
        return None
    if scan.sentence_words(start) & _OTHERS:
        return None
    return [
        Found("length", across.value, None, "mm", across.start, across.end, across.start, why=_WHY.format("diameter")),
        Found("length", length, None, "mm", start, end, start, why=_WHY.format("length")),
    ]
