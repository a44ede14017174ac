"""What was left as it was, only recited or found, and what work is done with: "the bolts I've left loose", "the order
when it goes back", "the hub's full of grease", "tapped it in with a mallet"."""

from __future__ import annotations

from pipeline.events.phrase import Phrase, Scan
from pipeline.events.reading import COMMA, PAUSE, SENTENCE

_LEFT = frozenset(("left", "leave", "leaving"))
_LOOSE = frozenset(("loose", "slack", "undone"))
# "left the two little bolts at the back loose"; the parts may be named so far in front of "left".
_LOOSE_WITHIN, _NAMED_BEFORE = 8, 12
_KEPT = frozenset(("kept", "keeping"))
_ORDER_WITHIN, _RECITED_WITHIN, _GOES_WITHIN = 8, 45, 6
_SOILED, _SOIL_WITHIN = frozenset(("full", "covered", "caked", "plastered")), 6
# What may follow "kept" where it says that a part stays, and not how it is kept.
_STAYS = frozenset(("because", "as", "so", "since", "and", "but", "for", "same"))


def left_loose(scan: Scan) -> frozenset[int]:
    """Units of clauses that tell of fasteners that were not tightened: "those I've left slack"."""
    found: set[int] = set()
    for at, word in enumerate(scan.text):
        if word not in _LEFT:
            continue
        for last in range(at + 1, min(len(scan.text), at + 1 + _LOOSE_WITHIN)):
            if scan.gap[last] >= PAUSE or (last in scan.verbs and scan.text[last] not in _LOOSE):
                break
            if scan.text[last] in _LOOSE:
                found.update(range(_clause(scan, at, SENTENCE, _NAMED_BEFORE), last + 1))
                break
    return frozenset(found)


def kept(scan: Scan) -> frozenset[int]:
    """Units of clauses that say that a part stays: "the bevel gears I've kept"."""
    found: set[int] = set()
    for at, word in enumerate(scan.text):
        after = scan.text[at + 1] if at + 1 < len(scan.text) and scan.gap[at + 1] < COMMA else ""
        if word in _KEPT and (not after or after in _STAYS):
            found.update(range(_clause(scan, at, COMMA, _NAMED_BEFORE), at + 1))
    return frozenset(found)


def recited(scan: Scan) -> frozenset[int]:
    """Units of "just so you know the order when it goes back" and of the list behind it: no work, till somebody does
    some."""
    found: set[int] = set()
    for at in range(len(scan.text) - 1):
        back = scan.text[at + 1] in ("back", "together") and "order" in scan.text[max(0, at - _ORDER_WITHIN) : at]
        if scan.text[at] not in ("goes", "go") or not back:
            continue
        end = at + 2
        while end < len(scan.text) and end - at < _RECITED_WITHIN and scan.text[end] not in ("i", "we", "i'm", "i've"):
            end += 1
        found.update(range(at, end))
    return frozenset(found)


def to_come(scan: Scan) -> frozenset[int]:
    """Units of "when it does go in, it goes dust cap, then the rubber ring, then the shim": none of it is on yet."""
    found: set[int] = set()
    for at in range(len(scan.text) - 2):
        if scan.text[at] not in ("when", "once") or not _will_go(scan, at):
            continue
        end = at + 1
        while end < len(scan.text) and end - at < _RECITED_WITHIN and scan.gap[end] < SENTENCE:
            end += 1
        found.update(range(at, end))
    return frozenset(found)


def _will_go(scan: Scan, at: int) -> bool:
    """Whether behind "when" something goes in, on or together: "it does go in", "the arm finally goes back on"."""
    for goes in range(at + 2, min(len(scan.text) - 1, at + _GOES_WITHIN)):
        if scan.gap[goes]:
            return False
        if scan.text[goes] in ("go", "goes"):
            return scan.text[goes + 1] in ("in", "on", "back", "together") and not scan.gap[goes + 1]
    return False


def is_soil(scan: Scan, at: int) -> bool:
    """ "it's full of grease", "the hub was covered in old oil": so it was found, and nobody put it there."""
    first = at
    while first and at - first < _SOIL_WITHIN and not scan.gap[first]:
        if scan.text[first] in _SOILED and scan.text[first + 1 : first + 2] in (["of"], ["in"], ["with"]):
            return True
        first -= 1
    return False


def _clause(scan: Scan, at: int, edge: int, farthest: int) -> int:
    first = at
    while first and at - first < farthest and scan.gap[first] < edge and scan.text[first - 1] != "and":
        first -= 1
    return first


def worked_with(scan: Scan, part: Phrase) -> bool:
    """ "with the copper mallet", "using a hose clip": what work is done with is not what it is done to."""
    before = scan.text[part.start - 1] if part.start and not scan.gap[part.start] else ""
    if part.kind == "tool":
        return before in ("with", "using", "by", "use", "used") or _asked_for(scan, part)
    return before == "using" and not part.condition and part.determiner in ("a", "an", "some", "")


def _asked_for(scan: Scan, part: Phrase) -> bool:
    """ "Circlip pliers, where are you.": the speaker looks for a tool."""
    asked = (["where", "are"], ["where", "'s"], ["where", "is"])
    return any(scan.text[at : at + 2] in asked for at in (part.end, part.end + 1))
