"""Which words behind a figure are its unit: aliases, and whether a short or ambiguous one is a unit here."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from pipeline.numbers import Figure, hedge_before, read_number
from pipeline.quantities.scan import Scan, cue_words
from pipeline.quantities.units import Alias, unit_table

# What may stand between a fraction and its unit: "half a litre", "point five of a litre".
_OF = (("of", "a"), ("of", "an"), ("of", "one"), ("a",), ("an",), ("of",))
_OIL_WEIGHTS = (2, 2.5, 5, 7.5, 10, 12.5, 15, 20, 25, 30, 32, 40, 46, 50, 60, 68, 75, 80, 85, 90, 140)
# Written short forms that stand alone, capital or not; other single letters count only when glued to their figure.
_LONE_LETTERS = frozenset("VACFLlmgvsh")
# So probable must a kind be where no word for it stands near.
_READ = 0.6
# "Give it ten revs": no speed.
_LEAST_REVS = 40
# Only of halves and quarters "of" is left out: "half an inch".
_LEAST_EIGHTHS = 4
# "Nine tenths of the job", as against "two tenths of run-out".
_PARTS_OF_THINGS = frozenset(
    {"the", "my", "your", "his", "her", "our", "their", "this", "that", "these", "those", "it"}
)
# A unit alone behind a comma, and behind a full stop, has at least so many letters.
_LEAST_UNIT, _LONG_UNIT = 3, 6
# "Top ring gap point two, second ring gap point two five".
_ORDERED = frozenset(
    {"ring", "rings", "gear", "cut", "pass", "coat", "bearing", "cylinder", "shim", "side", "link", "hole"}
)
CURRENCIES = frozenset("£$€")


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


def numbered(scan: Scan) -> tuple[frozenset[int], frozenset[int]]:
    """The pieces inside figures, and those right behind a number: a unit there has a number already."""
    inside = frozenset(at for found in scan.found for at in range(found.start, found.end))
    return inside, frozenset(part.end for parts in (scan.found, scan.bare) for part in parts)


def _abbreviated(scan: Scan, place: int) -> bool:
    """ "fl. oz.": a full stop inside a unit's short form ends no sentence."""
    return scan.pieces[place - 1].stop == "." and scan.pieces[place].raw.islower() and len(scan.words[place - 1]) < 4


def unit_after(scan: Scan, place: int, figure: Figure) -> Measured | None:
    """The unit that follows a figure, also after "of a" or after a place ("32 rear psi")."""
    if place >= len(scan.words):
        return None
    if place in scan.breaks and scan.at(place) not in ("%", "°"):
        return _afterthought(scan, place, figure)
    if scan.pieces[place].joint == "±":
        place = figure_end(scan, place)
    priced = scan.at(figure.start - 1) in CURRENCIES and figure.low == figure.number.exact
    if priced or place >= len(scan.words) or scan.pieces[place].joint == "/":
        return None
    skips = [0]
    if figure.number.shape in ("fraction", "mixed") or (figure.number.shape == "decimal" and figure.low < 1):
        skips += [len(words) for words in _OF if tuple(scan.words[place : place + len(words)]) == words]
        if figure.low.denominator > _LEAST_EIGHTHS and scan.at(place) in ("a", "an"):
            skips = [0]  # "seven sixteenths an inch and a half deep"
    if scan.at(place) in ("front", "rear", "back") and not scan.breaks & {place + 1}:
        skips.append(1)
    for skip in skips:
        if any(gap in scan.breaks for gap in range(place + 1, place + skip + 1)):
            continue
        for unit in units_at(scan, place + skip):
            if _fits(scan, figure, unit):
                return unit
    return None


