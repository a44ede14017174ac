"""What closes a loose end: a later event on the same part in the same place."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from itertools import pairwise

from pipeline.events.rules import load_rules
from pipeline.loose_ends.same_thing import FASTENERS, PLAIN, is_elsewhere, is_named_in, is_one_thing
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
# What does a job only one way: who looks at what was to be adjusted has not adjusted it; who adjusts it has looked.
_NOT_DONE_BY = {
    "adjust": frozenset(("measure", "inspect", "test")), "align": frozenset(("measure", "inspect", "test")),
    "bleed": frozenset(("inspect", "test")),
}  # fmt: skip
# Each side and the one across from it.
SIDES = (
    ("left", "right"), ("near side", "off side"), ("driver's side", "passenger side"), ("front", "rear"),
    ("drive side", "non-drive side"), ("port", "starboard"),
)  # fmt: skip
OTHER_SIDE = {"timing side": "drive side", **{a: b for pair in SIDES for a, b in (pair, pair[::-1])}}
_OFF = frozenset(("remove", "dismantle", "disconnect"))
_IDLE = frozenset(("remove", "drain", "slacken", "inspect", "measure", "mark", "dismantle", "disconnect"))
_DONE = frozenset(("done", "past"))
_TIGHT = frozenset(("tighten", "torque"))
_ON = frozenset(("fit", "renew", "assemble"))
# What nobody does to a part that has not come.
_AT_HAND = frozenset(("cut", "route"))
# So many words are said in one breath.
_BREATH = 15
_COMING = frozenset(("coming", "comin", "comin'"))
_OTHER = frozenset(("one", "side", "end", "wheel", "leg"))


def close_loose_ends(
    open_ends: Sequence[LooseEnd],
    events: Sequence[Event],
    recording_name: str,
    name_of: Callable[[str], str] = str.lower,
    around: Sequence[str] = (),
) -> list[LooseEnd]:
    """The same loose ends in the same order, closed where an event of a later recording does what was open.

    Args:
        open_ends: loose ends of earlier recordings; one that is closed already comes back as it is.
        events: the events of one later recording.
        recording_name: goes into `closed_by` as "NAME#e12".
        name_of: the one name of a part that has several, to compare by.
        around: for each loose end the words around it (`words_around`), which tell whose bolt "the bolt" is.
    """
    said = around or [end.said for end in open_ends]
    return [
        end if end.closed_by else _closed(end, _close(end, events, name_of, words), f"{recording_name}#")
        for end, words in zip(open_ends, said, strict=True)
    ]


def words_around(end: LooseEnd, events: Sequence[Event]) -> str:
    """The words of a loose end and the parts that were named right before it; `events` are those of its recording."""
    beside = [
        event.part for event in events
        if end.part == "oil" or (end.start_word - _BREATH < event.end_word and event.start_word < end.end_word)
    ]  # fmt: skip
    return " ".join((end.said, *beside))


def close_inside(ends: Iterable[LooseEnd], events: Sequence[Event], name_of: Callable[[str], str]) -> list[LooseEnd]:
    """The loose ends of one recording, closed by its own later events."""
    given = list(ends)
    closed = [_closed_by_later(end, events, name_of) for end in given]
    places = {event.id: (event.side, event.position) for event in events}
    exact = {
        (end.closed_by, name_of(end.part)) for end in closed
        if end.closed_by and places[end.closed_by] == (end.side, end.position)
    }  # fmt: skip
    again = []
    for end, found in zip(given, closed, strict=True):
        place = places.get(found.closed_by)
        sided = 1 if end.side == "both" else 0  # what is open on both sides is not elsewhere, whatever side is said
        elsewhere = place is not None and place[sided:] != (end.side, end.position)[sided:]
        if elsewhere and (found.closed_by, name_of(end.part)) in exact:
            # what does the one that was left open right there does not do its namesake elsewhere as well
            found = _closed_by_later(end, [event for event in events if event.id != found.closed_by], name_of)
        again.append(found)
    return again


def _closed_by_later(end: LooseEnd, events: Sequence[Event], name_of: Callable[[str], str]) -> LooseEnd:
    own = next((place for place, event in enumerate(events) if event.id == end.event), -1)
    later = [
        event for place, event in enumerate(events)
        if place > own and event.id != end.event and event.start_word >= end.start_word + (own < 0)
        and event.end_word > end.end_word and (event.start_word >= end.end_word or event.action not in _OFF)
        and not _foretold(end, event) and not _tells_it_loose(end, event)
    ]  # fmt: skip
    said_again = [place for place, event in enumerate(later) if _leaves_it_open(end, event, name_of)]
    later = later[said_again[-1] + 1 :] if said_again else later
    if end.kind == "promised" and not end.action:
        # a job that was not named is done only by work that is said to be in the same place, and screws are many
        later = [
            event for event in later
            if end.side in ("", event.side) and end.position in ("", event.position) and name_of(end.part) not in PLAIN
        ]  # fmt: skip
    return _closed(end, _close(end, later, name_of, words_around(end, events), True), "")


def _leaves_it_open(end: LooseEnd, event: Event, name_of: Callable[[str], str]) -> bool:
    """ "So that leaves the hammer spring": what is still to be done at the end was not done by anything before."""
    one = name_of(event.part) == name_of(end.part) and (event.side, event.position) == (end.side, end.position)
    return one and event.status == "planned" and _does(end, replace(event, status="done"))


def _tells_it_loose(end: LooseEnd, event: Event) -> bool:
    """What was read from the very words that say how loose it is, without a figure, has not tightened it."""
    own = event.start_word <= end.start_word and event.end_word <= end.end_word + 1
    return end.kind == "loose" and own and not event.quantities


def _foretold(end: LooseEnd, event: Event) -> bool:
    """ "It's only so I can move the carriage, that's coming back out": in the same breath, it has not come out yet."""
    near = event.start_word - end.end_word < _BREATH
    return near and end.kind == "provisional" and event.action in _OFF and bool({*event.said.lower().split()} & _COMING)


def closing_event(end: LooseEnd, events: Sequence[Event], name_of: Callable[[str], str] = str.lower) -> Event | None:
    """The first event that does what is open, on the same part in the same place; None if there is none."""
    return _close(end, events, name_of, end.said)[0]


def _close(
    end: LooseEnd, events: Sequence[Event], name_of: Callable[[str], str], around: str, inside: bool = False
) -> tuple[Event | None, str]:
    """(the closing event, the side that was done on the way to it); what is open on both sides takes both."""
    done = ""
    if not end.part:
        return None, ""  # nobody knows what it is about, so nobody can say that it is done
    nameless = name_of(end.part) in PLAIN and end.kind != "one_side_only"
    others = False  # the work went on to something else, and the next bolts are others
    for place, event in enumerate(events):
        if nameless and event.status in _DONE and event.action in _ON:
            other = name_of(event.part).split()[-1] not in FASTENERS
            others = (others or other) and not is_named_in(event.part, around)
        if others and name_of(event.part) in PLAIN and not (inside and _is_told_apart(end, event)):
            continue
        if not _does(end, event) or _on_the_other_side(end, event):
            continue
        one = end.side == "both" and event.side not in ("", "both") and (event.count or 1) < 2
        if not _same_part(replace(end, side="") if one else end, event, name_of, around, events[:place], inside):
            continue
        if not one or (done and done != event.side):
            return event, done
        done = event.side
    return None, done


def _is_told_apart(end: LooseEnd, event: Event) -> bool:
    """ "Both top nuts are finger tight. ... The top nuts, forty five": by its place a plain nut is that one."""
    return bool(end.position) and end.position == event.position and event.side in ("", end.side)


def _on_the_other_side(end: LooseEnd, event: Event) -> bool:
    """ "The track rod end nut on the other side, fifty newton metres": not the one that was left loose."""
    if end.kind == "one_side_only" or "other" in end.said.lower().split():
        return False
    said = [word.strip(".,") for word in event.said.lower().split()]
    if end.side in ("left", "right"):
        return OTHER_SIDE[end.side] in said and end.side not in said
    if end.side or event.side:
        return False
    return any(word == "other" and after in _OTHER for word, after in pairwise(said))


def _closed(end: LooseEnd, found: tuple[Event | None, str], prefix: str) -> LooseEnd:
    event, done = found
    if event is None:
        return replace(end, side=OTHER_SIDE[done]) if done in OTHER_SIDE else end
    return replace(end, closed_by=f"{prefix}{event.id}", closed_ms=event.start_ms)


def is_without_figure(event: Event) -> bool:
    """True for a tightening without a torque: with one it is a torquing, whatever spanner was said too."""
    return event.action == "tighten" or (event.action == "torque" and not event.quantities)


def same_job(first: str, second: str) -> bool:
    """True where one action is as good as the other.

    >>> same_job("tighten", "torque"), same_job("fit", "clean")
    (True, False)
    """
    return first == second or any(first in jobs and second in jobs for jobs in SAME_JOB)


def _same_part(
    end: LooseEnd, event: Event, name_of: Callable[[str], str], around: str, before: Sequence[Event], inside: bool
) -> bool:
    if name_of(event.part) != name_of(end.part):
        if not is_one_thing(end, event, name_of, around, before):
            return False
    elif end.kind == "one_side_only":
        return True
    else:
        # within one recording "the pinch bolt" stays the same one, "the bolt" does not
        doubtful = end.kind in ("loose", "no_figure") and (not inside or name_of(end.part) in PLAIN)
        if doubtful and is_elsewhere(end, event, before, around):
            return False
    return _agree(end.side, event.side) and _agree(end.position, event.position)


def _agree(wanted: str, found: str) -> bool:
    return not wanted or not found or wanted == found


def _does(end: LooseEnd, event: Event) -> bool:
    """True where the event does what the loose end left open."""
    if event.status not in _DONE:
        return False
    if end.kind == "loose":
        return event.action in _TIGHT
    if end.kind == "no_figure":
        return event.action in _TIGHT and not is_without_figure(event)
    if end.kind == "provisional":
        # nothing that is put on over a rag takes it out
        stuffed = end.part == "tape" or end.part.lower().split()[-1] in load_rules().words["stuffing"]
        return event.action == "remove" if stuffed else event.action in _ON | _TIGHT | {"remove", "seal"}
    if end.kind == "waiting":
        return event.action in _ON | _AT_HAND or (bool(end.action) and _keeps(end.action, event))
    if end.kind == "one_side_only":
        other = (bool(event.side) and event.side != end.side) or (event.count or 0) >= 2
        return other and (not end.action or _keeps(end.action, event))
    if not end.action:
        return event.action not in _IDLE
    return _keeps(end.action, event)


def _keeps(promised: str, event: Event) -> bool:
    """True where an event does the job that was left to do; a new one in its place is as good as a repair."""
    if event.action in _NOT_DONE_BY.get(promised, ()):
        return False
    if promised == "fill" and event.action == "bleed":
        return True  # brakes are bled with what fills them; the part tells whether it is that
    if promised in _OFF and event.action in _ON:
        return True  # what goes on was taken off before
    renewed = event.action == "fit" and event.condition == "new"
    return same_job(promised, event.action) or (renewed and same_job(promised, "renew"))
