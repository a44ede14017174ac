"""A number and the unit that was recognised behind it, as a figure in canonical units."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from pipeline.numbers import Figure
from pipeline.numbers.words import NUMBER_WORDS
from pipeline.quantities.choose import CHOICE, choose
from pipeline.quantities.context import not_of_the_build
from pipeline.quantities.misheard import Misheard
from pipeline.quantities.scan import Found, Scan, cue_words
from pipeline.quantities.unit_words import Measured
from pipeline.quantities.units import IGNORED, declared, unit_named, unit_table
from pipeline.quantities.usual_units import heat_unit

_LEAST_TEETH = 5
_LEAST_WARM = 15
_WOUND = ("tape", "wire", "rope", "cord", "string", "cotton", "cable", "thread")
_LEAST_REVS, _LEAST_TURNS = 100, 200
_MOST_MM = 10_000
_RELATIVES = {
    "tenth of a millimetre": ("mm", Fraction(1, 10)),
    "tenth of a thou": ("thou", Fraction(1, 10)),
    "tenth of a volt": ("V", Fraction(1, 10)),
    "kilohm": ("Ω", Fraction(1000)),
    "tenth of an ohm": ("Ω", Fraction(1, 10)),
}


def measured(scan: Scan, figure: Figure, unit: Measured) -> Found:
    """The figure in canonical units; kind "ignored" where it is no figure of the build."""
    target, why = unit.alias.target, ""
    if target.startswith(CHOICE):
        name = target.removeprefix(CHOICE)
        target, why = choose(scan, name, figure.start, unit.start, unit.end, unit.alias.written)
        if name == "degrees":
            target, why = _degrees(scan, figure, target, why)
    if target == "rpm" and figure.bare_range and figure.high is not None:
        # "fourteen twenty rpm": no engine turns at 14.
        figure = replace(figure, low=figure.low * 100 + figure.high, high=None, approximate=False)
    if target == "turn" and tuple(scan.words[unit.end : unit.end + 1]) == ("of",) and scan.at(unit.end + 1) in _WOUND:
        return replace(in_unit(scan, figure, target, unit.alias.times, unit.end, why), kind=IGNORED)
    if target == "teeth" and max(figure.low, figure.high or 0) < _LEAST_TEETH:
        return replace(in_unit(scan, figure, target, unit.alias.times, unit.end, why), kind=IGNORED)
    many = figure.low >= (_LEAST_REVS if scan.at(unit.start).startswith("revolution") else _LEAST_TURNS)
    wire = scan.at(unit.end) == "of" and (scan.at(unit.end + 1) in NUMBER_WORDS or scan.at(unit.end + 1)[:1].isdigit())
    if target == "turn" and many and wire and unit.end not in scan.breaks:
        return replace(in_unit(scan, figure, target, unit.alias.times, unit.end, why), kind=IGNORED)  # of a coil's wire
    if target == "turn" and many:
        target, why = "rpm", "so many turns are a speed"
    figure = _decimal_comma(scan, figure, target)
    found = in_unit(scan, figure, target, unit.alias.times, unit.end, why)
    if not_of_the_build(scan, found, unit.start):
        return replace(found, kind=IGNORED)
    return _with_its_to(scan, found)


def _decimal_comma(scan: Scan, figure: Figure, target: str) -> Figure:
    """ "62,015 mm" is 62.015: nobody measures sixty metres in millimetres."""
    written = scan.pieces[figure.number.start].raw
    if target != "mm" or figure.high is not None or figure.low < _MOST_MM or "," not in written:
        return figure
    return replace(figure, low=figure.low / 1000)


def _with_its_to(scan: Scan, found: Found) -> Found:
    """ "torqued 210 newton metres": "torqued to 10" and "to 110" sound the same, so both are kept in sight."""
    verb = scan.at(found.start - 1)
    if found.unit != "N·m" or not 200 <= found.value < 300 or found.high is not None:
        return found
    if found.value == 200 or not scan.pieces[found.start].text.isdigit() or verb not in cue_words("set_to_figure"):
        return found
    why = f'{scan.at(found.start)!r} right after {verb!r}: it may be "to" and the rest'
    return replace(found, rivals=(found.value - 200, found.value - 100), why=why)


def in_unit(scan: Scan, figure: Figure, target: str, times: Fraction, end: int, why: str) -> Found:
    """A figure in a unit known by name: canonical, undeclared, a relative of one ("a tenth of a thou") or ignored."""
    start, low, high = figure.start, figure.low, figure.high
    rivals: tuple[Fraction, ...] = ()
    if target == "doubtful tenth":
        rivals = (low * Fraction("0.00254"),)
        target, why = "tenth of a millimetre", "'tenth' may be 0.1 mm or a ten-thousandth of an inch"
    if target in _RELATIVES:
        target, factor = _RELATIVES[target]
        times = times * factor
    if target not in unit_table().units:
        return Found(IGNORED, low, high, "", start, end, start)
    name, is_declared = declared(target, scan.settings)
    kind = unit_named(name).kind
    return Found(
        kind,
        low * times,
        None if high is None else high * times,
        "" if kind in ("percentage", "grit", "teeth") else name,
        start,
        end,
        start,
        figure.approximate,
        declared=is_declared,
        rivals=rivals,
        times=times,
        why=why,
    )


def as_thousandths(scan: Scan, figure: Figure) -> Found | None:
    """ "20,000ths" for twenty thousandths of an inch, "3 to 4,000ths"; "22 ten thousandths"."""
    if scan.at(figure.end) == "ten" and scan.at(figure.end + 1).startswith("thousandth"):
        end = figure.end + 2
        end += 3 if tuple(scan.words[end : end + 3]) == ("of", "an", "inch") else 0
        return in_unit(scan, figure, "tenth of a thou", Fraction(1), end, "ten-thousandths of an inch")
    last = figure.low if figure.high is None else figure.high
    if last < 1000 or last % 1000 or scan.at(figure.end) != "ths" or figure.number.shape != "whole":
        return None
    low = figure.low / 1000 if figure.low >= 1000 else figure.low
    high = None if figure.high is None else last / 1000
    end = figure.end + 1
    while end not in scan.breaks and scan.at(end) in ("of", "an", "a", "inch"):
        end += 1
    less = replace(figure, low=low, high=high)
    return in_unit(scan, less, "thou", Fraction(1), end, "thousandths of an inch, written as thousands")


def _degrees(scan: Scan, figure: Figure, target: str, why: str) -> tuple[str, str]:
    """Bare degrees: a temperature is Celsius unless the user works in US units."""
    degree = heat_unit(scan)
    if target == "temperature" or figure.low < 0:
        return degree, why or "a minus sign makes it a temperature"
    if figure.low > 720:
        return degree, "too many degrees for an angle"
    told = why.endswith("around it")
    if not told and scan.at(figure.start - 1) == "it's" and figure.low > _LEAST_WARM and figure.low % 15:
        return degree, "so many degrees that it is: a temperature"
    whole_turns = figure.low % 30 == 0 and figure.low <= 720
    if not told and figure.low > 100 and not whole_turns:
        return degree, "too many degrees for an angle"
    return target, why


def as_heard(scan: Scan, misheard: Misheard) -> Found:
    """The figure whose unit was heard as other words."""
    found = in_unit(scan, misheard.figure, misheard.unit, Fraction(1), misheard.end, misheard.why)
    found = replace(found, heard=misheard.heard, sure=misheard.sure)
    if scan.at(found.start - 1) == "$":
        # "$20" for twenty thou
        found = replace(found, start=found.start - 1, head=found.start - 1)
    return found
