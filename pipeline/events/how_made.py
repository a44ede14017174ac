"""How a machine is made, which nobody made so today: what spanner a part takes, where it sits, what it
has; and a part with a clause of its own, which takes no deed from the clause before.

"The drain plug's a seventeen", "the pump is on top, four bolts", "there's a
bent pin", "left cup off, and the right cup is left hand thread", "both hubs have got new bearings".
"""

from __future__ import annotations

import re

from pipeline.events.clauses import sentence_around
from pipeline.events.phrase import Phrase, Scan
from pipeline.events.rules import Rules

_BE = frozenset(("is", "'s", "are", "was", "were"))
_PRESENT = frozenset(("is", "'s", "are"))
_SOFTENERS = frozenset(("all", "only", "just", "both"))
_TAKES = frozenset(("takes", "take", "wants", "want", "uses", "use"))
_THREAD = re.compile(r"m\d{1,2}")
_LEAST_SIZE, _LARGEST_SIZE = 4, 60
_TELLERS = frozenset(("i", "we", "he", "she", "they", "you"))
_IN_THERE = (["in", "there"], ["in", "here"], ["in", "it"])
_THE = frozenset(("the", "my", "its"))
# A verb behind a part with which it has a clause of its own.
_OWN_VERBS = frozenset(
    ("stays", "stay", "needs", "need", "wants", "looks", "look", "seems", "sits", "has", "have", "had")
)
_GOES_ON = frozenset(("been", "come", "gone", "got", "had", "to", "just", "now", "also", "all", "both", "not"))
_SECOND = frozenset(("a", "an"))
_LEADS = frozenset(("and", "but", "while", "whereas"))


def sized(scan: Scan, rules: Rules) -> frozenset[int]:
    """Units of "the front axle nut is a nineteen", "the head bolts are all fourteens": the spanner that fits them."""
    found: set[int] = set()
    for part in scan.phrases:
        at = part.end
        if not part.is_part or at + 1 >= len(scan.text) or scan.text[at] not in _BE | _TAKES or scan.gap[at]:
            continue
        at += 1
        while at < len(scan.text) and scan.text[at] in _SOFTENERS:
            at += 1
        end = _size_end(scan, rules, at)
        if end > at:
            found.update(range(part.start, end))
    return frozenset(found)


def _size_end(scan: Scan, rules: Rules, at: int) -> int:
    """Behind "a nineteen mil spanner", "fourteens"; `at` where no size stands there."""
    text = scan.text
    word = text[at] if at < len(text) else ""
    if _THREAD.fullmatch(word):  # "the flange bolts are M8"
        return at + 1
    several = rules.numbers.at([word[:-1]], 0) if word.endswith("s") else None
    value, end = (several[1], at + 1) if several else (0, at + 1)
    if not several:
        if word not in _SECOND:
            return at
        while end < len(text) and not scan.gap[end]:
            number = rules.numbers.at(text, end)
            if number:
                end, value = number[0], value + number[1]
            elif text[end].removesuffix("mm").isdigit():
                end, value = end + 1, value + int(text[end].removesuffix("mm"))
            else:
                break
    if not _LEAST_SIZE <= value <= _LARGEST_SIZE:
        return at
    while end < len(text) and not scan.gap[end] and text[end] in rules.words["spanner_words"]:
        end += 1
    closed = end >= len(text) or scan.gap[end] > 0 or text[end] in ("and", "but", "so", "because", "which", "then")
    return end if closed else at


def as_made(scan: Scan, rules: Rules) -> frozenset[int]:
    """Units where a part is told without a verb and is only described: looked at it may have been, no more."""
    found: set[int] = set()
    for part in scan.phrases:
        if not part.is_part:
            continue
        start, end = sentence_around(scan, part.start)
        spot = part.end
        first = max(start, part.start - 1) if scan.text[part.start - 1 : part.start] == ["the"] else part.start
        if scan.text[max(start, part.start - 2) : part.start] in (["there", "'s"], ["there", "is"], ["there", "are"]):
            first = part.start - 2
        if _lies_in(scan, part, start) or _sits(scan, rules, part):
            found.update(range(first, _before_teller(scan, spot, end)))
        elif _found_bad(scan, rules, part):
            found.update(range(max(start, part.start - 2), part.end))
    return frozenset(found)


