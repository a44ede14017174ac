"""What a deed told later makes of one before: how it was announced, put right, or that it never was."""

from __future__ import annotations

from pipeline.events.carried_out import HEARD, is_about_to
from pipeline.events.deeds import BEFORE_IT, PUT, SOON, TAKEN, Deeds
from pipeline.events.event_sense import sides_differ
from pipeline.events.own_words import same_thing
from pipeline.events.reading import SENTENCE
from pipeline.events.recitals import starts_anew

NEAR = 45
_TAKEN_UP_WITHIN = 10
# So soon behind "I'm going to" it is done; and what does an action as well.
CARRIED_OUT_WITHIN = 30
_DOES = {"tighten": {"tighten", "torque"}, "fit": {"fit", "renew"}, "renew": {"fit", "renew"}}
# "it comes off clockwise": how, not that it did.
_HOW = frozenset(("comes", "come", "goes", "go", "unscrews", "lifts", "pulls", "slides"))
_STATES, _THE, _IS = ("“is on”", "“is in”"), frozenset(("the", "that", "this")), frozenset(("is", "'s"))
_PUT_ON = frozenset(("fit", "connect"))
_READ = "the words around"
_IS_TIGHT = "“is tight”"
_IS_BACK = "“is back”"
_ONLY_NEW = ("“is new”", "“new”")


