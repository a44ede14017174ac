"""What takes a remark back that sounds as if something were left open: the part has come, the makeshift stays."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Sequence
from itertools import pairwise

from pipeline.loose_ends.reading import Reading
from pipeline.loose_ends.signs import load_signs
from pipeline.records import LooseEnd

_YOURS = frozenset((link, whose) for link in ("if", "unless", "when") for whose in ("your", "yours"))
_LEFT, _OFF = frozenset(("left", "leave", "leaving")), frozenset(("off", "out"))
_USING = frozenset(("use", "using", "used"))
_GOES_HOME = frozenset(("straight", "square", "squarely", "flush", "level", "evenly", "home"))
_FOR_GOOD = frozenset(("because", "as", "since", "cause", "cos"))
_REPLACED = frozenset(("old", "original"))
_WAS = frozenset(("was", "were"))
_FINGERS = frozenset(("hand", "hands", "finger", "fingers", "thumb", "thumbs"))
# What tells, beside the hand that did it, that it is no tighter than that or is still to be tightened.
_SO_FAR = frozenset((
    "tight", "only", "just", "yet", "still", "loose", "loosely", "until", "till", "later", "barely", "thread",
    "threads", "far", "not", "moment", "snug", "slack",
))  # fmt: skip
_TORQUES = frozenset(("newton", "newtons", "nm", "pounds", "pound"))
_EXPLAINS = frozenset(("basically", "about", "roughly", "which", "essentially", "practically", "equals"))
_MINE = frozenset(("i", "we", "'ll", "me", "my", "he", "she", "they"))
_CAN = frozenset(("can", "could", "may", "might"))
_UNTIL = frozenset(("until", "till", "til"))
_LEAVES = frozenset((
    "leave", "leaving", "left", "wait", "waiting", "hold", "keep", "keeping", "stay", "stays", "staying", "not", "off",
))  # fmt: skip
_THERE_WAS = frozenset((("there", "was"), ("there", "were")))
_STILL = frozenset(("still", "is", "are", "left", "now", "'s", "have", "has"))
_SLICK = frozenset(("oil", "grease", "lube", "sealant", "sealer", "lubricant"))
# Signs of other kinds than these do not tell by themselves that something is there only for now.
_ONLY_NOW = ("for_now", "off_again", "comes_off", "swapped", "only_there", "moment")


def is_taken_back(reading: Reading, end: LooseEnd, spots: Sequence[int]) -> bool:
    """True where the words around the clauses `spots` say that nothing is left open."""
    if not spots:
        return False
    if any(_is_yours(reading, spot) for spot in spots):
        return True
    judge = _BY_KIND.get(end.kind)
    return judge is not None and judge(reading, spots)


def _is_yours(reading: Reading, spot: int) -> bool:
    """ "If yours is an endless one, it all comes out again": said of the listener's machine."""
    return any(pair in _YOURS for pair in pairwise(_sentence(reading, spot, reading.clauses[spot].end)))


def _has_come(reading: Reading, spots: Sequence[int]) -> bool:
    """ "I ordered one and that's what's going in", "so I ordered a kit and those came in Thursday"."""
    return _cue_near(reading, "has_come", spots) or _cue_near(reading, "fetched", spots)


def _stays(reading: Reading, spots: Sequence[int]) -> bool:
    """ "it goes back in and we'll live with it"; a lighter one "because the old one was far too strong"; a drift."""
    if _was_so(reading, spots):
        return True
    if _cue_near(reading, "stays", spots):
        return True
    words = _sentence(reading, spots[0])
    if _USING & set(words) and _GOES_HOME & set(words):
        return True
    if any(name in reading.signs[spot] for spot in _beside(reading, spots[-1]) for name in _ONLY_NOW):
        return False
    link = next((at for at, word in enumerate(words) if word in _FOR_GOOD), len(words))
    return bool(_REPLACED & set(words[link : link + 4]) and _WAS & set(words[link : link + 6]))


def _is_tight(reading: Reading, spots: Sequence[int]) -> bool:
    """ "just nipped up, it's brass": as tight as it has to be; and what was left off is not loose."""
    signs = {name for spot in _beside(reading, spots[-1]) for name in reading.signs[spot]}
    for_now = bool({"for_now", "not_tight", "moment"} & signs)
    if not for_now and _cue_near(reading, "tight_enough", spots):
        return True
    if not for_now and (_by_hand(reading, spots) or _explains_a_figure(reading, spots)):
        return True
    told = any(load_signs()[name].kind == "loose" and name != "has_fastener" for name in signs)
    words = _sentence(reading, spots[0])
    return not told and bool(_LEFT & set(words)) and bool(_OFF & set(words))


