"""Limits that a reading lies above: "the spring is thirty eight millimetres, the limit is thirty six"."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from pipeline.quantities.scan import Found, Scan

_LIMITS = frozenset({"limit", "limit's"})
_WITHIN = 16


def with_open_limits(scan: Scan, figures: Sequence[Found]) -> list[Found]:
    """The figures; a limit is no upper one where what was measured right before it is larger.

    Nobody says whether a spring may not be shorter or a shaft may not run out further: it is a limit, and no more.
    """
    return [replace(found, bound="") if _lies_below(scan, found, figures) else found for found in figures]


def _lies_below(scan: Scan, found: Found, figures: Sequence[Found]) -> bool:
    if found.bound != "at_most" or not _LIMITS & {*scan.words[found.start : found.head]}:
        return False
    before = [item for item in figures if 0 <= found.start - item.end <= _WITHIN and item.kind == found.kind]
    return bool(before) and before[-1].unit == found.unit and before[-1].value > found.value
