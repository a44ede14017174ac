"""What is still open and what a person should look at, over all recordings of a build."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from pipeline.build.differing import differing_figures
from pipeline.build.ends import BuildEnd, loose_ends_of
from pipeline.build.recordings import Build, BuiltRecording
from pipeline.records import Finding
from pipeline.render.inert import plain_text
from pipeline.render.sentences import LOOSE_ENDS, loose_end_title
from pipeline.render.spelling import Names
from pipeline.times import ms_to_clock
from pipeline.vocabulary import Vocabulary


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
    message = f"{title}: {meaning}" + (f" (“{said}”)" if said and loose.part and said.lower() != title.lower() else "")
    return CheckLine(end.recording.slug, loose.start_ms, "loose_end", "check", loose.kind, message, loose.part, said)


def _findings(build: Build) -> Iterator[CheckLine]:
    for recording in build.recordings:
        for finding in recording.log.findings:
            if finding.level != "note":
                yield _finding_line(recording, finding)


def _finding_line(recording: BuiltRecording, finding: Finding) -> CheckLine:
    message = plain_text(finding.message)
    return CheckLine(recording.slug, finding.start_ms, "finding", finding.level, finding.rule, message)
