"""Ratios that the teeth said before them make: "forty one on the ring and eleven on the pinion, so it's a 3.73"."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

from pipeline.quantities.scan import Bare, Found, Scan, cue_words

_WITHIN = 30
_NEAR_ENOUGH = Fraction(1, 100)
# Parts of petrol to one of oil.
_MIXES = frozenset({16, 20, 24, 25, 30, 32, 33, 40, 50, 60, 80, 100})
_BEFORE_A_MIX = frozenset(
    {"to", "then", "and", "at", "on", "me", "was", "run", "ran", "say", "says", "or", "not", "running", "about"}
)
_BEHIND_A_MIX = cue_words("after_figure") | {"after", "once", "on", "from", "when", "with"}


# What has such ratios, and between which they lie, in hundredths.
_AXLES = frozenset(
    {
        "axle",
        "axles",
        "diff",
        "differential",
        "rearend",
        "drive",
        "ring",
        "pinion",
        "gears",
        "geared",
        "gearing",
        "truck",
        "ratio",
    }
)
_LEAST_AXLE, _MOST_AXLE = 220, 720
# Those that are cut.
_AXLE_RATIOS = frozenset(
    {
        273,
        276,
        292,
        300,
        308,
        311,
        321,
        323,
        325,
        331,
        336,
        342,
        345,
        350,
        354,
        355,
        358,
        364,
        370,
        373,
        377,
        390,
        391,
        392,
        405,
    }
    | {409, 410, 411, 422, 430, 433, 444, 446, 456, 463, 466, 470, 477, 488, 489, 513, 529, 538, 557, 571, 614, 672}
)


def of_an_axle(scan: Scan, start: int, shape: str, value: Fraction) -> bool:
    """Whether a number is the ratio of an axle, said without its point: "three fifty five to one"."""
    if shape != "joined" or not _LEAST_AXLE <= value <= _MOST_AXLE or value.denominator != 1:
        return False
    said = scan.plain[slice(*scan.with_sentence_before(start))]
    return bool({*said} & _AXLES) or ("rear", "end") in pairwise(said)


def axle_ratio(scan: Scan, bare: Bare) -> Found | None:
    """ "find you a four ten", "it's got three seventy threes": such a ratio alone, where axles are spoken of."""
    led = scan.at(bare.start - 1) in ("a", "is", "was", "it's", "with", "to") or scan.at(bare.start - 1).endswith("'s")
    closes = bare.end in scan.breaks or scan.at(bare.end) in (
        "",
        "and",
        "but",
        "so",
        "in",
        "gears",
        "rear",
        "axle",
        "diff",
    )
    if (
        not (led and closes)
        or bare.value not in _AXLE_RATIOS
        or not of_an_axle(scan, bare.start, bare.shape, bare.value)
    ):
        return None
    ratio = replace(bare, value=bare.value / 100, shape="decimal", places=2)
    return scan.figure_of(ratio, "ratio", "", "the ratio of an axle, said without its point")


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
