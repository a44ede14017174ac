"""Ratios that the teeth said before them make: "forty one on the ring and eleven on the pinion, so it's a 3.73"."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from pipeline.quantities.scan import Bare, Found, Scan, cue_words

_WITHIN = 30
_NEAR_ENOUGH = Fraction(1, 100)
# Parts of petrol to one of oil.
_MIXES = frozenset({16, 20, 24, 25, 30, 32, 33, 40, 50, 60, 80, 100})
_BEFORE_A_MIX = frozenset({"to", "then", "and", "at", "on", "me", "was", "run", "ran", "say", "says", "or", "not"})
_BEHIND_A_MIX = cue_words("after_figure") | {"after", "once", "on", "from", "when", "with"}


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


def mix_before(scan: Scan, bare: Bare, lenders: list[Found]) -> Found | None:
    """ "thirty two to one for the first tank and then back to fifty": petrol to oil, its "to one" unsaid."""
    if bare.value not in _MIXES or scan.at(bare.start - 1) not in _BEFORE_A_MIX:
        return None
    before = [found for found in lenders if 0 <= bare.start - found.end <= _WITHIN]
    last = next((found for found in reversed(before) if found.kind not in ("volume", "duration")), None)
    if last is None or last.kind != "ratio" or last.value not in _MIXES:
        return None
    behind = "" if bare.end in scan.breaks else scan.at(bare.end)
    if bare.high is not None or behind not in _BEHIND_A_MIX:
        return None
    return last
