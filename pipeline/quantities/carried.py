"""Units that are not said again: "eight hundred psi, and it should be a thousand", "the minimum is twenty"."""

from __future__ import annotations

from fractions import Fraction

from pipeline.numbers import hedge_after
from pipeline.quantities.counts import not_between
from pipeline.quantities.lent import lent_unit, may_lend
from pipeline.quantities.scan import Bare, Found, Scan, cue_words
from pipeline.quantities.units import IGNORED

# Figures of these kinds lend no unit.
ALONE = frozenset({"count", "thread", "ratio", "spanner", "viscosity", IGNORED})
_NEAR = 22
# "torqued the bolt to forty" takes no length's unit.
_VERB_WITHIN = 6
_NEAR_AFTER_STOP = 16
# Above this, or with a fraction, a number counts nothing that stands unnamed.
_COUNTED = 12
# What a number said of tyres may be.
OF_TYRES = frozenset({"pressure", "length"})
_LEADS = frozenset({"are", "is", "at", "to", "were", "get", "gets", "run", "about", "want", "wants", "on"})
_YEARS = range(1900, 2051)
_PERHAPS = (("perhaps",), ("maybe",), ("at", "a", "push"), ("if", "that"), ("possibly",))
_MOST_TIMES, _MOST_TIMES_AFTER_STOP = 7, Fraction(7, 2)


def carried(scan: Scan, bare: Bare, lenders: list[Found]) -> Found | None:
    """The figure before a bare number whose unit it takes; None where it is no figure or there is none.

    The number must stand on its own (nothing counted behind it), be of the size of that figure, and either be said to
    be a measure ("it should be", "down to", "under") or be too large or too exact to count things.
    """
    if not stands_alone(scan, bare) or (bare.value.denominator == 1 and int(bare.value) in _YEARS):
        return None
    before = scan.plain[max(0, bare.start - _VERB_WITHIN) : bare.start - 1]
    torqued = scan.at(bare.start - 1) == "to" and any(plain in cue_words("torque_verbs") for plain in before)
    of_tyres = said_of_tyres(scan, bare)
    fed = "feed" in before
    for found in sorted(lenders, key=lambda item: -item.end):
        gap = bare.start - found.end
        if gap < 0 or found.kind in ALONE or (torqued and found.kind != "torque"):
            continue
        if (of_tyres and found.kind not in OF_TYRES) or (fed and found.kind == "speed"):
            continue
        stops = [place for place in scan.sentences if found.end <= place <= bare.start]
        if gap > (_NEAR_AFTER_STOP if stops else _NEAR) or len(stops) > 1:
            return None
        if not _of_a_size(bare, found, bool(stops)):
            continue
        return found if _measured(scan, bare, found, bool(stops)) else None
    return None


def or_so_much(scan: Scan, bare: Bare, lenders: list[Found]) -> Found | None:
    """ "one newton metre, one and a half perhaps": what follows at once is of the same, and the figure a range."""
    end = bare.end + hedged_behind(scan, bare.end)
    closes = end in scan.breaks or scan.at(end) in ("", "and", "so", "but", "then", "no")
    before = next((found for found in lenders if found.end == bare.start and found.kind not in ALONE), None)
    if before is None or end == bare.end or not closes or bare.start in scan.sentences or before.high is not None:
        return None
    return before if before.value < bare.value * before.times <= 2 * before.value else None


def hedged_behind(scan: Scan, end: int) -> int:
    """How many words behind a figure say that it may be as much: "perhaps", "at a push"."""
    words = tuple(scan.words[end : end + 3]) if end not in scan.breaks else ()
    return next((len(said) for said in _PERHAPS if words[: len(said)] == said), 0)


def said_of_tyres(scan: Scan, bare: Bare) -> bool:
    """ "tyres are at thirty-five": a number that is said of them is no torque, whatever figure stands before."""
    start = bare.start
    while scan.at(start - 1) in _LEADS and start not in scan.breaks:
        start -= 1
    return start > 0 and start not in scan.breaks and scan.plain[start - 1] in cue_words("tyre_words")


def stands_alone(scan: Scan, bare: Bare) -> bool:
    """Whether no noun follows that the number would count, and no label stands before it."""
    end, _, _ = hedge_after(scan.words, bare.end, scan.breaks)
    following = scan.at(end) if end not in scan.breaks else ""
    before = scan.at(bare.start - 1) if bare.start not in scan.breaks else ""
    if following in ("of", "times", "way", "ways", "thing", "things", "people", "piece", "o'clock", "side", "sides"):
        return False
    if before in cue_words("counts_before") or (before == "the" and bare.value.denominator == 1):
        return False
    if bare.shape == "fraction" and bare.value < 1 and bare.spoken:
        return False
    if bare.value.denominator != 1 and following in cue_words("length_things") | cue_words("length"):
        return True
    return following == "" or following in not_between() | cue_words("after_figure") or following in cue_words("places")


def _of_a_size(bare: Bare, found: Found, apart: bool) -> bool:
    most = _MOST_TIMES_AFTER_STOP if apart else _MOST_TIMES
    unit, times = lent_unit(bare, found)
    value = bare.value * times
    if unit != found.unit:
        return True
    return may_lend(bare, found) and value > 0 and found.value > 0 and 1 / Fraction(most) <= value / found.value <= most


def _judged(scan: Scan, bare: Bare) -> bool:
    """ "a good twelve hours, and two would have done"."""
    return scan.at(bare.end) in ("would", "will", "should") and scan.at(bare.end + 1) in ("do", "have", "be")


def _measured(scan: Scan, bare: Bare, found: Found, apart: bool) -> bool:
    before = scan.at(bare.start - 1)
    if bare.start in scan.breaks and not apart:
        before = ""
    exact = bare.value.denominator != 1 or bare.value > _COUNTED
    said = before in cue_words("measures_before") or before.endswith("'s") or _judged(scan, bare)
    if bare.value == 1 and before not in ("than", "under", "over", "below", "above"):
        return False
    if apart:
        # "Upper sleeve, fifty.": a short sentence of its own
        closes = bare.end in scan.breaks or bare.end >= len(scan.words)
        return closes and (exact or bare.value > 3 or said)
    return exact or said
