"""Decimals said without their point beside a figure that they come near: "the guide's seven oh five" of seven mil."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from pipeline.numbers.figure import RANGE_WORDS
from pipeline.quantities.scan import Bare, Found, Scan

_REACH = 60
_KINDS = frozenset({"length", "clearance", "pressure", "voltage"})
# How far from the other figure such a decimal may be: hundredths, and tenths of it.
_NEAR, _NEAR_TENTHS = Fraction(3, 100), Fraction(15, 100)


def with_points(scan: Scan) -> list[Found]:
    """Figures for the bare numbers that are such decimals; those numbers leave `scan.bare`, or get their point."""
    given: list[Found] = []
    for bare in list(scan.bare):
        if bare not in scan.bare or not bare.spoken or bare.value.denominator != 1:
            continue
        tenths: Bare | None = None
        pointed = _hundredths(scan, bare)
        if pointed is None:
            tenths = _digit_behind(scan, bare)
            pointed = None if tenths is None else _tenths(bare, tenths)
        if pointed is None:
            continue
        near = next(_beside(scan, pointed, _NEAR if tenths is None else _NEAR_TENTHS), None)
        if near is None:
            continue
        scan.bare.remove(bare)
        if tenths is not None:
            scan.bare.remove(tenths)
        if isinstance(near, Bare):
            scan.bare.append(pointed)
        else:
            why = f"a decimal said without its point, beside {' '.join(scan.words[near.start : near.end])!r}"
            given.append(scan.figure_of(pointed, near.kind.replace("clearance", "length"), near.unit, why))
    scan.bare.sort(key=lambda item: item.start)
    return given


def _hundredths(scan: Scan, bare: Bare) -> Bare | None:
    """ "fifty-seven seventy-five", "seven oh five"."""
    if bare.high is not None:
        # two numbers side by side, the second the larger
        side_by_side = not {*scan.words[bare.start : bare.end]} & (RANGE_WORDS | {"between", "from"})
        if not side_by_side or bare.high not in range(10, 100) or bare.value < 10:
            return None
        return replace(bare, value=bare.value + bare.high / 100, high=None, shape="decimal", places=2)
    if bare.shape != "joined" or bare.value < 100:
        return None
    return replace(bare, value=bare.value / 100, shape="decimal", places=2)


def _digit_behind(scan: Scan, bare: Bare) -> Bare | None:
    digits = (item for item in scan.bare if item.start == bare.end and item.start not in scan.breaks)
    digit = next(digits, None)
    if (
        bare.high is not None
        or digit is None
        or not digit.spoken
        or digit.high is not None
        or digit.value not in range(1, 10)
    ):
        return None
    return digit if digit.end == digit.start + 1 and bare.value >= 1 and bare.shape == "whole" else None


def _tenths(bare: Bare, digit: Bare) -> Bare:
    """ "twenty-four six"."""
    return replace(bare, value=bare.value + digit.value / 10, end=digit.end, shape="decimal", places=1)


def _beside(scan: Scan, pointed: Bare, within: Fraction) -> Iterator[Found | Bare]:
    """Figures, then numbers with a point, that stand not far off and come so near in value."""
    figures = [found for found in scan.found if found.kind in _KINDS and found.times == 1 and found.high is None]
    decimals = [item for item in scan.bare if item.shape == "decimal"]
    beside: list[Found | Bare] = [*figures, *decimals]
    for item in beside:
        exact = item.value.denominator != 1 or within == _NEAR
        apart = abs(item.start - pointed.start)
        if exact and 0 < apart <= _REACH and abs(item.value - pointed.value) <= within * item.value:
            yield item
