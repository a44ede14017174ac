"""What was found in looking at a part: "perished", "has a crack by the crimp", "fine"."""

from __future__ import annotations

from collections.abc import Sequence

from pipeline.events.phrase import Phrase, Scan
from pipeline.events.reading import COMMA, SENTENCE
from pipeline.numbers import read_number
from pipeline.records import Token

_IS = frozenset(("is", "'s", "are", "was", "were", "be", "been"))
_DO = frozenset(("does", "do", "did"))
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
# "okay, new stud fitted", "good, don't touch them": what is done or asked next.
_GOES_ON = frozenset(
    ("new", "both", "now", "do", "never", "please", "put", "fitted", "replaced", "renewed", "cleaned", "leave", "keep",
     "goes", "went")
)  # fmt: skip
# "cracked and customer knows"
_PEOPLE_DO = frozenset(("knows", "wants", "says", "said", "wanted", "knew", "thinks"))
# A new subject has so many words before its verb: "bent and the one on the left's frayed".
_SUBJECT = 7
_OTHER_SUBJECT = frozenset(
    ("the", "my", "his", "her", "their", "other", "left", "right", "front", "rear", "back", "top", "bottom", "inner",
     "outer", "nearside", "offside", "another", "one")
)  # fmt: skip
# What cannot be the end of a verdict.
_HANGING = frozenset(("of", "with", "and", "or", "the", "a", "an", "to", "at", "on", "in", "by", "from", "for"))
_FILLERS = frozenset(("well", "er", "erm", "um", "uh", "oh", "actually", "like"))
# "must be inspected", "I've glued it": no verdict on the part before.
_NOT_YET, _DOER = frozenset(("must", "to", "should", "will", "can", "could", "would")), frozenset(("i", "we", "you"))
# "the ways we have checked": somebody did it.
_LOOKED = frozenset(("checked", "inspected", "measured", "tested", "looked", "seen", "cleaned", "done"))


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
    while end > start and scan.text[end - 1] in _HANGING:
        end -= 1
    while end > start and scan.text[start] in _FILLERS:  # "the bearings were, well, one was fine"
        start += 1
    if end == start or _is_number(scan.text[start:end]):  # "there's four"
        return "", 0
    first, last = scan.units[start].token, scan.units[end - 1].token
    if start and scan.units[start - 1].token == first:  # "they're" is one word: what it is follows
        first += 1
    words = ["not"] if scan.text[start] == "not" and scan.units[start].token < first else []  # "isn't too bad"
    said = " ".join([*words, *(token.text for token in tokens[first : last + 1])]).rstrip(".,;:!?…-–— ")
    return said, end


def _is_number(words: Sequence[str]) -> bool:
    """ "four", "eleven numbers": how many there are, and nothing that was found."""
    number = read_number(words, 0)
    return number is not None and number.end + (words[-1] in ("numbers", "off", "pieces")) >= len(words)


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
        if index and text[index] in _HAS and text[index - 1] in _DOER:
            return -1
        if text[index] == "have" and text[index + 1 : index + 2] and text[index + 1] in _LOOKED:
            return -1
        if text[index] == "be" and index and text[index - 1] in _NOT_YET:
            return -1
        if text[index] in _HAS:
            return -1 if _NO_FINDING.intersection(text[index + 1 : index + 3]) else index
        if text[index] in _DO and text[index + 1 : index + 2] == ["not"]:  # "doesn't work"
            return index
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
        joined = at + (word == "and")
        goes_on = word in _SPEAKERS | _NEXT | _GOES_ON or after in _OPENS_MORE
        return at - start >= _SHORT or goes_on or _is_told_next(scan, joined) or _has_figure(scan, joined)
    return word in _NEXT or (word == "and" and _is_told_next(scan, at + 1))


def _is_told_next(scan: Scan, at: int) -> bool:
    """Whether another clause begins at the unit: "I've put a new one", "the right one's okay", "customer knows"."""
    text = scan.text[at : at + _SUBJECT]
    if not text or text[0] in _SPEAKERS | _GOES_ON or (len(text) > 1 and text[1] in ("it", "them")):
        return bool(text)
    end = next((n for n in range(1, len(text)) if scan.gap[at + n] >= COMMA), len(text))
    if _PEOPLE_DO.intersection(text[1:end]):
        return True
    return text[0] in _OTHER_SUBJECT and bool((_IS | _HAS).intersection(text[1:end]))


def _has_figure(scan: Scan, at: int) -> bool:
    """Whether a figure is told before the next pause: "good, nut fifty newton metres"."""
    end = at + 1
    while end < min(len(scan.text), at + _SUBJECT) and scan.gap[end] < COMMA:
        end += 1
    return any(unit in scan.figures for unit in range(at, end))
