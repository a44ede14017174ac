"""What comes after a unit: a fraction more, the other end of a range, a figure that takes the first one back."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

from pipeline.numbers import Figure, Number, read_number
from pipeline.quantities.lent import short_no
from pipeline.quantities.reasons import UNSAID, is_lent, put_right_why
from pipeline.quantities.scan import Found, Scan, cue_words
from pipeline.quantities.unit_words import unit_after
from pipeline.quantities.units import IGNORED

_TAKEN_BACK_WITHIN, _EXPLAINED_WITHIN, _CLOSE = 12, 20, 8
_LONGEST_RETRACTION, _JUDGED = 4, 4
_LENGTHS = frozenset({"length", "clearance", "spanner", "thread"})
_NO = frozenset({"no", "nah", "nope"})
# "two inches and a thirty second"
_FINE: dict[tuple[str, ...], Fraction] = {
    ("a", "thirty", "second"): Fraction(1, 32),
    ("a", "sixty", "fourth"): Fraction(1, 64),
}


def drop_taken_back(scan: Scan, figures: list[Found]) -> list[Found]:
    """ "twenty mil... no, thirty mil": only what the speaker stays with is kept."""
    kept: list[Found] = []
    for found in figures:
        first = True
        while (
            kept
            and (first or kept[-1].value == found.value or _turned(scan, kept[-1], found))
            and (
                _takes_back(scan, kept[-1], found)
                or _put_right(scan, kept[-1], found)
                or _explained(scan, kept[-1], found, first)
            )
        ):
            found = _of_its_kind(found, kept.pop())
            first = False
        if _graded_between(scan, kept, found):
            kept.pop(-2)
        if kept and _denied(scan, kept[-1], found):
            if kept[-1].value == found.value:
                kept.pop()
            continue
        kept.append(found)
    return [found for found in kept if found.kind != IGNORED and not _of_so_many(scan, found)]


def _graded_between(scan: Scan, kept: list[Found], found: Found) -> bool:
    """ "half a pint of straight thirty, no, tell a lie, a whole pint": the grade of the oil stands between."""
    graded = len(kept) > 1 and kept[-1].kind == "viscosity" and kept[-2].kind == "volume" == found.kind
    return graded and _takes_back(scan, kept[-2], found)


def _of_its_kind(found: Found, wrong: Found) -> Found:
    """ "the five eighths ring, no, the eleven sixteenths": what a size is put right to is of the same kind; a unit that
    was said with the wrong figure was said."""
    if is_lent(found.why) and found.unit == wrong.unit and not is_lent(wrong.why) and UNSAID not in wrong.why:
        found = replace(found, why=put_right_why([wrong.unit]))
    sized = wrong.kind in ("spanner", "clearance") and found.kind == "length" and found.unit == wrong.unit
    return replace(found, kind=wrong.kind) if sized else found


def _of_so_many(scan: Scan, found: Found) -> bool:
    """ "four in, out of the five": how many there are, whatever unit follows."""
    start = found.head - 1 if scan.at(found.head - 1) == "the" else found.head
    return scan.words[max(0, start - 2) : start] == ["out", "of"] and found.end - found.head == 1


def _denied(scan: Scan, before: Found, found: Found) -> bool:
    """ "three turns, not three and a half", "sixty, sorry, not sixty": a figure that it is not."""
    at = found.start - 1
    if scan.at(at) == "the":
        at -= 1
    alike = before.kind == found.kind and before.unit == found.unit and found.start - before.end <= _TAKEN_BACK_WITHIN
    return alike and scan.at(at) == "not" and found.start not in scan.breaks


def _put_right(scan: Scan, before: Found, found: Found) -> bool:
    """ "that's not four hundred and ten thou, that's four thirty five": a figure that was read wrong."""
    alike = before.kind == found.kind and before.unit == found.unit
    instead = scan.words[before.end : found.start] in (["that's"], ["it's"], ["thats"])
    return alike and instead and scan.at(before.start - 1) == "not" and before.start not in scan.breaks


def _turned(scan: Scan, before: Found, found: Found) -> bool:
    """ "it's the other way about": what was said of two is taken back."""
    return any(pair == ("other", "way") for pair in pairwise(scan.words[before.end : found.start]))


def _explained(scan: Scan, before: Found, found: Found, first: bool) -> bool:
    """ "thirty eight degrees, no, this is the later cam, thirty six", "fifteen foot pounds, no wait, that's for the
    steel deck, it's twenty two": why a figure was taken back stands before the one that is meant.

    Only the `first` figure before it, or two the other way about.
    """
    between = scan.words[before.end : found.start]
    alike = before.kind == found.kind and before.unit == found.unit and len(between) <= _EXPLAINED_WITHIN
    turned = _turned(scan, before, found)
    if not alike or not (first or turned):
        return False
    last = scan.at(found.start - 1)
    stays = last in cue_words("stays_with")
    for place in range(before.end, found.start - 1):
        near = len(between) - (place - before.end) <= _CLOSE and not last.endswith("'s")
        strong = any(
            " ".join(scan.words[place : place + length]) in cue_words("taken_back_at_once") for length in range(2, 5)
        )
        alone = scan.words[place] in _NO and scan.breaks >= {place, place + 1} and place + 1 not in scan.sentences
        broken_off = scan.at(place - 1) in cue_words("stays_with")
        if (stays or near) and (strong or alone) and not broken_off:
            return True
    return False


def _in_other_units(scan: Scan, before: Found, found: Found) -> bool:
    """ "twenty bar, no, that's psi, sorry, twenty psi": the same number again, in the unit that is meant."""
    units = found.unit != before.unit and found.value / found.times == before.value / before.times
    between = scan.words[before.end : found.start]
    return units and len(between) <= _TAKEN_BACK_WITHIN and bool({*between} & (_NO | {"sorry", "mean"}))


def _takes_back(scan: Scan, before: Found, found: Found) -> bool:
    if before.kind == found.kind and _in_other_units(scan, before, found):
        return True
    if before.kind != found.kind and not {before.kind, found.kind} <= _LENGTHS:
        return False
    between = scan.words[before.end : found.start]
    if not between and found.value == before.value and _again(scan, before, found):
        return True
    # "three thou too thin, well, three mil"
    if between[-1:] == ["well"] and len(between) <= _CLOSE and found.value == before.value:
        return True
    if before.kind == found.kind and between[-1:] in (["a"], ["an"]):  # "a fifteen millimetre, no, a seventeen"
        between = between[:-1]
    if 0 < len(between) <= 5 and " ".join(between) in cue_words("taken_back"):
        return True
    if before.unit == found.unit and is_lent(found.why) and short_no(found, between):
        return before.value / 3 <= found.value <= before.value * 3
    # "one litre of gear oil in the box, no I tell a lie, half a litre"
    near = len(between) <= _TAKEN_BACK_WITHIN and before.unit == found.unit
    if before.kind == "thread" != found.kind and between[-1:] in (["a"], ["an"], ["the"]):
        return False  # "after it an M8 tap, no, a 6.8 drill"
    if near and any(" ".join(between[-length:]) in cue_words("taken_back") for length in range(2, 6)):
        return True
    # "over at 30 degrees for the taper, no, 29 and a half"
    no = {found.start - 1, found.start}
    if near and between[-1:] == ["no"] and scan.breaks >= no and not no & {*scan.sentences}:
        return True
    return before.unit == found.unit and _retracted(scan, before, found, between)


def _retracted(scan: Scan, before: Found, found: Found, between: list[str]) -> bool:
    """ "eighteen thou, no, that's the old cam, it's fifteen", "eighty, no, too rough, one twenty"."""
    said = f" {' '.join(between)} "
    if len(between) <= _TAKEN_BACK_WITHIN and any(f" {phrase} " in said for phrase in cue_words("retractions")):
        return True
    behind = scan.words[found.end : found.end + _LONGEST_RETRACTION]
    if len(between) <= _CLOSE and any(
        " ".join(behind[:length]) in cue_words("retractions") for length in range(2, len(behind) + 1)
    ):
        return True
    explained = between[:1] == ["no"] and 1 < len(between) <= _JUDGED and between[1] not in ("more", "less", "need")
    return explained and {before.end, before.end + 1, found.start} <= scan.breaks


def _again(scan: Scan, before: Found, found: Found) -> bool:
    """ "twenty two twenty two foot pounds": said twice without a stop, the unit once."""
    return (
        found.high is None
        and found.start not in scan.sentences
        and before.end - before.head <= 2 < found.end - found.head
    )


def _has_unit(scan: Scan, number: Number) -> bool:
    """Whether a number behind a unit has one of its own."""
    return unit_after(scan, number.end, Figure(number.exact, None, number.start, number.end, number)) is not None


def and_hundredths(scan: Scan, found: Found) -> Found:
    """ "a metre eighty", "two metres ten": centimetres behind metres; "nine inches oh twenty-five": thousandths; "five
    kilos eight hundred": grams."""
    if found.unit == "in" and found.value.denominator == 1 and scan.at(found.end) == "oh" and found.high is None:
        less = read_number(scan.words, found.end + 1, scan.breaks) if scan.joined(found.end) else None
        if less is not None and less.shape == "whole" and 0 < less.exact < 100 and not _has_unit(scan, less):
            return replace(found, value=found.value + less.exact / 1000, end=less.end)
    if found.unit == "kg" and found.high is None and found.value.denominator == 1 and found.end not in scan.breaks:
        grams = read_number(scan.words, found.end, scan.breaks)
        if grams is not None and grams.exact in range(100, 1000, 50) and not _has_unit(scan, grams):
            return replace(found, value=found.value + grams.exact / 1000, end=grams.end)
    if found.unit != "m" or found.high is not None or found.value.denominator != 1 or found.end in scan.breaks:
        return found
    rest = read_number(scan.words, found.end, scan.breaks)
    if rest is None or rest.shape != "whole" or not 10 <= rest.exact < 100:
        return found
    if _has_unit(scan, rest):
        return found
    return replace(found, value=found.value + rest.exact / 100, end=rest.end)


