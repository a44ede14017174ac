"""Reads a number with its unit: "twenty five newton metres", "0.15mm", "half a pint", "a litre"."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from pipeline.numbers import Figure, count_decimals, read_figure, read_number
from pipeline.numbers.words import ONES, POINTS, TEENS, ZEROS
from pipeline.quantities.in_units import as_heard, as_thousandths, measured
from pipeline.quantities.jaws import jaw_of_a_nut
from pipeline.quantities.misheard import (
    ORDINAL_ENDINGS,
    half_more,
    misheard_unit,
    rest_of_unit,
    unit_by_sound,
)
from pipeline.quantities.ones import one_of
from pipeline.quantities.scan import Bare, Found, Scan, changing, cue_words
from pipeline.quantities.so_many import behind_fasteners
from pipeline.quantities.spanners import across_flats
from pipeline.quantities.tubes import read_tube
from pipeline.quantities.unit_words import CURRENCIES, Measured, unit_after, units_at
from pipeline.quantities.units import IGNORED, Alias

_POINTED = ZEROS | POINTS
_VOLTS_WITHIN = 24
_BEHIND_VOLTS = frozenset({"to", "at", "float", "bulk", "standing", "resting", *TEENS})
# Between the ends of a range, and how far they are apart at most.
_MAYBE = (("or", "maybe"), ("maybe",), ("perhaps",), ("possibly",), ("up", "to"))
_OTHER_UNIT = 4
_FARTHEST = Fraction(7, 4)
# Between a figure and its unit: "twenty odd millimetres", "25 or so newton metres".
_VAGUE = (("ish",), ("odd",), ("plus",), ("+",), ("or", "so"), ("or", "thereabouts"), ("and", "a", "bit"))


def read_measure(scan: Scan, index: int) -> Found | Bare | None:
    """The figure that begins at a piece: with a unit, or bare."""
    one = one_of(scan, index)
    if one is not None:
        return one
    thing = scan.at(index) == "one" and index + 1 in scan.breaks and scan.at(index + 1) in _POINTED
    if thing and not scan.pieces[index].stop:
        return None  # "the bottom one point five", "the left one zero point two"
    figure = read_figure(scan.words, index, scan.breaks, scan.dashes)
    if figure is not None and figure.high is not None and changing(scan, index):
        # "dropping from twelve five to nine and a half": first the one, then the other
        opens = scan.at(index) in ("from", "between")
        figure = None if opens else read_figure(scan.words, index, scan.breaks | {figure.number.end}, scan.dashes)
    if figure is None:
        return None
    if figure.high is not None and figure.number.shape == "fraction" and figure.high > _OTHER_UNIT:
        # "three eighths or nine and a half mil": in inches, and in millimetres
        figure = read_figure(scan.words, index, scan.breaks | {figure.number.end}, scan.dashes) or figure
    figure = _hundredfold(scan, _negative(scan, _or_maybe(scan, figure)))
    if (thousandths := as_thousandths(scan, figure)) is not None:
        return thousandths
    place = figure.end + (
        scan.at(figure.end) == "all" and scan.joined(figure.end) and any(units_at(scan, figure.end + 1))
    )
    for vague in _VAGUE:
        after = place + len(vague)
        if tuple(scan.words[place:after]) == vague and scan.joined(place) and any(units_at(scan, after)):
            place = after
            figure = replace(figure, approximate=True)
            break
    if scan.at(place) in ORDINAL_ENDINGS and scan.at(index - 1) != "the" and not scan.breaks & {place, place + 1}:
        # "12th thou": the th of the unit, heard once too often
        place += any(units_at(scan, place + 1))
    misheard = half_more(scan, figure) or misheard_unit(scan, figure)
    if misheard is not None:
        return as_heard(scan, misheard)
    unit = unit_after(scan, place, figure)
    if unit is None:
        figure, unit = _volts(scan, figure) or (figure, None)
    if unit is None or (unit.alias.target == IGNORED and len(unit.alias.words) == 1):
        sounds_like = unit_by_sound(scan, figure)
        if sounds_like is not None:
            return as_heard(scan, sounds_like)
    if unit is None:
        number = figure.number
        places = count_decimals(scan.words[number.start : number.end])
        return read_tube(scan, figure) or Bare(
            figure.low, figure.high, index, figure.end, number.spoken, number.shape, places
        )
    found = measured(scan, figure, unit)
    end = rest_of_unit(scan, found.end)
    if end > found.end:
        heard = " ".join(scan.words[found.end - 1 : end])
        found = replace(found, end=end, heard=heard, why=f"{heard!r} behind a number can only be newton metres")
    return found


def _or_maybe(scan: Scan, figure: Figure) -> Figure:
    """ "ten, twelve psi", "fifteen, maybe eighteen thou": the other end of a range, where one unit follows both."""
    if figure.high is not None or figure.end in scan.sentences or (scan.bare and scan.bare[-1].end == figure.start):
        return figure
    if scan.at(figure.start - 1) == "not" and figure.start not in scan.breaks:
        return figure  # "no, not forty, fifty newton metres"
    if behind_fasteners(scan, figure.start, figure.end):
        return figure  # "crankcase bolts twelve, fifteen newton metres"
    link = next((len(link) for link in _MAYBE if tuple(scan.words[figure.end : figure.end + len(link)]) == link), 0)
    place = figure.end + link
    if not link and figure.end not in scan.breaks:
        return figure
    if not link and jaw_of_a_nut(scan, figure.start, figure.low, figure.number.shape):
        return figure  # "the locknut is seventeen, twenty-five newton metres"
    other = read_number(scan.words, place, scan.breaks)
    if other is None or other.shape != figure.number.shape or not 1 < other.exact / (figure.low or 1) <= _FARTHEST:
        return figure
    unit = unit_after(scan, other.end, replace(figure, low=other.exact, start=place, end=other.end, number=other))
    if unit is None or unit.alias.target == IGNORED or _goes_on(scan, unit.end):
        return figure
    if not link and across_flats(scan, unit.end) != unit.end:
        return figure  # "five-sixteenths, half-inch across flats": a bolt and its head
    return replace(figure, high=other.exact, end=other.end, approximate=True)


def _goes_on(scan: Scan, index: int) -> bool:
    """Whether what follows a figure goes on with a list of them: "28, 32 psi, front and rear"."""
    placed = {*scan.words[index : index + 4]} & cue_words("places")
    return bool(placed) or (index in scan.breaks and scan.at(index).isdigit())


def _hundredfold(scan: Scan, figure: Figure) -> Figure:
    """ "$1.50 cc": one fifty, written as a price."""
    if scan.at(figure.start - 1) not in CURRENCIES or figure.number.shape != "decimal" or figure.high is not None:
        return figure
    if not any(unit.alias.target != IGNORED for unit in units_at(scan, figure.end)):
        return figure
    return replace(figure, low=figure.low * 100)


def _volts(scan: Scan, figure: Figure) -> tuple[Figure, Measured] | None:
    """ "twelve seven volts" is 12.7: only voltages are said without their point."""
    tenths = ONES.get(scan.at(figure.end), 0) if figure.end not in scan.breaks else 0
    if not tenths or not figure.number.spoken or figure.high is not None or not 10 <= figure.low <= 16:
        return None
    unit = next((unit for unit in units_at(scan, figure.end + 1) if unit.alias.target == "V"), None)
    if unit is None and any(
        found.unit == "V" and figure.start - found.end <= _VOLTS_WITHIN for found in scan.found[-4:]
    ):
        # "thirteen two volts, and at five thousand revs it's fourteen four"
        unit = Measured(Alias(("volts",), "V"), figure.end + 1, figure.end + 1)
        if not (scan.at(unit.end) in cue_words("after_figure") or unit.end in scan.breaks):
            return None
    elif unit is None and scan.sentence_words(figure.start) & cue_words("electric"):
        # "the batteries read twelve four, twelve five"
        unit = Measured(Alias(("volts",), "V"), figure.end + 1, figure.end + 1)
        following = scan.at(unit.end)
        if not (following in cue_words("after_figure") or following in _BEHIND_VOLTS or unit.end in scan.breaks):
            return None
    elif unit is None or figure.end + 1 in scan.breaks:
        return None
    if unit is None:
        return None
    return replace(figure, low=figure.low + Fraction(tenths, 10), end=figure.end + 1), unit


def _negative(scan: Scan, figure: Figure) -> Figure:
    """A hyphen glued to the front of a written number, with a space before it, is a minus."""
    joint = scan.pieces[figure.start].joint
    if tuple(scan.words[max(0, figure.start - 2) : figure.start + 1]) == ("plus", "or", "minus"):
        return replace(figure, low=-figure.low)
    if tuple(scan.words[max(0, figure.start - 1) : figure.start + 1]) == ("plus", "minus"):
        return replace(figure, low=-figure.low, approximate=True)
    if (
        joint.startswith(" ")
        and not joint.endswith(" ")
        and joint.strip() in ("-", "–", "−")
        and not figure.number.spoken
    ):
        return replace(figure, low=-figure.low)
    return figure
