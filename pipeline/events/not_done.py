"""What sounds like work and is none: parts not there yet, what hangs on an "until", and what was left alone."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Container, Iterator

from pipeline.events.clauses import sentence_starts
from pipeline.events.phrase import Phrase, Scan
from pipeline.events.reading import SENTENCE
from pipeline.events.rules import Rules

# Between a part and the words that say that it is still to come, and between "ordered" and the parts that were.
_AFTER_PART, _AFTER_ORDERED = 4, 8
_ORDERED = frozenset(("ordered", "order", "ordering"))
_LEFT, _ALONE_WITHIN = ("left", "leave", "leaving"), 4
# "I haven't got the right clips": the part stands so near, and it was named so shortly before ("then the clips").
_LACKING = (("have", "not", "got"), ("has", "not", "got"), ("do", "not", "have"))
_LACKED_WITHIN, _NAMED_BEFORE = 4, 16
# "I'm not filling it until ...", "don't ride it without ...": so far in front stands what does not happen.
_HANGING, _DENIED_BEFORE = ("until", "till", "unless", "without"), 14
_NO_PRESENT = frozenset(("was", "has", "'s"))
_SUBJECTS = frozenset(("i", "we", "you", "they", "it", "he", "she", "that", "this", "there"))
_NOT_YET = frozenset(("am", "is", "are", "'s", "'re", "will", "can", "do", "shall", "must", "going", "ought", "need"))
# "I'd also change", "the hose I'd change": so many words may stand between, or in front and behind.
_SPEAKERS, _LIGHT, _FRONTED = frozenset(("i", "we")), frozenset(("also", "just", "probably", "only")), 8
_RESOLVED = (["thought"], ["decided"], ["figured"])  # "I thought I'd change the belt": and did


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
    there = [part for part in parts if part.end - 1 in found]
    return frozenset(at for part in [*there, *_lacking(scan)] for at in range(part.start, part.end))


def _lacking(scan: Scan) -> list[Phrase]:
    """What the speaker has not got, and where he had just named it: "then the clips. I haven't got the clips yet"."""
    found: list[Phrase] = []
    for at in range(len(scan.text) - 3):
        if tuple(scan.text[at : at + 3]) not in _LACKING or scan.text[at + 3] in ("to", "around", "round"):
            continue
        lacked = next((part for part in scan.phrases_in(at + 3, at + 3 + _LACKED_WITHIN) if part.is_part), None)
        if lacked is None or any(scan.gap[at + 1 : lacked.start + 1]):
            continue
        named = scan.phrases_in(at - _NAMED_BEFORE, at)
        found += [lacked, *(part for part in named if part.is_part and part.head == lacked.head)]
    return found


def hanging(scan: Scan) -> frozenset[int]:
    """Units behind an "until" or "without" on which what does not happen hangs: they tell no work either.

    "I'm not filling it until the plug is in with a new washer" tells of no washer that was fitted; "I did not fit it
    until I had put in a new seal" does.
    """
    found: set[int] = set()
    for at, end in _with_sentence_ends(scan, _HANGING):
        if _denied(scan, at):
            found.update(range(at, next((place for place in range(at + 2, end) if _begins_anew(scan, place)), end)))
    return frozenset(found)


def _is_present(verb: str) -> bool:
    """ "nobody rides", and no "nobody was"."""
    return verb.endswith("s") and verb not in _NO_PRESENT


def _begins_anew(scan: Scan, at: int) -> bool:
    """ "not until I have replaced both, and I'll do the bushes with them": what follows hangs on nothing."""
    follows = scan.text[at + (scan.text[at] in ("and", "but", "so")) :][:1]
    opens = scan.gap[at] > 0 or scan.text[at] in ("but", "so")
    return opens and bool(follows) and follows[0] in _SUBJECTS


def _denied(scan: Scan, at: int) -> bool:
    """Whether the words before a unit, in its sentence, say what will not or must not be."""
    for place in range(at - 1, max(-1, at - _DENIED_BEFORE), -1):
        if place and scan.text[place] == "not" and scan.text[place - 1] in _NOT_YET:
            return True
        if scan.text[place] == "nobody" and place + 1 < at and _is_present(scan.text[place + 1]):
            return True
        if scan.gap[place] >= SENTENCE:
            return False
    return False


def left_alone(scan: Scan) -> frozenset[int]:
    """Units of sentences behind "I've left that alone": what is set and sealed there, was so before."""
    found: set[int] = set()
    for at, end in _with_sentence_ends(scan, _LEFT):
        if "alone" in scan.text[at : min(end, at + _ALONE_WITHIN)]:
            found.update(range(at, end))
    return frozenset(found)


def _with_sentence_ends(scan: Scan, words: Container[str]) -> Iterator[tuple[int, int]]:
    """(Unit, end of its sentence) of every unit that is one of the words."""
    starts = [*sentence_starts(scan), len(scan.text)]
    return ((at, starts[bisect_right(starts, at)]) for at, word in enumerate(scan.text) if word in words)


def wished(scan: Scan, rules: Rules) -> frozenset[int]:
    """Units of "the fuel hose I'd change as well": what the speaker would do is not done; "I'd fitted it" was."""
    found: set[int] = set()
    for at in range(len(scan.text) - 2):
        if scan.text[at] not in _SPEAKERS or scan.text[at + 1] not in ("'d", "would"):
            continue
        verb = at + 2 + (scan.text[at + 2] in _LIGHT)
        _, readings = scan.verbs.get(verb, (0, ()))
        forms = {tag for reading in readings if reading.lemma in rules.plain for tag in reading.tags}
        if "base" not in forms or forms & {"pp", "past"} or scan.text[at - 1 : at] in _RESOLVED:
            continue
        start = next(
            (place for place in range(at, max(0, at - _FRONTED), -1) if scan.gap[place]), max(0, at - _FRONTED)
        )
        end = next((place for place in range(verb + 1, len(scan.text)) if scan.gap[place]), len(scan.text))
        found.update(range(start, min(end, verb + _FRONTED)))
    return frozenset(found)
