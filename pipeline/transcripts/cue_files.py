"""Readers of WebVTT (W3C WebVTT) and SubRip (no standard; as described in the Matroska codec notes on subtitles)."""

from __future__ import annotations

import html
import re

from pipeline.errors import WitnessmarkError
from pipeline.records import Finding, Word
from pipeline.times import clock_to_ms
from pipeline.transcripts.cues import CueWord, TimedCue, order_cues, place_cues, split_words
from pipeline.transcripts.rolling import drop_repeats

_ARROW = "-->"
# A time inside the text of a cue: what follows is spoken from then on (WebVTT "cue timestamp").
_INLINE_TIME = re.compile(r"<((?:\d+:)?\d{1,3}:\d{2}[.,]\d{1,3})>")
_TAG = re.compile(r"</?[A-Za-z][^<>]*>")
_SUBRIP_STYLE = re.compile(r"\{\\[^{}]*\}")
_COMMENT_BLOCKS = ("NOTE", "STYLE", "REGION")


def _timing(line: str) -> tuple[int, int] | None:
    left, _, right = line.partition(_ARROW)
    try:
        return clock_to_ms(left), clock_to_ms(right.split()[0] if right.split() else "")
    except ValueError:
        return None


def _line_words(line: str) -> tuple[CueWord, ...]:
    """Words of one line of a cue; inline times date the first word after them.

    >>> [(word.text, word.start_ms) for word in _line_words("the<00:01.500><c> brake</c> shoe &amp; cam")]
    [('the', None), ('brake', 1500), ('shoe', None), ('&', None), ('cam', None)]
    """
    words: list[CueWord] = []
    pieces = _INLINE_TIME.split(_SUBRIP_STYLE.sub("", line))
    for place in range(0, len(pieces), 2):
        texts = split_words(html.unescape(_TAG.sub("", pieces[place])))
        for number, text in enumerate(texts):
            dated = number == 0 and place > 0
            words.append(CueWord(text, clock_to_ms(pieces[place - 1]) if dated else None))
    return tuple(words)


def _cue(timing: tuple[int, int], payload: list[str], number: int) -> TimedCue:
    return TimedCue(timing[0], timing[1], tuple(_line_words(line) for line in payload), number)


def _bad_timing(line: str, number: int) -> Finding:
    message = f"line {number}: {line.strip()[:60]!r} is no pair of times; the words below it are left out"
    return Finding("check", "transcript-time", message, 0)


def _cues(lines: list[str], blank_ends_cue: bool) -> tuple[list[TimedCue], list[Finding]]:
    """Every timing line opens a cue. In WebVTT a blank line ends it; SubRip in the wild has blank lines in cues."""
    cues: list[TimedCue] = []
    findings: list[Finding] = []
    index = 0
    while index < len(lines):
        line = lines[index]
        if blank_ends_cue and line.split(" ")[0].split("\t")[0] in _COMMENT_BLOCKS and _ARROW not in line:
            while index < len(lines) and lines[index]:
                index += 1
            continue
        index += 1
        if _ARROW not in line:
            continue
        opened = index
        payload: list[str] = []
        while index < len(lines) and _ARROW not in lines[index] and not (blank_ends_cue and not lines[index]):
            payload.append(lines[index])
            index += 1
        if not blank_ends_cue and index < len(lines):
            payload = _without_counter(payload)
        timing = _timing(line)
        if timing is None:
            findings.append(_bad_timing(line, opened))
        else:
            cues.append(_cue(timing, payload, opened))
    return cues, findings


def _without_counter(payload: list[str]) -> list[str]:
    while payload and not payload[-1].strip():
        payload = payload[:-1]
    if payload and payload[-1].strip().isdigit() and (len(payload) == 1 or not payload[-2].strip()):
        return payload[:-1]
    return payload


def _finish(cues: list[TimedCue], findings: list[Finding], kind: str) -> tuple[list[Word], list[int], list[Finding]]:
    if not cues and not findings:
        raise WitnessmarkError(f"has no line of times with {_ARROW!r}, so it is not {kind}; export it again")
    ordered, order_findings = order_cues(cues)
    words, starts, place_findings = place_cues(drop_repeats(ordered))
    return words, starts, [*findings, *order_findings, *place_findings]


def read_webvtt(text: str) -> tuple[list[Word], list[int], list[Finding]]:
    """Words, starts of cues, findings. Comments, styles and regions are passed over; tags and entities are undone.

    Raises:
        WitnessmarkError: there is no cue in the text.
    """
    lines = text.split("\n")
    findings: list[Finding] = []
    if not lines[0].startswith("WEBVTT"):
        message = "does not begin with WEBVTT; it is read all the same"
        findings.append(Finding("note", "transcript-format", message, 0))
        cues, more = _cues(lines, blank_ends_cue=True)
        if not cues and not more:
            raise WitnessmarkError(f"has no line of times with {_ARROW!r}, so it is not WebVTT; export it again")
    else:
        header = next((place for place, line in enumerate(lines) if not line), len(lines))
        body = ["" if place < header and _ARROW not in line else line for place, line in enumerate(lines)]
        cues, more = _cues(body, blank_ends_cue=True)
    return _finish(cues, [*findings, *more], "WebVTT")


def read_subrip(text: str) -> tuple[list[Word], list[int], list[Finding]]:
    """Words, starts of cues, findings.

    Raises:
        WitnessmarkError: there is no cue in the text.
    """
    cues, findings = _cues(text.split("\n"), blank_ends_cue=False)
    return _finish(cues, findings, "SubRip")
