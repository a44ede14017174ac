"""What is done, planned, provisional, advised, negated or past: triggers, directions and terminators.

The method is ConText: Harkema, Dowling, Thornblade, Chapman 2009, "ConText: an algorithm for determining negation,
experiencer, and temporal status from clinical reports", Journal of Biomedical Informatics 42(5), 839-851. A trigger
opens a scope in one direction, a terminator or the end of the sentence closes it. Triggers are data
(vocab/events/status.toml); the tense of the verb decides where no trigger reaches.
"""

from __future__ import annotations

from pipeline.events.after import AfterTriggers
from pipeline.events.clauses import NONE, is_finite
from pipeline.events.predicate import Predicate
from pipeline.events.reading import SENTENCE

# Where several triggers reach a verb the first of these wins.
STRENGTH = ("none", "negated", "advised", "past", "provisional", "planned", "done")
# In a list of jobs each may be a sentence of so many words, in which nobody tells what he did.
_JOB, _TOLD_BY = 7, frozenset(("i", "we", "you", "he", "they"))
_HANDS_ON = frozenset(("fit", "tighten", "torque", "connect", "slacken", "lubricate", "fill", "drain"))
_ASKED = frozenset(
    ("i", "you", "we", "they", "he", "she", "it", "that", "this", "these", "those", "the", "anyone", "anybody")
)


