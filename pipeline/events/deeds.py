"""Deeds as they were told, and whether two of them may be one."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass

from pipeline.events.clauses import sentence_starts
from pipeline.events.event_sense import sides_differ
from pipeline.events.own_words import same_thing
from pipeline.events.phrase import PARTICLES, Scan
from pipeline.records import Event

Span = tuple[int, int]
PUT, TAKEN = frozenset(("fit", "renew", "assemble")), frozenset(("remove", "dismantle", "disconnect"))
# A list is done later where so many of its parts are, so many words on; a recap comes so soon.
_LATER, SOON = 500, 70
BEFORE_IT = 6
_ANOTHER = frozenset(
    ("other", "another", "second", "third", "ones", "each", "same", "next", "small", "big", "short", "long", "thin",
     "thick", "too", "also")
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Deed:
    """An event, its units, and whether it was told by naming the part alone."""

    event: Event
    span: Span
    wordless: bool
    head: int


class Deeds:
    """The deeds of one scan, in the order in which they were told."""

    def __init__(self, deeds: Sequence[Deed], scan: Scan) -> None:
        self._deeds, self._scan = deeds, scan
        self._starts = sentence_starts(scan)

    def _same_part(self, index: int, later: bool) -> int | None:
        """The deed that does what one of a list names, with nothing taken off between."""
        deed = self._deeds[index]
        step = range(index + 1, len(self._deeds)) if later else range(index - 1, -1, -1)
        for place in step:
            other = self._deeds[place]
            away = abs(other.span[0] - deed.span[0])
            if away > (_LATER if later else SOON):
                return None
            same = other.event.part == deed.event.part
            if not later:
                same = same_thing(other.event.part, deed.event.part)
            if not same or sides_differ(other.event, deed.event):
                continue
            if other.event.action in TAKEN and other.event.status == "done":
                return None
            does = other.event.action in PUT and other.event.status in ("done", "provisional")
            if does and self._sentence(other) != self._sentence(deed):
                return None if self._another(deed, other) else place
        return None

    def _another(self, one: Deed, other: Deed) -> bool:
        """Whether a word between tells that it is another of that name."""
        low, high = sorted((one.span[0], other.span[0]))
        return not _ANOTHER.isdisjoint(self._scan.text[max(low, high - BEFORE_IT) : other.span[1] + 1])

    def _placed(self, deed: Deed) -> bool:
        """ "cover back on": the words behind the part tell where it is now."""
        at = deed.head + 1
        return at < len(self._scan.text) and not self._scan.gap[at] and self._scan.text[at] in PARTICLES

    def _sentence(self, deed: Deed) -> int:
        return bisect_right(self._starts, deed.head)
