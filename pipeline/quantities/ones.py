"""One of a unit, its number unsaid: "a litre", "turn and a half", "an ounce of oil", "eighth of an inch"."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from pipeline.numbers import read_figure, read_number
from pipeline.quantities.choose import CHOICE
from pipeline.quantities.in_units import as_heard, measured
from pipeline.quantities.misheard import one_and_a_half
from pipeline.quantities.scan import Found, Scan, cue_words
from pipeline.quantities.unit_words import machinist, read_as, units_at
from pipeline.quantities.units import IGNORED

_PARTS = {"eighth": 8, "sixteenth": 16}
# "Air screws: turn and a half out"
_HALVED = ("turn", "litre", "pint", "inch", "thou")
_INCH_OF = {("inch", "of", word) for word in ("movement", "play", "slack", "travel", "give", "wear", "tread")}
_MIXED_WITHIN = 5
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
    before = scan.at(index - 1)
    pointed = before in ("that", "this", "each", "per") or (before == "the" and scan.at(index) != "thou")
    if one is None or unit is None or pointed:
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


def _mixed(scan: Scan, index: int) -> bool:
    """ "four ounces of oil for every gallon": so much of one thing in another."""
    volumes = [found for found in scan.found[-2:] if found.kind in ("volume", "mass")]
    return any(0 < index - found.end <= _MIXED_WITHIN for found in volumes)


def _ounce_of_stuff(scan: Scan, end: int) -> bool:
    """ "an ounce of mineral oil", as against "not an ounce of play"."""
    return scan.at(end) == "of" and bool({*scan.plain[end + 1 : end + 4]} & cue_words("fluid_heads") - {"grease"})


def one_of(scan: Scan, index: int) -> Found | None:
    """ "a litre", "an inch", "another turn": one of a unit."""
    if scan.at(index) in _PARTS and tuple(scan.words[index + 1 : index + 4]) == ("of", "an", "inch"):
        return _part_of_an_inch(scan, index)
    if scan.at(index) in _HALVED and (_part_after(scan, index + 1) or _inch_tool(scan, index)):
        return _unit_and_a_half(scan, index)
    if tuple(scan.words[index : index + 3]) in _INCH_OF and (index in scan.breaks or index == 0):
        # "Inch of movement there."
        return _unit_and_a_half(scan, index)
    every = scan.at(index) == "every" and scan.at(index - 1) in ("for", "to", "in", "into") and _mixed(scan, index)
    if (scan.at(index) not in ("a", "an", "another") and not every) or not scan.joined(index + 1):
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
    whole = scan.at(index) == "a" and scan.at(index + 1) in ("whole", "full") and scan.joined(index + 2)
    first = index + 1 + whole  # "a whole pint"
    unit = next((unit for unit in units_at(scan, first) if not unit.alias.written), None)
    if one is None or unit is None or scan.words[unit.end - 1].endswith("s"):
        return None
    name = unit.alias.target.removeprefix(CHOICE)
    if name == "ounces" and not _ounce_of_stuff(scan, unit.end):
        return None
    if scan.at(index - 1) in cue_words("prices") or scan.at(index - 1)[:1].isdigit() or scan.at(index + 1) == "mill":
        return None
    tenth, behind = replace(one, start=index, end=index + 1), scan.at(unit.end) if unit.end not in scan.breaks else ""
    if name == "tenths" and not machinist(scan, tenth, "tenth", behind):
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
        rated = any(found.end in (index, index - 1) for found in scan.found[-1:])  # "ten thou in a minute"
        waited = before in cue_words("minute_before") and not rated
        read = waited and read_as(scan, index, index + 1, "duration")
        if before != "about" and not read:
            return None
    elif name in ("pounds", "V"):
        if not halved:
            return None
    elif name not in cue_words("one_of"):
        return None
    found = measured(scan, replace(one, start=index, end=index + 1), unit)
    if scan.words[max(0, index - 2) : index] == ["tenth", "of"] and found.kind in ("volume", "mass"):
        found = replace(found, value=found.value / 10)  # "a tenth of a gallon"
    if scan.at(unit.end) == "point" and unit.end not in scan.breaks:
        # "a litre point seven"
        tenths = read_number(scan.words, unit.end, scan.breaks)
        if tenths is not None and tenths.exact < 1 and not any(units_at(scan, tenths.end)):
            found = replace(found, value=found.value * (1 + tenths.exact), end=tenths.end)
    if tuple(scan.words[unit.end : unit.end + 2]) == ("or", "two") and unit.end not in scan.breaks:
        found = replace(found, high=2 * found.value, end=unit.end + 2, approximate=True)
    return None if found.kind == IGNORED else found
