"""Figures that the speaker gives to another part as he says them: "two ten's the old steel hub", "twenty eight is the
cam sprocket". He corrects himself so: the figure is none of the nut that he is doing up."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Mapping, Sequence
from dataclasses import replace

from pipeline.events.phrase import Scan
from pipeline.records import Event, Quantity, Token

_IS = frozenset(("is", "was", "'s"))
_FIGURES = frozenset(("figure", "torque", "number", "limit", "spec", "setting", "book", "manual", "maximum", "minimum"))


def without_others(
    events: Sequence[Event], scan: Scan, tokens: Sequence[Token], figures: Mapping[str, Quantity]
) -> list[Event]:
    """The torquings without figures that were said to be another part's."""
    starts = [tokens[unit.token].start_word for unit in scan.units]
    own: list[Event] = []
    for event in events:
        if event.action == "torque":
            keys = tuple(key for key in event.quantities if not _is_other(event, figures[key], scan, starts))
            event = event if keys == event.quantities else replace(event, quantities=keys)
        own.append(event)
    return own


def _is_other(event: Event, qty: Quantity, scan: Scan, starts: Sequence[int]) -> bool:
    behind = bisect_left(starts, qty.end_word)
    if qty.kind != "torque" or behind >= len(scan.text) or behind == 0:
        return False
    at = behind if scan.text[behind - 1] in _IS else behind + 1 if scan.text[behind] in _IS else -1
    if at < 0 or any(scan.gap[behind : at + 1]):
        return False
    at += scan.text[at : at + 1] == ["for"]
    part = scan.starting.get(at)
    if part is None or not part.is_part or part.kind == "measure" or part.head in _FIGURES or part.determiner != "the":
        return False
    return {*part.name.split(), part.head}.isdisjoint(event.part.split())
