"""What closes a loose end once a whole build is known, though it is called otherwise: the only oil that was drained,
the part that was ordered, the putting together that was put off."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace

from pipeline.build.recordings import BuiltRecording
from pipeline.records import Event, LooseEnd
from pipeline.tokens import bare

_DONE = frozenset(("done", "past"))
_ON = frozenset(("fit", "renew", "assemble", "connect", "route"))
_FILLS = frozenset(("fill", "top_up"))
_WHOLE_JOB = frozenset(("assembly", "reassembly", "rebuild", "rebuilding", "putting together"))
# So many parts that go on are a machine put together.
_PUT_TOGETHER = 3
# What a part belongs to is named so many words around it.
_AROUND = 25


def closed_late(
    ends: Sequence[LooseEnd], own: Sequence[BuiltRecording], later: BuiltRecording, name_of: Callable[[str], str]
) -> list[LooseEnd]:
    """The same loose ends, those closed that a later recording closes by another name; `own` are their recordings."""
    oils = [end for end in ends if end.action == "fill" and end.kind == "not_closed"]
    return [
        end
        if end.closed_by
        else _closed(end, next(_closers(end, at, own[at], later, ends, oils, name_of), None), later)
        for at, end in enumerate(ends)
    ]


def _closed(end: LooseEnd, event: Event | None, later: BuiltRecording) -> LooseEnd:
    if event is None:
        return end
    return replace(end, closed_by=f"{later.slug}#{event.id}", closed_ms=event.start_ms)


def _closers(
    end: LooseEnd, at: int, own: BuiltRecording, later: BuiltRecording, ends: Sequence[LooseEnd],
    oils: Sequence[LooseEnd], name_of: Callable[[str], str],
) -> Iterator[Event]:  # fmt: skip
    done = [event for event in later.log.events if event.status in _DONE]
    if end.kind == "promised" and end.part.lower() in _WHOLE_JOB:
        on = [event for event in done if event.action in _ON]
        yield from on[: 1 if len(on) >= _PUT_TOGETHER else 0]
    elif end.kind == "not_closed" and end.action == "fill" and name_of(end.part).split()[-1] == "oil":
        yield from (event for event in done if len(oils) == 1 and _pours_the_oil(event))
    elif end.kind == "waiting" or (end.kind, end.action) == ("promised", "fit"):
        rivals = [other for place, other in enumerate(ends) if place != at and _waits_too(other, end)]
        for event in done:
            if event.action in _ON and _agree(end, event) and not rivals and _is_that(end, event, own, later, name_of):
                yield event


def _pours_the_oil(event: Event) -> bool:
    """ "Five and a half gallons of oil", and of nothing is said that it goes into."""
    return event.action in _FILLS and event.part.lower() == "oil"


def _waits_too(other: LooseEnd, end: LooseEnd) -> bool:
    """Another thing of the sort is waited for, so that its plain name may mean either."""
    waits = other.kind == "waiting" or (other.kind, other.action) == ("promised", "fit")
    same = (other.part.lower(), other.side, other.position) == (end.part.lower(), end.side, end.position)
    return waits and not other.closed_by and not same and other.part.split()[-1:] == end.part.split()[-1:]


def _agree(end: LooseEnd, event: Event) -> bool:
    return end.side in ("", event.side) and end.position in ("", event.position)


def _is_that(
    end: LooseEnd, event: Event, own: BuiltRecording, later: BuiltRecording, name_of: Callable[[str], str]
) -> bool:
    """ "I'll order a valve" where the control valve was looked at; "new springs in" where the clutch is talked of."""
    ours, theirs = name_of(end.part).split(), name_of(event.part).split()
    if ours[-1:] != theirs[-1:] or ours == theirs:
        return False
    if len(ours) == 1:
        return name_of(event.part) in {name_of(other.part) for other in own.log.events}
    if len(theirs) > 1 or event.condition != "new":
        return False
    words = later.log.words[max(0, event.start_word - _AROUND) : event.end_word + _AROUND]
    return {*ours[:-1]} <= {bare(word.text) for word in words}
