"""Takes repeated words out of captions that scroll, grow or overlap, so that every word is there once."""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass, replace

from pipeline.tokens import bare
from pipeline.transcripts.cues import CueWord, TimedCue

# Cues that follow each other within this time may be one text that scrolls on.
_TOUCHING_MS = 100
# A cue this short is no speech: scrolling captions put one between two steps, to hold the finished line.
_STILL_MS = 60


@dataclass(frozen=True, slots=True)
class _Repeat:
    """How the head of a cue repeats the tail of the cue before: `count` words, `shape` lines | grown | same | some."""

    count: int
    shape: str


def _keys(words: Sequence[CueWord]) -> list[str]:
    return [bare(word.text) or word.text for word in words]


def _repeat(before: TimedCue, cue: TimedCue) -> _Repeat:
    earlier, later = _keys(before.words), _keys(cue.words)
    longest = min(len(earlier), len(later))
    count = next((k for k in range(longest, 0, -1) if earlier[-k:] == later[:k]), 0)
    if count == 0:
        return _Repeat(0, "some")
    if count == len(later):
        return _Repeat(count, "same")
    if count == len(earlier):
        return _Repeat(count, "grown")
    line_ends: list[int] = []
    for line in cue.lines:
        line_ends.append(len(line) + (line_ends[-1] if line_ends else 0))
    return _Repeat(count, "lines" if count in line_ends else "some")


def drop_repeats(cues: Sequence[TimedCue]) -> list[TimedCue]:
    """Cues without the words that the cue before has already given. `cues` are in order of time.

    Words said twice must survive: a repeat counts only where cues overlap in time, where the whole file scrolls,
    or where whole lines of three and more words come again at once.
    """
    spoken = [cue for cue in cues if cue.words]
    repeats = [_repeat(a, b) for a, b in itertools.pairwise(spoken)]
    telling = sum(repeat.count >= 2 and repeat.shape in ("lines", "grown") for repeat in repeats)
    scrolls = telling > 0 and telling * 4 >= len(repeats)
    kept = list(spoken[:1])
    for before, cue, repeat in zip(spoken, spoken[1:], repeats, strict=False):
        count = repeat.count if _is_repeat(before, cue, repeat, scrolls) else 0
        if count:
            cue = _without(cue, count)
        if cue.words:
            kept.append(cue)
    return kept


def _is_repeat(before: TimedCue, cue: TimedCue, repeat: _Repeat, scrolls: bool) -> bool:
    gap_ms = cue.start_ms - (before.start_ms if before.end_ms is None else before.end_ms)
    if gap_ms < 0:
        return repeat.count >= (2 if repeat.shape == "some" else 1)
    if repeat.shape == "some":
        return scrolls and repeat.count >= 3
    if scrolls:
        return gap_ms <= 10 * _TOUCHING_MS
    if repeat.shape == "same":
        return cue.end_ms is not None and cue.end_ms - cue.start_ms <= _STILL_MS
    return repeat.count >= 3 and gap_ms <= _TOUCHING_MS


def _without(cue: TimedCue, count: int) -> TimedCue:
    lines: list[tuple[CueWord, ...]] = []
    for line in cue.lines:
        lines.append(line[count:])
        count = max(0, count - len(line))
    return replace(cue, lines=tuple(line for line in lines if line))
