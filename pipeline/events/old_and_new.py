"""Of two, which is old and which is new: "the left one is new, the right one is the old one"; and what the old one was.

Such a pair leaves no doubt that both are on, unless both lie there to be looked at.
"""

from __future__ import annotations

from collections.abc import Sequence

from pipeline.events.own_condition import IS_NEW, IS_OLD
from pipeline.events.phrase import Phrase, Scan
from pipeline.events.predicate import Predicate

_TELLS = frozenset((IS_NEW, IS_OLD))
# Where two are laid side by side.
_SHOWN = frozenset(
    ("here", "bench", "table", "beside", "alongside", "compare", "comparison", "difference", "see", "hand", "picture",
     "if", "whether", "would", "which", "shelf", "box")
)  # fmt: skip
_NEAR = 14
_PLACED = (["on", "the"], ["at", "the"], ["on", "this"], ["on", "that"])
_WAS = frozenset(("is", "was", "'s", "had", "has", "are", "were", "have"))
_BACK = frozenset(("back", "on", "in", "going", "gone", "fitted", "refitted", "again", "fine", "good", "ok", "okay"))


def is_one_of_two(predicate: Predicate, predicates: Sequence[Predicate], scan: Scan) -> bool:
    """Whether a predicate tells one of a pair, of which the other is told just before or behind."""
    if predicate.said_as not in _TELLS or not _is_placed(predicate, scan):
        return False
    other = next(
        (
            told for told in predicates
            if told.said_as in _TELLS and told.said_as != predicate.said_as and abs(told.verb - predicate.verb) <= _NEAR
            and _is_placed(told, scan)
        ), None,
    )  # fmt: skip
    if other is None:
        return False
    first, last = min(predicate.start, other.start), max(predicate.end, other.end)
    return _SHOWN.isdisjoint(scan.text[max(0, first - _NEAR) : last])


def _is_placed(predicate: Predicate, scan: Scan) -> bool:
    """Whether it says which of two it is of: "the left one", "the drum on the right"."""
    return any(
        told.side or told.position or scan.text[told.end : told.end + 2] in _PLACED for told in predicate.objects
    )  # fmt: skip


def old_told_of(scan: Scan) -> frozenset[int]:
    """Units of "the old belt is the one with the crack", "the old seal had a split": nobody puts that one on."""
    return frozenset(unit for part in scan.phrases if _is_told_of(part, scan) for unit in range(part.start, part.end))


def _is_told_of(part: Phrase, scan: Scan) -> bool:
    text, at = scan.text, part.end
    if not part.is_part or "old" not in text[part.start : at] or at + 1 >= len(text) or scan.gap[at]:
        return False
    return text[at] in _WAS and _BACK.isdisjoint(text[at + 1 : at + 3])
