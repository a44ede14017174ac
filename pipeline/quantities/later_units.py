"""A unit that is said behind its numbers: "one ten on the roof, one thirty on the wings. Microns." is of both."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from pipeline.numbers import Figure, read_number
from pipeline.quantities.counts import labelled, read_count
from pipeline.quantities.in_units import measured
from pipeline.quantities.reasons import said_behind
from pipeline.quantities.scan import Bare, Found, Scan, cue_words
from pipeline.quantities.unit_words import Measured, numbered, units_at
from pipeline.quantities.units import IGNORED

_KINDS = frozenset({"length", "pressure", "torque", "mass", "volume", "voltage", "temperature"})
_SMALL = frozenset({"thousandths", "hundredths", "microns", "micron"})
_LED = frozenset({"that's", "thats", "that is"})
_NO_UNITS = frozenset({"in", "degrees", "degree", "turns", "turn", "seconds", "minutes", "hours", "pounds", "pound"})
_REACH = 22
_LONG_UNIT = 6
_TALK = frozenset({"what", "not", "isn't", "convert", "wrench", "old", "how", "wrong"})


def with_later_units(scan: Scan) -> list[Found]:
    """Figures for the bare numbers whose unit comes behind them; those numbers leave `scan.bare`."""
    given: list[Found] = []
    if not scan.bare:
        return given
    for unit, first in _alone(scan):
        for bare in list(scan.bare):
            if not first <= bare.start < unit.start or unit.start - bare.end > _REACH or _is_no_measure(scan, bare):
                continue
            number = read_number(scan.words, bare.start, scan.breaks)
            if number is None:
                continue
            found = measured(scan, Figure(bare.value, bare.high, bare.start, bare.end, number), unit)
            if found.kind not in _KINDS or found.kind == IGNORED:
                continue
            scan.bare.remove(bare)
            why = said_behind(scan.words[unit.start : unit.end])
            given.append(scan.hedged(replace(found, start=bare.start, end=bare.end, head=bare.start, why=why)))
    return given


def _is_no_measure(scan: Scan, bare: Bare) -> bool:
    pronoun = bare.value == 1 and scan.at(bare.start) == "one"
    return pronoun or labelled(scan, bare) or read_count(scan, bare, {}) is not None


def _alone(scan: Scan) -> Iterator[tuple[Measured, int]]:
    """Units without a number before them, each with where the numbers begin that they may be of."""
    inside, behind = numbered(scan)
    sentences = {*scan.sentences}
    stops = sentences | {len(scan.words)}
    for place in range(1, len(scan.words)):
        if (place in behind and place not in sentences) or place in inside or scan.at(place) in _NO_UNITS:
            continue
        unit = next(units_at(scan, place), None)
        if unit is None or unit.alias.target.startswith(("choice", "ignored")):
            continue
        if len("".join(unit.alias.words)) < 3:
            continue
        closes = unit.end in scan.breaks or unit.end >= len(scan.words)
        against = scan.at(unit.end) == "not" and not stops.isdisjoint(range(unit.end + 2, unit.end + 5))
        whole = place in sentences and (unit.end in stops or against)  # "Kilopascals." or "Kilopascals, not psi."
        told = scan.at(place - 1) in _LED and (closes or scan.at(unit.end) in ("so", "and"))
        told = told or _measured_in(scan, place, unit, closes)
        listed = scan.at(place) in _SMALL and scan.at(place - 1) in cue_words("places") | cue_words("valve_words")
        if whole or (told and place not in scan.breaks) or listed:
            start = scan.with_sentence_before(place - 1)[0] if not whole else scan.sentence(place - 1)[0]
            if not {*scan.words[max(start, place - 4) : place]} & _TALK:
                yield unit, start


def _measured_in(scan: Scan, place: int, unit: Measured, closes: bool) -> bool:
    """ "seventy-four five from the bracket, in centimetres of course"."""
    behind_comma = scan.at(place - 1) == "in" and place - 1 in scan.breaks and place - 1 not in scan.sentences
    of_course = scan.words[unit.end : unit.end + 2] == ["of", "course"]
    return behind_comma and len(unit.alias.words[0]) >= _LONG_UNIT and (closes or of_course)
