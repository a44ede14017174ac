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
    return _cue_near(reading, "has_come", spots)


def _stays(reading: Reading, spots: Sequence[int]) -> bool:
    """ "it goes back in and we'll live with it"; a lighter one "because the old one was far too strong"; a drift."""
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
    if not {"for_now", "not_tight", "moment"} & signs and _cue_near(reading, "tight_enough", spots):
        return True
    told = any(load_signs()[name].kind == "loose" and name != "has_fastener" for name in signs)
    words = _sentence(reading, spots[0])
    return not told and bool(_LEFT & set(words)) and bool(_OFF & set(words))


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
    "waiting": _has_come, "provisional": _stays, "loose": _is_tight,
}  # fmt: skip
