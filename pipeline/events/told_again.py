"""The same deed told more than once: in a list before it was done, in a list when it was done, or twice in a breath.

"From the front it goes bearing, spacer, bull gear. ... Spacer's on. Bull gear's on.": the list is no work. "So it was
seal, piston, boot, ring": neither. "The race goes in from this side. That's dropped straight in": one race.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass, replace

from pipeline.events.clauses import sentence_starts
from pipeline.events.event_sense import sides_differ
from pipeline.events.own_words import same_thing
from pipeline.events.phrase import PARTICLES, Scan
from pipeline.events.recitals import starts_anew
from pipeline.records import Event

Span = tuple[int, int]
_PUT, _TAKEN = frozenset(("fit", "renew", "assemble")), frozenset(("remove", "dismantle", "disconnect"))
_ONCE = _PUT | _TAKEN | frozenset(("clean", "drain", "connect"))
# "it comes off clockwise": how, not that it did.
_HOW = frozenset(("comes", "come", "goes", "go", "unscrews", "lifts", "pulls", "slides"))
_IS_BACK = "“is back”"
_ONLY_NEW = ("“is new”", "“new”")
# A list is done later where so many of its parts are, so many words on; a recap comes so soon.
_FEWEST, _LATER, _SOON = 2, 500, 70
_NEAR_SENTENCES, _NEAR = 2, 45
_ANOTHER = frozenset(
    ("other", "another", "second", "third", "ones", "each", "same", "next", "small", "big", "short", "long", "thin",
     "thick", "too", "also")
)  # fmt: skip
_BEFORE_IT = 6
_RECAP = frozenset(("was", "is", "'s", "were"))
_COMMON = frozenset(
    ("washer", "nut", "bolt", "screw", "gasket", "seal", "ring", "circlip", "bearing", "spring", "pin", "clip", "cap",
     "bush", "shim", "spacer", "cover", "stud", "o-ring", "plug", "key")
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Deed:
    """An event, its units, and whether it was told by naming the part alone."""

    event: Event
    span: Span
    wordless: bool
    head: int


class ToldAgain:
    """Which deeds of one scan only tell another.

    `same` has the other for each, `listed` are the rest of a list that was mostly done later. All are indexes.
    """

    def __init__(self, deeds: Sequence[Deed], scan: Scan) -> None:
        self._deeds, self._scan = deeds, scan
        self._starts = sentence_starts(scan)
        self._lists: dict[int, list[int]] = {}
        for index, deed in enumerate(deeds):
            if deed.wordless and deed.event.status == "done" and deed.event.action in _PUT and not self._placed(deed):
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
                ways = (
                    self._figure_told, self._not_yet, self._came_back, self._put_right, self._never_was, self._left_out,
                    self._announced,
                )  # fmt: skip
                other = next((found for way in ways if (found := way(index)) is not None), None)
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

    def _same_part(self, index: int, later: bool) -> int | None:
        """The deed that does what one of a list names, with nothing taken off between."""
        deed = self._deeds[index]
        step = range(index + 1, len(self._deeds)) if later else range(index - 1, -1, -1)
        for place in step:
            other = self._deeds[place]
            away = abs(other.span[0] - deed.span[0])
            if away > (_LATER if later else _SOON):
                return None
            same = other.event.part == deed.event.part
            if not later:
                same = same_thing(other.event.part, deed.event.part)
            if not same or sides_differ(other.event, deed.event):
                continue
            if other.event.action in _TAKEN and other.event.status == "done":
                return None
            does = other.event.action in _PUT and other.event.status in ("done", "provisional")
            if does and self._sentence(other) != self._sentence(deed):
                return None if self._another(deed, other) else place
        return None

    def _figure_told(self, index: int) -> int | None:
        """ "Torque on that nut. I'm going to sixty", "end float on the shaft now. I measured that": the deed of the
        figure, said around it without a verb."""
        deed = self._deeds[index]
        figured = {"tighten": "torque"}.get(deed.event.action, deed.event.action)
        if not deed.wordless or deed.event.quantities or figured not in ("torque", "measure"):
            return None
        within = _NEAR if deed.event.status == "done" else _BEFORE_IT  # a plan is told again less far away
        for place in range(max(0, index - 3), min(len(self._deeds), index + 4)):
            other = self._deeds[place]
            same = (other.event.part, other.event.status) == (deed.event.part, deed.event.status)
            same = same and (deed.event.side, deed.event.position) in (
                ("", ""),
                (other.event.side, other.event.position),
            )
            near = max(other.span[0] - deed.span[1], deed.span[0] - other.span[1]) <= within
            if place != index and same and near and other.event.action == figured and other.event.quantities:
                return place
        return None

    def _announced(self, index: int) -> int | None:
        """ "Then the front hub, I greased the front hub": the part is named first, and then what was done to it."""
        deed, at = self._deeds[index], self._deeds[index].head + 1
        if not deed.wordless or self._scan.text[at : at + 1] not in (["i"], ["we"]):
            return None
        for place in range(index + 1, min(len(self._deeds), index + 3)):
            other = self._deeds[place]
            near = 0 < other.head - at <= _BEFORE_IT and not other.wordless and other.event.status == "done"
            if near and same_thing(other.event.part, deed.event.part) and not sides_differ(other.event, deed.event):
                return place
        return None

    def _not_yet(self, index: int) -> int | None:
        """ "The chain's a new one. ... I've not fitted it yet": new, and not fitted."""
        deed = self._deeds[index]
        if deed.event.action != "fit" or deed.event.status != "done" or not deed.event.why.startswith(_ONLY_NEW):
            return None
        for place in range(index + 1, len(self._deeds)):
            other = self._deeds[place]
            if other.span[0] - deed.span[1] > _SOON:
                return None
            same = other.event.part == deed.event.part and not sides_differ(other.event, deed.event)
            if same and other.event.action in _PUT:
                return place if other.event.status == "negated" else None
        return None

    def _left_out(self, index: int) -> int | None:
        """ "Pads go back in, and the squeal shim, no, it's cracked. I left the shim out": named, and not fitted."""
        deed = self._deeds[index]
        if deed.event.action != "fit" or deed.event.status != "done" or not deed.wordless:
            return None
        for place in range(index + 1, len(self._deeds)):
            other = self._deeds[place]
            if other.span[0] - deed.span[1] > _NEAR:
                return None
            same = other.event.part.split()[-1] == deed.event.part.split()[-1]
            if same and not sides_differ(other.event, deed.event):
                out = other.event.status == "negated" and other.event.why.startswith("“leave o")
                return place if out and same_thing(other.event.part, deed.event.part) else None
        return None

    def _came_back(self, index: int) -> int | None:
        """ "The barrel's back. ... The barrel's going on": back in the shop, then on."""
        deed = self._deeds[index]
        return self._same_part(index, later=True) if deed.event.why.startswith(_IS_BACK) else None

    def _put_right(self, index: int) -> int | None:
        """ "Thin washer, then the tab washer, no wait, it's thin washer, first nut, tab washer": one of each."""
        deed = self._deeds[index]
        if not deed.wordless or deed.event.action not in _PUT or deed.event.quantities:
            return None
        for place in range(index + 1, len(self._deeds)):
            other = self._deeds[place]
            if other.span[0] - deed.span[1] > _NEAR:
                return None
            same = other.wordless and (other.event.action, other.event.part) == (deed.event.action, deed.event.part)
            if same and starts_anew(self._scan, deed.span[1], other.span[0]):
                return place
        return None

    def _never_was(self, index: int) -> int | None:
        """ "It comes off clockwise, and I didn't take it out at all": how it would have come off."""
        deed = self._deeds[index]
        if deed.event.status != "done" or deed.event.action not in _TAKEN | _PUT:
            return None
        if self._scan.text[deed.span[0] : deed.span[1]].count("it") < 1 or _HOW.isdisjoint(
            self._scan.text[deed.span[0] : deed.span[1]]
        ):
            return None
        for place in range(index + 1, min(len(self._deeds), index + 3)):
            other = self._deeds[place]
            same = (other.event.action, other.event.part) == (deed.event.action, deed.event.part)
            if same and other.event.status == "negated" and other.span[0] - deed.span[1] <= _SOON // 2:
                return place if not sides_differ(other.event, deed.event) else None
        return None

    def _just_told(self, index: int, told: dict[int, int]) -> int | None:
        """The deed of the sentence or two before that was the same one."""
        deed = self._deeds[index]
        event = deed.event
        if event.action not in _ONCE or event.status not in ("done", "past") or event.quantities:
            return None
        for place in range(index - 1, max(-1, index - 8), -1):
            other = self._deeds[place]
            if place in told or place in self.listed or deed.span[0] - other.span[1] > _NEAR:
                continue
            same = same_thing(other.event.part, event.part)
            if same and {other.event.action, event.action} & _TAKEN and {other.event.action, event.action} & _PUT:
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

    def _another(self, one: Deed, other: Deed) -> bool:
        """Whether a word between tells that it is another of that name."""
        low, high = sorted((one.span[0], other.span[0]))
        return not _ANOTHER.isdisjoint(self._scan.text[max(low, high - _BEFORE_IT) : other.span[1] + 1])

    def _placed(self, deed: Deed) -> bool:
        """ "cover back on": the words behind the part tell where it is now."""
        at = deed.head + 1
        return at < len(self._scan.text) and not self._scan.gap[at] and self._scan.text[at] in PARTICLES

    def _sentence(self, deed: Deed) -> int:
        return bisect_right(self._starts, deed.head)


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
