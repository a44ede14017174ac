"""Corrects plain lines of text and puts everything that is not a garble back byte for byte."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import replace

from pipeline.correct import correct
from pipeline.correct.matcher import Matcher
from pipeline.records import Correction, Word

_WORD = re.compile(r"\S+")
_WORD_MS = 400


def lines_to_words(lines: Sequence[str]) -> tuple[list[Word], list[int]]:
    """The words of all lines one after the other, at 400 ms each, and the index of the first word of each line."""
    words: list[Word] = []
    starts = []
    for line in lines:
        starts.append(len(words))
        for text in _WORD.findall(line):
            words.append(Word(text, len(words) * _WORD_MS, (len(words) + 1) * _WORD_MS))
    return words, starts


def correct_lines(lines: Sequence[str], matcher: Matcher) -> list[list[Correction]]:
    """Corrections of each line, by word indexes of that line. No correction reaches over the end of a line."""
    words, starts = lines_to_words(lines)
    found: list[list[Correction]] = [[] for _ in lines]
    number = 0
    for corr in correct(words, matcher, breaks=starts):
        while number + 1 < len(starts) and starts[number + 1] <= corr.start_word:
            number += 1
        first = starts[number]
        found[number].append(replace(corr, start_word=corr.start_word - first, end_word=corr.end_word - first))
    return found


def written_line(line: str, corrections: Iterable[Correction]) -> str:
    """The line with its automatic corrections; white space and all other words stay as they are."""
    spans = [match.span() for match in _WORD.finditer(line)]
    pieces, done = [], 0
    for corr in corrections:
        if corr.decision == "auto":
            pieces += [line[done : spans[corr.start_word][0]], corr.written]
            done = spans[corr.end_word - 1][1]
    return "".join(pieces) + line[done:]
