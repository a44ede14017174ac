"""A feeler that does not go in: the gap is less than its size."""

from __future__ import annotations

from dataclasses import replace

from pipeline.quantities.scan import Found, Scan

_FEELERS = frozenset({"feeler", "feelers"})
_NOT = frozenset({"can't", "cannot", "won't", "couldn't", "doesn't", "didn't", "wouldn't", "not"})
_GO = frozenset({"get", "fit", "slide", "slip", "push", "go", "pass", "take", "accept", "enter"})
_WITHIN, _BEFORE, _BEHIND = 3, 8, 8


def with_feelers(scan: Scan, figures: list[Found]) -> list[Found]:
    """The figures; "I can't get a two thou feeler in" and "a two thou feeler won't go" bound the gap from above."""
    return [replace(found, bound="at_most") if _shut_out(scan, found) else found for found in figures]


def _shut_out(scan: Scan, found: Found) -> bool:
    if found.kind not in ("length", "clearance") or found.bound or found.end in scan.breaks:
        return False
    if not _FEELERS & {*scan.words[found.end : found.end + 2]}:
        return False
    start, end = scan.sentence(found.start)
    places = range(max(start, found.start - _BEFORE), min(end, found.end + _BEHIND))
    return any(scan.words[at] in _NOT and _GO & {*scan.words[at + 1 : at + 1 + _WITHIN]} for at in places)
