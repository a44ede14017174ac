"""Warnings that no single cue gives: who must keep off until when, what to keep clear of, what to wear, what kills, and
what comes of doing what must not be done."""

from __future__ import annotations

from pipeline.events.phrase import Scan
from pipeline.events.reading import SENTENCE
from pipeline.events.rules import Rules

LEADING = frozenset(
    ("and", "so", "but", "or", "just", "please", "you", "because", "then", "now", "oh", "well", "remember", "folks",
     "really")
)  # fmt: skip
"""What may stand before a command."""
_SPEAKERS, _SAID_WITHIN = frozenset(("i", "we")), 5
# "nobody rides this until": so far from the verb stands what it hangs on.
_NOBODY, _UNTIL, _WITHIN = frozenset(("nobody",)), frozenset(("until", "till", "unless", "before")), 8
_NO_ONE = ("no", "one")
# "stay out of the way of the blade", "keep well clear of the belt"
_KEEPING = frozenset(("stay", "keep", "stand"))
_CLEAR = frozenset(("clear", "away", "out", "back"))
_OF = frozenset(("of", "from"))
_PROTECTING = frozenset(
    ("glasses", "goggles", "glove", "gloves", "mask", "respirator", "visor", "shield", "muffs", "defenders",
     "plugs", "protection")
)  # fmt: skip
_WORN_WITHIN = 4
# What is done to somebody by what was handled wrongly.
_HARMING = frozenset(("kill", "gas", "electrocute", "scald", "blind", "maim", "poison", "burn", "crush"))
# "that wheel will have your finger off"
_HURTING = frozenset(
    ("have", "take", "takes", "lose", "crush", "crushes", "break", "breaks", "burn", "burns", "trap", "traps", "cut",
     "cuts", "catch", "catches", "nip", "nips", "pinch", "pinches", "bite", "bites", "smash", "scald", "scalds")
)  # fmt: skip
BODIES = frozenset(
    ("thumb", "thumbs", "finger", "fingers", "hand", "hands", "eye", "eyes", "skin", "arm", "arms", "foot", "feet",
     "hair", "sleeve", "face", "head", "leg", "legs", "toe", "toes", "knuckles")
)  # fmt: skip
"""What of somebody gets hurt."""
_MAY = frozenset(("will", "'ll", "can", "could", "would", "might", "may", "to"))
# "because you'll strip it": before what comes of it, and in it.
_LINKS = frozenset(("and", "or", "because", "then", "else", "otherwise", "as", "that", "so"))
_NEEDS = frozenset(("need", "have", "want", "see", "find", "notice", "be"))


def warns(scan: Scan, rules: Rules, at: int) -> bool:
    """ "nobody rides this until it's bled", "stay clear of the belt", "wear the glasses", "it'll kill you"."""
    word = scan.text[at]
    if word in _NOBODY or tuple(scan.text[at : at + 2]) == _NO_ONE:
        return _keeps_off(scan, rules, at + (2 if word == "no" else 1))
    if word in _KEEPING:
        return is_command(scan, at) and _clear_of(scan, at + 1)
    if word == "wear":
        return is_command(scan, at) and not _PROTECTING.isdisjoint(scan.text[at + 1 : at + 1 + _WORN_WITHIN])
    return hurts(scan, at) or (word in _HARMING and _harms(scan, at))


def is_command(scan: Scan, at: int) -> bool:
    """Whether a verb opens its clause, and nobody is said to do it."""
    if not at or scan.gap[at] > 0:
        return True
    before = scan.text[max(0, at - _SAID_WITHIN) : at]
    return before[-1] in LEADING and (before[-1] == "please" or _SPEAKERS.isdisjoint(before))


def comes_of_it(scan: Scan, at: int) -> int:
    """The end of what is said to come of doing what a clause forbids, which ends at a unit; that unit where nothing is.

    "Don't lever against that, you'll mark the face": no face is marked, nor is anyone told to mark one.
    """
    end, text = at, scan.text
    while end < len(text) and scan.gap[end] < SENTENCE:
        start = end + (text[end] in _LINKS)
        if text[start : start + 1] != ["you"] or text[start + 1 : start + 2] not in (["will"], ["'ll"]):
            break
        if not _NEEDS.isdisjoint(text[start + 2 : start + 3]):
            break
        end = start + 2
        while end < len(text) and not scan.gap[end] and text[end] not in _LINKS:
            end += 1
    return end


def _keeps_off(scan: Scan, rules: Rules, verb: int) -> bool:
    """ "rides this until the brake is done", and no "nobody makes these any more"."""
    found = verb < len(scan.text) and not scan.gap[verb]
    if not found or not (scan.text[verb].endswith("s") or rules.verbs.at(scan.text, verb)):
        return False
    for at in range(verb + 1, min(len(scan.text), verb + 1 + _WITHIN)):
        if scan.gap[at] >= SENTENCE:
            return False
        if scan.text[at] in _UNTIL:
            return scan.text[at + 1 : at + 2] not in (["i"], ["that"], ["then"]) or scan.text[at] != "before"
    return False


def _clear_of(scan: Scan, at: int) -> bool:
    text = scan.text
    if text[at : at + 2] == ["we", "will"]:  # "well", as it is read where apostrophes are missing
        at += 2
    if text[at : at + 1] == [] or text[at] not in _CLEAR or scan.gap[at]:
        return False
    return at + 1 < len(text) and text[at + 1] in _OF


def _harms(scan: Scan, at: int) -> bool:
    """ "it'll gas you", and no "it won't kill you"."""
    text = scan.text
    return text[at + 1 : at + 2] == ["you"] and text[at - 1] in _MAY and not scan.gap[at]


def hurts(scan: Scan, at: int) -> bool:
    """ "it'll have your finger off", "that nips your thumb", but not "have your hands free"."""
    text = scan.text
    if text[at] not in _HURTING or text[at + 1 : at + 2] != ["your"] or text[at + 2 : at + 3] == []:
        return False
    if text[at + 2] not in BODIES or (text[at + 2].startswith("eye") and text[at].startswith("catch")):
        return False
    return text[at] not in ("have", "take", "takes") or text[at + 3 : at + 4] in (["off"], ["out"], ["clean"], ["with"])
