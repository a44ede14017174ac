"""Reads a number with its unit: "twenty five newton metres", "0.15mm", "half a pint", "a litre"."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from pipeline.numbers import Figure, read_figure, read_number
from pipeline.numbers.words import ONES
from pipeline.quantities.choose import CHOICE, choose
from pipeline.quantities.context import not_of_the_build
from pipeline.quantities.misheard import misheard_unit
from pipeline.quantities.scan import Bare, Found, Scan, cue_words
from pipeline.quantities.units import IGNORED, Alias, declared, unit_named, unit_table

# What may stand between a fraction and its unit: "half a litre", "point five of a litre".
_OF = (("of", "a"), ("of", "an"), ("of", "one"), ("a",), ("an",), ("of",))
_OIL_WEIGHTS = (2, 2.5, 5, 7.5, 10, 12.5, 15, 20, 25, 30, 40, 50, 60, 75, 80, 85, 90, 140)
# Written short forms that stand alone, capital or not; other single letters count only when glued to their figure.
_LONE_LETTERS = frozenset("VACFLlmgvsh")
# Between a figure and its unit: "twenty odd millimetres", "25 or so newton metres".
_VAGUE = (("ish",), ("odd",), ("plus",), ("+",), ("or", "so"), ("or", "thereabouts"))
_CURRENCIES = frozenset("£$€")


@dataclass(frozen=True, slots=True)
class Measured:
    """A unit word that was recognised: over pieces `start` to `end`."""

    alias: Alias
    start: int
    end: int


def units_at(scan: Scan, index: int) -> Iterator[Measured]:
    """Aliases that begin at a piece, longest first."""
    for alias in unit_table().aliases.get(scan.at(index), ()):
        end = index + len(alias.words)
        if tuple(scan.words[index:end]) != alias.words:
            continue
        if any(place in scan.breaks and not _abbreviated(scan, place) for place in range(index + 1, end)):
            continue
        raw = scan.pieces[index].raw
        if (alias.raw and raw != alias.raw) or raw in ("M", "Ma", "MA"):
            continue
        yield Measured(alias, index, end)


def _abbreviated(scan: Scan, place: int) -> bool:
    """ "fl. oz.": a full stop inside a unit's short form ends no sentence."""
    return scan.pieces[place - 1].stop == "." and scan.pieces[place].raw.islower() and len(scan.words[place - 1]) < 4


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
    for vague in _VAGUE:
        after = place + len(vague)
        if tuple(scan.words[place:after]) == vague and scan.joined(place) and any(units_at(scan, after)):
            place = after
            figure = replace(figure, approximate=True)
            break
    misheard = misheard_unit(scan, figure)
    if misheard is not None:
        name, end, why = misheard
        return in_unit(scan, figure, name, Fraction(1), end, why)
    unit = unit_after(scan, place, figure)
    if unit is None:
        figure, unit = _volts(scan, figure) or (figure, None)
    if unit is None:
        return Bare(figure.low, figure.high, index, figure.end, figure.number.spoken, figure.number.shape)
    return measured(scan, figure, unit)


def _volts(scan: Scan, figure: Figure) -> tuple[Figure, Measured] | None:
    """ "twelve seven volts" is 12.7: only voltages are said without their point."""
    tenths = ONES.get(scan.at(figure.end), 0) if figure.end not in scan.breaks else 0
    if not tenths or not figure.number.spoken or figure.high is not None or not 10 <= figure.low <= 16:
        return None
    unit = next((unit for unit in units_at(scan, figure.end + 1) if unit.alias.target == "V"), None)
    if unit is None or figure.end + 1 in scan.breaks:
        return None
    return replace(figure, low=figure.low + Fraction(tenths, 10), end=figure.end + 1), unit


def _negative(scan: Scan, figure: Figure) -> Figure:
    """A hyphen glued to the front of a written number, with a space before it, is a minus."""
    joint = scan.pieces[figure.start].joint
    if tuple(scan.words[figure.start - 2 : figure.start + 1]) == ("plus", "or", "minus"):
        return replace(figure, low=-figure.low)
    if (
        joint.startswith(" ")
        and not joint.endswith(" ")
        and joint.strip() in ("-", "–", "−")
        and not figure.number.spoken
    ):
        return replace(figure, low=-figure.low)
    return figure


def unit_after(scan: Scan, place: int, figure: Figure) -> Measured | None:
    """The unit that follows a figure, also after "of a" or after a place ("32 rear psi")."""
    if place >= len(scan.words) or (place in scan.breaks and scan.at(place) not in ("%", "°")):
        return None
    if scan.pieces[place].joint == "±":
        place = figure_end(scan, place)
    if scan.at(figure.start - 1) in _CURRENCIES or place >= len(scan.words) or scan.pieces[place].joint == "/":
        return None
    skips = [0]
    if figure.number.shape == "fraction" or (figure.number.shape == "decimal" and figure.low < 1):
        skips += [len(words) for words in _OF if tuple(scan.words[place : place + len(words)]) == words]
    if scan.at(place) in ("front", "rear", "back") and not scan.breaks & {place + 1}:
        skips.append(1)
    for skip in skips:
        if any(gap in scan.breaks for gap in range(place + 1, place + skip + 1)):
            continue
        for unit in units_at(scan, place + skip):
            if _fits(scan, figure, unit):
                return unit
    return None


def figure_end(scan: Scan, place: int) -> int:
    """End of the number at a piece."""
    number = read_number(scan.words, place, scan.breaks)
    return number.end if number is not None else place


