"""What only tells when something else will be done: "I'll torque them once both legs are in" promises no legs."""

from __future__ import annotations

from pipeline.events.phrase import Phrase
from pipeline.loose_ends.reading import Reading
from pipeline.records import LooseEnd

_ONCE = frozenset(("once", "when", "after", "until", "till", "til"))
_BE, _PLACED = frozenset(("is", "are", "'s", "has", "have")), frozenset(("in", "on", "back", "home", "down"))
_BETWEEN = frozenset(("both", "all", "been", "back", "the", "finally", "properly"))
_MINE, _WILL = frozenset(("i", "we")), frozenset(("will", "'ll", "can", "shall", "going"))
_BEFORE, _BEHIND = 3, 4


def is_only_when(end: LooseEnd, reading: Reading) -> bool:
    """True for a part of which no more is said than that something waits until it is on."""
    spots = reading.clauses_in(end.start_word, end.end_word)
    if end.kind != "promised" or end.action not in ("", "fit") or not spots:
        return False
    first, last = reading.clauses[spots[0]], reading.clauses[spots[-1]]
    text = reading.scan.text
    start = next((clause.start for clause in reading.clauses if clause.sentence == first.sentence), first.start)
    named = [phrase for phrase in reading.scan.phrases_in(start, last.end) if phrase.name == end.part]
    mine = any(text[at] in _MINE and not _WILL.isdisjoint(text[at + 1 : at + 3]) for at in range(start, last.end))
    return mine and bool(named) and all(_is_on_then(phrase, text) for phrase in named)


def _is_on_then(phrase: Phrase, text: list[str]) -> bool:
    """ "once both wheels are on"."""
    behind = text[phrase.end : phrase.end + _BEHIND]
    if _ONCE.isdisjoint(text[max(0, phrase.start - _BEFORE) : phrase.start + 1]) or behind[:1] == []:
        return False
    rest = [word for word in behind[1:] if word not in _BETWEEN]
    return behind[0] in _BE and ((rest[:1] != [] and rest[0] in _PLACED) or "back" in behind[1:2])