def _by_hand(reading: Reading, spots: Sequence[int]) -> bool:
    """ "It's screwing in with my fingers": how it is done, not how far; nothing says that it goes no tighter."""
    beside = _beside(reading, spots[-1])
    words = {word for spot in beside for word in _clause(reading, spot)}
    if not _FINGERS & words or _SO_FAR & words:
        return False
    fastener = any("has_fastener" in reading.signs[spot] for spot in beside)
    return not fastener or any(word.endswith("ing") for spot in spots for word in _clause(reading, spot))


def _explains_a_figure(reading: Reading, spots: Sequence[int]) -> bool:
    """ "two to three newton metres, which is basically hand tight": the figure is as tight as it gets."""
    for spot in spots:
        clause = reading.clauses[spot]
        before = reading.scan.text[reading.clauses[_beside(reading, spot)[0]].start : clause.start]
        if _EXPLAINS & set(_clause(reading, spot)) and _TORQUES & set(before[-5:]):
            return True
    return False


def _is_no_promise(reading: Reading, spots: Sequence[int]) -> bool:
    """ "drain your carb in the autumn" is advice; "grease, so I can get them out next time" tells what for."""
    words = [word for spot in spots for word in _clause(reading, spot)]
    if {"your", "yours", "yourself"} & set(words) and not _MINE & set(words):
        return True
    if _opens_a_list(reading, spots[0]):
        return True
    sentence = set(_sentence(reading, spots[0]))
    if _UNTIL & sentence and not _LEAVES & sentence and not _cue_near(reading, "deferred", spots):
        return True  # "I'll tap it until I see the thread" is how long
    purpose = [at for at, word in enumerate(words) if word == "so" and _CAN & set(words[at + 1 : at + 5])]
    return bool(purpose) and ("next", "time") in pairwise(words[purpose[0] :])


def _opens_a_list(reading: Reading, spot: int) -> bool:
    """ "Still to do. The gear lever, the bracket": said of what follows, not of what stands before."""
    beside = _beside(reading, spot)
    first, end = reading.clauses[beside[0]].start, reading.clauses[beside[-1]].end
    hits = [hit for at in (first, first + 1) if (hit := reading.rules.cues["left_list"].at(reading.scan.text, at))]
    follows = reading.scan.starting.get(end)
    asks = reading.scan.text[first] == "what" or end in reading.scan.verbs
    return any(hit[0] == end for hit in hits) and (asks or (follows is not None and follows.is_part))


def _was_so(reading: Reading, spots: Sequence[int]) -> bool:
    """ "there was a live wire hanging out of it": as it was found."""
    words = [word for spot in spots for word in _clause(reading, spot)]
    return any(pair in _THERE_WAS for pair in pairwise(words)) and not _STILL & set(words)


def _nothing_open(reading: Reading, spots: Sequence[int]) -> bool:
    """ "no oil on the taper" is how it goes together, and nothing is empty."""
    words = [word for spot in spots for word in _clause(reading, spot)]
    dry = any(words[at] == "no" and words[at + 1] in _SLICK and words[at + 2] == "on" for at in range(len(words) - 2))
    return dry or _was_so(reading, spots)


def _clause(reading: Reading, spot: int) -> Sequence[str]:
    return reading.scan.text[reading.clauses[spot].start : reading.clauses[spot].end]


def _cue_near(reading: Reading, cue: str, spots: Sequence[int]) -> bool:
    """True where a cue is said in the clauses or on to the end of their sentence."""
    clauses = reading.clauses
    first, last = clauses[spots[0]], clauses[_beside(reading, spots[-1])[-1]]
    table = reading.rules.cues[cue]
    return any(table.at(reading.scan.text, at) for at in range(first.start, last.end))


def _beside(reading: Reading, spot: int) -> list[int]:
    """The clauses of the sentence that a clause stands in."""
    clauses, number = reading.clauses, reading.clauses[spot].sentence
    first = bisect_left(clauses, number, key=lambda each: each.sentence)
    return list(range(first, bisect_left(clauses, number + 1, key=lambda each: each.sentence)))


def _sentence(reading: Reading, spot: int, end: int = -1) -> list[str]:
    """The words of the sentence that a clause stands in, up to a unit."""
    beside = _beside(reading, spot)
    first, last = reading.clauses[beside[0]], reading.clauses[beside[-1]]
    return reading.scan.text[first.start : last.end if end < 0 else end]


_BY_KIND: dict[str, Callable[[Reading, Sequence[int]], bool]] = {
    "waiting": _has_come, "provisional": _stays, "loose": _is_tight, "promised": _is_no_promise,
    "not_closed": _nothing_open,
}  # fmt: skip