def _before_teller(scan: Scan, at: int, end: int) -> int:
    """Up to where somebody acts, in the sentence."""
    return next((place for place in range(at, end) if scan.text[place] in _TELLERS), end)


def _lies_in(scan: Scan, part: Phrase, start: int) -> bool:
    """ "Two seals in there, back to back": so they were found; "two new seals in there now" were put there."""
    after = scan.text[part.end : part.end + 3]
    opens = part.start == start and part.count is not None and not part.condition
    closes = part.end + 2 >= len(scan.text) or scan.gap[part.end + 2] > 0
    return opens and after[:2] in _IN_THERE and closes and not any(scan.gap[part.end : part.end + 2])


def _sits(scan: Scan, rules: Rules, part: Phrase) -> bool:
    """ "the water pump is on top, four little bolts", "the thermostat's on the left"."""
    text, at = scan.text, part.end
    if text[at : at + 1] == [] or text[at] not in _PRESENT or text[at + 1 : at + 2] not in (["on"], ["at"], ["in"]):
        return False
    if text[at + 2 : at + 4] in (["the", "port"], ["the", "starboard"], ["port", "side"]):
        return True
    place = at + 2 + (text[at + 2 : at + 3] != [] and text[at + 2] in _THE)
    closes = place + 1 >= len(text) or scan.gap[place + 1] > 0
    return text[place : place + 1] != [] and text[place] in rules.words["whereabouts"] and closes


def _found_bad(scan: Scan, rules: Rules, part: Phrase) -> bool:
    """ "there's a bent pin on the lever"."""
    before = scan.text[max(0, part.start - 2) : part.start]
    there = before[:1] == ["there"] and before[-1] in _BE
    return there and not rules.words["faults"].isdisjoint(scan.text[part.start : part.end])


def built_so(scan: Scan, rules: Rules) -> frozenset[int]:
    """Units of "the pulley is pressed on at the factory", "the ways are hardened and ground": so it was made."""
    found: set[int] = set()
    for at in range(len(scan.text) - 2):
        if scan.text[at] not in _PRESENT or scan.text[at + 1] in ("been", "not", "being"):
            continue
        if not any("pp" in reading.tags for reading in scan.verbs.get(at + 1, (0, ()))[1]):
            continue
        start, end = sentence_around(scan, at)
        end = _before_teller(scan, at + 1, end)
        if any(rules.cues["as_built"].at(scan.text, place) for place in range(at + 1, end)):
            first = at
            while first > start and scan.text[first - 1] not in _LEADS and not scan.gap[first]:
                first -= 1
            found.update(range(first, end))
    return frozenset(found)


def of_own_clause(scan: Scan, rules: Rules) -> frozenset[int]:
    """Units of parts with a clause of their own that tells how they are: no deed of the clause before is theirs.

    "Front wheel off, and the rear wheel is a solid axle", "both hubs have got new bearings".
    """
    return frozenset(
        unit for part in scan.phrases
        if (part.is_part or part.is_pronoun) and _tells_itself(scan, rules, part)
        for unit in range(part.start, part.end + 1)
    )  # fmt: skip


def _tells_itself(scan: Scan, rules: Rules, part: Phrase) -> bool:
    text, at = scan.text, part.end
    if at + 1 >= len(text) or scan.gap[at] or scan.gap[at + 1]:
        return False
    word, follows = text[at], text[at + 1]
    if word == "got" or (word in ("has", "have", "'s", "had") and follows == "got"):
        behind = text[at + 1 + (word != "got") :][:1]
        return bool(behind) and (behind[0] in ("a", "an", "new", "some") or bool(rules.numbers.at(behind, 0)))
    opens = part.start == 0 or scan.gap[part.start] > 0 or text[part.start - 1] in _LEADS
    if not opens:
        return False
    if word in _BE:
        side = rules.side.at(text, at + 1) or rules.position.at(text, at + 1)
        closed = rules.cues["longer_one"].at(text, at + 1)
        if closed:  # "the right blade is the longer one"
            return True
        there = follows == "back" or rules.states.at(text, at + 1)  # "the cover is back on"
        return follows in _SECOND or bool(side and not there) or follows in rules.words["faults"]
    return word in _OWN_VERBS and follows not in _GOES_ON
