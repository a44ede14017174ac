"""What is still open and what a person should look at, over all recordings of a build."""

from __future__ import annotations

import functools
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from pipeline.build.differing import differing_figures
from pipeline.build.recordings import Build, BuiltRecording
from pipeline.loose_ends import close_loose_ends
from pipeline.loose_ends.names import PartNames
from pipeline.records import Event, Finding, LooseEnd
from pipeline.render.inert import plain_text
from pipeline.render.quotes import Quote, Quotes
from pipeline.render.sentences import LOOSE_ENDS, loose_end_title
from pipeline.render.spelling import Names
from pipeline.times import ms_to_clock
from pipeline.vocabulary import Vocabulary


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


@dataclass(frozen=True, slots=True)
class CheckLine:
    """One thing to look at. Printed it is `RECORDING m:ss: message`; `kind` is "loose_end" or "finding"."""

    recording: str
    start_ms: int
    kind: str
    level: str
    rule: str
    message: str
    part: str = ""
    said: str = ""

    @property
    def place(self) -> str:
        """`RECORDING m:ss`: how the person names this thing in build.toml once it is settled."""
        return f"{self.recording} {ms_to_clock(self.start_ms)}"


def loose_ends_of(build: Build, vocabulary: Vocabulary) -> list[BuildEnd]:
    """All loose ends in order of time, each closed by the first later recording that does so.

    `vocabulary` tells which names are of one part.
    """
    name_of = functools.cache(PartNames(vocabulary).name_of)
    ends: list[BuildEnd] = []
    earlier: list[BuiltRecording] = []
    for recording in build.recordings:
        # A later recording is told about all that is open so far, before its own loose ends join. Ids of events
        # begin anew in every recording, so it must not take the id of a loose end for one of its own.
        places = [place for place, end in enumerate(ends) if not end.loose.closed_by]
        open_ends = [replace(ends[place].loose, event="") for place in places]
        still = close_loose_ends(open_ends, recording.log.events, recording.slug, name_of)
        for place, loose in zip(places, still, strict=True):
            ends[place] = replace(ends[place], loose=replace(loose, event=ends[place].loose.event))
        own = (_other_side_before(loose, earlier, name_of) for loose in recording.log.loose_ends)
        quotes = Quotes(recording.log)
        ends += [
            BuildEnd(recording, loose, quotes.of(loose.start_word, loose.end_word), number)
            for number, loose in enumerate(own, start=1)
        ]
        earlier.append(recording)
    known = {
        (recording.slug, event.id): (recording, event)
        for recording in build.recordings
        for event in recording.log.events
    }
    return [replace(end, closer=known.get(_closing_event(end))) for end in ends]


def _other_side_before(loose: LooseEnd, earlier: list[BuiltRecording], name_of: Callable[[str], str]) -> LooseEnd:
    """A part done on one side only is no loose end where an earlier recording did the other side."""
    for recording in reversed(earlier):
        if loose.kind == "one_side_only" and not loose.closed_by:
            (closed,) = close_loose_ends([replace(loose, event="")], recording.log.events, recording.slug, name_of)
            loose = replace(closed, event=loose.event)
    return loose


def _closing_event(end: BuildEnd) -> tuple[str, str]:
    slug, _, event_id = end.loose.closed_by.rpartition("#")
    return slug or end.recording.slug, event_id


def check_build(build: Build, vocabulary: Vocabulary, ends: Sequence[BuildEnd] | None = None) -> list[CheckLine]:
    """Open loose ends and findings that need a person, in order of recordings and time; settled ones left out.

    `ends` are those of `loose_ends_of`, where they are known already.
    """
    ends = loose_ends_of(build, vocabulary) if ends is None else ends
    names = Names.of(vocabulary, build.settings.settings.spelling)
    lines = [_end_line(end, names) for end in ends if not end.loose.closed_by]
    lines += list(_findings(build))
    lines += [_finding_line(recording, finding) for recording, finding in differing_figures(build, vocabulary)]
    order = {recording.slug: place for place, recording in enumerate(build.recordings)}
    lines.sort(key=lambda line: (order[line.recording], line.start_ms, line.message))
    return [line for line in dict.fromkeys(lines) if line.place not in build.settings.settled]


def _end_line(end: BuildEnd, names: Names) -> CheckLine:
    loose = end.loose
    title = plain_text(loose_end_title(loose, end.recording.log, names))
    meaning = LOOSE_ENDS.get(loose.kind, loose.kind.replace("_", " ")).lower()
    said = plain_text(end.quote.text)
    message = f"{title}: {meaning}" + (f" (“{said}”)" if said and said.lower() != title.lower() else "")
    return CheckLine(end.recording.slug, loose.start_ms, "loose_end", "check", loose.kind, message, loose.part, said)


def _findings(build: Build) -> Iterator[CheckLine]:
    for recording in build.recordings:
        for finding in recording.log.findings:
            if finding.level != "note":
                yield _finding_line(recording, finding)


def _finding_line(recording: BuiltRecording, finding: Finding) -> CheckLine:
    message = plain_text(finding.message)
    return CheckLine(recording.slug, finding.start_ms, "finding", finding.level, finding.rule, message)
