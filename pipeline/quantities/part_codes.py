"""Digits of a part number are no figure: "part number D K zero two seven", "the number on it is k b one two two"."""

from __future__ import annotations

import re

from pipeline.numbers.words import ONES, TEENS, TENS, ZEROS
from pipeline.quantities.scan import Bare, Scan

# Letters that are a word, a thread, a "by" or a driver where they stand alone before a number.
_OTHERWISE = frozenset("aimxtz")
# With one letter only, or none, the speaker says that it is a number; so far before it, in words.
_SERIES = frozenset(f"{word}es" if word == "six" else f"{word}s" for word in ONES)
_SAYS, _SAYS_WITHIN = frozenset(("number", "numbers")), 7
_WHOSE = frozenset(("part", "stock", "casting", "catalogue", "catalog", "serial", "order"))


_BEARINGS = frozenset(("bearing", "bearings"))
_DIGITS = {**{word: str(value) for word, value in (ONES | TEENS | TENS).items()}, **dict.fromkeys(ZEROS, "0")}
# "sixty two oh five", and as it is written when it is heard as sixty, two hundred and five.
_SERIES_SAID = re.compile(r"(?:6 ?[0-4]|60 ?[0-4]) ?(?:0 ?\d|1\d)|60 [0-4](?:0\d|1\d)")
_LONGEST = 4


def in_part_number(scan: Scan, bare: Bare) -> bool:
    """Whether a number without a unit is what stands behind the letters of a part number, or a bearing's number."""
    if scan.at(bare.end) in ZEROS and scan.at(bare.end + 1) in _SERIES and bare.end not in scan.breaks:
        return True  # "they're sixty two oh threes"
    if _in_bearing_number(scan, bare):
        return True
    at, letters = bare.start, 0
    while at and letters < 4 and _is_letter(scan, at - 1):
        at, letters = at - 1, letters + 1
    if letters >= 2:
        return scan.words[at] not in _OTHERWISE or letters > 2
    said = scan.words[max(0, at - _SAYS_WITHIN) : at]
    if letters == 1:
        return scan.words[at] not in _OTHERWISE and not _SAYS.isdisjoint(said)
    return said[-1:] == ["number"] and not _WHOSE.isdisjoint(said[-2:-1])


def _in_bearing_number(scan: Scan, bare: Bare) -> bool:
    """ "sixty two oh five bearings", "60 205 bearings": the series and the bore of ball bearings, before their name."""
    end = next((at for at in range(bare.end, bare.end + _LONGEST) if scan.at(at) in _BEARINGS), 0)
    if not end:
        return False
    for start in range(max(0, end - _LONGEST), bare.start + 1):
        if any(at in scan.breaks for at in range(start + 1, end + 1)):
            continue
        said = [scan.words[at] if scan.words[at].isdigit() else _DIGITS.get(scan.words[at], "-")
                for at in range(start, end)]  # fmt: skip
        if _SERIES_SAID.fullmatch(" ".join(said)):
            return True
    return False


def _is_letter(scan: Scan, at: int) -> bool:
    return len(scan.words[at]) == 1 and scan.words[at].isalpha() and at + 1 not in scan.breaks