class Scope(AfterTriggers):
    """Decides the status of every predicate of one scan."""

    question_ends: frozenset[int] = frozenset()

    def decide(self) -> None:
        """Fills `status` and `trigger` of each predicate, in order."""
        last: Predicate | None = None
        for place, predicate in enumerate(self._predicates):
            if not predicate.action:
                continue
            if predicate.elided and last is not None:
                predicate.status = "done" if last.status == "provisional" else last.status
                predicate.trigger, predicate.form = last.trigger, last.form
                last = predicate
                continue
            if predicate.ambiguous:
                predicate.form = self._ambiguous_form(predicate, place, last)
            predicate.linked = self._is_linked(last, predicate, place)
            status, trigger = self._status(predicate, place, last)
            predicate.status, predicate.trigger = status, trigger
            last = predicate

    def decide_only(self, wanted: frozenset[int]) -> None:
        """Fills the status of those predicates whose ids are wanted; all others have theirs."""
        last: Predicate | None = None
        for place, predicate in enumerate(self._predicates):
            if not predicate.action:
                continue
            if id(predicate) in wanted:
                predicate.status, predicate.trigger = self._status(predicate, place, last)
            else:
                last = predicate

    def _status(self, predicate: Predicate, place: int, last: Predicate | None) -> tuple[str, str]:
        if self._is_question(predicate):
            return NONE, "a question"
        if (
            predicate.voice == "passive"
            and predicate.subject is None
            and self._scan.text[predicate.group - 1 : predicate.group] == ["nothing"]
        ):
            return NONE, "nothing"
        if (
            predicate.action == "mark"
            and predicate.voice == "passive"
            and self._scan.text[predicate.verb - 1] in ("is", "are", "'s")
        ):
            return NONE, "how it looks"
        if (
            predicate.action == "repair"
            and predicate.form == "ing"
            and "today" in self._scan.text[predicate.verb : predicate.end + 8]
        ):
            return NONE, "what today is about"
        if predicate.status_told:
            return predicate.status_told, predicate.said_as
        if predicate.lemma in self._rules.verb_status and predicate.voice != "to do":
            return self._rules.verb_status[predicate.lemma], predicate.lemma
        status, trigger = self._triggered(predicate, place)
        if (
            not status
            and predicate.linked
            and last is not None
            and (predicate.voice == "verbless" or self._same_form(last, predicate))
        ):
            status, trigger = last.status, last.trigger
            if status == "provisional":
                status = "done"
        if trigger == "being" and predicate.action in _HANDS_ON:
            status, trigger = "done", "happening now"
        if not status:
            status, trigger = self._by_tense(predicate, place)
        if (status in ("done", "advised") and predicate.voice != "verbless") or status == "done":
            status, trigger = self._conditional(predicate, status, trigger)
        if status in ("done", "advised") and self.is_left_to_do(predicate):
            status, trigger = "planned", "what is left to do"
        if status == "done" and self._when_it_comes(predicate, place):
            status, trigger = "planned", "when"
        if status == "done" and (phrase := self._past_before(predicate)):
            status, trigger = "past", phrase
        return self._with_after(predicate, place, status, trigger)

    def _triggered(self, predicate: Predicate, place: int) -> tuple[str, str]:
        """The strongest trigger of [before] whose scope reaches the verb."""
        text = self._scan.text
        start = self._window_start(predicate, place)
        hits: list[tuple[int, int, str]] = []
        covered = -1
        for at, end, status in self._before:
            if at < start or at >= predicate.verb:
                continue
            if end > predicate.verb or end <= covered:
                continue
            covered = end
            hits.append((at, end, status))
        if predicate.voice == "to do":
            hits = [hit for hit in hits if " ".join(text[hit[0] : hit[1]]) != "to"]
        reaching = [
            (status, " ".join(text[at:end]))
            for at, end, status in hits
            if status and self._reaches(at, end, predicate, place)
        ]
        if self._by_used(predicate, place):
            return "done", "used"
        head = predicate.subject.head if predicate.subject else ""
        if predicate.lemma == "do" and "could" in text[predicate.group : predicate.verb]:
            return "planned", "could do with"
        for status in STRENGTH:
            for found, said in reaching:
                if said in ("would not", "will not") and head in ("i", "we", "you") and found == "negated":
                    found = NONE if said == "would not" else found
                if found == status:
                    if status == "planned" and head == "you":
                        return "advised", f"you {said}"
                    return status, said
        if predicate.voice == "to do":
            return "planned", "to do"
        return "", ""

    def _told(self, predicate: Predicate) -> bool:
        """ "when I took the head off": it was taken off."""
        head = predicate.subject.head if predicate.subject else ""
        had = "'d" in self._scan.text[predicate.group : predicate.verb] and predicate.form == "pp"
        return (predicate.form == "past" or had) and head in ("i", "we") and predicate.action != ""

    def _by_used(self, predicate: Predicate, place: int) -> bool:
        """ "used a puller to get it off": the purpose was reached."""
        text = self._scan.text
        if not (predicate.verb and text[predicate.verb - 1] == "to"):
            return False
        return any(
            other.lemma == "use" and other.voice == "other" and other.verb >= predicate.verb - 8
            and text[other.verb] in ("used", "using") for other in self._predicates[:place]
        )  # fmt: skip

    def _reaches(self, at: int, end: int, predicate: Predicate, place: int) -> bool:
        said = " ".join(self._scan.text[at:end])
        if said in self._rules.adjacent:
            skipped = self._scan.text[end : predicate.verb]
            words = self._rules.words
            chain = words["adverbs"] | words["be"] | words["have"] | words["get"] | self._rules.to_words
            chain |= self._rules.ing_words | {"you", "not", "to"}
            if self._scan.text[at:end][-1] in ("not", "never"):
                return all(word in chain for word in self._scan.text[end : predicate.verb])
            return all(
                word in self._rules.words["adverbs"] or word in ("be", "have", "been", "you", "not") for word in skipped
            )
        if self._rules.before.at(said.split(), 0) == (len(said.split()), "provisional") and said != "temporarily":
            before = self._scan.text[at - 1] if at else ""
            return at == 0 or self._scan.gap[at] > 0 or before in ("so", "and", "but", "then")
        if said in ("when", "after", "once", "before") and self._told(predicate):
            return False
        if said in self._rules.one_clause:
            between = [
                other
                for other in self._predicates[:place]
                if end <= other.verb < predicate.verb and other.verb != predicate.verb
            ]
            return not any(is_finite(other, self._scan) for other in between)
        return True

    def _is_question(self, predicate: Predicate) -> bool:
        scan, rules = self._scan, self._rules
        start, end = self.sentence(predicate.verb)
        at = start
        while at < predicate.verb and scan.text[at] in ("so", "and", "but", "now", "well", "okay", "right", "um", "er"):
            at += 1
        opener = rules.question_openers.at(scan.text, at)
        if opener and opener[0] <= predicate.verb:
            follows = scan.text[opener[0]] if opener[0] < len(scan.text) else ""
            if scan.text[at] in ("where", "when") and opener[0] == at + 1 and not self._marked_question(end):
                return False
            return follows in _ASKED or scan.text[at] in ("why", "how", "what") or opener[0] - at > 1
        return self._marked_question(end) and not any(
            (hit := rules.question_tags.at(scan.text, spot)) and hit[0] == end
            for spot in range(max(start, end - 5), end)
        )

    def is_asked(self, at: int) -> bool:
        """Whether the sentence around a unit ends with a question mark."""
        return self._marked_question(self.sentence(at)[1])

    def _marked_question(self, end: int) -> bool:
        return end in self.question_ends

    def _conditional(self, predicate: Predicate, status: str, trigger: str) -> tuple[str, str]:
        """ "if it leaks, replace it": what hangs on an "if" earlier in the sentence is no event unless told as past."""
        if predicate.form in ("past", "pp") and predicate.voice != "passive":
            return status, trigger
        text = self._scan.text
        start, _ = self.sentence(predicate.verb)
        for at in range(predicate.group, start, -1):
            word = text[at - 1]
            if word in ("so", "but", "because", "then") and at <= predicate.start:
                break
            if (
                word in ("if", "unless")
                and predicate.start - at < 14
                and text[at - 2 : at - 1] not in (["as"], ["even"], ["see"])
            ):
                return (NONE, "if") if status == "advised" or predicate.form == "base" else (status, trigger)
        return status, trigger

    def is_left_to_do(self, predicate: Predicate) -> bool:
        """ "So, what's left. Sprocket off, top up the oil": a list of jobs, also where each is a sentence."""
        text, gap = self._scan.text, self._scan.gap
        if not self._left or (predicate.subject is not None and predicate.subject.head in ("i", "we")):
            return False
        sentences = 0
        for at in range(predicate.verb, max(-1, predicate.verb - 30), -1):
            if gap[at] >= SENTENCE:
                own = text[at : self.sentence(at)[1]]
                sentences += len(own) > _JOB or not _TOLD_BY.isdisjoint(own)
                if sentences > 1:
                    return False
            if at in self._left and self._left[at] <= predicate.start:
                return True
        return False

    def _when_it_comes(self, predicate: Predicate, place: int) -> bool:
        """ "when it goes on for good, the nut gets tightened": still to come."""
        if predicate.form == "past" or predicate.voice in ("verbless", "active") or place == 0:
            return False
        text = self._scan.text
        chain = text[predicate.group : predicate.verb]
        if any(word in ("have", "has", "been", "was", "were", "had", "'s", "is") for word in chain):
            return False
        start, _ = self.sentence(predicate.verb)
        lead = text[start : min(start + 3, predicate.start)]
        return ("when" in lead or "once" in lead) and predicate.start - start < 16

    def _past_before(self, predicate: Predicate) -> str:
        """A word like "last year" or "the previous owner" earlier in the sentence that still holds."""
        if predicate.form not in ("past", "pp") and predicate.voice not in ("passive", "state"):
            return ""
        text = self._scan.text
        if predicate.voice == "state" and text[predicate.verb - 1] in ("is", "are", "'s"):
            return ""
        start, _ = self.sentence(predicate.verb)
        for at in range(predicate.verb - 1, start - 1, -1):
            ended = self._rules.past_ends.at(text, at)
            fresh = text[at] not in ("i", "we") or predicate.form != "past"
            if ended and ended[0] <= predicate.verb and fresh:
                return ""
            hit = self._rules.past_phrases.at(text, at)
            if hit and hit[0] <= predicate.verb:
                return " ".join(text[at : hit[0]])
            people = self._rules.past_people.at(text, at) if text[at] != "they" or predicate.voice == "active" else None
            if people and people[0] <= predicate.verb and not self._speaker_between(people[0], predicate):
                if text[at] == "they" and (predicate.subject is None or predicate.subject.head != "they"):
                    continue
                return " ".join(text[at : people[0]])
        return ""

    def _speaker_between(self, at: int, predicate: Predicate) -> bool:
        between = self._scan.text[at : predicate.verb]
        passive_between = predicate.voice in ("passive", "state", "verbless") and predicate.subject is not None
        own = passive_between and predicate.subject is not None and predicate.subject.start > at
        return "i" in between or "we" in between or "it" in between[:-1] or own
