"""Reads a number with its unit: "twenty five newton metres", "0.15mm", "half a pint", "a litre"."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from pipeline.numbers import Figure, count_decimals, read_figure, read_number
from pipeline.numbers.words import ONES, TEENS
from pipeline.quantities.choose import CHOICE
from pipeline.quantities.in_units import as_heard, in_unit, measured
from pipeline.quantities.jaws import jaw_of_a_nut
from pipeline.quantities.misheard import (
    ORDINAL_ENDINGS,
    half_more,
    misheard_unit,
    one_and_a_half,
    rest_of_unit,
    unit_by_sound,
)
from pipeline.quantities.scan import Bare, Found, Scan, changing, cue_words
from pipeline.quantities.tubes import read_tube
from pipeline.quantities.unit_words import CURRENCIES, Measured, machinist, read_as, unit_after, units_at
from pipeline.quantities.units import IGNORED, Alias

_VOLTS_WITHIN = 24
_BEHIND_VOLTS = frozenset({"to", "at", "float", "bulk", "standing", "resting", *TEENS})
# Between the ends of a range, and how far they are apart at most.
_MAYBE = (("or", "maybe"), ("maybe",), ("perhaps",), ("possibly",), ("up", "to"))
_FARTHEST = Fraction(7, 4)
# Between a figure and its unit: "twenty odd millimetres", "25 or so newton metres".
_VAGUE = (("ish",), ("odd",), ("plus",), ("+",), ("or", "so"), ("or", "thereabouts"), ("and", "a", "bit"))


def read_measure(scan: Scan, index: int) -> Found | Bare | None:
    """The figure that begins at a piece: with a unit, or bare."""
    one = _one_of(scan, index)
    if one is not None:
        return one
    figure = read_figure(scan.words, index, scan.breaks, scan.dashes)
    if figure is not None and figure.high is not None and changing(scan, index):
        # "dropping from twelve five to nine and a half": first the one, then the other
        opens = scan.at(index) in ("from", "between")
        figure = None if opens else read_figure(scan.words, index, scan.breaks | {figure.number.end}, scan.dashes)
    if figure is None:
        return None
    figure = _hundredfold(scan, _negative(scan, _or_maybe(scan, figure)))
    if (thousandths := _thousandths(scan, figure)) is not None:
        return thousandths
    place = figure.end
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
    return replace(figure, high=other.exact, end=other.end, approximate=True)


def _goes_on(scan: Scan, index: int) -> bool:
    """Whether what follows a figure goes on with a list of them: "28, 32 psi, front and rear"."""
    placed = {*scan.words[index : index + 4]} & cue_words("places")
    return bool(placed) or (index in scan.breaks and scan.at(index).isdigit())


def _thousandths(scan: Scan, figure: Figure) -> Found | None:
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


_PARTS = {"eighth": 8, "sixteenth": 16}
# "Air screws: turn and a half out"
_HALVED = ("turn", "litre", "pint", "inch")
_INCH_OF = {("inch", "of", word) for word in ("movement", "play", "slack", "travel", "give", "wear", "tread")}
_LENGTHS = ("mm", "in", "thou", "cm", "choice mil")


def _part_after(scan: Scan, index: int) -> bool:
    """ "and a half", "and three quarters" at a piece."""
    if scan.at(index) != "and" or index in scan.breaks:
        return False
    part = read_number(scan.words, index + 1, scan.breaks)
    return part is not None and part.shape == "fraction" and part.exact < 1


def _inch_tool(scan: Scan, index: int) -> bool:
    """ "studs are five eighths, inch socket": one inch, without its article."""
    tool = scan.at(index + 1) in ("socket", "spanner", "wrench", "ring") and index + 1 not in scan.breaks
    return scan.at(index) == "inch" and tool and (not index or index in scan.breaks or scan.at(index - 1) == "and")


def _unit_and_a_half(scan: Scan, index: int) -> Found | None:
    """ "turn and a half out": one of a unit, without its article; the half is read by `and_a_half`."""
    one = read_figure(["one"], 0)
    unit = next(units_at(scan, index), None)
    if one is None or unit is None or scan.at(index - 1) in ("the", "that", "this", "each", "per"):
        return None
    return measured(scan, replace(one, start=index, end=index), unit)


def _part_of_an_inch(scan: Scan, index: int) -> Found | None:
    """ "eighth of an inch", without its article."""
    if scan.at(index - 1) in ("a", "an", "another") or not scan.joined(index + 1):
        return None
    part = Fraction(1, _PARTS[scan.at(index)])
    return Found("length", part, None, "in", index, index + 4, index)


def _rated(scan: Scan, index: int) -> bool:
    """ "sixty five an hour", "four nineteen a gallon", "eight drops a minute": so much for one of a unit."""
    if index in scan.breaks:
        return False
    ends = [*(found.end for found in scan.found[-1:]), *(bare.end for bare in scan.bare[-1:])]
    return index in ends


def _one_of_a_length(scan: Scan, index: int) -> Found | None:
    """One of a unit of length behind an article and an adjective."""
    one = read_figure(["one"], 0)
    unit = next((unit for unit in units_at(scan, index + 2) if not unit.alias.written), None)
    if one is None or unit is None or unit.alias.target not in _LENGTHS or scan.words[unit.end - 1].endswith("s"):
        return None
    return measured(scan, replace(one, start=index, end=index + 2), unit)


def _ounce_of_stuff(scan: Scan, end: int) -> bool:
    """ "an ounce of mineral oil", as against "not an ounce of play"."""
    return scan.at(end) == "of" and bool({*scan.plain[end + 1 : end + 4]} & cue_words("fluid_heads") - {"grease"})


def _one_of(scan: Scan, index: int) -> Found | None:
    """ "a litre", "an inch", "another turn": one of a unit."""
    if scan.at(index) in _PARTS and tuple(scan.words[index + 1 : index + 4]) == ("of", "an", "inch"):
        return _part_of_an_inch(scan, index)
    if scan.at(index) in _HALVED and (_part_after(scan, index + 1) or _inch_tool(scan, index)):
        return _unit_and_a_half(scan, index)
    if tuple(scan.words[index : index + 3]) in _INCH_OF and (index in scan.breaks or index == 0):
        # "Inch of movement there."
        return _unit_and_a_half(scan, index)
    if scan.at(index) not in ("a", "an", "another") or not scan.joined(index + 1):
        return None
    if scan.at(index) == "a" and scan.at(index + 1) in ("good", "full") and scan.joined(index + 2):
        # "a good inch", "out a full millimetre"
        found = _one_of_a_length(scan, index)
        if found is not None:
            return found
    one = read_figure(["one"], 0)
    misheard = one_and_a_half(scan, replace(one, start=index, end=index + 1)) if one is not None else None
    if misheard is not None:
        return as_heard(scan, misheard)
    unit = next((unit for unit in units_at(scan, index + 1) if not unit.alias.written), None)
    if one is None or unit is None or scan.words[unit.end - 1].endswith("s"):
        return None
    name = unit.alias.target.removeprefix(CHOICE)
    if name == "ounces" and not _ounce_of_stuff(scan, unit.end):
        return None
    if scan.at(index - 1) in cue_words("prices") or scan.at(index - 1)[:1].isdigit() or scan.at(index + 1) == "mill":
        return None
    if name == "tenths" and not machinist(scan, one, "tenth", scan.at(unit.end) if unit.end not in scan.breaks else ""):
        return None
    if scan.at(index) != "another" and _rated(scan, index):
        return None
    halved = _part_after(scan, unit.end) or (
        scan.words[unit.end : unit.end + 2] == ["or", "two"] and unit.end not in scan.breaks
    )
    before = "" if index - 1 in scan.dashes else scan.at(index - 1)
    if name == "turn":
        bare_turn = unit.end == index + 2 and scan.at(index) != "another"
        counted = halved or before in cue_words("turn_before") or scan.at(unit.end) in ("out", "off")
        if scan.at(unit.end - 1) != "turn" or (bare_turn and not counted):
            return None
    elif name in ("m", "µm") and scan.at(unit.end - 1) in ("meter", "micrometer"):
        # the instrument, unless a length follows: "a meter of cable"
        if unit.end in scan.breaks or scan.at(unit.end) not in ("of", "long", "and", "or"):
            return None
    elif name == "degrees":
        if not halved:
            return None
    elif name in ("h", "d"):
        left = scan.at(index - 2) in ("leave", "left", "give", "gave") and before in ("it", "them", "'em", "em", "that")
        waited = name == "h" and (before in cue_words("hour_before") or scan.at(unit.end) == "at")
        rated = any(found.end == index for found in scan.found[-1:])
        read = name == "h" and not rated and read_as(scan, index, index + 1, "duration")
        if not (halved or left or waited or read):
            return None
    elif name == "min":
        waited = before in cue_words("minute_before") and not any(found.end == index for found in scan.found[-1:])
        read = waited and read_as(scan, index, index + 1, "duration")
        if before != "about" and not read:
            return None
    elif name in ("pounds", "V"):
        if not halved:
            return None
    elif name not in cue_words("one_of"):
        return None
    found = measured(scan, replace(one, start=index, end=index + 1), unit)
    if scan.at(unit.end) == "point" and unit.end not in scan.breaks:
        # "a litre point seven"
        tenths = read_number(scan.words, unit.end, scan.breaks)
        if tenths is not None and tenths.exact < 1 and not any(units_at(scan, tenths.end)):
            found = replace(found, value=found.value * (1 + tenths.exact), end=tenths.end)
    if tuple(scan.words[unit.end : unit.end + 2]) == ("or", "two") and unit.end not in scan.breaks:
        found = replace(found, high=2 * found.value, end=unit.end + 2, approximate=True)
    return None if found.kind == IGNORED else found