def _fits(scan: Scan, figure: Figure, unit: Measured) -> bool:
    """Whether a short form, or a word with other meanings, is a unit here."""
    words, start, end = unit.alias.words, unit.start, unit.end
    glued = scan.pieces[start].joint == ""
    spoken = figure.number.spoken
    following = scan.at(end) if end not in scan.breaks else ""
    after = scan.pieces[end] if end < len(scan.pieces) else None
    if after is not None and after.joint in ("", "/") and (after.text.isalnum() and after.text != "x"):
        # "10 l/km", "06F6": no unit of ours.
        return after.joint == "/" and after.text[0].isdigit()
    if words[-1] in ("in", "ins"):
        if not spoken and (glued or scan.pieces[end - 1].joint in ("-", "", "·")):
            return True
        if following[:1].isdigit() or (end < len(scan.pieces) and scan.pieces[end].raw[0].isupper()):
            return False
        if len(words) > 1:
            return following not in cue_words("after_in") and following != "each"
        if figure.number.shape == "whole" and (following or scan.at(figure.start - 1) not in cue_words("before_size")):
            return False
        return not spoken and following not in cue_words("after_in")
    if words == ('"',):
        return glued and not spoken
    if len(words) == 1 and len(words[0]) == 1 and words[0] not in "%°ω":
        letter = scan.pieces[start]
        if words == ("s",) and glued and scan.at(figure.start - 1) not in cue_words("before_seconds"):
            return False
        if after is not None and after.joint == ".":
            return False
        if letter.joint == "-" and letter.raw in ("A", "C", "F"):
            return False
        if letter.raw == "A" and scan.at(figure.start - 1) in cue_words("labels"):
            return False
        if letter.raw == "A" and following and following not in cue_words("after_amps"):
            return False
        return not spoken and (glued or letter.raw in _LONE_LETTERS)
    if unit.alias.target == "wt":
        return float(figure.low) in _OIL_WEIGHTS
    if words == ("revs",):
        return figure.low >= 100
    if figure.low == 1 and figure.high is None and words[-1] in ("second", "minute", "day", "turns"):
        return False
    if words[-1] in ("tenth", "tenths") and len(words) == 1:
        return _machinist(scan, figure, words[-1], following)
    if words == ("second",):
        ordinal = figure.low % 10 == 0 and scan.at(figure.start - 1) == "the"
        return not ordinal and following not in ("of", "gear", "time", "one", "hand", "row", "")
    return True


def _machinist(scan: Scan, figure: Figure, word: str, following: str) -> bool:
    """Whether a bare "tenth" is a size and no share: beside talk of machining, and not "a tenth of the price"."""
    if following not in cue_words("after_tenth") or (word == "tenth" and figure.low != 1):
        return False
    start, end = scan.sentence(figure.start)
    return any(plain in cue_words("machining") for plain in scan.plain[start:end])


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
    found = in_unit(scan, figure, target, unit.alias.times, unit.end, why)
    return replace(found, kind=IGNORED) if not_of_the_build(scan, found, unit.start) else found


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


_RELATIVES = {
    "tenth of a millimetre": ("mm", Fraction(1, 10)),
    "tenth of a thou": ("thou", Fraction(1, 10)),
}


def _degrees(scan: Scan, figure: Figure, target: str, why: str) -> tuple[str, str]:
    """Bare degrees: a temperature is Celsius unless the user works in US units."""
    degree = "°F" if scan.settings.units == "us" else "°C"
    if target == "temperature" or figure.low < 0:
        return degree, why or "a minus sign makes it a temperature"
    whole_turns = figure.low % 30 == 0 and figure.low <= 720
    if not why.endswith("around it") and figure.low > 100 and not whole_turns:
        return degree, "too many degrees for an angle"
    return target, why


def _one_of(scan: Scan, index: int) -> Found | None:
    """ "a litre", "an inch", "another turn": one of a unit."""
    if scan.at(index) not in ("a", "an", "another") or not scan.joined(index + 1):
        return None
    one = read_figure(["one"], 0)
    unit = next((unit for unit in units_at(scan, index + 1) if not unit.alias.written), None)
    if one is None or unit is None or scan.words[unit.end - 1].endswith("s"):
        return None
    name = unit.alias.target.removeprefix(CHOICE)
    if scan.at(index - 1) in cue_words("prices") or scan.at(index - 1)[:1].isdigit() or scan.at(index + 1) == "mill":
        return None
    if name == "tenths" and not _machinist(
        scan, one, "tenth", scan.at(unit.end) if unit.end not in scan.breaks else ""
    ):
        return None
    halved = scan.words[unit.end : unit.end + 2] in (["and", "a"], ["or", "two"]) and unit.end not in scan.breaks
    before = "" if index - 1 in scan.dashes else scan.at(index - 1)
    if name == "turn":
        bare_turn = unit.end == index + 2 and scan.at(index) != "another"
        if scan.at(unit.end - 1) != "turn" or (bare_turn and not halved and before not in cue_words("turn_before")):
            return None
    elif name == "h":
        if not halved and before not in cue_words("hour_before"):
            return None
    elif name not in cue_words("one_of"):
        return None
    found = measured(scan, replace(one, start=index, end=index + 1), unit)
    if tuple(scan.words[unit.end : unit.end + 2]) == ("or", "two") and unit.end not in scan.breaks:
        found = replace(found, high=2 * found.value, end=unit.end + 2, approximate=True)
    return None if found.kind == IGNORED else found
