"""What a form of "be" tells: "the head is back on", "the circlips are new", "they're thirty newton metres"."""

from __future__ import annotations

from dataclasses import replace

from pipeline.events.groups import GroupSearch
from pipeline.events.own_condition import IS_NEW, IS_OLD, told_old
from pipeline.events.phrase import Phrase
from pipeline.events.predicate import Predicate
from pipeline.events.reading import PAUSE

_BEFORE_STATE = frozenset(
    [
        "all",
        "not",
        "now",
        "just",
        "already",
        "nearly",
        "almost",
        "both",
        "still",
        "only",
        "finally",
        "fully",
        "properly",
        "nice",
        "and",
        "well",
    ]
)


def _may_be_new(part: Phrase) -> bool:
    """A part, or one of two by its place: "the left one"."""
    placed = part.is_pronoun and part.head == "one" and bool(part.side or part.position)
    return placed or (part.is_part and part.kind != "tool")


class StateSearch(GroupSearch):
    """Predicates told by a state."""

    def _copula(self, at: int) -> Predicate | None:
        """ "the head is back on", "that's off now"; also what only presents a part."""
        scan, text = self._scan, self._scan.text
        group = at
        while (
            group
            and text[group - 1] in (self._aux | {"'s", "'d", "not", "to", "still", "now", "just", "already"})
            and not scan.gap[group]
        ):
            group -= 1
        subjects = self._subject(group)
        subject = subjects[-1] if subjects else None
        start = subjects[0].start if subjects else group
        look = at + 1
        while look < len(text) and text[look] in _BEFORE_STATE and scan.gap[look] < PAUSE:
            look += 1
        told = self._told_new(start, group, at, look, subjects) or self._told_figure(start, group, at, look, subjects)
        if told:
            return told
        options = [spot for spot in (look, self._reader.skip(look)) if spot < len(text)]
        for spot in dict.fromkeys(options):
            hit = self._rules.states.at(text, spot)
            if hit and (not hit[1] or text[at] in ("was", "were")):
                hit = None
            if (
                hit
                and scan.gap[spot] < PAUSE
                and subjects
                and subject
                and subject.kind != "person"
                and self._ends_state(hit[0], text[spot])
            ):
                form = "pp" if text[at] == "been" else "s"
                end = hit[0]
                while end < len(text) and text[end] in ("and", "tight") and text[end : end + 2] == ["and", "tight"]:
                    end += 2
                return Predicate(
                    start, group, spot, end, hit[1], form, "state", "be", subject, list(subjects),
                    said_as=f"is {' '.join(text[spot:hit[0]])}",
                )  # fmt: skip
        return self._presented_state(start, group, at, subject) or Predicate(
            start, group, at, at + 1, "", "s", "other", "be", subject
        )

    def _told_new(self, start: int, group: int, at: int, look: int, subjects: list[Phrase]) -> Predicate | None:
        """ "the circlips are new": told of a part at the build, it has gone on."""
        text = self._scan.text
        while look < len(text) and text[look] in ("a", "the", "brand"):
            look += 1
        if text[at] not in ("is", "are", "'s") or not subjects or text[group:at]:
            return None
        hit = self._rules.condition.at(text, look)
        new = hit is not None and hit[1] == "new"
        old, end = told_old(text, look, subjects[-1].head)
        if not (all(_may_be_new(part) for part in subjects) and (new or old)):
            return None
        if hit is not None and new:
            end = hit[0] + (text[hit[0] : hit[0] + 1] in (["one"], ["ones"]))
        follows = self._scan.starting.get(self._reader.skip(end))
        parted = self._scan.bare and follows is not None and follows.determiner != ""
        if not (parted or self._reader.closes(self._reader.skip(end))):
            return None
        parts = [replace(part, condition="new" if new else old) for part in subjects]
        said_as = IS_NEW if new else IS_OLD
        return Predicate(start, group, at, end, "fit", "s", "state", "be", parts[-1], parts, said_as=said_as)

    def _told_figure(self, start: int, group: int, at: int, look: int, subjects: list[Phrase]) -> Predicate | None:
        """ "they're thirty newton metres"."""
        if self._scan.text[look : look + 1] in (["at"], ["to"]) and look + 1 in self._scan.torques:
            look += 1
        if look not in self._scan.torques or not subjects or subjects[-1].kind in ("person", "nothing"):
            return None
        end = self._scan.figures[look]
        return Predicate(
            start, group, at, end, "torque", "s", "state", "be", subjects[-1], list(subjects), said_as="to a figure"
        )

    def _presented_state(self, start: int, group: int, at: int, subject: Phrase | None) -> Predicate | None:
        """ "that's the rear wheel off"."""
        scan, text = self._scan, self._scan.text
        if (
            subject is None
            or subject.head not in ("that", "there", "this", "it")
            or text[at] not in ("is", "'s", "are")
        ):
            return None
        objects, end = self._reader.objects_at(self._reader.skip(at + 1), True)
        if not objects or not objects[0].is_part:
            return None
        spot = self._reader.skip(end)
        hit = self._rules.states.at(text, spot) if spot < len(text) and scan.gap[spot] < PAUSE else None
        if not hit or not hit[1] or spot in scan.verbs or not self._reader.closes(hit[0]):
            return None
        said_as = " ".join(text[spot : hit[0]])
        return Predicate(start, group, spot, hit[0], hit[1], "s", "state", "be", subject, objects, said_as=said_as)

    def _ends_state(self, end: int, first: str) -> bool:
        """A state word that opens no "in the gearbox"; "off the bike" and "back on the engine" still tell."""
        scan = self._scan
        if end >= len(scan.text) or scan.gap[end]:
            return True
        word = scan.text[end]
        if word == "by" or (word in ("of", "from") and first not in ("off", "out")):
            return False
        if word == "to":
            return end + 1 in scan.verbs
        if self._reader.to_place(end):
            return False
        phrase = scan.starting.get(end)
        if (
            phrase
            and phrase.kind not in ("person",)
            and not (phrase.is_pronoun and phrase.head in ("that", "this", "which", "it"))
        ):
            if word in self._rules.words["possessives"] or first in ("off", "back", "tight", "loose", "home"):
                return True
            if first == "in" and not (phrase.determiner or phrase.condition or phrase.count or phrase.plural):
                return False  # "it's in beat", "it's in gear": the state that it is in
            return self._reader.closes(end)
        return not (word in ("a", "the", "here") or word.isdigit())
