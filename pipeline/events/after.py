"""Triggers of the status that follow their verb: "for now", "last week", "tomorrow", "with the bolts finger tight"."""

from __future__ import annotations

from itertools import pairwise

from pipeline.events.clauses import NONE
from pipeline.events.predicate import Predicate
from pipeline.events.tense import Tense

# What can be done for now and finished later.
_UNDOABLE = frozenset(
    [
        "fit",
        "tighten",
        "torque",
        "connect",
        "assemble",
        "seal",
        "adjust",
        "route",
        "renew",
        "repair",
        "align",
        "disconnect",
        "weld",
    ]
)
_ARRIVES = frozenset(("arrive", "arrives", "arrived", "delivered"))
_TURNS_UP = frozenset(("turn up", "turns up", "get here", "gets here", "come in", "comes in", "is here", "are here"))
_LIGHTLY = frozenset(("nip", "snug", "pinch", "nipped", "be"))


class AfterTriggers(Tense):
    """What is said after the verb, up to the end of its clause."""

    def _with_after(self, predicate: Predicate, place: int, status: str, trigger: str) -> tuple[str, str]:
        """Triggers that follow the verb in its clause: "for now", "last week", "tomorrow"."""
        if status == NONE:
            return status, trigger
        end = self.clause_end(place)
        for hit in self._after:
            first = predicate.verb - (predicate.voice in ("state", "verbless"))
            if not first < hit.start < max(end, predicate.end) or not hit.status:
                continue
            said = " ".join(self._scan.text[hit.start : hit.end])
            if self._scan.text[hit.end : hit.end + 1] == ["of"]:
                continue
            topic = self._scan.ending.get(hit.start) if said == "next" else None
            if topic is not None and topic.is_part and topic.start >= predicate.end and topic not in predicate.objects:
                continue
            if hit.status == "provisional" and self._of_what_goes_with(predicate, hit.start):
                continue
            if hit.status == "provisional" and predicate.said_as.startswith("offer up"):
                predicate.action = "fit"
            if hit.status == "provisional" and status == "done" and predicate.action in _UNDOABLE:
                return "provisional", said
            if (
                hit.status == "past"
                and status == "done"
                and (predicate.form in ("past", "pp") or predicate.voice == "passive")
            ):
                return "past", said
            if (
                hit.status == "planned"
                and status == "done"
                and (predicate.form in ("s", "ing", "base") or self._gets_done(predicate))
                and predicate.voice not in ("state", "verbless")
                and not (said == "next" and predicate.form == "s" and "then" in self._scan.text[hit.end : hit.end + 2])
            ):
                return "planned", said
            if hit.status == NONE:
                return NONE, said
            if hit.status == "done" and status == "past":
                return "done", said
        if (
            status == "done"
            and predicate.voice == "middle"
            and predicate.form in ("s", "ing")
            and self._again(predicate)
        ):
            return "planned", "again"
        if status == "done" and predicate.lemma in _LIGHTLY and self._only(predicate):
            return "provisional", f"just {predicate.lemma}"
        if status == "done" and predicate.action in ("fit", "tighten") and self._only_until(predicate, end):
            return "provisional", "just ... until"
        return status, trigger

    def _of_what_goes_with(self, predicate: Predicate, at: int) -> bool:
        """ "on with two bolts finger tight", "back up with the old bolts for now": said of the bolts alone."""
        part = self._scan.ending.get(at)
        if part is None or not part.is_part or part.start <= predicate.verb or part.kind == "tool":
            return False
        if self._scan.text[part.start - 1] != "with" or not (part.kind == "fastener" or part.condition):
            return False
        predicate.provisional_with = part
        return self._scan.text[at] not in ("finger", "fingers", "fingertight", "hand", "loose", "loosely")

    def _gets_done(self, predicate: Predicate) -> bool:
        """ "the silencer gets swapped next week": a passive that is not told as past."""
        chain = self._scan.text[predicate.group : predicate.verb]
        return predicate.voice == "passive" and chain[-1:] in (["gets"], ["get"], ["is"], ["are"], ["'s"])

    def _again(self, predicate: Predicate) -> bool:
        """ "that comes off again"."""
        words = self._scan.text[predicate.verb : predicate.end + 1]
        return predicate.action == "remove" and ("again" in words or "back" in words)

    def _only(self, predicate: Predicate) -> bool:
        """ "it's just nipped", not done up."""
        chain = self._scan.text[max(0, min(predicate.start, predicate.group - 1)) : predicate.verb]
        return predicate.action == "tighten" and ("just" in chain or "only" in chain)

    def _only_until(self, predicate: Predicate, end: int) -> bool:
        """ "it's just pinched up until the forks are in"."""
        text = self._scan.text
        follows = text[predicate.end : end + 2]
        before = text[predicate.start : predicate.verb]
        purpose = follows[:2] in (["to", "hold"], ["to", "keep"], ["to", "locate"], ["to", "check"], ["to", "see"])
        if self._until_it_comes(predicate):
            return True
        return ("just" in before or "only" in before) and ("until" in follows or "till" in follows or purpose)

    def _until_it_comes(self, predicate: Predicate) -> bool:
        """ "stuck on with tape till the rivets arrive", "until the right one turns up"."""
        text, at = self._scan.text, predicate.end
        while (
            at < min(predicate.end + 5, len(text)) and text[at] not in ("until", "till") and at not in self._scan.verbs
        ):
            at += 1
        if text[at : at + 1] not in (["until"], ["till"]):
            return False
        rest = text[at : at + 8]
        pairs = {f"{first} {second}" for first, second in pairwise(rest)}
        return any(word in _ARRIVES for word in rest) or bool(pairs & _TURNS_UP)
