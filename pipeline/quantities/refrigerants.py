"""Air conditioning: "low side's at 32, high side's 225" are pressures, "two pounds of refrigerant" is weighed in."""

from __future__ import annotations

from itertools import pairwise

from pipeline.numbers.words import word_set
from pipeline.quantities.scan import Bare, Found, Scan

_SIDES = word_set("low high suction discharge")
_GASES = word_set("refrigerant freon r134a r-134a r12 r-12 r22 r410a r1234yf gas")
_OILS = word_set("oil pag ester lubricant drier condenser evaporator")
_BE = word_set("is at was reads reading sits sitting showing shows about around now up down to only it's that's s")
_MOST_PSI, _LEAST_PSI = 450, 1
_MOST_POUNDS, _WITHIN = 12, 4
# So far back the gas or the sides may have been named.
_TALK = 60


def on_a_side(scan: Scan, bare: Bare) -> Found | None:
    """ "low side's at 32": a pressure, where no unit is said."""
    if bare.high is not None or bare.value.denominator != 1 or not _LEAST_PSI <= bare.value <= _MOST_PSI:
        return None
    place = bare.start
    while bare.start - place < _WITHIN and scan.plain[place - 1] in _BE and place not in scan.sentences:
        place -= 1
    named = scan.plain[place - 1 : place] == ["side"] and scan.at(place - 2) in _SIDES and place not in scan.sentences
    behind = scan.words[bare.end : bare.end + 4]
    pointed = behind[:2] == ["on", "the"] and behind[2:3] and behind[2] in _SIDES and behind[3:4] == ["side"]
    if not (named or pointed) or not _both_sides(scan, bare.start):
        return None
    return scan.figure_of(bare, "pressure", "psi", "on a side of the air conditioning; no unit was said, taken as psi")


def refrigerant_unit(scan: Scan, name: str, start: int, end: int) -> str:
    """ "psi" or "lb" for pounds, "oz" for ounces, as is talked of the gas; "" where it is not."""
    behind = scan.words[end : end + 5] if end not in scan.breaks else []
    own = {*scan.plain[slice(*scan.with_sentence_before(start))]}
    of_gas = behind[:1] == ["of"] and bool({*behind[1:4]} & _GASES) and "oil" not in behind[1:4]
    if name == "ounces":
        oily = {*scan.plain[slice(*scan.sentence(start))]} & _OILS
        return "oz" if of_gas or (own & (_GASES - {"gas"}) and not oily) else ""
    if of_gas:
        return "lb"
    on_side = any(one in _SIDES and other == "side" for one, other in pairwise(behind))
    before = scan.plain[max(scan.sentence(start)[0], start - _WITHIN - 1) : start]
    said_before = any(one in _SIDES and other == "side" for one, other in pairwise(before))
    if on_side or said_before:
        return "psi"
    sentence = {*scan.plain[slice(*scan.sentence(start))]}
    held = sentence & {"holds", "takes", "charge", "charged"} or {"even"} & {*behind[:1]}
    return "lb" if held and own & (_GASES - {"gas"}) else ""


def _both_sides(scan: Scan, place: int) -> bool:
    """Whether both sides, the gauges or the gas are spoken of nearby: not every low side is one of a compressor."""
    words = scan.plain[max(0, place - _TALK) : place + _TALK]
    sides = {one for one, other in pairwise(words) if other == "side" and one in _SIDES}
    return len(sides) > 1 or bool({*words} & (_GASES | {"compressor", "gauges", "condenser"}))
