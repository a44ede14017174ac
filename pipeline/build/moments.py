"""A recording as the book shows it, and the places in it that the book points at."""

from __future__ import annotations

import os
from dataclasses import dataclass, replace
from pathlib import Path
from urllib.parse import quote

from pipeline.build.recordings import BuiltRecording
from pipeline.records import Settings
from pipeline.render import Page, media_beside, page_context
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


def day_of(number: int, recording: BuiltRecording, settings: Settings, vocabulary: Vocabulary, into: Path) -> Day:
    """A recording as the book in the folder `into` shows it: in the spelling of the build, not of the day."""
    log = replace(recording.log, settings=settings)
    media = media_beside(recording.media, into)
    page = page_context(log, vocabulary, media, prefix=f"r-{recording.slug}-")
    relative = Path(os.path.relpath((recording.folder / "log.html").resolve(), into.resolve())).as_posix()
    day = long_date(recording.recorded_at.date(), settings.spelling)
    return Day(number, recording, page, day, "./" + quote(relative))
