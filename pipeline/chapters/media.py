"""Writes chapters into a copy of a video or sound file. Nothing is encoded again; the original is never touched."""

from __future__ import annotations

import contextlib
import os
import uuid
from collections.abc import Sequence
from fractions import Fraction
from pathlib import Path
from typing import Any

from pipeline.chapters.formats import chapter_faults, spans
from pipeline.errors import WitnessmarkError
from pipeline.files import write_reason
from pipeline.records import Chapter

_COPIED = ("video", "audio", "subtitle")
_HOLDS_CHAPTERS = ".mp4, .m4a, .mkv, .webm, .mp3 or .opus"


def write_into(media: Path, out: Path, chapters: Sequence[Chapter]) -> None:
    """Copies `media` to `out` with these chapters in the place of any it had.

    The copy is written beside `out` and takes its name only when it is whole and its chapters have been read back.

    Raises:
        WitnessmarkError: `out` exists, `media` cannot be read, the chapters do not fit it, or its container has no
            chapters.
    """
    if out.exists():
        raise WitnessmarkError(f"{out} is there already; choose another name, the copy never replaces a file")
    if out.suffix.lower() != media.suffix.lower():
        raise WitnessmarkError(f"{out} must end in {media.suffix}, as {media.name} does: the copy keeps its container")
    temporary = out.with_name(f".writing-{uuid.uuid4().hex}{media.suffix}")
    try:
        out.parent.mkdir(parents=True, exist_ok=True)
        _copy(media, temporary, chapters)
        temporary.rename(out)
    except OSError as error:
        raise WitnessmarkError(f"cannot write {out}: {write_reason(error)}") from error
    finally:
        with contextlib.suppress(OSError):
            temporary.unlink(missing_ok=True)


def _copy(media: Path, temporary: Path, chapters: Sequence[Chapter]) -> None:
    import av  # late: it takes a while to load, and only this needs it

    try:
        source = av.open(str(media))
    except (av.error.FFmpegError, OSError) as error:
        raise WitnessmarkError(f"cannot read {media}: {_reason(error)}; give the recording itself") from error
    with source:
        duration_ms = round((source.duration or 0) / 1000) or (chapters[-1].start_ms + 1 if chapters else 0)
        faults = chapter_faults(chapters, duration_ms)
        if faults:
            raise WitnessmarkError(f"{media} does not fit the chapters: {faults[0]}; is it the same recording?")
        entries = [
            {"id": number, "start": start, "end": end, "time_base": Fraction(1, 1000), "metadata": {"title": title}}
            for number, (start, end, title) in enumerate(spans(chapters, duration_ms), start=1)
        ]
        try:
            _remux(av, source, temporary, entries)
        except (av.error.FFmpegError, ValueError) as error:
            if isinstance(error, OSError) and error.errno and error.errno > 0 and isinstance(error.filename, str):
                raise OSError(error.errno, os.strerror(error.errno)) from error
            raise WitnessmarkError(
                f"cannot copy {media}: {_reason(error)}; convert it to .mkv and try again"
            ) from error
    with av.open(str(temporary)) as written:
        if len(written.chapters()) != len(entries):
            raise WitnessmarkError(f"{media.name} is of a kind that holds no chapters; convert it to {_HOLDS_CHAPTERS}")


def _remux(av: Any, source: Any, temporary: Path, entries: list[dict[str, Any]]) -> None:
    with av.open(str(temporary), "w") as target:
        target.metadata.update(source.metadata)
        target.set_chapters(entries)
        streams = {}
        for stream in source.streams:
            # Chapters of an MP4 lie in a data stream of their own: the new ones take its place.
            if stream.type in _COPIED:
                copied = target.add_stream_from_template(stream)
                copied.metadata.update(stream.metadata)
                copied.disposition = stream.disposition
                streams[stream.index] = copied
        for packet in source.demux([stream for stream in source.streams if stream.index in streams]):
            if packet.size:
                packet.stream = streams[packet.stream.index]
                target.mux(packet)


def _reason(error: Exception) -> str:
    return str(getattr(error, "strerror", None) or error).lower()
