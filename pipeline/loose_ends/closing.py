"""What closes a loose end: a later event on the same part in the same place."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace

from pipeline.records import Event, LooseEnd

# Actions that do each other's job: a part promised to be fitted is also there once it is renewed.
SAME_JOB = (
    frozenset(("fit", "renew", "assemble", "connect")),
    frozenset(("tighten", "torque")),
    frozenset(("fill", "top_up")),
    frozenset(("adjust", "align", "measure", "inspect", "test")),
    frozenset(("repair", "renew", "machine", "weld")),
    frozenset(("coat", "polish")),
    frozenset(("remove", "dismantle", "disconnect")),
)
_BLED = frozenset(("brake", "clutch", "caliper", "system"))
_DONE = frozenset(("done", "past"))
_TIGHT = frozenset(("tighten", "torque"))
_ON = frozenset(("fit", "renew", "assemble"))


def close_loose_ends(
    open_ends: Sequence[LooseEnd],
    events: Sequence[Event],
    recording_name: str,
    name_of: Callable[[str], str] = str.lower,
) -> list[LooseEnd]:
    """The same loose ends in the same order, closed where an event of a later recording does what was open.

    Args:
        open_ends: loose ends of earlier recordings; one that is closed already comes back as it is.
        events: the events of one later recording.
        recording_name: goes into `closed_by` as "NAME#e12".
        name_of: the one name of a part that has several, to compare by.
    """
    return [
        end if end.closed_by else _closed(end, closing_event(end, events, name_of), f"{recording_name}#")
        for end in open_ends
    ]


def close_inside(ends: Iterable[LooseEnd], events: Sequence[Event], name_of: Callable[[str], str]) -> list[LooseEnd]:
    """The loose ends of one recording, closed by its own later events."""
    closed = []
    for end in ends:
        own = next((place for place, event in enumerate(events) if event.id == end.event), -1)
        later = [event for place, event in enumerate(events) if place > own and event.start_word >= end.start_word]
        closed.append(_closed(end, closing_event(end, later, name_of), ""))
    return closed


def closing_event(end: LooseEnd, events: Iterable[Event], name_of: Callable[[str], str] = str.lower) -> Event | None:
    """The first event that does what is open, on the same part in the same place; None if there is none."""
    return next((event for event in events if _same_part(end, event, name_of) and _does(end, event)), None)


def _closed(end: LooseEnd, event: Event | None, prefix: str) -> LooseEnd:
    if event is None:
        return end
    return replace(end, closed_by=f"{prefix}{event.id}", closed_ms=event.start_ms)


def same_job(first: str, second: str) -> bool:
    """True where one action is as good as the other.

    >>> same_job("tighten", "torque"), same_job("fit", "clean")
    (True, False)
    """
    return first == second or any(first in jobs and second in jobs for jobs in SAME_JOB)


def _same_part(end: LooseEnd, event: Event, name_of: Callable[[str], str]) -> bool:
    if name_of(event.part) != name_of(end.part):
        if end.action == "bleed" and event.action == "bleed":
            shared = set(name_of(event.part).split()) & set(name_of(end.part).split())
            return bool(shared & _BLED) and _agree(end.side, event.side) and _agree(end.position, event.position)
        fluids = end.kind == "not_closed" and end.action == "fill" and name_of(end.part) in name_of(event.fluid)
        return bool(fluids and event.fluid)
    if end.kind == "one_side_only":
        return True
    return _agree(end.side, event.side) and _agree(end.position, event.position)


def _agree(wanted: str, found: str) -> bool:
    return not wanted or not found or wanted == found


def _does(end: LooseEnd, event: Event) -> bool:
    """True where the event does what the loose end left open."""
    if event.status not in _DONE or event.id == end.event:
        return False
    if end.kind == "loose":
        return event.action in _TIGHT
    if end.kind == "no_figure":
        return event.action in _TIGHT and bool(event.quantities)
    if end.kind == "provisional":
        return event.action in _ON | _TIGHT | {"remove", "seal"}
    if end.kind == "waiting":
        return event.action in _ON or (bool(end.action) and same_job(end.action, event.action))
    if end.kind == "one_side_only":
        other = (bool(event.side) and event.side != end.side) or (event.count or 0) >= 2
        return other and (not end.action or same_job(end.action, event.action))
    return same_job(end.action, event.action)
