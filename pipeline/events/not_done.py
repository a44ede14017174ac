"""What sounds like work and is none: parts that are still to be bought, and what was left alone."""

from __future__ import annotations

from bisect import bisect_right

from pipeline.events.clauses import sentence_starts
from pipeline.events.phrase import Scan
from pipeline.events.reading import SENTENCE
from pipeline.events.rules import Rules

# Between a part and the words that say that it is still to come, and between "ordered" and the parts that were.
_AFTER_PART, _AFTER_ORDERED = 4, 8
_ORDERED = frozenset(("ordered", "order", "ordering"))
_LEFT, _ALONE_WITHIN = ("left", "leave", "leaving"), 4


def awaited(scan: Scan, rules: Rules) -> frozenset[int]:
    """Units that name parts which are not there yet: "the chain is on the shopping list", "I've ordered the seals"."""
    found: set[int] = set()
    for at in range(len(scan.text)):
        if rules.cues["waiting"].at(scan.text, at):
            first = at
            while first > 0 and at - first < _AFTER_PART and scan.gap[first] < SENTENCE:
                first -= 1
            found.update(range(first, at + 1))
        if scan.text[at] in _ORDERED:
            last = at + 1
            while last < len(scan.text) and last - at <= _AFTER_ORDERED and scan.gap[last] < SENTENCE:
                if last in scan.verbs:
                    break
                last += 1
            found.update(range(at, last))
    parts = [phrase for phrase in scan.phrases if phrase.is_part]
    return frozenset(at for part in parts if part.end - 1 in found for at in range(part.start, part.end))


def left_alone(scan: Scan) -> frozenset[int]:
    """Units of sentences behind "I've left that alone": what is set and sealed there, was so before."""
    found: set[int] = set()
    for at, end in enumerate(_sentence_ends(scan)):
        if scan.text[at] in _LEFT and "alone" in scan.text[at : min(end, at + _ALONE_WITHIN)]:
            found.update(range(at, end))
    return frozenset(found)


def _sentence_ends(scan: Scan) -> list[int]:
    """For each unit where its sentence ends."""
    starts = [*sentence_starts(scan), len(scan.text)]
    return [starts[bisect_right(starts, at)] for at in range(len(scan.text))]
