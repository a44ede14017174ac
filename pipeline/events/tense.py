"""The status that the form of a verb tells where no trigger does."""

from __future__ import annotations

from pipeline.events.clauses import NONE, Clauses
from pipeline.events.predicate import Predicate

_SENT_OUT = frozenset(("coat", "machine", "polish", "repair", "weld", "clean", "test"))
THE_OLD_WAS = "the old one was"
_PUT_ON = frozenset(("fit", "seal", "connect", "weld", "tighten", "coat"))
_WAS, _BACK = frozenset(("was", "were")), frozenset(("back", "again", "refitted", "reused"))
_TENSE_WHY = {"pp": "has been", "s": "said of the part", "past": "past tense", "ing": "happening now"}


class Tense(Clauses):
    """Status by tense, voice and subject."""

    def _ambiguous_form(self, predicate: Predicate, place: int, last: Predicate | None) -> str:
        """ "cut", "put", "set" without a subject: what they are joined to tells instruction from report."""
        if last is not None and self._is_linked(last, predicate, place):
            return "past" if last.form in ("past", "pp") else "base"
        for before in reversed(self._predicates[max(0, place - 4) : place]):
            alike = before.action and before.subject is None and before.voice == "active" and not before.linked
            if alike and before.form in ("past", "base") and predicate.verb - before.verb < 24:
                return before.form
        _, end = self.sentence(predicate.verb)
        for later in self._predicates[place + 1 :]:
            if later.verb >= end or later.subject is not None:
                break
            if later.action and not later.ambiguous:
                return "past" if later.form in ("past", "pp") else "base"
        return "base"

    def _same_form(self, last: Predicate, predicate: Predicate) -> bool:
        form, before = predicate.form, last.form
        if form in ("past", "pp"):
            return before in ("past", "pp", "s") or last.status in ("done", "past")
        if form == "base":
            return before in ("base", "past", "pp", "ing") or last.status in ("planned", "advised", "none")
        if form == "ing":
            return before in ("ing", "base")
        return False

    def _by_tense(self, predicate: Predicate, place: int) -> tuple[str, str]:
        text = self._scan.text
        subject, form = predicate.subject, predicate.form
        head = subject.head if subject else ""
        chain = text[predicate.group : predicate.verb]
        if chain[-2:] in (["have", "had"], ["has", "had"]) and predicate.action in _SENT_OUT and not predicate.objects:
            return "past", "had it done"
        if predicate.voice == "causative" and predicate.lemma_before == "have" and predicate.action in _SENT_OUT:
            return "past", "had it done"
        described = (
            predicate.voice == "middle" and predicate.lemma == "come" and form == "s" and predicate.action == "remove"
        )
        if described and subject is not None and subject.is_part and "'s" not in chain:
            return "advised", "how it comes off"
        if self._of_the_old_one(predicate):
            return "past", THE_OLD_WAS
        if predicate.voice in ("state", "verbless", "passive", "causative", "middle"):
            if predicate.voice == "passive" and head == "you":
                return NONE, ""
            return "done", _TENSE_WHY.get(form, "")
        if head in ("i", "we"):
            would = form == "past" and "'d" in text[predicate.group : predicate.verb]
            return (NONE, "") if would else ("done", "told by the speaker")
        if head == "you" and "'d" in chain and form != "pp":
            return NONE, ""
        if head == "you":
            return ("advised", "“you”") if form in ("base", "s", "ing") else ("done", "")
        if form in ("past", "pp") and head in ("he", "she"):
            return "past", f"{head} did it"
        if form == "past" or form == "pp":
            return "done", "past tense"
        if subject is not None and subject.kind == "person":
            return (NONE, "") if form in ("base", "s") else ("done", "")
        if form == "s" or subject is not None:
            return ("done", "told as it happens") if form != "base" else (NONE, "")
        if form == "ing":
            gerund = self._is_gerund(predicate)
            return (NONE, "") if gerund else ("done", "told as it happens")
        if form == "base":
            before = text[predicate.group - 1] if predicate.group else ""
            near = text[predicate.group - 2] if predicate.group > 1 else ""
            if before in ("i", "we") or near in ("i", "we"):
                return "done", ""
            if (
                predicate.lemma == "look"
                and predicate.objects
                and predicate.objects[0].determiner in ("that", "this", "those")
            ):
                return "done", "look at that"
            return "advised", "said as an instruction"
        return NONE, ""

    def _of_the_old_one(self, predicate: Predicate) -> bool:
        """ "the old tyres were glued on": so it was found; "the old ones were pressed back in" is work."""
        text, subject = self._scan.text, predicate.subject
        if predicate.voice != "passive" or predicate.action not in _PUT_ON or subject is None:
            return False
        was = not _WAS.isdisjoint(text[predicate.group : predicate.verb])
        back = not _BACK.isdisjoint(text[predicate.verb : predicate.end + 1])
        return was and not back and "old" in text[subject.start : subject.end]

    def _is_gerund(self, predicate: Predicate) -> bool:
        """ "fitting the bearing is easy": a subject, not a thing done."""
        text = self._scan.text
        chain = text[predicate.group : predicate.verb]
        if any(word in self._rules.words["be"] for word in chain):
            return False
        at = predicate.end
        return at < len(text) and (text[at] in ("is", "was", "'s", "will", "can", "would") or not predicate.objects)
