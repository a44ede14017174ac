"""Ranges whose ends both carry a unit, and figures that the speaker takes back."""

from __future__ import annotations

from dataclasses import replace

from pipeline.quantities.scan import Found, Scan, cue_words
from pipeline.quantities.units import IGNORED

_JOINS = ("to", "through", "and")


def join_ranges(scan: Scan, figures: list[Found]) -> list[Found]:
    """ "ten newton metres to twelve newton metres" is one range; "and" joins after "between"."""
    joined: list[Found] = []
    for found in figures:
        before = joined[-1] if joined else None
        if before is not None and _one_range(scan, before, found):
            start = before.start - 1 if scan.at(before.start - 1) in ("between", "from") else before.start
            low, high = sorted((before.value, found.value))
            joined[-1] = replace(before, value=low, high=high, start=start, end=found.end)
        else:
            joined.append(found)
    return joined


def _one_range(scan: Scan, before: Found, found: Found) -> bool:
    if (before.kind, before.unit) != (found.kind, found.unit) or before.kind in (
        "count",
        "thread",
        "spanner",
        "viscosity",
    ):
        return False
    if before.high is not None or found.high is not None:
        return False
    if before.value >= found.value and not (found.value < before.value < 0):
        return False
    if found.head == before.end:
        return found.head in scan.dashes
    if found.head != before.end + 1 or before.end in scan.breaks or found.head in scan.breaks:
        return False
    link = scan.at(before.end)
    return link in _JOINS and (link != "and" or scan.at(before.start - 1) == "between")


def drop_taken_back(scan: Scan, figures: list[Found]) -> list[Found]:
    """ "twenty mil... no, thirty mil": only what the speaker stays with is kept."""
    kept: list[Found] = []
    for found in figures:
        while kept and _takes_back(scan, kept[-1], found):
            kept.pop()
        kept.append(found)
    return [found for found in kept if found.kind != IGNORED]


def _takes_back(scan: Scan, before: Found, found: Found) -> bool:
    if before.kind != found.kind and {before.kind, found.kind} != {"length", "clearance"}:
        return False
    between = scan.words[before.end : found.start]
    return 0 < len(between) <= 5 and " ".join(between) in cue_words("taken_back")
