"""Packs stretches of speech into windows for the speech model, and maps its times back.

The model always works on 30 seconds, however little is said in them, and it dates the first word after a long
silence far too early. Both are cured by cutting the silence out: a window is a row of stretches of speech, laid
end to end with a short gap, and each of its times is mapped back to where the stretch lies in the recording.
"""

from __future__ import annotations

import bisect
import itertools
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pipeline.hearing.sound import SAMPLE_RATE

MAX_WINDOW_MS = 29_000
# Kept of each pause inside a window: enough to hear a sentence end.
MAX_GAP_MS = 400


@dataclass(frozen=True, slots=True)
class Stretch:
    """Speech from `start_ms` to `end_ms` of the recording, lying at `window_ms` in its window."""

    start_ms: int
    end_ms: int
    window_ms: int


@dataclass(frozen=True, slots=True)
class Window:
    """Stretches in order, not overlapping, neither in the recording nor in the window."""

    stretches: tuple[Stretch, ...]

    @property
    def duration_ms(self) -> int:
        """Length of the window's sound."""
        last = self.stretches[-1]
        return last.window_ms + last.end_ms - last.start_ms

    def samples(self, sound: NDArray[np.float32]) -> NDArray[np.float32]:
        """The window's sound, shape (duration * 16,000,): stretches with the gaps between them."""
        out = np.zeros(self.duration_ms * SAMPLE_RATE // 1000, np.float32)
        for stretch in self.stretches:
            piece = sound[stretch.start_ms * SAMPLE_RATE // 1000 : stretch.end_ms * SAMPLE_RATE // 1000]
            at = stretch.window_ms * SAMPLE_RATE // 1000
            out[at : at + len(piece)] = piece[: len(out) - at]
        return out

    def to_recording_ms(self, window_ms: int, *, is_end: bool = False) -> int:
        """Time in the recording. A time in a gap belongs to the next stretch, an end in a gap to the one before."""
        starts = [stretch.window_ms for stretch in self.stretches]
        index = max(0, bisect.bisect_right(starts, window_ms) - 1)
        stretch = self.stretches[index]
        inside_ms = window_ms - stretch.window_ms
        length_ms = stretch.end_ms - stretch.start_ms
        if inside_ms >= length_ms and not is_end and index + 1 < len(self.stretches):
            return self.stretches[index + 1].start_ms
        if is_end and inside_ms <= 0 and index > 0:
            return self.stretches[index - 1].end_ms
        return stretch.start_ms + min(max(inside_ms, 0), length_ms)


def pack_windows(speech: Sequence[tuple[int, int]]) -> list[Window]:
    """Windows of at most 29 s from stretches of speech (start_ms, end_ms) in order.

    A window ends at the longest pause of its last third when the next stretch does not fit, so that sentences
    stay whole; a stretch longer than a window is cut hard.
    """
    pieces: list[tuple[int, int]] = []
    for start_ms, end_ms in speech:
        while end_ms - start_ms > MAX_WINDOW_MS:
            pieces.append((start_ms, start_ms + MAX_WINDOW_MS))
            start_ms += MAX_WINDOW_MS
        if end_ms > start_ms:
            pieces.append((start_ms, end_ms))
    windows: list[Window] = []
    row: list[tuple[int, int]] = []
    for piece in pieces:
        while row and _row_ms([*row, piece]) > MAX_WINDOW_MS:
            keep = _best_cut(row, piece)
            windows.append(_window(row[:keep]))
            row = row[keep:]
        row.append(piece)
    if row:
        windows.append(_window(row))
    return windows


def _gap_ms(before: tuple[int, int], after: tuple[int, int]) -> int:
    return min(after[0] - before[1], MAX_GAP_MS)


def _row_ms(row: Sequence[tuple[int, int]]) -> int:
    speech_ms = sum(end_ms - start_ms for start_ms, end_ms in row)
    return speech_ms + sum(_gap_ms(a, b) for a, b in itertools.pairwise(row))


def _best_cut(row: Sequence[tuple[int, int]], upcoming: tuple[int, int]) -> int:
    """How many pieces of a full row to keep: up to the longest pause in its last third."""
    whole = [*row, upcoming]
    best, best_pause_ms = len(row), -1
    for keep in range(len(row), 0, -1):
        if keep < len(row) and _row_ms(row[:keep]) < MAX_WINDOW_MS * 2 // 3:
            break
        pause_ms = whole[keep][0] - whole[keep - 1][1]
        if pause_ms > best_pause_ms:
            best, best_pause_ms = keep, pause_ms
    return best


def _window(row: Sequence[tuple[int, int]]) -> Window:
    stretches: list[Stretch] = []
    at_ms = 0
    for place, (start_ms, end_ms) in enumerate(row):
        if place:
            at_ms += _gap_ms(row[place - 1], (start_ms, end_ms))
        stretches.append(Stretch(start_ms, end_ms, at_ms))
        at_ms += end_ms - start_ms
    return Window(tuple(stretches))
