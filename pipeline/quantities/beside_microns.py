"""Sizes beside microns: "bored to twenty two and eleven microns", "twenty-two less
the clearance" are in millimetres."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from pipeline.numbers.words import word_set
from pipeline.quantities.scan import Bare, Found, Scan

# What is so many millimetres across; a whole number of it is no number of microns.
_SIZED = word_set(
    "bore bored shaft pin spool journal spindle liner sleeve hole bush housing diameter reamer reamed drilled rod "
    "plunger barrel wheel"
)
_SIZES_BEHIND = frozenset({"across", "wide", "long", "deep", "thick", "diameter", "less"})
_LEAST_MM, _FIRST_WITHIN = 10, 24
_NEAR_SIZE = Fraction(1, 5)


def size_beside_microns(scan: Scan, bare: Bare, lenders: list[Found]) -> Found | None:
    """The figure in microns near a whole size, as it would be in millimetres; None where the number may be microns."""
    if bare.value.denominator != 1 or bare.value < _LEAST_MM or bare.high is not None:
        return None
    near = [found for found in lenders if found.unit == "µm" and abs(found.start - bare.start) <= _FIRST_WITHIN]
    if not near or not _is_size(scan, bare, near):
        return None
    return replace(near[-1], kind="length", value=bare.value, high=None, unit="mm", times=Fraction(1))


def _is_size(scan: Scan, bare: Bare, microns: list[Found]) -> bool:
    behind = "" if bare.end in scan.breaks else scan.at(bare.end)
    if behind in _SIZES_BEHIND or (behind == "in" and scan.at(bare.end + 1) == "diameter"):
        return True
    before = {*scan.plain[scan.sentence(bare.start)[0] : bare.start]}
    added = any(
        found.head == bare.end + 1 and behind in ("and", "plus", "minus") and found.value * 10 <= bare.value * 1000
        for found in microns
    )
    if added and before & _SIZED and scan.at(bare.start - 1) not in ("and", "or", "between"):
        return True
    written = [item.value for item in scan.bare if item.shape == "decimal"]
    sizes = [found.value for found in scan.found if found.kind == "length" and found.unit == "mm" and found.times == 1]
    close = any(abs(value - bare.value) <= _NEAR_SIZE * bare.value for value in (*written, *sizes))
    return close and bool(before & _SIZED)
