"""Said assembly orders: "shim first, then the thrust washer, then the gear"."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from pipeline.events.phrase import Scan
from pipeline.events.rules import Rules
from pipeline.records import Event

_ORDERED = frozenset(("fit", "assemble", "remove"))
_REACH = 25


def number_orders(events: Sequence[Event], spans: Sequence[tuple[int, int]], scan: Scan, rules: Rules) -> list[Event]:
    """The events with `sequence` and `step` filled where an order word joins one to the one before."""
    numbered = list(events)
    sequence = 0
    before: int | None = None
    for index, event in enumerate(events):
        if event.action not in _ORDERED or event.status in ("negated", "past"):
            continue
        if before is not None and _follows(spans[before], spans[index], scan, rules) and _alike(events[before], event):
            if not numbered[before].step:
                sequence += 1
                numbered[before] = replace(numbered[before], sequence=sequence, step=1)
            together = spans[before] == spans[index]
            numbered[index] = replace(
                event, sequence=numbered[before].sequence, step=numbered[before].step + (0 if together else 1)
            )
        before = index
    return numbered


def _alike(before: Event, after: Event) -> bool:
    return before.action == after.action or {before.action, after.action} == {"fit", "assemble"}


def _follows(before: tuple[int, int], after: tuple[int, int], scan: Scan, rules: Rules) -> bool:
    """True where an order word stands between the two or opens the second; events of one clause stand together."""
    if after[0] - before[1] > _REACH:
        return False
    start = min(before[1], after[0])
    lead = range(max(before[0] + 1, start - 3), min(after[1], after[0] + 3))
    if any(rules.cues["order"].at(scan.text, at) for at in lead):
        return True
    return any(rules.cues["first"].at(scan.text, at) for at in range(before[0], min(before[1] + 2, len(scan.text))))
