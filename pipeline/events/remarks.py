"""Remarks that name parts and tell no work: what the day is for, how a thing is held or made, where parts are kept.

"Okay, today the bottom bracket and the brakes.", "There's a washer under each one.", "The cowl is four screws.", "It's
in the jam jar with its gasket.", "Behind the dial there's the snail and the rack.", "Same cup, same cone.", "It's
tight... there it comes."
"""

from __future__ import annotations

from collections.abc import Iterator

from pipeline.events.clauses import sentence_around
from pipeline.events.phrase import PARTICLES, Scan
from pipeline.events.reading import SENTENCE

_OPENERS = frozenset(("okay", "ok", "right", "so", "now", "well", "and", "then", "alright", "anyway", "yeah"))
_DAYS = frozenset(("today", "tonight"))
_BE = frozenset(("is", "are", "'s"))
# With these somebody sets to work, or tells what he did: no plan for the day goes on behind them.
_TELLERS = frozenset(("i", "we", "he", "she", "they", "you"))
_LONGEST = 30
_SHOWING, _ACTORS = frozenset(("your", "the", "a", "an", "this", "these", "two")), frozenset(("i", "we", "he", "she"))
_ARTICLES = frozenset(("the", "a", "an", "my", "its", "his", "her", "their"))
# "there's a washer under each": where a part is found, behind its name.
_PLACES = frozenset(("under", "behind", "between", "beneath", "underneath", "inside"))
# Where what was hidden comes to light, and the words that open the list of it.
_DEEP = frozenset(("behind", "under", "underneath", "beneath", "inside", "below"))
_IN_THERE = frozenset((("in", "there"), ("in", "here"), ("down", "there"), ("back", "there"), ("up", "there")))
_COMES_TO_LIGHT = frozenset(
    (("there", "'s"), ("there", "is"), ("there", "are"), ("we", "have", "got"), ("you", "have", "got"), ("we", "have"),
     ("you", "have"), ("you", "can", "see"), ("you", "see"), ("we", "can", "see"))
)  # fmt: skip
_LIGHT_WITHIN = 6
_BOXES = frozenset(("jar", "tin", "tray", "tub", "box", "bag", "bucket", "drawer", "dish", "carton", "pot", "envelope"))
_IN_BOX = 4
# What a nut or bolt is heard to do when it gives way at last, in the sentences right behind "it's tight".
_YIELDS = frozenset(
    (("there", "it", "comes"), ("there", "it", "goes"), ("there", "she", "goes"), ("there", "she", "comes"),
     ("there", "he", "goes"), ("there", "we", "go"), ("here", "it", "comes"), ("it", "'s", "moving"),
     ("it", "'s", "coming"))
)  # fmt: skip
_YIELDS_WITHIN = 12


def remarked(scan: Scan) -> frozenset[int]:
    """Units where a part that is told without a verb of its own was neither fitted nor taken off."""
    found: set[int] = set()
    for way in (_plans, _held_by, _there_is, _revealed, _you_have, _kept_in, _same):
        for start, end in way(scan):
            found.update(range(start, end))
    return frozenset(found)


def resisting(scan: Scan) -> frozenset[int]:
    """Units of "it's tight" behind which it gives way: it was found tight, and nobody tightened it."""
    found: set[int] = set()
    for at in range(2, len(scan.text)):
        if scan.text[at] != "tight" or scan.text[at - 1] not in _BE:
            continue
        start, end = sentence_around(scan, at)
        behind = range(at + 1, min(len(scan.text), end + _YIELDS_WITHIN))
        follows = [tuple(scan.text[spot : spot + 3]) for spot in behind]
        if not _YIELDS.isdisjoint(follows):
            found.update(range(start, end))
    return frozenset(found)


def _plans(scan: Scan) -> Iterator[tuple[int, int]]:
    """ "today bottom bracket and then the back wheel", "today is the headstock": up to where somebody acts."""
    for at, word in enumerate(scan.text):
        if word not in _DAYS or not _opens(scan, at):
            continue
        first = at + 1
        while scan.text[first : first + 1] and scan.text[first] in (*_BE, "it"):
            first += 1
        if first not in scan.starting or not scan.starting[first].is_part:
            continue
        end = first
        while end < len(scan.text) and end - at < _LONGEST and scan.text[end] not in _TELLERS:
            if end > first and scan.gap[end] >= SENTENCE:
                break
            end += 1
        yield at, end


