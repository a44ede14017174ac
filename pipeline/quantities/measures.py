"""Reads a number with its unit: "twenty five newton metres", "0.15mm", "half a pint", "a litre"."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from pipeline.numbers import Figure, read_figure
from pipeline.quantities.choose import CHOICE, choose
from pipeline.quantities.scan import Bare, Found, Scan, cue_words
from pipeline.quantities.units import IGNORED, Alias, declared, unit_named, unit_table

_OF = (("of", "a"), ("of", "an"), ("of", "one"), ("a",), ("an",), ("of",))
_NEVER_ONE = frozenset({"minute", "second", "day", "bar", "degree"})


def match_unit(scan: Scan, index: int) -> tuple[Alias, int] | None:
    """The longest alias that begins at a piece, and where it ends."""
    for alias in unit_table().aliases.get(scan.at(index), ()):
        end = index + len(alias.words)
        if tuple(scan.words[index:end]) != alias.words:
            continue
        if any(place in scan.breaks for place in range(index + 1, end)):
            continue
        if alias.raw and scan.pieces[index].raw != alias.raw:
            continue
        return alias, end
    return None


def read_measure(scan: Scan, index: int) -> Found | Bare | None:
    """The figure that begins at a piece: with a unit, or bare."""
    one = _one_of(scan, index)
    if one is not None:
        return one
    figure = read_figure(scan.words, index, scan.breaks, scan.dashes)
    if figure is None:
        return None
    figure = _negative(scan, figure)
    place = figure.end
    if scan.at(place) in ("ish", "odd", "plus") and scan.joined(place) and match_unit(scan, place + 1):
        place += 1
        figure = replace(figure, approximate=True)
    unit = _unit_after(scan, place, figure)
    if unit is None:
        return Bare(figure.low, figure.high, index, figure.end, figure.number.spoken, figure.number.shape)
    alias, unit_start, end = unit
    return measured(scan, figure, alias, unit_start, end)


def _negative(scan: Scan, figure: Figure) -> Figure:
    """A hyphen glued to the front of a written number, with a space before it, is a minus."""
    piece = scan.pieces[figure.start]
    if piece.joint.startswith(" ") and piece.joint.strip() in ("-", "–", "−") and not figure.number.spoken:
        return replace(figure, low=-figure.low)
    return figure


def _unit_after(scan: Scan, place: int, figure: Figure) -> tuple[Alias, int, int] | None:
    if place >= len(scan.words) or (place in scan.breaks and scan.pieces[place].text not in ("%", "°")):
        return None
    found = match_unit(scan, place)
    if found is None and figure.number.shape == "fraction":
        for words in _OF:
            if tuple(scan.words[place : place + len(words)]) == words and scan.joined(place):
                found = match_unit(scan, place + len(words))
                if found is not None:
                    place += len(words)
                    break
    if found is None or _not_this_unit(scan, figure, found[0], place, found[1]):
        return None
    return found[0], place, found[1]


def _not_this_unit(scan: Scan, figure: Figure, alias: Alias, start: int, end: int) -> bool:
    """Short forms that are also ordinary words."""
    text = alias.words[0]
    glued = scan.pieces[start].joint == ""
    written = not figure.number.spoken
    if alias.words in (("in",), ("ins",)):
        return not glued and (figure.number.shape not in ("fraction", "mixed", "decimal") or _is_function(scan, end))
    if alias.words == ('"',):
        return not written or not glued
    if alias.raw or (len(text) == 1 and len(alias.words) == 1 and text not in "%°ω£$€x"):
        return not written or not (
            glued or scan.pieces[start].raw in ("V", "A", "C", "F", "L", "l", "m", "g", "v", "s", "h")
        )
    if alias.target == "wt":
        return float(figure.low) not in _OIL_WEIGHTS
    if alias.words[-1] in ("second", "minute", "day", "hour") and figure.low == 1 and figure.high is None:
        return alias.words[-1] != "hour"
    if alias.words == ("second",) and (
        scan.at(end) in ("of", "gear", "time", "one") or not scan.words[figure.start].isdigit()
    ):
        return scan.at(end) in ("of", "gear", "time", "one") or (
            figure.low % 10 == 0 and scan.at(figure.start - 1) == "the"
        )
    return alias.words == ("revs",) and figure.low < 100


_OIL_WEIGHTS = frozenset({2.5, 5.0, 7.5, 10.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 60.0, 75.0, 80.0, 90.0, 140.0})


def _is_function(scan: Scan, index: int) -> bool:
    return scan.at(index) in (
        "the",
        "a",
        "an",
        "my",
        "this",
        "that",
        "here",
        "there",
        "it",
        "each",
        "every",
        "one",
        "total",
        "",
    )


def measured(scan: Scan, figure: Figure, alias: Alias, unit_start: int, end: int) -> Found | None:
    """The figure in canonical units; None where the unit word turns out to be no unit."""
    target, why = alias.target, ""
    if target.startswith(CHOICE):
        name = target.removeprefix(CHOICE)
        target, why = choose(scan, name, unit_start, end, alias.written)
        if name == "degrees":
            target, why = _degrees(scan, figure, target, why)
    return found_in(scan, figure.low, figure.high, target, alias.times, figure.start, end, figure.approximate, why)


def found_in(
    scan: Scan,
    low: Fraction,
    high: Fraction | None,
    target: str,
    times: Fraction,
    start: int,
    end: int,
    approximate: bool = False,
    why: str = "",
) -> Found:
    """A figure whose unit is known by name: canonical, undeclared, a spoken relative ("microns") or ignored."""
    rivals: tuple[Fraction, ...] = ()
    if target == "doubtful tenth":
        rivals = (low * Fraction("0.00254"),)
        target, why = "tenth of a millimetre", "'tenth' may be 0.1 mm or a ten-thousandth of an inch"
    if target in _RELATIVES:
        target, factor = _RELATIVES[target]
        times = times * factor
    if target in ("", IGNORED, "money"):
        return Found(IGNORED, low, high, "", start, end, start)
    name, is_declared = declared(target, scan.settings)
    kind = unit_named(name).kind
    unit = "" if kind in ("percentage", "grit", "teeth") else name
    scaled = None if high is None else high * times
    return Found(kind, low * times, scaled, unit, start, end, start, approximate, "", "", is_declared, rivals, why)


_RELATIVES = {
    "tenth of a millimetre": ("mm", Fraction(1, 10)),
    "tenth of a thou": ("thou", Fraction(1, 10)),
}


def _degrees(scan: Scan, figure: Figure, target: str, why: str) -> tuple[str, str]:
    """Bare degrees: a temperature is Celsius unless the user works in US units."""
    fahrenheit = "°F" if scan.settings.units == "us" else "°C"
    if target == "temperature" or figure.low < 0:
        return fahrenheit, why or "a minus sign makes it a temperature"
    if not why.endswith("around it") and figure.low > 100 and figure.low not in (120, 180, 240, 270, 360, 540, 720):
        return fahrenheit, "too many degrees for an angle"
    return target, why


def _one_of(scan: Scan, index: int) -> Found | None:
    """ "a litre", "an inch", "another turn": one of a unit."""
    if scan.at(index) not in ("a", "an", "another") or not scan.joined(index + 1):
        return None
    found = match_unit(scan, index + 1)
    if found is None:
        return None
    alias, end = found
    name = alias.target.removeprefix(CHOICE)
    if alias.written or scan.at(index + 1) in _NEVER_ONE or scan.words[end - 1].endswith("s"):
        return None
    figure_low = Fraction(1)
    if name == "turn":
        if (
            scan.at(index + 1) == "turn"
            and scan.at(index) != "another"
            and scan.at(index - 1) not in cue_words("turn_before")
        ):
            return None
    elif name == "h":
        if scan.at(index - 1) not in ("for", "about", "half", "least", "over", "under", "within"):
            return None
    elif name not in cue_words("one_of"):
        return None
    figure = read_figure(["one"], 0)
    assert figure is not None
    figure = replace(figure, low=figure_low, start=index, end=index + 1)
    result = measured(scan, figure, alias, index + 1, end)
    return None if result is None or result.kind == IGNORED else result


def and_a_half(scan: Scan, found: Found) -> Found:
    """ "a pint and a half", "two turns and a quarter": the fraction after the unit."""
    if (
        scan.at(found.end) != "and"
        or not scan.joined(found.end)
        or found.value.denominator != 1
        or found.high is not None
    ):
        return found
    part = read_figure(scan.words, found.end + 1, scan.breaks)
    if part is None or part.number.shape != "fraction" or part.low >= 1 or match_unit(scan, part.end):
        return found
    if scan.at(part.end) in ("a", "an", "of", "inch", "turn"):
        return found
    return replace(found, value=found.value + part.low, end=part.end)