def of_the_clock(scan: Scan, found: Found) -> Found:
    """ "four minutes to nine", "ten minutes past": a time of day is no duration."""
    if found.unit != "min" or found.end in scan.breaks or scan.at(found.end) not in ("to", "past"):
        return found
    hour = read_number(scan.words, found.end + 1, scan.breaks)
    at = hour.end if hour is not None else found.end + 1
    named = hour is not None and hour.shape == "whole" and 1 <= hour.exact <= 12 and scan.at(at) not in ("of", "a")
    closes = at in scan.breaks or scan.at(at) in ("", "and", "so", "tonight", "now", "today", "tomorrow", "this", "in")
    if not closes or not (named or scan.at(found.end) == "past"):
        return found
    return replace(found, kind=IGNORED)


def and_a_half(scan: Scan, found: Found) -> Found:
    """ "a pint and a half", "two turns and a quarter", "a tenth and a half": the fraction after the unit."""
    whole = (found.value / found.times).denominator == 1
    if scan.at(found.end) != "and" or found.end in scan.sentences or not whole or found.high is not None:
        return found
    if found.unit == "in" and found.end not in scan.breaks and found.times == 1:
        fine = _FINE.get(tuple(scan.words[found.end + 1 : found.end + 4]))
        if fine is not None:
            return replace(found, value=found.value + fine, end=found.end + 4)
    part = read_number(scan.words, found.end + 1, scan.breaks)
    if part is None or part.shape != "fraction" or part.exact >= 1:
        return found
    if found.end in scan.breaks and scan.at(part.end) not in ("of", "on"):
        return found
    if part.exact.denominator > 4 and found.unit in ("deg", "°C", "°F"):
        return found  # "forty five degrees and a sixteenth wide"
    if _has_unit(scan, part):
        return found
    return replace(found, value=found.value + part.exact * found.times, end=part.end)
