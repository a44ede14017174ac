"""Cautions and tips of the speaker, with the part they are about."""

from __future__ import annotations

from collections.abc import Sequence

from pipeline.events.phrase import Phrase, Scan
from pipeline.events.reading import PAUSE, SENTENCE
from pipeline.events.rules import Rules
from pipeline.records import Note, Token

_LONGEST = 30
_SHORT = 7
_FOUND, _RISKS = frozenset({"that", "this"}), frozenset({"if", "when", "and", "or", "then", "not", "never"})
_TELLERS = frozenset(["i", "we", "it", "they", "he", "she", "have", "had", "has", "will", "did", "not", "that", "been"])


def find_notes(scan: Scan, rules: Rules, tokens: Sequence[Token]) -> list[Note]:
    """One note a sentence at most; a caution goes before a tip."""
    notes: list[Note] = []
    covered = 0
    for at in range(len(scan.text)):
        if at < covered:
            continue
        kind = next((kind for kind in ("caution", "tip") if rules.cues[kind].at(scan.text, at)), "")
        if not kind or _is_told(scan, at):
            continue
        start, end = _sentence(scan, at)
        if _is_finding(scan, start, end, at):
            continue
        if kind == "tip" and any(rules.cues["caution"].at(scan.text, spot) for spot in range(at, end)):
            kind = "caution"
        first, last = scan.units[start].token, scan.units[end - 1].token
        part = _part(scan, start, end, at)
        said = " ".join(token.text for token in tokens[first : last + 1])
        notes.append(Note(kind, part, said, tokens[first].start_word, tokens[last].end_word, tokens[first].start_ms))
        covered = end
    return notes


def _is_told(scan: Scan, at: int) -> bool:
    """ "I never", "I always thought", "it never leaked": a story, not advice."""
    before = scan.text[at - 1] if at else ""
    return before in _TELLERS and scan.text[at] in ("never", "always", "do", "careful", "should")


def _is_finding(scan: Scan, start: int, end: int, at: int) -> bool:
    """ "So that is too much.": what was measured, and no warning."""
    words = scan.text[start:end]
    return scan.text[at] == "too" and len(words) <= _SHORT and bool(_FOUND & {*words}) and not _RISKS & {*words}


def _sentence(scan: Scan, at: int) -> tuple[int, int]:
    start = at
    while start > 0 and scan.gap[start] < SENTENCE and at - start < _LONGEST // 2:
        if scan.gap[start] >= PAUSE and at - start > 2:
            break
        start -= 1
    end = at + 1
    while end < len(scan.text) and scan.gap[end] < SENTENCE and end - at < _LONGEST:
        if scan.gap[end] >= PAUSE and end - at > 4:
            break
        end += 1
    return start, end


def _part(scan: Scan, start: int, end: int, at: int) -> str:
    """The part nearest to the cue: after it in the sentence, else before it."""
    parts: list[Phrase] = [phrase for phrase in scan.phrases if phrase.is_part and not phrase.weak]
    after = [phrase for phrase in parts if at <= phrase.start < end]
    before = [phrase for phrase in parts if phrase.start < at]
    if after:
        return after[0].name
    inside = [phrase for phrase in before if phrase.start >= start]
    chosen = inside or before
    return chosen[-1].name if chosen else ""
