"""The same deed told more than once: in a list before it was done, in a list when it was done, or twice in a breath.

"From the front it goes bearing, spacer, bull gear. ... Spacer's on. Bull gear's on.": the list is no work. "So it was
seal, piston, boot, ring": neither. "The race goes in from this side. That's dropped straight in": one race.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from pipeline.events.deeds import PUT, TAKEN, Deed
from pipeline.events.own_words import same_thing
from pipeline.events.phrase import Scan
from pipeline.events.said_since import NEAR, SaidSince
from pipeline.records import Event

_ONCE = PUT | TAKEN | frozenset(("clean", "drain", "connect"))
# A list was done where so many of its parts were.
_FEWEST, _NEAR_SENTENCES = 2, 2
_RECAP = frozenset(("was", "is", "'s", "were"))
_COMMON = frozenset(
    ("washer", "nut", "bolt", "screw", "gasket", "seal", "ring", "circlip", "bearing", "spring", "pin", "clip", "cap",
     "bush", "shim", "spacer", "cover", "stud", "o-ring", "plug", "key")
)  # fmt: skip


class ToldAgain(SaidSince):
    """Which deeds of one scan only tell another.

    `same` has the other for each, `listed` are the rest of a list that was mostly done later. All are indexes.
    """

    def __init__(self, deeds: Sequence[Deed], scan: Scan) -> None:
        super().__init__(deeds, scan)
        self._lists: dict[int, list[int]] = {}
        for index, deed in enumerate(deeds):
            if deed.wordless and deed.event.status == "done" and deed.event.action in PUT and not self._placed(deed):
                self._lists.setdefault(self._sentence(deed), []).append(index)
        self.listed: set[int] = set()
        self.same = self._found()

    def _found(self) -> dict[int, int]:
        told: dict[int, int] = {}
        for places in self._lists.values():
            later = self._list_told(places, later=True)
            told |= later
            self.listed.update(set(places) - set(later) if later else ())
            if self._is_recap(places[0]):
                told |= {
                    index: other for index, other in self._list_told(places, later=False).items() if other not in told
                }
            elif self._is_all(places[-1]):
                told |= {index: other for index in places if (other := self._same_part(index, later=False)) is not None}
        for index in range(len(self._deeds)):
            if index not in told:
                other = self._other(index)
                if other is not None and other not in told:
                    told[index] = other
            if index not in told and index not in self.listed and (other := self._just_told(index, told)) is not None:
                told[index] = other
        return told

    def _list_told(self, places: Sequence[int], later: bool) -> dict[int, int]:
        """What was or will be done of the parts of a list, where it is enough to take the list for no work."""
        told = {index: other for index in places if (other := self._same_part(index, later)) is not None}
        own = {self._deeds[index].event.part for index in told}
        known = [part for part in own if part.split()[-1] not in _COMMON]
        return told if known and len(own) >= _FEWEST else {}

    def _is_recap(self, index: int) -> bool:
        """ "So it was seal, piston, boot, ring"."""
        number = self._sentence(self._deeds[index]) - 1
        opening = self._scan.text[self._starts[number] : self._starts[number] + 4] if number >= 0 else []
        return opening[:1] == ["so"] and not _RECAP.isdisjoint(opening)

    def _is_all(self, index: int) -> bool:
        """ "Washer, nut, that's all": what was told a moment ago, summed up."""
        text, end = self._scan.text, self._deeds[index].head + 1
        return text[end : end + 3] in (["that", "'s", "all"], ["that", "is", "all"])

    def _just_told(self, index: int, told: dict[int, int]) -> int | None:
        """The deed of the sentence or two before that was the same one."""
        deed = self._deeds[index]
        event = deed.event
        if event.action not in _ONCE or event.status not in ("done", "past") or event.quantities:
            return None
        for place in range(index - 1, max(-1, index - 8), -1):
            other = self._deeds[place]
            if place in told or place in self.listed or deed.span[0] - other.span[1] > NEAR:
                continue
            same = same_thing(other.event.part, event.part)
            if same and {other.event.action, event.action} & TAKEN and {other.event.action, event.action} & PUT:
                return None
            before = ("done", "past") if event.status == "past" else ("done",)
            if (other.event.action, other.event.part) != (event.action, event.part):
                continue
            if other.event.status not in before:
                continue
            if (other.event.side, other.event.position) != (event.side, event.position):
                return None
            if _differ(event.count, other.event.count) or _differ(event.condition, other.event.condition):
                return None
            apart = self._sentence(deed) - self._sentence(other)
            far = apart > _NEAR_SENTENCES * (1 + (deed.wordless and not event.count))
            if far or self._another(other, deed) or (apart and self._in_lists(index, place)):
                return None
            return place
        return None

    def _in_lists(self, one: int, other: int) -> bool:
        """ "Cone, washer, lock nut. And that side it's cone, washer, lock nut": two lists name two of each."""
        own = [places for places in self._lists.values() if len(places) > 1]
        return any(one in places for places in own) and any(other in places for places in own)


def _differ(one: str | int | None, other: str | int | None) -> bool:
    return bool(one and other and one != other)


def told_once(deeds: Sequence[Deed], scan: Scan) -> tuple[list[Deed], frozenset[int]]:
    """The deeds without those that only tell another once more, and the units of parts that were only listed."""
    again, kept = ToldAgain(deeds, scan), list(deeds)
    for index, other in again.same.items():
        while other in again.same:
            other = again.same[other]
        kept[other] = replace(kept[other], event=_joined(kept[other].event, kept[index].event))
    for index in again.listed:  # an order that was told before it was kept to stays as one
        kept[index] = replace(kept[index], event=replace(kept[index].event, status="advised"))
    out = {*again.same, *(index for index in again.listed if not deeds[index].event.sequence)}
    listed = frozenset(deeds[index].head for index in again.listed)
    return [deed for index, deed in enumerate(kept) if index not in out], listed


def _joined(deed: Event, again: Event) -> Event:
    """One event of a deed and of what told it once more."""
    part = again.part if again.part.endswith(f" {deed.part}") else deed.part
    return replace(
        deed, part=part, condition=deed.condition or again.condition, finish=deed.finish or again.finish,
        count=deed.count or again.count, side=deed.side or again.side, position=deed.position or again.position,
        tool=deed.tool or again.tool, fluid=deed.fluid or again.fluid, fastening=deed.fastening or again.fastening,
        reason=deed.reason or again.reason, sequence=deed.sequence or again.sequence,
        step=deed.step if deed.sequence else again.step,
    )  # fmt: skip
