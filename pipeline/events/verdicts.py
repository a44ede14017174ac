"""What was found in looking at a part: "perished", "has a crack by the crimp", "fine"."""

from __future__ import annotations

from collections.abc import Sequence

from pipeline.events.phrase import Phrase, Scan
from pipeline.events.reading import COMMA, SENTENCE
from pipeline.records import Token

_IS = frozenset(("is", "'s", "are", "was", "were", "be", "been"))
_HAS = frozenset(("has", "had", "have", "looks", "looked", "look", "feels", "felt", "shows", "showed", "seems", "got"))
_FAILED = frozenset(
    ("broke", "snapped", "cracked", "sheared", "seized", "failed", "perished", "collapsed", "leaked", "split")
)
# What is told next is no part of the verdict.
_NEXT = frozenset(("so", "but", "because", "then", "which", "while", "until", "if"))
_SPEAKERS = frozenset(("i", "we", "you", "he", "she", "it", "they", "that", "this", "there"))
# "fine, cleaned it", "fine, right one's got a lip"
_OPENS_MORE = frozenset(("it", "them", "one", "is", "'s", "was", "has"))
# "look at that", "I had not seen that", "have a look": said in looking, and nothing found.
_NO_FINDING = frozenset(("at", "seen", "noticed", "spotted", "look", "looked", "to"))
_BEFORE, _LONGEST, _SHORT = 8, 10, 2


def verdict(scan: Scan, tokens: Sequence[Token], part: Phrase) -> tuple[str, int]:
    """(The words of what was found, the unit behind them); ("", 0) where nothing is said behind the part's name."""
    start = _start(scan, part.end)
    if start < 0 or start in scan.figures:  # a figure is told as one
        return "", 0
    end = start
    while end < len(scan.text) and end - start < _LONGEST and not (end > start and _closes(scan, start, end)):
        end += 1
    if end == start or (end < len(scan.text) and end - start == _LONGEST and not _closes(scan, start, end)):
        return "", 0
    first, last = scan.units[start].token, scan.units[end - 1].token
    if start and scan.units[start - 1].token == first:  # "they're" is one word: what it is follows
        first += 1
    said = " ".join(token.text for token in tokens[first : last + 1]).rstrip(".,;:!?…-–— ")
    return said, end


def _start(scan: Scan, at: int) -> int:
    """The first unit of the verdict on a part whose name ends before `at`; -1 where there is none."""
    text = scan.text
    for index in range(at, min(len(text), at + _BEFORE)):
        if scan.gap[index] >= SENTENCE and (index > at or text[index] not in _SPEAKERS):
            return -1
        if text[index] in _NEXT and index > at:
            return -1
        if index == at and text[index] in _FAILED:
            return index
        if text[index] in _HAS:
            return -1 if _NO_FINDING.intersection(text[index + 1 : index + 3]) else index
        if text[index] in _IS:
            return index + 1 if index + 1 < len(text) and scan.gap[index + 1] < SENTENCE else -1
        if index == at and scan.gap[at] == COMMA and text[at] not in _SPEAKERS | _NEXT:
            return -1
    return -1


def _closes(scan: Scan, start: int, at: int) -> bool:
    """Whether the verdict that began at `start` is over before the unit at `at`."""
    if scan.gap[at] >= SENTENCE:
        return True
    word, after = scan.text[at], scan.text[at + 1] if at + 1 < len(scan.text) else ""
    if scan.gap[at] >= COMMA:
        return at - start >= _SHORT or word in _SPEAKERS | _NEXT or after in _OPENS_MORE
    return word in _NEXT or (word == "and" and after in _SPEAKERS)
