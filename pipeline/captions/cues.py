"""Chooses the breaks of cues and lines together, by dynamic programming, and then sets the times.

A long-known method for paragraphs (Knuth and Plass, "Breaking paragraphs into lines", Software: Practice and
Experience 11, 1981): the sum of costs over all breaks is the least there is, not the least at each step.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from dataclasses import dataclass, replace

from pipeline.captions.pieces import LINE_CHARACTERS, NEVER, PHRASE, Piece, find_pieces
from pipeline.records import Correction, Quantity, Word

# BBC Subtitle Guidelines: 160 to 180 words a minute, "about 0.3 seconds per word" at the least; early or late by no
# more than 1.5 s; no gap or at least 1 s.
LEAST_MS_PER_WORD = 300
GOOD_MS_PER_WORD = 360
EARLY_MS = 1500
HANG_MS = 1500
GAP_MS = 1000
# In common use beside it: shown for 5/6 s to 7 s.
LEAST_MS = 833
LONG_MS = 7000

_CUE_COST = 7.0
_LINE_COST = 1.5
_SHORT_COST = 25.0
# One or two words that stand by themselves in the middle of what is said.
_LONELY = {1: 16.0, 2: 8.0}
_PAUSE_INSIDE_MS = 800


@dataclass(frozen=True, slots=True)
class Cue:
    """One caption: one or two lines of at most 37 characters. The words are indexes of the words as first heard."""

    start_ms: int
    end_ms: int
    lines: tuple[str, ...]
    start_word: int
    end_word: int


@dataclass(frozen=True, slots=True)
class _Block:
    """Pieces [start, end) that may form a cue; its second line begins at piece `line_at` (0: one line)."""

    cost: float
    start: int
    end: int
    line_at: int


def least_ms(words: int) -> int:
    """Least time for a cue of so many words."""
    return max(LEAST_MS, LEAST_MS_PER_WORD * words)


def _layout(pieces: Sequence[Piece], start: int, end: int, lengths: Sequence[int]) -> tuple[float, int] | None:
    """Cost and place of the line break, None where two lines do not hold the pieces."""

    def width(first: int, last: int) -> int:
        return lengths[last] - lengths[first] - 1

    if width(start, end) <= LINE_CHARACTERS:
        return 0.0, 0
    best: tuple[float, int] | None = None
    for at in range(start + 1, end):
        first, second = width(start, at), width(at, end)
        if first > LINE_CHARACTERS:
            break
        if second > LINE_CHARACTERS:
            continue
        uneven = abs(first - second) / LINE_CHARACTERS + (0.5 if first > second else 0.0)
        cost = _LINE_COST + 0.7 * pieces[at - 1].break_cost + uneven
        if pieces[at - 1].break_cost >= NEVER:
            cost = NEVER / 10 + uneven
        if best is None or cost < best[0]:
            best = cost, at
    return best


def _time_cost(pieces: Sequence[Piece], start: int, end: int) -> float:
    """Too short a stand, a long stand, and pauses inside the cue."""
    begins, over = pieces[start].start_ms, pieces[end - 1].end_ms
    available = min(pieces[end].start_ms, over + HANG_MS) if end < len(pieces) else over + HANG_MS
    early = 0
    if start > 0:
        silence = begins - pieces[start - 1].end_ms
        early = min(EARLY_MS, silence) if silence >= GAP_MS else 0
    short_ms = least_ms(end - start) - (available - begins + early)
    cost = _SHORT_COST + short_ms / 20 if short_ms > 0 else 0.0
    cost += max(0, over - begins - LONG_MS) / 150
    for at in range(start + 1, end):
        pause = pieces[at].start_ms - pieces[at - 1].end_ms
        if pause > _PAUSE_INSIDE_MS:
            cost += 10 + (pause - _PAUSE_INSIDE_MS) / 40
        elif pieces[at - 1].break_cost == 0:
            cost += 2.0  # a sentence that ends inside a cue
    return cost


def _choose(pieces: Sequence[Piece]) -> list[_Block]:
    """The blocks of the cheapest division of all pieces into cues."""
    lengths = [0]
    for piece in pieces:
        lengths.append(lengths[-1] + len(piece.text) + 1)
    best: list[_Block] = [_Block(0.0, 0, 0, 0)]
    for end in range(1, len(pieces) + 1):
        chosen: _Block | None = None
        for start in range(end - 1, -1, -1):
            if lengths[end] - lengths[start] - 1 > 2 * LINE_CHARACTERS + 1:
                break
            layout = _layout(pieces, start, end, lengths)
            if layout is None:
                continue
            cost = best[start].cost + _CUE_COST + layout[0] + _time_cost(pieces, start, end)
            cost += pieces[end - 1].break_cost
            if pieces[end - 1].break_cost >= PHRASE:
                cost += _LONELY.get(end - start, 0.0)
            if chosen is None or cost < chosen.cost:
                chosen = _Block(cost, start, end, layout[1])
        assert chosen is not None, "a single piece always fits a line"
        best.append(chosen)
    blocks: list[_Block] = []
    at = len(pieces)
    while at > 0:
        blocks.append(best[at])
        at = best[at].start
    return blocks[::-1]


def _text_lines(pieces: Sequence[Piece], block: _Block) -> tuple[str, ...]:
    cuts = [block.start, block.line_at, block.end] if block.line_at else [block.start, block.end]
    return tuple(" ".join(p.text for p in pieces[a:b]) for a, b in itertools.pairwise(cuts))


def _end_ms(cue: Cue, words: int, next_start_ms: int | None) -> int:
    """A comfortable end, at most HANG_MS after the last word, that leaves no gap or a whole one."""
    latest = cue.end_ms + HANG_MS
    wanted = max(cue.end_ms, cue.start_ms + max(LEAST_MS, GOOD_MS_PER_WORD * words))
    end_ms = min(wanted, latest)
    if next_start_ms is None or next_start_ms - end_ms >= GAP_MS:
        return end_ms
    return next_start_ms if next_start_ms <= latest else next_start_ms - GAP_MS


def _start_ms(cue: Cue, words: int, room_ms: int) -> int:
    """Earlier than speech only where the cue would stand too short a time, into a silence of `room_ms` before it."""
    missing = least_ms(words) - (cue.end_ms - cue.start_ms)
    if missing <= 0 or room_ms <= 0:
        return cue.start_ms
    early = min(missing, EARLY_MS)
    if room_ms - early >= GAP_MS:
        return cue.start_ms - early
    if room_ms <= EARLY_MS:
        return cue.start_ms - room_ms
    return cue.start_ms - (room_ms - GAP_MS)


def find_cues(
    words: Sequence[Word],
    corrections: Sequence[Correction] = (),
    quantities: Sequence[Quantity] = (),
    segment_starts: Sequence[int] = (),
    keep_together: Sequence[tuple[int, int]] = (),
    duration_ms: int | None = None,
) -> list[Cue]:
    """Cues of the corrected text (doubtful corrections appear as heard), within the limits the package documents.

    `keep_together`: half-open word ranges, such as names of parts, that are broken only where nothing else fits.
    `duration_ms`: the last cue does not outlast the recording.
    """
    pieces = find_pieces(words, corrections, quantities, segment_starts, keep_together)
    blocks = _choose(pieces)
    cues: list[Cue] = []
    for number, block in enumerate(blocks):
        first, last = pieces[block.start], pieces[block.end - 1]
        cue = Cue(first.start_ms, last.end_ms, _text_lines(pieces, block), first.start_word, last.end_word)
        following = pieces[block.end].start_ms if number + 1 < len(blocks) else None
        count = block.end - block.start
        cue = replace(cue, end_ms=_end_ms(cue, count, following))
        if following is None and duration_ms is not None:
            cue = replace(cue, end_ms=max(last.end_ms, min(cue.end_ms, duration_ms)))
        cue = replace(cue, start_ms=_start_ms(cue, count, cue.start_ms - (cues[-1].end_ms if cues else 0)))
        cues.append(cue)
    return cues
