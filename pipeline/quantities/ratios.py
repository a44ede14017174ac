"""Ratios that the teeth said before them make: "forty one on the ring and eleven on the pinion, so it's a 3.73"."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from pipeline.quantities.scan import Bare, Found

_WITHIN = 30
_NEAR_ENOUGH = Fraction(1, 100)


def quotient_of(bare: Bare, lenders: Sequence[Found]) -> Found | None:
    """The ratio that a decimal is where it is the quotient of the last two counts of teeth."""
    teeth = [found for found in lenders if found.kind == "teeth" and 0 <= bare.start - found.end <= _WITHIN]
    if len(teeth) < 2 or bare.shape != "decimal" or bare.high is not None:
        return None
    few, many = sorted((teeth[-1].value, teeth[-2].value))
    if not few or abs(many / few - bare.value) > _NEAR_ENOUGH:
        return None
    why = "what the teeth said before it make"
    return Found("ratio", bare.value, None, "", bare.start, bare.end, bare.start, why=why)
