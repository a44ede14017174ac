"""Still pictures from a video: small JPEGs, the sharpest of several frames near a moment."""

from __future__ import annotations

import base64
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path
from typing import Any

import av
import numpy as np

from pipeline.records import BuildLog

_ENTRY_WIDTH, _STRIP_WIDTH = 480, 160
_STRIP_FRAMES = 4
_AROUND_MS = tuple(range(-200, 1001, 150))  # hands show what is being said a moment after it is said
_BUDGET_BYTES = 6_000_000
_COARSENESS = (4, 8, 16)  # quantiser scales of the JPEG encoder; the next one is for what is over the budget
_NEAR_MS = 2500  # up to here reading on costs less than a jump to the key frame before


@dataclass(frozen=True, slots=True)
class Still:
    """One JPEG and where it was taken."""

    time_ms: int
    width: int
    height: int
    jpeg: bytes

    @property
    def data_uri(self) -> str:
        """The picture as the address of an `img` element."""
        return "data:image/jpeg;base64," + base64.b64encode(self.jpeg).decode("ascii")


@dataclass(frozen=True, slots=True)
class Pictures:
    """Stills by the event they belong to, and strips by the number of the chapter from 1."""

    entries: Mapping[str, Still] = field(default_factory=dict)
    chapters: Mapping[int, tuple[Still, ...]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class _Moment:
    """A picture that is wanted: for whom, when, how wide, and at which times around it to look."""

    key: tuple[str, int]
    time_ms: int
    width: int
    around_ms: tuple[int, ...]


def has_moving_picture(media: Path) -> bool:
    """True where the file has a video track that is not just a cover picture."""
    try:
        with av.open(str(media)) as container:
            return _video_stream(container) is not None
    except (av.error.FFmpegError, OSError, ValueError):
        return False


def take_pictures(media: Path, log: BuildLog, budget_bytes: int = _BUDGET_BYTES) -> Pictures:
    """A still of every event and a strip of every chapter; none for a recording without moving pictures.

    All together stay within the budget: where they would not, they are coarser, and at last fewer. A file that
    cannot be read any further gives the pictures up to there: a log without pictures is still a log.
    """
    frames: dict[tuple[str, int], tuple[int, av.VideoFrame]] = {}
    try:
        with av.open(str(media)) as container:
            stream = _video_stream(container)
            if stream is not None:
                stream.thread_type = "AUTO"
                for moment, time_ms, frame in _sharpest(container, stream, _moments(log)):
                    frames[moment.key] = time_ms, _small(frame, moment.width, 1).reformat(format="yuvj420p")
    except (av.error.FFmpegError, OSError, ValueError):
        pass
    stills = _encoded(frames, budget_bytes)
    entries = {log.events[place].id: still for (name, place), still in stills.items() if name == "event"}
    strips: dict[int, list[Still]] = {}
    for (name, place), still in stills.items():
        if name == "chapter":
            strips.setdefault(place // _STRIP_FRAMES + 1, []).append(still)
    return Pictures(entries, {number: tuple(strip) for number, strip in strips.items()})


def _moments(log: BuildLog) -> list[_Moment]:
    moments = [
        _Moment(("event", place), event.start_ms, _ENTRY_WIDTH, _AROUND_MS) for place, event in enumerate(log.events)
    ]
    ends = [*(chapter.start_ms for chapter in log.chapters[1:]), log.recording.duration_ms]
    for number, (chapter, end_ms) in enumerate(zip(log.chapters, ends, strict=False)):
        for k in range(_STRIP_FRAMES):
            at_ms = chapter.start_ms + (end_ms - chapter.start_ms) * (2 * k + 1) // (2 * _STRIP_FRAMES)
            moments.append(_Moment(("chapter", number * _STRIP_FRAMES + k), at_ms, _STRIP_WIDTH, (0,)))
    return sorted(moments, key=lambda moment: moment.time_ms)


def _video_stream(container: Any) -> Any:
    for stream in container.streams.video:
        if not stream.disposition & av.stream.Disposition.attached_pic:
            return stream
    return None


def _sharpest(container: Any, stream: Any, moments: list[_Moment]) -> Iterator[tuple[_Moment, int, Any]]:
    """For each moment the frame with the most detail among those at its times.

    Moments overlap, so small copies of the frames from the present moment on are kept.
    """
    reader: Iterator[tuple[int, Any]] = iter(())
    recent: list[tuple[int, Any]] = []
    read_ms = -_NEAR_MS - 1
    for moment in moments:
        from_ms = max(0, moment.time_ms + min(_AROUND_MS))
        until_ms = max(0, moment.time_ms + moment.around_ms[-1])
        if from_ms > read_ms + _NEAR_MS:
            recent, reader = [], _frames(container, stream, from_ms)
        recent = [pair for pair in recent if pair[0] >= from_ms]
        while read_ms < until_ms or not recent:
            following = next(reader, None)
            if following is None:
                break
            read_ms = following[0]
            if read_ms >= from_ms:
                recent.append((read_ms, _small(following[1], _ENTRY_WIDTH, stream.sample_aspect_ratio or 1)))
        if recent:
            times_ms = [moment.time_ms + shift for shift in moment.around_ms]
            nearest = {min(recent, key=lambda pair, at=at_ms: abs(pair[0] - at))[0] for at_ms in times_ms}  # type: ignore[misc]
            yield moment, *max((pair for pair in recent if pair[0] in nearest), key=lambda pair: _detail(pair[1]))


def _frames(container: Any, stream: Any, from_ms: int) -> Iterator[tuple[int, Any]]:
    """Frames with their times in ms from the key frame before `from_ms` on."""
    start_ms = round((container.start_time or 0) / 1000)
    container.seek((from_ms + start_ms) * 1000)
    for frame in container.decode(stream):
        if frame.time is not None:
            yield round(frame.time * 1000) - start_ms, frame


def _detail(frame: Any) -> float:
    """Variance of the Laplacian: a blurred picture has little (Pech-Pacheco and others, ICPR 2000)."""
    grey = frame.reformat(format="gray").to_ndarray().astype(np.int32)
    inner = grey[1:-1, 1:-1]
    return float((grey[:-2, 1:-1] + grey[2:, 1:-1] + grey[1:-1, :-2] + grey[1:-1, 2:] - 4 * inner).var())


def _small(frame: Any, longer_side: int, pixel_aspect: Fraction | int) -> Any:
    """The frame upright, with square pixels, in the size of a still, never larger than it was."""
    aspect = frame.width * pixel_aspect / frame.height
    longer_side = min(longer_side, max(frame.width, frame.height))
    wide, high = (longer_side, longer_side / aspect) if aspect >= 1 else (longer_side * aspect, longer_side)
    small = frame.reformat(width=_even(wide), height=_even(high), format="rgb24")
    turned = np.ascontiguousarray(np.rot90(small.to_ndarray(), k=round(frame.rotation / 90) % 4))
    return av.VideoFrame.from_ndarray(turned, format="rgb24")


def _even(length: float) -> int:
    """Colour is kept for pairs of pixels."""
    return max(2, round(length / 2) * 2)


def _encoded(frames: Mapping[tuple[str, int], tuple[int, Any]], budget_bytes: int) -> dict[tuple[str, int], Still]:
    stills: dict[tuple[str, int], Still] = {}
    for coarseness in _COARSENESS:
        stills = {
            key: Still(time_ms, frame.width, frame.height, _jpeg(frame, coarseness))
            for key, (time_ms, frame) in frames.items()
        }
        if _size(stills) <= budget_bytes:
            return stills
    every = 2
    while _size(fewer := dict(list(stills.items())[::every])) > budget_bytes:
        every += 1
    return fewer


def _size(stills: Mapping[tuple[str, int], Still]) -> int:
    """What they take up in the page."""
    return sum(len(still.data_uri) for still in stills.values())


def _jpeg(frame: Any, coarseness: int) -> bytes:
    codec: Any = av.CodecContext.create("mjpeg", "w")
    codec.width, codec.height = frame.width, frame.height
    codec.pix_fmt, codec.time_base = "yuvj420p", Fraction(1, 25)
    codec.qmin = codec.qmax = coarseness
    return b"".join(bytes(packet) for packet in (*codec.encode(frame), *codec.encode(None)))
