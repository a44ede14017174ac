"""The loose ends of a build: those of every recording, as they stand after the last one."""

from __future__ import annotations

import functools
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from pipeline.build.late_closing import closed_late
from pipeline.build.recordings import Build, BuiltRecording
from pipeline.loose_ends import close_loose_ends
from pipeline.loose_ends.closing import same_job, words_around
from pipeline.loose_ends.follows import loose_end, stripped_lines
from pipeline.loose_ends.names import PartNames
from pipeline.records import Event, LooseEnd
from pipeline.render.quotes import Quote, Quotes
from pipeline.render.same_part import fuller_names
from pipeline.vocabulary import Vocabulary

_ON = frozenset(("fit", "renew", "assemble", "connect"))
_OFF = frozenset(("remove", "dismantle", "disconnect", "drain", "inspect", "measure", "clean", "mark", "cut"))
_DONE = frozenset(("done", "past", "provisional"))
_SIDES = frozenset(("front", "rear", "left", "right"))
# So much of what came off around a line must be back on before the line is missed.
_MOST, _FEWEST = 0.75, 2


@dataclass(frozen=True, slots=True)
class BuildEnd:
    """A loose end of one recording as it stands at the end of the build, with the words that prove it.

    `closer` is the recording of the closing event and the event; None while open, or where the event is gone.
    """

    recording: BuiltRecording
    loose: LooseEnd
    quote: Quote
    number: int
    closer: tuple[BuiltRecording, Event] | None = None


def loose_ends_of(build: Build, vocabulary: Vocabulary) -> list[BuildEnd]:
    """All loose ends in order of time, each closed by the first later recording that does so.

    `vocabulary` tells which names are of one part.
    """
    name_of = _names_in(build, functools.cache(PartNames(vocabulary).name_of))
    ends: list[BuildEnd] = []
    earlier: list[BuiltRecording] = []
    for recording in build.recordings:
        # A later recording is told about all that is open so far, before its own loose ends join. Ids of events
        # begin anew in every recording, so it must not take the id of a loose end for one of its own.
        places = [place for place, end in enumerate(ends) if not end.loose.closed_by]
        open_ends = [replace(ends[place].loose, event="") for place in places]
        around = [words_around(ends[place].loose, ends[place].recording.log.events) for place in places]
        still = close_loose_ends(open_ends, recording.log.events, recording.slug, name_of, around)
        still = closed_late(still, [ends[place].recording for place in places], recording, name_of)
        finished = _finished_sides(open_ends, recording, name_of)
        for place, loose in zip(places, still, strict=True):
            ends[place] = replace(ends[place], loose=replace(loose, event=ends[place].loose.event))
        own = [
            loose for loose in recording.log.loose_ends
            if loose.kind != "one_side_only" or loose.closed_by
            or not (loose.event in finished or _other_side_before(loose, earlier, name_of))
        ]  # fmt: skip
        ends += _quoted(recording, own)
        earlier.append(recording)
    ends += _missed_lines(build, ends, name_of)
    ends = _once_each(ends, build, name_of)
    known = {
        (recording.slug, event.id): (recording, event)
        for recording in build.recordings
        for event in recording.log.events
    }
    return [replace(end, closer=known.get(_closing_event(end))) for end in ends]


def _names_in(build: Build, name_of: Callable[[str], str]) -> Callable[[str], str]:
    """The one name of a part on this machine: its "positive lead" is the positive battery lead. Which side it is on is
    told beside its name."""

    def plain(part: str) -> str:
        name = name_of(part).split()
        rest = [word for word in name if word not in _SIDES]
        return " ".join(rest if len(rest) > 1 else name)

    parts = {plain(event.part) for recording in build.recordings for event in recording.log.events}
    left = {plain(end.part) for recording in build.recordings for end in recording.log.loose_ends if end.part}
    fuller = fuller_names(parts | left)
    return functools.cache(lambda part: fuller.get(plain(part), plain(part)))


def _quoted(recording: BuiltRecording, own: Sequence[LooseEnd]) -> list[BuildEnd]:
    quotes = Quotes(recording.log)
    return [
        BuildEnd(recording, loose, quotes.of(loose.start_word, loose.end_word), number)
        for number, loose in enumerate(own, start=1)
    ]


def _finished_sides(
    open_ends: Sequence[LooseEnd], recording: BuiltRecording, name_of: Callable[[str], str]
) -> set[str]:
    """The events of one side that was open before: the other side is no matter of theirs, or is open already."""
    sided = [end for end in open_ends if end.side and not end.closed_by]
    return {
        event.id for event in recording.log.events
        if event.side and close_loose_ends(sided, [event], recording.slug, name_of) != sided
    }  # fmt: skip


def _other_side_before(loose: LooseEnd, earlier: Sequence[BuiltRecording], name_of: Callable[[str], str]) -> bool:
    """A part done on one side only is no loose end where an earlier recording did the other side."""
    return any(
        close_loose_ends([replace(loose, event="")], recording.log.events, recording.slug, name_of)[0].closed_by
        for recording in earlier
    )


def _missed_lines(build: Build, ends: Sequence[BuildEnd], name_of: Callable[[str], str]) -> Iterator[BuildEnd]:
    """What was disconnected while stripping, once nearly all that came off around it is back on and it is not told."""
    told = {name_of(end.loose.part) for end in ends}
    for place, recording in enumerate(build.recordings):
        later = [event for after in build.recordings[place + 1 :] for event in after.log.events]
        back = {name_of(event.part) for event in later if event.status in _DONE and event.action in _ON}
        touched = {
            name_of(event.part).split()[-1] for event in later if event.status in _DONE and event.action not in _OFF
        }
        missed: list[LooseEnd] = []
        for event, off in stripped_lines(recording.log.events):
            name = name_of(event.part)
            parts = {name_of(other.part) for other in off}
            on = len(parts & back)
            if name not in told and name.split()[-1] not in touched and on >= max(_FEWEST, _MOST * len(parts)):
                missed.append(loose_end("not_closed", event, "connect"))
        yield from _quoted(recording, missed)


def _once_each(ends: Sequence[BuildEnd], build: Build, name_of: Callable[[str], str]) -> list[BuildEnd]:
    """In order of time, without what a later recording tells again: ordered on Monday, not here yet on Friday."""
    days = {recording.slug: day for day, recording in enumerate(build.recordings)}
    in_order = sorted(ends, key=lambda end: (days[end.recording.slug], end.loose.start_ms, end.loose.start_word))
    return [
        end for place, end in enumerate(in_order)
        if not any(_tells_again(end, other, name_of) for other in in_order[place + 1 :])
    ]  # fmt: skip


def _tells_again(end: BuildEnd, other: BuildEnd, name_of: Callable[[str], str]) -> bool:
    """True where both are open, of different recordings, and about one job on one part in one place."""
    first, second = end.loose, other.loose
    if first.closed_by or second.closed_by or end.recording is other.recording or not first.part:
        return False
    one = (name_of(first.part), first.side, first.position) == (name_of(second.part), second.side, second.position)
    if not one or len(first.part.split()) + len(first.side) + len(first.position) < _FEWEST:
        return False  # "the nut" of another day is another nut
    return first.kind == second.kind or same_job(first.action, second.action)


def _closing_event(end: BuildEnd) -> tuple[str, str]:
    slug, _, event_id = end.loose.closed_by.rpartition("#")
    return slug or end.recording.slug, event_id
