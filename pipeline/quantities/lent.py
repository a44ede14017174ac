"""The unit that a figure lends a number beside it: "two thou, and the shaft's seven eighths" is of an inch."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from functools import cache

from pipeline.quantities.scan import Bare, Found, Scan, cue_words
from pipeline.quantities.units import IGNORED

# Kinds whose unit one figure does not lend to another.
LEND_NONE = frozenset({"count", "thread", "ratio", IGNORED})
# "Thirty four hundred, no more than thirty six": hundreds of turns a minute, from so many on.
_HUNDREDS_FROM = 1000
_EIGHTHS = frozenset({4, 8, 16, 32, 64})
# Nobody gives more microns than these with a decimal.
_MOST_MICRONS = 10
# So many times a size with a half or quarter thousandths are none of its kind.
_MOST_TIMES_MIXED = 12
_TENS_OF_THOUSANDS = 10_000
# So many inches are no size beside one of a few.
_MOST_INCHES = 100
_PUT_RIGHT_WITHIN = 4
# Unit, or kind of figures without one -> more of it is not lent: two turns, a whole, the largest wheel.
_MOST_LENT = {"deg": Fraction(720), "percentage": Fraction(100), "teeth": Fraction(200), "V": Fraction(50_000)}
# Numbers of cylinders and parts, and words between a figure and a "no" that takes nothing back.
_MOST_NUMBERED = 12
_LINKED = frozenset({"and", "but", "there's", "with", "so", "is", "are", "has", "have", "got", "at"})
MM_PER_INCH = Fraction(254, 10)


def lent_unit(bare: Bare, found: Found) -> tuple[str, Fraction]:
    """The unit and factor that a figure lends a number: tenths only to few, thou to no part of an inch."""
    parts = bare.value.denominator
    if found.unit == "in" and bare.high is None and abs(bare.value - found.value * MM_PER_INCH) < Fraction(1, 20):
        return "mm", Fraction(1)  # "it's 25.4, that's one inch"
    if found.unit == "mm" and bare.shape == "decimal" and 1000 % parts:
        return "in", Fraction(1)  # nobody says a tenth of a micron
    if found.unit == "mm" and bare.shape == "fraction" and parts in _EIGHTHS - {4}:
        return "in", Fraction(1)  # "three eighths, or nine and a half mil"
    if found.unit == "thou" and (parts >= 100 or bare.places >= 3 or (bare.shape == "fraction" and parts in _EIGHTHS)):
        return "in", Fraction(1)
    if _parts_beside_thou(bare, found):
        return "in", Fraction(1)
    if found.times < 1 and (parts != 1 or bare.value * found.times >= 1):
        return found.unit, Fraction(1)
    if (scale := _scale_left_out(bare, found)) > 1:
        return found.unit, Fraction(scale)
    if found.unit == "rpm" and found.value >= _HUNDREDS_FROM and 5 <= bare.value < 100 and parts == 1 and bare.spoken:
        return found.unit, Fraction(100)
    if found.unit == "rpm" and found.value >= _TENS_OF_THOUSANDS and bare.shape == "decimal" and 5 <= bare.value < 30:
        return found.unit, Fraction(1000)  # "thirteen two wide open, and the limit is thirteen five"
    if found.unit == "µm" and (parts >= 25 or (bare.shape == "decimal" and bare.value > _MOST_MICRONS)):
        return "mm", Fraction(1)
    return found.unit, found.times


def _parts_beside_thou(bare: Bare, found: Found) -> bool:
    """ "two and a quarter, and I take forty thou a cut", "three quarters less two tenths": sizes told in halves,
    quarters and what is made of them are of an inch beside so many thousandths, and beside tenths of one."""
    parts = bare.value.denominator
    if found.unit == "thou" and bare.shape == "mixed":
        return parts in _EIGHTHS - {4} or (parts in (2, 4) and found.value >= _MOST_TIMES_MIXED * bare.value)
    tenths = found.times < 1 and found.unit in ("thou", "mm") and (found.unit == "thou" or bool(found.rivals))
    return tenths and bare.shape in ("fraction", "mixed") and parts in _EIGHTHS


def _scale_left_out(bare: Bare, found: Found) -> int:
    """ "four and a half thousand revs, never at six", "eleven hundred pounds, drop it to nine": said once, for both."""
    if not bare.spoken or found.unit not in ("rpm", "psi") or found.value % 50 or not 1 <= bare.value < 100:
        return 1
    scales = [scale for scale in (1000, 100) if found.value >= scale and 0.5 <= bare.value * scale / found.value <= 2]
    return scales[0] if scales else 1


def may_lend(bare: Bare, found: Found) -> bool:
    """Whether a figure's unit can be that of such a number: there are no tenths of a minute or of a tooth,
    and no thousands of degrees."""
    if bare.shape == "decimal" and found.kind in ("duration", "teeth"):
        return False
    if found.kind == "grit" and bare.value % 10:
        return False
    if bare.value * found.times > _MOST_LENT.get(found.unit or found.kind, bare.value * found.times):
        return False
    return not (found.unit == "in" and found.value * 5 < _MOST_INCHES <= bare.value)


def alike(value: Fraction, found: Found, factor: int = 40) -> bool:
    """Whether a bare number is of the size of a figure, within a factor."""
    return value > 0 and found.value > 0 and Fraction(1, factor) <= value * found.times / found.value <= factor


def short_no(figure: Bare | Found, between: Sequence[str]) -> bool:
    """ "twenty six ounces by the pump no twenty eight", "a forty amp fuse no fifty": what is measured, then "no"."""
    numbered = figure.value.denominator == 1 and figure.value <= _MOST_NUMBERED  # "no two cylinder"
    return between[-1:] == ["no"] and len(between) <= _PUT_RIGHT_WITHIN and not numbered and not _LINKED & {*between}


@cache
def _ends_of_taking_back() -> frozenset[str]:
    """Last words of what is said between a figure and the one that is meant."""
    return frozenset(phrase.split()[-1] for phrase in cue_words("taken_back"))


def put_right(scan: Scan, bare: Bare, lenders: Sequence[Found]) -> Found | None:
    """ "sixty degrees apart, no, one twenty", "sixteen, no, fifteen and a half": the figure that a number corrects."""
    if scan.at(bare.start - 1) not in _ends_of_taking_back():
        return None
    for found in reversed(lenders):
        if not 0 < bare.start - found.end <= _PUT_RIGHT_WITHIN or found.kind in LEND_NONE:
            continue
        between = scan.words[found.end : bare.start]
        told = any(" ".join(between[place:]) in cue_words("taken_back") for place in (0, 1)) or short_no(bare, between)
        near = found.value and Fraction(1, 3) <= bare.value * found.times / found.value <= 3
        return found if told and near and may_lend(bare, found) else None
    return None
