"""What every reader produces: cues of words that may lack a time of their own, and how they get one."""

from __future__ import annotations

import bisect
import itertools
import re
import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from pipeline.records import Finding, Word
from pipeline.times import ms_to_clock

# A word whose cue has no end is taken to last this long per character: about 160 words a minute.
MS_PER_CHARACTER = 65
# Slowest believable speech, per character: a mark before a long silence does not stretch its words over it.
SLOWEST_MS_PER_CHARACTER = 200
# "[Music]", "[ __ ]": what captioners write for sounds that are not speech. Figures in brackets stay.
_SOUND_NOTE = re.compile(r"\[[^\[\]\d]{0,60}\]|♪+")
_SPEAKER_CHANGE = re.compile(r"(?:^|(?<=\s))>{2,}(?=\s|$)")
_JOINERS = "\u200c\u200d"


@dataclass(frozen=True, slots=True)
class CueWord:
    """A word as a file gives it: times in milliseconds, None where the file has none."""

    text: str
    start_ms: int | None = None
    end_ms: int | None = None
    probability: float = 1.0


@dataclass(frozen=True, slots=True)
class TimedCue:
    """Lines of words shown from `start_ms` to `end_ms` (None: until the next cue); `line` is where it stands."""

    start_ms: int
    end_ms: int | None
    lines: tuple[tuple[CueWord, ...], ...]
    line: int

    @property
    def words(self) -> tuple[CueWord, ...]:
        """The words of all lines."""
        return tuple(word for line in self.lines for word in line)


def split_words(text: str) -> list[str]:
    """Words of a stretch of text without notes of sounds, speaker marks and invisible control characters.

    >>> split_words("[Music] >> right,\\u202e 25 [10]")
    ['right,', '25', '[10]']
    """
    text = _SPEAKER_CHANGE.sub(" ", _SOUND_NOTE.sub(" ", text))
    visible = (
        c for c in text if c in _JOINERS or c.isspace() or unicodedata.category(c) not in ("Cc", "Cf", "Co", "Cs")
    )
    return "".join(visible).split()


def order_cues(cues: Sequence[TimedCue]) -> tuple[list[TimedCue], list[Finding]]:
    """Cues by their start. A finding says where the file ran backwards or a cue ended before it began."""
    findings: list[Finding] = []
    sound: list[TimedCue] = []
    for cue in cues:
        if cue.end_ms is not None and cue.end_ms < cue.start_ms:
            message = f"line {cue.line}: ends before it begins; taken to last until the next words"
            findings.append(Finding("check", "transcript-time", message, cue.start_ms))
            cue = replace(cue, end_ms=None)
        sound.append(cue)
    backward = [(a, b) for a, b in itertools.pairwise(sound) if b.start_ms < a.start_ms]
    if backward:
        before, after = backward[0]
        places = "1 place" if len(backward) == 1 else f"{len(backward)} places"
        message = (
            f"times run backwards in {places}, first at line {after.line} ({ms_to_clock(after.start_ms)} after "
            f"{ms_to_clock(before.start_ms)}); the words are put in order of time, check that it is all one recording"
        )
        findings.append(Finding("check", "transcript-order", message, after.start_ms))
        sound.sort(key=lambda cue: cue.start_ms)
    return sound, findings


def _weight(word: CueWord) -> int:
    return len(word.text) + 1


