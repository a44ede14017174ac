"""A recording as the book shows it, and the places in it that the book points at."""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from urllib.parse import quote

from pipeline.build.recordings import BuiltRecording
from pipeline.build.sort_evidence import evidence_of
from pipeline.records import Settings
from pipeline.render import Page, SortEvidence, media_beside, page_context, told_by_others
from pipeline.render.spelling import long_date
from pipeline.times import ms_to_clock
from pipeline.vocabulary import Vocabulary


@dataclass(frozen=True, slots=True)
class Day:
    """One recording in the book. `log_href` and `page.media.href` are relative to the book; `number` is from 1."""

    number: int
    recording: BuiltRecording
    page: Page
    day: str
    log_href: str

    @property
    def anchor(self) -> str:
        """Where the book speaks of this recording."""
        return f"recording-{self.number}"

    def moment(self, start_ms: int, start_word: int | None = None) -> Moment:
        """A place in this recording, for links; without a word the words around that time are meant."""
        if start_word is None:
            start_word = next((i for i, word in enumerate(self.recording.log.words) if word.end_ms > start_ms), 0)
        href = f"{self.log_href}#w{start_word}" if self.recording.log.words else self.log_href
        media = self.page.media.href
        return Moment(self, start_ms, ms_to_clock(start_ms), href, f"{media}#t={start_ms / 1000:.1f}" if media else "")


@dataclass(frozen=True, slots=True)
class Moment:
    """Where something was said: `words` is the address of the words, `sound` that of the sound ("" if not there)."""

    day: Day
    start_ms: int
    clock: str
    words: str
    sound: str


def days_of(
    recordings: Sequence[BuiltRecording], settings: Settings, vocabulary: Vocabulary, into: Path
) -> tuple[Day, ...]:
    """The recordings as the book in the folder `into` shows them; what sort of machine it is, all of them tell."""
    evidence = evidence_of(recordings, settings, vocabulary)
    return tuple(
        _day_of(number, recording, settings, vocabulary, into, told_by_others(recording.log.recording.sha256, evidence))
        for number, recording in enumerate(recordings, start=1)
    )


def _day_of(
    number: int,
    recording: BuiltRecording,
    settings: Settings,
    vocabulary: Vocabulary,
    into: Path,
    others: Sequence[SortEvidence],
) -> Day:
    """A recording in the spelling of the build, not of the day."""
    log = replace(recording.log, settings=settings)
    media = media_beside(recording.media, into)
    page = page_context(log, vocabulary, media, prefix=f"r-{recording.slug}-", others=others)
    relative = Path(os.path.relpath((recording.folder / "log.html").resolve(), into.resolve())).as_posix()
    day = long_date(recording.recorded_at.date(), settings.spelling)
    return Day(number, recording, page, day, "./" + quote(relative))