def _opens(scan: Scan, at: int) -> bool:
    while at and not scan.gap[at] and scan.text[at - 1] in _OPENERS:
        at -= 1
    return at == 0 or scan.gap[at] > 0


def _held_by(scan: Scan) -> Iterator[tuple[int, int]]:
    """ "The cowl is four screws": how it is held."""
    for part in scan.phrases:
        if not part.is_part or part.plural or scan.text[part.end : part.end + 1] not in (["is"], ["'s"]):
            continue
        held = scan.starting.get(part.end + 1)
        if held is not None and held.kind == "fastener" and (held.count or 0) > 1 and not held.determiner:
            yield part.start - (scan.text[part.start - 1 : part.start] != [] and part.start > 0), part.end


def _there_is(scan: Scan) -> Iterator[tuple[int, int]]:
    """ "there's a washer under each one": so it is built."""
    for at in range(len(scan.text) - 3):
        if scan.text[at] != "there" or scan.text[at + 1] not in _BE:
            continue
        part = scan.starting.get(at + 2)
        if part is None or not part.is_part or part.condition or scan.gap[at + 1] or scan.gap[at + 2]:
            continue
        if part.end < len(scan.text) and not scan.gap[part.end] and scan.text[part.end] in _PLACES:
            yield at, part.end


def _revealed(scan: Scan) -> Iterator[tuple[int, int]]:
    """ "Behind it there's the basket, the hub and the plate": what can be seen there, up to where somebody acts."""
    text = scan.text
    for at in range(len(text)):
        deep = text[at] in _DEEP or tuple(text[at : at + 2]) in _IN_THERE
        sees = text[at] == "now" and tuple(text[at + 1 : at + 4]) == ("you", "can", "see")
        if not (deep or sees):
            continue
        _, end = sentence_around(scan, at)
        spots = range(at + 1, min(end, at + _LIGHT_WITHIN))
        first = next((spot for spot in spots if _opens_sight(text, spot)), None)
        if first is None:
            continue
        last = first + 1
        while last < end and not (last > first + 2 and text[last] in _TELLERS | PARTICLES):
            last += 1
        yield first, last


def _opens_sight(text: list[str], at: int) -> bool:
    return any(tuple(text[at : at + size]) in _COMES_TO_LIGHT for size in (2, 3))


def _you_have(scan: Scan) -> Iterator[tuple[int, int]]:
    """ "you've got your pinion, and the spacer behind that": shown, up to where somebody acts."""
    for at in range(len(scan.text) - 2):
        if tuple(scan.text[at : at + 2]) != ("you", "have"):
            continue
        first = at + 2 + (scan.text[at + 2] == "got")
        part = scan.starting.get(first)
        if part is None or not part.is_part or part.determiner not in _SHOWING or any(scan.gap[at + 1 : first + 1]):
            continue
        end = first
        while end < len(scan.text) and end - at < _LONGEST and scan.gap[end] < SENTENCE:
            if end > first and scan.text[end] in _ACTORS:
                break
            end += 1
        yield at, end


def _kept_in(scan: Scan) -> Iterator[tuple[int, int]]:
    """ "in the jam jar with its gasket and the fibre washer": kept there together."""
    for at, word in enumerate(scan.text):
        if word not in _BOXES or scan.text[at + 1 : at + 2] != ["with"] or scan.gap[at + 1]:
            continue
        if "in" not in scan.text[max(0, at - _IN_BOX) : at]:
            continue
        yield (
            at + 1,
            next(
                (spot for spot in range(at + 2, len(scan.text)) if scan.gap[spot] >= SENTENCE or spot - at > _LONGEST),
                len(scan.text),
            ),
        )


def _same(scan: Scan) -> Iterator[tuple[int, int]]:
    """ "going back in, same cup, same cone": no others than those that were told of."""
    for part in scan.phrases:
        at = part.start - 1
        if part.is_part and scan.text[part.start] == "same":
            at = part.start
        if part.is_part and at > 0 and scan.text[at] == "same" and scan.text[at - 1] not in _ARTICLES:
            yield at, part.end