def _spread(words: Sequence[CueWord], start_ms: int, end_ms: int) -> list[Word]:
    """Shares a stretch of time among words by their length."""
    end_ms = max(end_ms, start_ms)
    total = sum(_weight(word) for word in words)
    placed: list[Word] = []
    done = 0
    for word in words:
        begins = start_ms + (end_ms - start_ms) * done // total
        done += _weight(word)
        placed.append(Word(word.text, begins, start_ms + (end_ms - start_ms) * done // total, word.probability))
    return placed


def _believed(words: Sequence[CueWord]) -> set[int]:
    """Indexes of the longest run of dated words whose times never go back: one wild time upsets no other word."""
    tails: list[int] = []
    tail_indexes: list[int] = []
    previous: dict[int, int] = {}
    for index, word in enumerate(words):
        if word.start_ms is None:
            continue
        place = bisect.bisect_right(tails, word.start_ms)
        if place == len(tails):
            tails.append(word.start_ms)
            tail_indexes.append(index)
        else:
            tails[place], tail_indexes[place] = word.start_ms, index
        previous[index] = tail_indexes[place - 1] if place else -1
    believed: set[int] = set()
    index = tail_indexes[-1] if tail_indexes else -1
    while index >= 0:
        believed.add(index)
        index = previous[index]
    return believed


def _cue_end(cue: TimedCue, limit_ms: int | None) -> int:
    """A cue without an end lasts until the next, unless that would be slower than anybody speaks."""
    letters = sum(_weight(word) for word in cue.words)
    if cue.end_ms is None:
        usual, slowest = (cue.start_ms + letters * pace for pace in (MS_PER_CHARACTER, SLOWEST_MS_PER_CHARACTER))
        return usual if limit_ms is None else min(limit_ms, slowest)
    if limit_ms is not None and cue.start_ms < limit_ms:
        return min(cue.end_ms, limit_ms)
    return cue.end_ms


def place_words(cue: TimedCue, limit_ms: int | None = None) -> tuple[list[Word], int]:
    """Words of one cue, each with its own time or its share, by length, of the gap it stands in.

    `limit_ms` is where the next cue starts. The number tells how many words had a time that cannot be right.
    """
    believed = _believed(cue.words)
    words = [w if i in believed else replace(w, start_ms=None, end_ms=None) for i, w in enumerate(cue.words)]
    wrong = sum(word.start_ms is not None for word in cue.words) - len(believed)
    end_ms = _cue_end(cue, limit_ms)
    placed: list[Word] = []
    cursor = cue.start_ms
    index = 0
    while index < len(words):
        first = words[index]
        if first.start_ms is not None:
            cursor = first.start_ms
        if first.start_ms is not None and first.end_ms is not None:
            placed.append(Word(first.text, cursor, max(cursor, first.end_ms), first.probability))
            cursor = placed[-1].end_ms
            index += 1
            continue
        stop = next((i for i in range(index + 1, len(words)) if words[i].start_ms is not None), len(words))
        following = words[stop].start_ms if stop < len(words) else None
        run_end = end_ms if following is None else following
        if first.start_ms is not None:
            letters = sum(_weight(word) for word in words[index:stop])
            run_end = min(max(run_end, cursor), cursor + letters * SLOWEST_MS_PER_CHARACTER)
        placed.extend(_spread(words[index:stop], cursor, run_end))
        cursor = placed[-1].end_ms
        index = stop
    return placed, wrong


def place_cues(cues: Iterable[TimedCue]) -> tuple[list[Word], list[int], list[Finding]]:
    """Words of all cues in order of time, the indexes at which cues begin, and what was odd."""
    ordered, findings = order_cues(list(cues))
    merged = _merge_simultaneous([cue for cue in ordered if cue.words])
    words: list[Word] = []
    starts: list[int] = []
    clamped = 0
    for place, cue in enumerate(merged):
        limit_ms = merged[place + 1].start_ms if place + 1 < len(merged) else None
        starts.append(len(words))
        placed, wrong = place_words(cue, limit_ms)
        clamped += wrong
        for word in placed:
            earliest = words[-1].start_ms if words else 0
            if word.start_ms < earliest:
                clamped += 1
                word = replace(word, start_ms=earliest, end_ms=max(earliest, word.end_ms))
            if words and words[-1].end_ms > word.start_ms:
                words[-1] = replace(words[-1], end_ms=word.start_ms)
            words.append(word)
    if clamped:
        message = (
            f"{clamped} word{' is' if clamped == 1 else 's are'} dated before the words in front; "
            "such a time is replaced by a guess from the neighbours"
        )
        findings.append(Finding("check", "transcript-time", message, words[0].start_ms))
    return words, starts, findings


def _merge_simultaneous(cues: Sequence[TimedCue]) -> list[TimedCue]:
    """Cues that start together (one cue per line on the screen) become one, read from top to bottom."""
    merged: list[TimedCue] = []
    for cue in cues:
        if merged and merged[-1].start_ms == cue.start_ms:
            ends = [end for end in (merged[-1].end_ms, cue.end_ms) if end is not None]
            merged[-1] = replace(merged[-1], end_ms=max(ends, default=None), lines=merged[-1].lines + cue.lines)
        else:
            merged.append(cue)
    return merged
