"""Loose ends that only follow: done on one side, opened and not closed, no figure where it matters."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from pipeline.loose_ends.closing import is_without_figure, same_job
from pipeline.loose_ends.names import PartNames
from pipeline.records import Event, LooseEnd

_APART = 40  # words
_SIDED = frozenset(
    ("fit", "renew", "tighten", "torque", "bleed", "adjust", "assemble", "fill", "connect", "repair", "lubricate")
)
# A whole machine unplugged from the wall is left as it should be.
_MACHINES = frozenset((
    "drill", "grinder", "lathe", "machine", "mill", "saw", "compressor", "generator", "mower", "shaper", "press",
))  # fmt: skip
# What plugs are called that keep oil or water in, and what puts one back.
_OF_VESSELS = frozenset(("drain", "sump", "filler", "level", "oil"))
_DID = frozenset(("done", "past", "provisional"))
_SHUTS = frozenset(("fit", "renew", "tighten", "torque", "seal"))


def follows_from(events: Sequence[Event], names: PartNames, sided: Sequence[LooseEnd]) -> Iterator[LooseEnd]:
    """What follows from the events; where the speaker sums a side up (`sided`), that stands for all of it."""
    yield from _one_side(events, names, sided)
    yield from _not_closed(events, names)
    yield from _no_figure(events, names)


def loose_end(kind: str, event: Event, action: str = "", part: str = "") -> LooseEnd:
    """A loose end that rests on an event."""
    both = (event.count or 0) == 2 and "both" in event.said.lower().split()
    side = event.side or ("both" if both else "")
    return LooseEnd(
        kind, part or event.part, event.said, event.start_ms, "", None, side, event.position, event.start_word,
        event.end_word, event.id, action or event.action,
    )  # fmt: skip


def _one_side(events: Sequence[Event], names: PartNames, sided: Sequence[LooseEnd]) -> Iterator[LooseEnd]:
    """A part there is on both sides, done on one; where the speaker sums it up, that stands for all."""
    for event in events:
        if any(end.side == event.side and end.start_word >= event.start_word for end in sided):
            continue
        if event.status != "done" or not names.is_paired(event.part) or event.action not in _SIDED:
            continue
        if event.side in ("", "both") or (event.count or 1) >= 2:
            continue
        others = [
            other for other in events
            if other is not event and names.name_of(other.part) == names.name_of(event.part)
            and same_job(other.action, event.action) and other.status != "advised" and other.side != event.side
        ]  # fmt: skip
        if not any(other.side or (other.count or 1) >= 2 or other.start_ms > event.start_ms for other in others):
            yield loose_end("one_side_only", event)


def _not_closed(events: Sequence[Event], names: PartNames) -> Iterator[LooseEnd]:
    """Drained and not filled, disconnected and not connected, a brake line opened and not bled."""
    for event in events:
        if event.status != "done":
            continue
        if event.action == "drain" and "air" not in event.said.lower().split():
            yield loose_end("not_closed", event, "fill")
        elif (
            event.action == "disconnect" and event.part.split()[-1] not in _MACHINES and not _strips_down(event, events)
        ):
            yield loose_end("not_closed", event, "connect")
        elif event.action == "remove" and _lets_out(event.part) and not _shut_again(event, events):
            yield loose_end("not_closed", event, "fit")
        elif names.is_brake_line(event.part) and event.action in ("remove", "fit", "renew", "slacken"):
            yield loose_end("not_closed", event, "bleed")


def _lets_out(part: str) -> bool:
    """A plug without which a vessel holds nothing."""
    *of, last = part.lower().split()
    return last == "plug" and bool(_OF_VESSELS & {*of})


def _shut_again(event: Event, events: Sequence[Event]) -> bool:
    """True where later on a plug is put in or tightened, or the vessel filled or drained, which stands for it."""
    later = [other for other in events if other.start_word > event.start_word and other.status in _DID]
    return any(
        other.action in ("fill", "top_up", "drain") or (other.action in _SHUTS and other.part.split()[-1] == "plug")
        for other in later
    )


def stripped_lines(events: Sequence[Event]) -> Iterator[tuple[Event, list[Event]]]:
    """What was disconnected in the midst of taking things apart, each with what came off around it.

    Nothing says so within one recording; over several it is missed once everything around it is back on.
    """
    for event in events:
        if event.status == "done" and event.action == "disconnect" and event.part.split()[-1] not in _MACHINES:
            off = _off_around(event, events)
            if len(off) > 1:
                yield event, off


def _off_around(event: Event, events: Sequence[Event]) -> list[Event]:
    return [
        other for other in events
        if other is not event and other.action in ("remove", "dismantle") and other.status == "done"
        and abs(other.start_word - event.start_word) < _APART
    ]  # fmt: skip


def _strips_down(event: Event, events: Sequence[Event]) -> bool:
    """True in the midst of taking things apart: what is disconnected there is no more open than what came off."""
    return len(_off_around(event, events)) > 1


def _no_figure(events: Sequence[Event], names: PartNames) -> Iterator[LooseEnd]:
    """A fastener that lives depend on, tightened without a figure."""
    around = ""
    for event in events:
        around = names.around(event.part, around)
        if event.status != "done" or not is_without_figure(event):
            continue
        if names.is_fastener(event.part) and names.is_dangerous(event.part, around):
            yield loose_end("no_figure", event, "torque")
