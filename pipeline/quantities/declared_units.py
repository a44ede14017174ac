"""A unit that the speaker gives once for all that follows: "everything's foot pounds today", "I'm working in thou"."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from pipeline.numbers import Figure, Number
from pipeline.numbers.words import word_set
from pipeline.quantities.in_units import measured
from pipeline.quantities.scan import Declared, Scan
from pipeline.quantities.unit_words import numbered, units_at

_KINDS = frozenset({"length", "pressure", "torque", "temperature"})
_LEAST_LETTERS, _REACH = 3, 7
# What is said to be in the unit, and what may stand between that and the unit.
_ALL = word_set("everything everything's figures numbers torques readings sizes measurements clearances pressures")
_VERBS = word_set("is are was were be being given said quoted")
_BETWEEN = _VERBS | word_set("all in the these those of them it that it's they're that's i here today will")
_SPEAKS = word_set("working talking measuring speaking reading thinking")
# With these "all" tells of what was said or is to come: "they're all foot pounds", "it's all in thou".
_OF_ALL = word_set("it's they're that's is are these those it")


def declared_units(scan: Scan) -> list[Declared]:
    """The declarations of a recording, in order."""
    inside, behind = numbered(scan)
    places = (place for place in range(1, len(scan.words)) if place not in inside and place not in behind)
    named = (place for place in places if next(units_at(scan, place), None) is not None)
    return [told for place in named if _declares(scan, place) for told in _unit_at(scan, place)]


def _unit_at(scan: Scan, place: int) -> Iterator[Declared]:
    """The unit of a kind that can be declared which is named at a piece, if one is."""
    for unit in units_at(scan, place):
        if unit.alias.target.startswith("ignored") or len("".join(unit.alias.words)) < _LEAST_LETTERS:
            continue
        one = Number(Fraction(1), place, place, "whole", True)
        found = measured(scan, Figure(one.exact, None, place, place, one), unit)
        if found.kind in _KINDS and found.unit and found.times == 1:
            yield Declared(found.kind, found.unit, place, unit.end)
            return


def _declares(scan: Scan, place: int) -> bool:
    """Whether the words before a piece say that all is in what stands there."""
    start = max(scan.sentence(place - 1)[0], place - _REACH)
    before = scan.words[start:place]
    if place in scan.breaks or before[-1] == "the":
        return False
    if before[-1] == "in" and _SPEAKS & {*before[-3:-1]}:
        return "not" not in before
    links = next((n for n, word in enumerate(reversed(before)) if word not in _BETWEEN), len(before))
    said, opener = before[len(before) - links :], before[: len(before) - links][-1:]
    if opener and opener[0] in _ALL:
        return opener[0] == "everything's" or len(before) == links + 1 or bool((_VERBS | _OF_ALL) & {*said})
    told = bool(_OF_ALL & {*said}) or (said == ["all", "in"] and len(before) == 2)
    return "all" in said and told and said[-1] in ("all", "in")