class SaidSince(Deeds):
    """Which deed has a deed in it, or shows that it is none; each way is asked on its own."""

    def _other(self, index: int) -> int | None:
        """The first such deed that one of the ways finds."""
        ways = (
            self._figure_told, self._not_yet, self._came_back, self._put_right, self._never_was, self._left_out,
            self._announced, self._carried_out, self._called_short, self._told_by_verb,
        )  # fmt: skip
        return next((found for way in ways if (found := way(index)) is not None), None)

    def _figure_told(self, index: int) -> int | None:
        """ "Torque on that nut. I'm going to sixty", "end float on the shaft now. I measured that": the deed of the
        figure, said around it without a verb."""
        deed = self._deeds[index]
        figured = {"tighten": "torque"}.get(deed.event.action, deed.event.action)
        told = deed.wordless or deed.event.why.startswith(_IS_TIGHT)
        if not told or deed.event.quantities or figured not in ("torque", "measure"):
            return None
        within = NEAR if deed.event.status == "done" else BEFORE_IT  # a plan is told again less far away
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
        """ "Then the front hub, I greased the front hub", "clutch nut, I went over that again": the part comes first,
        then what was done to it."""
        deed, at = self._deeds[index], self._deeds[index].head + 1
        if not deed.wordless or self._scan.text[at : at + 1] not in (["i"], ["we"]):
            return None
        for place in range(index + 1, min(len(self._deeds), index + 3)):
            other = self._deeds[place]
            if other.wordless or other.event.status != "done" or sides_differ(other.event, deed.event):
                continue
            if 0 < other.head - at <= BEFORE_IT and same_thing(other.event.part, deed.event.part):
                return place
            # the very words that named it are what "that" takes up, behind a comma
            if (
                0 < self._scan.gap[at] < SENTENCE
                and other.head == deed.head
                and other.span[1] - at <= _TAKEN_UP_WITHIN
                and deed.event.condition != "new"
            ):
                return place
        return None

    def _carried_out(self, index: int) -> int | None:
        """ "I'm going to wind the springs out evenly, and they're out": what was about to be done, and was."""
        deed = self._deeds[index]
        heard = deed.event.status == "done" and deed.event.why.endswith(HEARD)
        if not (heard or (deed.event.status == "planned" and is_about_to(*deed.span, self._scan))):
            return None
        does = _DOES.get(deed.event.action, {deed.event.action})
        for place in range(index + 1, len(self._deeds)):
            other = self._deeds[place]
            if other.span[0] - deed.span[1] > CARRIED_OUT_WITHIN:
                return None
            if not same_thing(other.event.part, deed.event.part) or sides_differ(other.event, deed.event):
                continue
            done = other.event.action in does and other.event.status == "done"
            return place if done and not self._another(deed, other) else None
        return None

    def _called_short(self, index: int) -> int | None:
        """ "The thrust washer goes on. Washer's on.": one of them, by its short name in the next breath."""
        if index + 1 >= len(self._deeds):
            return None
        deed, other = self._deeds[index], self._deeds[index + 1]
        short = other.event.part
        if not deed.event.part.endswith(f" {short}") or (deed.event.action, other.event.action) != ("fit", "fit"):
            return None
        if other.event.status != "done" or deed.event.status not in ("done", "planned"):
            return None
        at = other.head - len(short.split()) + 1
        alone = self._scan.gap[at] > 0 or self._scan.text[at - 1] in _THE
        is_on = self._scan.text[other.head + 1 : other.head + 2] != [] and self._scan.text[other.head + 1] in _IS
        told = alone and is_on and other.event.why.startswith(_STATES)
        near = self._sentence(other) - self._sentence(deed) <= 1 and other.span[0] - deed.span[1] <= BEFORE_IT
        differ = sides_differ(deed.event, other.event) or (other.event.count or 1) != (deed.event.count or 1)
        return index + 1 if told and near and not differ else None

    def _told_by_verb(self, index: int) -> int | None:
        """ "Plug back in": what its name alone told as connected is told as fitted by the words behind it."""
        if index + 1 >= len(self._deeds):
            return None
        deed, other = self._deeds[index], self._deeds[index + 1]
        same = (deed.head, deed.event.status) == (other.head, other.event.status)
        only_read = deed.event.why.startswith(_READ) and not other.event.why.startswith(_READ)
        return index + 1 if only_read and same and {deed.event.action, other.event.action} == _PUT_ON else None

    def _not_yet(self, index: int) -> int | None:
        """ "The chain's a new one. ... I've not fitted it yet": new, and not fitted."""
        deed = self._deeds[index]
        if deed.event.action != "fit" or deed.event.status != "done" or not deed.event.why.startswith(_ONLY_NEW):
            return None
        for place in range(index + 1, len(self._deeds)):
            other = self._deeds[place]
            if other.span[0] - deed.span[1] > SOON:
                return None
            same = other.event.part == deed.event.part and not sides_differ(other.event, deed.event)
            if same and other.event.action in PUT:
                return place if other.event.status == "negated" else None
        return None

    def _left_out(self, index: int) -> int | None:
        """ "Pads go back in, and the squeal shim, no, it's cracked. I left the shim out": named, and not fitted."""
        deed = self._deeds[index]
        if deed.event.action != "fit" or deed.event.status != "done" or not deed.wordless:
            return None
        for place in range(index + 1, len(self._deeds)):
            other = self._deeds[place]
            if other.span[0] - deed.span[1] > NEAR:
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
        if not deed.wordless or deed.event.action not in PUT or deed.event.quantities:
            return None
        for place in range(index + 1, len(self._deeds)):
            other = self._deeds[place]
            if other.span[0] - deed.span[1] > NEAR:
                return None
            same = other.wordless and (other.event.action, other.event.part) == (deed.event.action, deed.event.part)
            if same and starts_anew(self._scan, deed.span[1], other.span[0]):
                return place
        return None

    def _never_was(self, index: int) -> int | None:
        """ "It comes off clockwise, and I didn't take it out at all": how it would have come off."""
        deed = self._deeds[index]
        if deed.event.status != "done" or deed.event.action not in TAKEN | PUT:
            return None
        if self._scan.text[deed.span[0] : deed.span[1]].count("it") < 1 or _HOW.isdisjoint(
            self._scan.text[deed.span[0] : deed.span[1]]
        ):
            return None
        for place in range(index + 1, min(len(self._deeds), index + 3)):
            other = self._deeds[place]
            same = (other.event.action, other.event.part) == (deed.event.action, deed.event.part)
            if same and other.event.status == "negated" and other.span[0] - deed.span[1] <= SOON // 2:
                return place if not sides_differ(other.event, deed.event) else None
        return None