def _afterthought(scan: Scan, place: int, figure: Figure) -> Measured | None:
    """ "sixty five, psi", "thirteen ninety five, that's millimetres", "four, bar of course": the unit alone behind a
    comma; behind a full stop a long word: "Eight, nine. Newton metres." """
    apart = place in scan.sentences
    if figure.number.shape == "fraction":
        return None
    start = place + (scan.at(place) in ("that's", "in"))
    for unit in units_at(scan, start):
        if unit.alias.words == ("min",):
            continue
        closes = unit.end >= len(scan.words) or unit.end in scan.breaks or scan.at(unit.end) in ("both", "each", "all")
        closes = closes or scan.words[unit.end : unit.end + 2] == ["of", "course"]
        least = _LONG_UNIT if apart else _LEAST_UNIT
        named = len("".join(unit.alias.words)) >= least and not unit.alias.target.startswith(("choice", "ignored"))
        if closes and named and unit.alias.target not in ("turn", "teeth"):
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
        alone = not following and hedge_before(scan.words, figure.start, scan.breaks)[0] in (0, *scan.sentences)
        if alone and not spoken and scan.at(figure.start - 1) not in ("than", "up"):
            return True  # "Above 5 in."
        if figure.number.shape == "whole" and (following or scan.at(figure.start - 1) not in cue_words("before_size")):
            return False
        return not spoken and following not in cue_words("after_in")
    if words == ('"',):
        return glued and not spoken
    if words == ("mill",) and scan.at(figure.start - 1) == "number":
        return False
    if words == ("stone",) and scan.at(end) == "cold":
        return False
    if words == ("mm", "2") and scan.pieces[end - 1].joint != "":
        return False
    if len(words) == 1 and len(words[0]) == 1 and words[0] not in "%°ωk":
        letter = scan.pieces[start]
        if words == ("s",) and glued and scan.at(figure.start - 1) not in cue_words("before_seconds"):
            return False
        if after is not None and after.joint == ".":
            return False
        if letter.joint in ("'", "’") or (not glued and scan.at(figure.start - 1) in cue_words("codes_before")):
            # "the 90's", "model number 12 h"
            return False
        if letter.joint == "-" and letter.raw in ("A", "C", "F"):
            return False
        if letter.raw == "A" and scan.at(figure.start - 1) in cue_words("labels"):
            return False
        if letter.raw == "A" and following and following not in cue_words("after_amps"):
            return False
        return not spoken and (glued or letter.raw in _LONE_LETTERS)
    if unit.alias.target == "teeth" and (following in ("missing", "broken", "gone")):
        return False
    if unit.alias.target == "teeth" and figure.low == 1 and figure.high is None:
        return False
    if unit.alias.target == "grit" and figure.low < 24:
        return False
    if unit.alias.target == "wt":
        return float(figure.low) in _OIL_WEIGHTS and words[-1] != "weights"
    if words == ("revs",):
        return figure.low >= _LEAST_REVS
    if figure.low == 1 and words == ("minute",) and scan.at(figure.start - 1) in ("about", "for", "after", "every"):
        return True
    if figure.low == 1 and figure.high is None and words[-1] in ("second", "minute", "day", "turns"):
        return words[-1] == "minute" and read_as(scan, figure.start, figure.end, "duration")
    if words == ("min",) and following in ("is", "was", "thickness", "wear"):
        return False  # "it's four point one, min is four"
    if words[-1] in ("tenth", "tenths") and len(words) == 1:
        return machinist(scan, figure, words[-1], following)
    if words == ("second",):
        ordinal = figure.low % 10 == 0 and scan.at(figure.start - 1) == "the"
        ordinal = ordinal or (figure.low < 1 and following in _ORDERED)
        return not ordinal and following not in ("of", "gear", "time", "one", "one's", "hand", "row", "")
    return True


def _of_a_measure(scan: Scan, end: int, following: str) -> bool:
    """ "a tenth of play", "a score a tenth deep", "with a tenth between it and the needle", "a tenth to two tenths"."""
    if following in ("deep", "wide", "thick", "proud", "between", "oversize", "undersize"):
        return True
    measured = scan.at(end + 1) in cue_words("clearance_said") | {"wear", "taper", "runout", "interference", "lift"}
    ranged = following == "to" and scan.at(end + 2) == "tenths"
    return (following == "of" and measured) or ranged


def read_as(scan: Scan, start: int, end: int, *kinds: str) -> bool:
    """Whether the reader network takes a number for one of some kinds."""
    if scan.kinds is None:
        return False
    read = scan.kinds.of(*scan.tokens(start, end))
    return sum(read[kind] for kind in kinds) >= _READ


def machinist(scan: Scan, figure: Figure, word: str, following: str) -> bool:
    """Whether a bare "tenth" is a size or a voltage: read so, or beside talk of it; not "a tenth of the price"."""
    if word == "tenth" and figure.low != 1:
        return False
    if following == "of" and scan.at(figure.end + 2) in _PARTS_OF_THINGS:
        return False
    if read_as(scan, figure.start, figure.end, "length", "clearance", "voltage", "resistance"):
        return True
    if word == "tenth" and _of_a_measure(scan, figure.end + 1, following):
        return True
    several = word == "tenths" and following in cue_words("after_tenths")
    if not (several or following in cue_words("after_tenth")):
        return False
    start, end = scan.sentence(figure.start)
    return any(plain in cue_words("machining") | cue_words("volts") for plain in scan.plain[start:end])
