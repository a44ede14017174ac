"""Lays stretches of speech end to end in streams, and maps a stream's times back to the recording.

The model always works on 30 seconds, however little is said in them, and it dates the first word after a long
silence far too early. Both are cured by cutting the silence out: a stream is a row of stretches of speech, laid
end to end with a short gap, and each of its times is mapped back to where the stretch lies in the recording.

A stream is heard from its start to its end, piece by piece, each with the text of the one before as context, which
makes fewer errors than pieces heard apart. Several streams are heard side by side. How many there are depends on the
recording only, so that the same is heard on every machine.
"""

from __future__ import annotations

import bisect
import itertools
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pipeline.hearing.sound import SAMPLE_RATE

MOST_STREAMS = 8
# Each stream begins without context, so streams are long; but half a minute is a piece, and two keep two cores busy.
GOOD_STREAM_MS = 120_000
LEAST_STREAM_MS = 30_000
# Kept of each pause between stretches: enough to hear a sentence end.
MAX_GAP_MS = 400
# A second of pause is worth this many of uneven length.
_PAUSE_WORTH = 3
_PAUSE_COUNTED_MS = 3_000


@dataclass(frozen=True, slots=True)
class Stretch:
    """Speech from `start_ms` to `end_ms` of the recording, lying at `stream_ms` in its stream."""

    start_ms: int
    end_ms: int
    stream_ms: int


@dataclass(frozen=True, slots=True)
class Stream:
    """Stretches in order, not overlapping, neither in the recording nor in the stream."""

    stretches: tuple[Stretch, ...]

    @property
    def duration_ms(self) -> int:
        """Length of the stream's sound."""
        last = self.stretches[-1]
        return last.stream_ms + last.end_ms - last.start_ms

    def samples(self, sound: NDArray[np.float32], from_ms: int, to_ms: int) -> NDArray[np.float32]:
        """The stream's sound between two of its times, shape (duration * 16,000,): stretches with gaps between."""
        out = np.zeros((to_ms - from_ms) * SAMPLE_RATE // 1000, np.float32)
        for stretch in self.stretches:
            skip_ms = max(0, from_ms - stretch.stream_ms)
            piece = sound[(stretch.start_ms + skip_ms) * SAMPLE_RATE // 1000 : stretch.end_ms * SAMPLE_RATE // 1000]
            at = (stretch.stream_ms + skip_ms - from_ms) * SAMPLE_RATE // 1000
            if at < len(out) and skip_ms < stretch.end_ms - stretch.start_ms:
                piece = piece[: len(out) - at]
                out[at : at + len(piece)] = piece
        return out

    def to_recording_ms(self, stream_ms: int, *, is_end: bool = False) -> int:
        """Time in the recording. A time in a gap belongs to the next stretch, an end in a gap to the one before."""
        starts = [stretch.stream_ms for stretch in self.stretches]
        index = max(0, bisect.bisect_right(starts, stream_ms) - 1)
        stretch = self.stretches[index]
        inside_ms = stream_ms - stretch.stream_ms
        length_ms = stretch.end_ms - stretch.start_ms
        if inside_ms >= length_ms and not is_end and index + 1 < len(self.stretches):
            return self.stretches[index + 1].start_ms
        if is_end and inside_ms <= 0 and index > 0:
            return self.stretches[index - 1].end_ms
        return stretch.start_ms + min(max(inside_ms, 0), length_ms)


def lay_streams(speech: Sequence[tuple[int, int]]) -> list[Stream]:
    """Streams of about the same length from stretches of speech (start_ms, end_ms) in order.

    A stream ends at a long pause near its share; there are fewer of them where little is said.
    """
    speech = [stretch for stretch in speech if stretch[1] > stretch[0]]
    if not speech:
        return []
    said_ms = list(itertools.accumulate((end_ms - start_ms for start_ms, end_ms in speech), initial=0))
    count = max(min(2, said_ms[-1] // LEAST_STREAM_MS), min(MOST_STREAMS, said_ms[-1] // GOOD_STREAM_MS), 1)
    cuts = [0]
    for number in range(1, count):
        share_ms = said_ms[-1] * number // count

        def worth(at: int, share_ms: int = share_ms) -> int:
            pause_ms = speech[at][0] - speech[at - 1][1]
            return _PAUSE_WORTH * min(pause_ms, _PAUSE_COUNTED_MS) - abs(said_ms[at] - share_ms)

        places = range(cuts[-1] + 1, len(speech))
        if places:
            cuts.append(max(places, key=worth))
    cuts.append(len(speech))
    return [_stream(speech[start:end]) for start, end in itertools.pairwise(cuts)]


def _stream(row: Sequence[tuple[int, int]]) -> Stream:
    stretches: list[Stretch] = []
    at_ms = 0
    for place, (start_ms, end_ms) in enumerate(row):
        if place:
            at_ms += min(start_ms - row[place - 1][1], MAX_GAP_MS)
        stretches.append(Stretch(start_ms, end_ms, at_ms))
        at_ms += end_ms - start_ms
    return Stream(tuple(stretches))
