"""Reader of plain text with `[m:ss]` or `[h:mm:ss]` marks: unpunctuated, as automatic captions are."""

from __future__ import annotations

import re

from pipeline.errors import WitnessmarkError
from pipeline.records import Finding, Word
from pipeline.times import clock_to_ms
from pipeline.transcripts.cues import CueWord, TimedCue, place_cues, split_words

_CLOCK = r"(?:\d{1,3}:)?\d{1,3}:\d{2}(?:[.,]\d{1,3})?"
_MARK = re.compile(rf"\[\s*({_CLOCK})\s*\]")
# Copied from a web page, marks often have no brackets but a line, or the head of a line, to themselves.
_BARE_MARK = re.compile(rf"^[ \t]*({_CLOCK})(?=\s|$)", re.MULTILINE)


def _cue_words(text: str) -> tuple[CueWord, ...]:
    return tuple(CueWord(word) for line in text.split("\n") for word in split_words(line))


def read_plain_text(text: str) -> tuple[list[Word], list[int], list[Finding]]:
    """Words, starts of marked stretches, findings. Words share the time up to the next mark by their length.

    Raises:
        WitnessmarkError: there is no mark of time in the text.
    """
    marks = list(_MARK.finditer(text)) or list(_BARE_MARK.finditer(text))
    if not marks:
        raise WitnessmarkError("has no marks of time such as [1:05]; put one at the head of every line")
    findings: list[Finding] = []
    cues: list[TimedCue] = []
    stops = [mark.start() for mark in marks[1:]] + [len(text)]
    for mark, stop in zip(marks, stops, strict=True):
        line = text.count("\n", 0, mark.start()) + 1
        try:
            start_ms = clock_to_ms(mark[1])
        except ValueError:
            message = f"line {line}: {mark[0]} is not a time; the words after it are left out"
            findings.append(Finding("check", "transcript-time", message, 0))
            continue
        cues.append(TimedCue(start_ms, None, (_cue_words(text[mark.end() : stop]),), line))
    opening = _cue_words(text[: marks[0].start()])
    if opening and cues:
        if cues[0].start_ms > 0:
            cues.insert(0, TimedCue(0, None, (opening,), 1))
        else:
            message = f"{len(opening)} words stand before the first mark and are left out as a heading"
            findings.append(Finding("note", "transcript-format", message, 0))
    words, starts, more = place_cues(cues)
    return words, starts, [*findings, *more]
