"""Lists of parts that go on without a verb: "spacer, washer, stem", "inner cable, ferrules, all new"."""

from __future__ import annotations

from dataclasses import replace

from pipeline.events.groups import GroupSearch
from pipeline.events.phrase import Phrase
from pipeline.events.predicate import Predicate
from pipeline.events.reading import COMMA, PAUSE, SENTENCE

_ECHO_REACH = 14
_INTO = frozenset(("into", "in", "onto", "over", "on", "behind", "through", "under"))
_ALL = frozenset(("all", "both", "of", "them", "brand"))


class ListSearch(GroupSearch):
    """Predicates of lists."""

    def _is_item(self, part: Phrase) -> bool:
        """A named part, or "the rear one"."""
        return part.is_part or (part.is_pronoun and part.head == "one" and bool(part.side or part.position))

    def _echo(self, at: int, phrase: Phrase) -> Predicate | None:
        """ "so is the rear", "ditto the seal", "the rear one isn't", "but not the washer": the action before, again."""
        scan, text = self._scan, self._scan.text
        last = next((found for found in reversed(self._found) if found.action), None)
        item = phrase.is_part or (phrase.is_pronoun and (phrase.head in ("one", "other") or bool(phrase.side)))
        if last is None or not item or at < last.end or at - last.end > _ECHO_REACH:
            return None
        end, lead = phrase.end, text[max(0, at - 3) : at]
        again = lead[-1:] in (["ditto"], ["likewise"]) or (lead[-2:-1] == ["so"] and lead[-1] in self._aux)
        again = again or lead[-2:] in (["same", "with"], ["same", "for"]) or lead == ["same", "goes", "for"]
        negated = lead[-2:] == ["but", "not"] or (lead[-1:] == ["not"] and scan.gap[at - 1] > 0)
        if not again and not negated and at:
            stop = end + 1 if text[end : end + 1] == ["not"] else end + 2
            helped = text[end : end + 1] == ["not"] or (text[end : end + 1] and text[end] in self._aux)
            negated = bool(helped) and text[stop - 1 : stop] == ["not"] and scan.gap[end] == 0
            end = stop
        if not (again or negated) or not self._reader.closes(end):
            return None
        said_as = " ".join(text[max(0, at - 2) : end])
        found = Predicate(at, at, at, end, last.action, "pp", "verbless", "", phrase, [phrase], said_as=said_as)
        found.status_told, found.elided = ("negated", False) if negated else ("", True)
        return found

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
        told = self._order_told(at)
        if any(
            part.determiner in ("no", "this", "that") or (part.weak and not part.kind and not told) for part in subjects
        ):
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
