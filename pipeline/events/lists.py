"""Lists of parts that go on without a verb: "spacer, washer, stem", "inner cable, ferrules, all new"."""

from __future__ import annotations

from dataclasses import replace

from pipeline.events.groups import GroupSearch
from pipeline.events.phrase import Phrase
from pipeline.events.predicate import Predicate
from pipeline.events.reading import COMMA, PAUSE, SENTENCE

_INTO = frozenset(("into", "in", "onto", "over", "on", "behind", "through", "under"))
_ALL = frozenset(("all", "both", "of", "them", "brand"))


class ListSearch(GroupSearch):
    """Predicates of lists."""

    def _is_item(self, part: Phrase) -> bool:
        """A named part, or "the rear one"."""
        return part.is_part or (part.is_pronoun and part.head == "one" and bool(part.side or part.position))

    def _listed(self, at: int, end: int, subjects: list[Phrase]) -> Predicate | None:
        """ "top race spun down, spacer, stem.", "the order is: bottom bush, damper rod, washer": one more goes on."""
        scan, text = self._scan, self._scan.text
        if any(
            not part.is_part or part.kind in ("measure", "tool", "fluid", "material", "finish") for part in subjects
        ):
            return None
        end = self._past_place(end)
        if self._all_new(end):
            end, new = self._all_new(end), True
            subjects = [replace(part, condition="new") for part in subjects]
        else:
            new = False
        if at == 0 or (scan.gap[at] not in (COMMA, PAUSE) and not new) or (end < len(text) and not scan.gap[end]):
            return None
        if any(part.determiner in ("no", "this", "that") or (part.weak and not part.kind) for part in subjects):
            return None
        last = self._found[-1] if self._found else None
        goes_on = (
            last is not None
            and last.action == "fit"
            and last.voice in ("verbless", "passive", "middle")
            and last.end == at
        )
        if any(part.kind == "fastener" and part.count for part in subjects):
            return None
        told = self._order_told(at)
        if not (goes_on or told or new) or (not (told or new) and last is not None and last.form not in ("pp", "past")):
            return None
        if end < len(text) and not self._ends_list(end):
            return None
        return Predicate(
            at, at, at, end, "fit", "pp", "verbless", "", None, subjects, said_as="in a list of what goes on"
        )

    def _ends_list(self, end: int) -> bool:
        """True where the next item or sentence begins after the part: no verb is about to follow."""
        after = self._scan.starting.get(end)
        return after is None or not self._reader.followed_by_verb(after, True) or self._scan.gap[end] >= SENTENCE

    def _past_place(self, end: int) -> int:
        """Past "into the slider" after an item of a list."""
        scan = self._scan
        if end < len(scan.text) and scan.text[end] in _INTO and not scan.gap[end]:
            place = scan.starting.get(end + 1)
            return place.end if place is not None and not scan.gap[end + 1] else end
        return end

    def _all_new(self, end: int) -> int:
        """Where "..., all five, all new" ends after a list of parts; 0 where it is not said."""
        text, at = self._scan.text, end
        while at < min(end + 6, len(text)) and (text[at] in _ALL or self._rules.numbers.at(text, at)):
            at += 1
        if at == end or text[at : at + 1] != ["new"]:
            return 0
        return at + 1 if self._reader.closes(at + 1) else 0

    def _order_told(self, at: int) -> bool:
        """ "so the order for the left leg goes: bottom bush, damper rod"."""
        start = at
        while start and self._scan.gap[start] < SENTENCE:
            start -= 1
        lead = self._scan.text[start : min(start + 14, at)]
        told = next((spot for spot, word in enumerate(lead) if word in ("order", "sequence")), None)
        return told is not None and any(word in ("goes", "went") for word in lead[told:])
