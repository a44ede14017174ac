"""What was not done, though its verb is said: what the speaker would have done, nearly did or was going to do, and
what he did to another machine.

"I'd have changed the cable", "I nearly fitted it", "the thermostat I was going to replace", "on my mate's bike I ...".
"""

from __future__ import annotations

from pipeline.events.clauses import sentence_around
from pipeline.events.phrase import Scan
from pipeline.events.rules import Rules

_WOULD = frozenset(("'d", "would", "could", "should", "might"))
_NEARLY, _FINISHED = frozenset(("nearly", "almost")), frozenset(("finished", "done", "completed"))
_VERY = frozenset(("very", "so", "bloody", "damn", "just", "also"))
_SPEAKERS = frozenset(("i", "we", "he", "she", "they"))
_SUBJECTS = _SPEAKERS | frozenset(("it", "you", "that", "this", "those", "the", "then"))
# What ends the clause of which all is unreal.
_ENDS = frozenset(("but", "because", "cos", "so", "if", "only", "though", "until", "till", "when", "except"))
_VERB_WITHIN, _LONGEST, _FRONTED = 4, 14, 8
# "and I did": it was done after all.
_DID = (("i", "did"), ("i", "have"), ("we", "did"), ("we", "have"), ("which", "i"))
_ON, _OWNERS = frozenset(("on", "off", "from")), frozenset(("my", "his", "her", "a", "the", "our"))
_OTHERS = frozenset(("other", "last", "previous"))
_NOW = frozenset(("today", "now", "tonight"))
_THEN = frozenset(("last", "once", "ago", "years"))


def unreal(scan: Scan, rules: Rules) -> frozenset[int]:
    """Units of clauses that tell of nothing that was done here."""
    found: set[int] = set()
    for at in range(len(scan.text)):
        if _would_have(scan, at) or rules.cues["intended"].at(scan.text, at):
            end = _clause_end(scan, at + 2, at + 2)
            if not (_after_all(scan, end) or _after_all(scan, end + 1)):
                found.update(range(_fronted(scan, at), end))
        elif _nearly(scan, at):
            found.update(range(at, _clause_end(scan, at + 1, at)))
    return frozenset(found | _elsewhere(scan, rules))


def _would_have(scan: Scan, at: int) -> bool:
    """ "I'd have changed", "we could have cleaned": not "I'd had", "would have to"."""
    if scan.text[at] not in _WOULD or scan.text[at + 1 : at + 2] not in (["have"], ["of"]):
        return False
    for place in range(at + 2, min(len(scan.text), at + 2 + _VERB_WITHIN)):
        if scan.gap[place] or scan.text[place] == "to":
            return False
        if any("pp" in reading.tags for reading in scan.verbs.get(place, (0, ()))[1]):
            return True
    return False


def _after_all(scan: Scan, at: int) -> bool:
    """ "and I did", no "but I haven't got one"."""
    return tuple(scan.text[at : at + 2]) in _DID and scan.text[at + 2 : at + 3] != ["not"]


def _nearly(scan: Scan, at: int) -> bool:
    """ "I almost dropped it in", "I very nearly fitted": not "I've nearly fitted them all", "I nearly finished"."""
    if scan.text[at] not in _NEARLY or at + 1 >= len(scan.text) or scan.gap[at + 1]:
        return False
    subject = at - 1 - (at > 0 and scan.text[at - 1] in _VERY)
    verb = at + 1 in scan.verbs or scan.text[at + 1] in ("had", "went", "got")
    return subject >= 0 and scan.text[subject] in _SPEAKERS and verb and scan.text[at + 1] not in _FINISHED


def _clause_end(scan: Scan, at: int, first_and: int) -> int:
    """Where a clause ends: at a break, at "but" and the like, at "and" with a subject of its own; behind "nearly"
    every "and" goes on with what was done."""
    nearly = first_and < at
    for place in range(at, min(len(scan.text), at + _LONGEST)):
        follows = scan.text[place + 1 : place + 2]
        if scan.gap[place] or scan.text[place] in _ENDS:
            return place
        if scan.text[place] == "and" and (nearly or not _SUBJECTS.isdisjoint(follows)):
            return place
    return min(len(scan.text), at + _LONGEST)


def _fronted(scan: Scan, at: int) -> int:
    """Where the part stands that is named in front: "the thermostat I was going to replace"."""
    first = at
    while first and at - first < _FRONTED and not scan.gap[first]:
        if scan.text[first - 1] in ("and", "but", "so", "then", "because") or first - 1 in scan.verbs:
            break
        first -= 1
    return first


def _elsewhere(scan: Scan, rules: Rules) -> set[int]:
    """ "On my mate's bike I put the seal in backwards", "last time, on my other car, I left the clip out"."""
    found: set[int] = set()
    text = scan.text
    for at in range(len(text) - 3):
        if text[at] not in _ON or text[at + 1] not in _OWNERS:
            continue
        others = text[at + 2] in _OTHERS
        theirs = text[at + 2] in rules.words["relations"] and text[at + 3] == "'s"
        machine = at + 3 + theirs
        if not (others or theirs) or text[machine : machine + 1] == [] or text[machine] not in rules.words["machines"]:
            continue
        start, end = sentence_around(scan, at)
        said = text[start:end]
        leads = text[machine + 1 : machine + 2] != [] and text[machine + 1] in _SPEAKERS and at - start <= 1
        before = leads or not _THEN.isdisjoint(text[start:at])
        if before and _NOW.isdisjoint(said):
            found.update(range(start, end))
    return found
