"""Sizes and tolerances, the unit said of one of them: "1250, give or take fifty", "38, minus three hundredths"."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from pipeline.quantities.lent import LEND_NONE
from pipeline.quantities.scan import Bare, Found, Scan
from pipeline.quantities.units import to_si

_OR_LESS = (("give", "or", "take"), ("plus", "or", "minus"), ("plus", "minus"))
_SIZE_WITHIN, _MOST_TIMES_OFF = 6, 50
_MOST_SIGNS = 4
_SIGNED = frozenset({"plus", "minus"})
_SIGNS = frozenset({"plus", "minus", "less", "or", "nothing"})
# A tolerance is a small part of its size; its unit -> that of the size.
_LEAST_OF_TOLERANCE = 10
_TOLERATED = {"mm": "mm", "µm": "mm", "thou": "in"}


def tolerance_of(scan: Scan, bare: Bare, lenders: list[Found]) -> Found | None:
    """ "1250, give or take fifty", "thirteen hundred, plus or minus a hundred": how far from the figure before."""
    sign = bare.start + (scan.at(bare.start) == "minus")
    link = next((sign - len(words) for words in _OR_LESS if _said_before(scan, sign, words)), 0)
    if not link and scan.at(bare.start) == "minus":
        # "an inch and a half, minus a thou, minus three"
        less = next((found for found in lenders if found.end == bare.start and found.kind == "length"), None)
        if less is not None and "minus" in (scan.at(less.start), scan.at(less.start - 1)):
            return less
    before = [found for found in lenders if link <= found.end <= bare.start] if link else []
    if link and not before and scan.words[link : link + 2] == ["plus", "minus"]:
        # "fourteen hundred when it's hot, plus minus one hundred"
        size = abs(bare.value)
        lately = [found for found in lenders if 0 <= link - found.end <= _SIZE_WITHIN]
        before = [found for found in lately if 2 * size <= found.value <= _MOST_TIMES_OFF * size]
    # of hundreds of turns a minute a tolerance is said in full
    return replace(before[-1], value=bare.value) if before and before[-1].kind not in LEND_NONE else None


def signed_ranges(scan: Scan, figures: list[Found]) -> list[Found]:
    """ "minus five to minus fifteen microns", "plus two microns to plus fifteen": a tolerance from end to end, the
    unit said once; the numbers without one leave `scan.bare`."""
    joined: list[Found] = []
    for found in figures:
        sign = next((at for at in (found.head, found.head - 1) if scan.at(at) in _SIGNED), -1)
        partner = _other_end(scan, found, sign) if found.kind == "length" and found.high is None and sign >= 0 else None
        if partner is None:
            joined.append(found)
            continue
        scan.bare.remove(partner)
        low, high = sorted((abs(found.value), abs(partner.value) * found.times))
        start, end = min(partner.start, sign, found.start), max(partner.end, found.end)
        joined.append(replace(found, value=low, high=high, start=start, end=end, bound=""))
    return joined


def _other_end(scan: Scan, found: Found, sign: int) -> Bare | None:
    """The number with the same sign on the other side of a "to"."""
    for bare in scan.bare:
        at = bare.start if scan.at(bare.start) == "minus" else bare.start - 1
        before = bare.end == sign - 1 and scan.at(bare.end) == "to"
        behind = at == found.end + 1 and scan.at(found.end) == "to"
        if (before or behind) and scan.at(at) == scan.at(sign) and bare.high is None and bare.value:
            return bare
    return None


def nominal_of(scan: Scan, bare: Bare, lenders: list[Found]) -> Found | None:
    """ "down to 38, minus three hundredths": the size that a tolerance right behind it is of."""
    place = bare.end
    while scan.at(place) in _SIGNS and place - bare.end < _MOST_SIGNS and place not in scan.sentences:
        place += 1
    starts = {place, *(at for at in range(bare.end, place) if scan.at(at) in ("minus", "less"))}
    less = next((found for found in lenders if found.kind == "length" and starts & {found.head, found.start}), None)
    signed = {*scan.words[bare.end : place]} & {"plus", "minus", "less"}
    if less is None or not signed or bare.high is not None or less.unit not in _TOLERATED:
        return None
    unit = _TOLERATED[less.unit]
    if abs(float(to_si(less.value, less.unit) or 0)) * _LEAST_OF_TOLERANCE > float(to_si(bare.value, unit) or 0):
        return None
    return replace(less, unit=unit, times=Fraction(1))


def _said_before(scan: Scan, end: int, words: tuple[str, ...]) -> bool:
    return tuple(scan.words[max(0, end - len(words)) : end]) == words
