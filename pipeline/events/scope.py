"""What is done, planned, provisional, advised, negated or past: triggers, directions and terminators.

The method is ConText: Harkema, Dowling, Thornblade, Chapman 2009, "ConText: an algorithm for determining negation,
experiencer, and temporal status from clinical reports", Journal of Biomedical Informatics 42(5), 839-851. A trigger
opens a scope in one direction, a terminator or the end of the sentence closes it. Triggers are data
(vocab/events/status.toml); the tense of the verb decides where no trigger reaches.
"""

from __future__ import annotations

from dataclasses import dataclass

from pipeline.events.phrases import Scan
from pipeline.events.predicates import Predicate
from pipeline.events.reading import PAUSE, SENTENCE
from pipeline.events.rules import Rules

# Where several triggers reach a verb the first of these wins.
STRENGTH = ("none", "negated", "advised", "past", "provisional", "planned", "done")
NONE = "none"


@dataclass(frozen=True, slots=True)
class _Hit:
    start: int
    end: int
    status: str


class Scope:
    """Decides the status of every predicate of one scan."""

    def __init__(self, rules: Rules, scan: Scan, predicates: list[Predicate]) -> None:
        self._rules, self._scan, self._predicates = rules, scan, predicates
        text = scan.text
        self._before = [(i, *hit) for i in range(len(text)) if (hit := rules.before.at(text, i))]
        self._after = [_Hit(i, hit[0], hit[1]) for i in range(len(text)) if (hit := rules.after.at(text, i))]
        self._sentences = _sentence_starts(scan)

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

    def _ambiguous_form(self, predicate: Predicate, place: int, last: Predicate | None) -> str:
        """ "cut", "put", "set" without a subject: what they are joined to tells instruction from report."""
        if last is not None and self._is_linked(last, predicate, place):
            return "past" if last.form in ("past", "pp") else "base"
        _, end = self.sentence(predicate.verb)
        for later in self._predicates[place + 1 :]:
            if later.verb >= end or later.subject is not None:
                break
            if later.action and not later.ambiguous:
                return "past" if later.form in ("past", "pp") else "base"
        return "base"

    # Where things are

    def sentence(self, at: int) -> tuple[int, int]:
        """Units (start, end) of the sentence around `at`."""
        start = max((s for s in self._sentences if s <= at), default=0)
        end = min((s for s in self._sentences if s > at), default=len(self._scan.text))
        return start, end

    def clause_end(self, place: int) -> int:
        """Where the words after a predicate stop being about it."""
        predicate = self._predicates[place]
        stop = len(self._scan.text)
        for later in self._predicates[place + 1 :]:
            if later.start >= predicate.end:
                stop = later.start
                break
        text, gap = self._scan.text, self._scan.gap
        for at in range(predicate.end, stop):
            if gap[at] >= PAUSE:
                return at
            if (
                text[at] in _CLAUSE_ENDS
                and at > predicate.end
                and not (text[at] == "but" and text[at + 1 : at + 2] == ["not"])
            ):
                return at
            if text[at] in ("and", "so", "because") and at >= predicate.end and self._opens(at):
                return at
        return stop

    def _opens(self, at: int) -> bool:
        text = self._scan.text
        return text[at] != "and" or at + 1 >= len(text) or text[at + 1] not in ("a", "the", "tight")

    def _is_linked(self, last: Predicate | None, predicate: Predicate, place: int) -> bool:
        """True where the verb has no subject or auxiliary of its own and goes on from the one before."""
        if last is None or predicate.voice in ("state", "causative", "to do") or self._own_helper(predicate):
            return False
        if predicate.voice == "verbless":
            return predicate.fluid != "" and self._scan.text[max(0, predicate.start - 1)] == "and"
        if predicate.subject is not None and predicate.voice not in ("passive",):
            return False
        if predicate.voice == "passive" and predicate.subject is not None:
            return False
        scan = self._scan
        if last.status == NONE and last.trigger in self._rules.one_clause:
            if not any(word in ("and", "or") for word in scan.text[last.end : predicate.group]):
                return False
        between = range(last.end, predicate.group)
        if any(scan.gap[at] >= SENTENCE for at in [*between, predicate.group]):
            return False
        if any(scan.gap[at] >= PAUSE for at in [*between, predicate.group]):
            words = scan.text[last.end : predicate.group]
            if not any(word in ("and", "then", "or") for word in words):
                return False
        words = scan.text[last.end : predicate.group]
        if any(
            word in ("so", "but", "because", "if", "when", "before", "once", "until", "after", "make") for word in words
        ):
            return False
        start = self._predicates.index(last)
        return all(other.voice != "other" or not _finite(other, scan) for other in self._predicates[start + 1 : place])

    def _own_helper(self, predicate: Predicate) -> bool:
        chain = self._scan.text[predicate.group : predicate.verb]
        words = self._rules.words
        helpers = words["be"] | words["have"] | words["get"] | words["do"] | words["modals"] | {"to", "us", "'d"}
        return any(word in helpers for word in chain)

    # Status

    def _status(self, predicate: Predicate, place: int, last: Predicate | None) -> tuple[str, str]:
        if self._is_question(predicate):
            return NONE, "a question"
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
        if not status:
            status, trigger = self._by_tense(predicate, place)
        if status in ("done", "advised") and predicate.voice != "verbless" or status == "done":
            status, trigger = self._conditional(predicate, status, trigger)
        if status in ("done", "advised") and self._is_left_to_do(predicate):
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
        return predicate.form == "past" and head in ("i", "we") and predicate.action != ""

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
            between = words["adverbs"] | words["be"] | words["have"] | words["get"] | self._rules.to_words
            between |= self._rules.ing_words | {"you", "not", "to"}
            if self._scan.text[at:end][-1] in ("not", "never"):
                return all(word in between for word in self._scan.text[end : predicate.verb])
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
            return not any(_finite(other, self._scan) for other in between)
        return True

    def _window_start(self, predicate: Predicate, place: int) -> int:
        """Triggers look no further back than the last action, a pause, or a word that opens a new statement."""
        scan = self._scan
        start = 0
        for other in reversed(self._predicates[:place]):
            if other.action and other.end <= max(predicate.verb, other.end):
                start = min(other.end, predicate.group) if not (other.verb < predicate.group < other.end) else other.end
                break
        for at in range(predicate.group, max(start, predicate.verb - 24), -1):
            if at < len(scan.gap) and scan.gap[at] >= PAUSE:
                return at
            word = scan.text[at - 1]
            if (
                word in ("but", "because", "so", "whereas", "cos")
                and not scan.text[at - 1 : at + 3]
                in (["so", "that", "i", "can"], ["so", "that", "you", "can"], ["so", "that", "we", "can"])
                and scan.text[at - 1 : at + 2]
                not in (["so", "i", "can"], ["so", "you", "can"], ["so", "we", "can"], ["so", "as", "to"])
            ):
                return at
        return max(start, predicate.verb - 24, self._own_clause(predicate, place))

    def _own_clause(self, predicate: Predicate, place: int) -> int:
        """Where a clause with a subject of its own begins, after another full clause: "you can see it, that's been ..."."""
        if predicate.subject is None or place == 0:
            return 0
        other = self._predicates[place - 1]
        if other.action or other.subject is None or other.lemma in _OPEN_CLAUSES or not _finite(other, self._scan):
            return 0
        if other.verb >= predicate.subject.start or other.subject == predicate.subject:
            return 0
        return max(other.end, predicate.start - 3)

    def _is_question(self, predicate: Predicate) -> bool:
        scan, rules = self._scan, self._rules
        start, end = self.sentence(predicate.verb)
        at = start
        while at < predicate.verb and scan.text[at] in ("so", "and", "but", "now", "well", "okay", "right", "um", "er"):
            at += 1
        opener = rules.question_openers.at(scan.text, at)
        if opener and opener[0] <= predicate.verb:
            follows = scan.text[opener[0]] if opener[0] < len(scan.text) else ""
            return follows in _ASKED or scan.text[at] in ("why", "how", "what") or opener[0] - at > 1
        return self._marked_question(end) and not any(
            (hit := rules.question_tags.at(scan.text, spot)) and hit[0] == end
            for spot in range(max(start, end - 5), end)
        )

    def _marked_question(self, end: int) -> bool:
        return end in self.question_ends

    question_ends: frozenset[int] = frozenset()

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
        if predicate.voice in ("state", "verbless", "passive", "causative", "middle"):
            if predicate.voice == "passive" and head in ("you", "they"):
                return NONE, ""
            return "done", _TENSE_WHY.get(form, "")
        if head in ("i", "we"):
            would = form == "past" and "'d" in text[predicate.group : predicate.verb]
            return (NONE, "") if would else ("done", "told by the speaker")
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
            if predicate.lemma == "look" and predicate.objects and predicate.objects[0].determiner in ("that", "this", "those"):
                return "done", "look at that"
            return "advised", "said as an instruction"
        return NONE, ""

    def _is_gerund(self, predicate: Predicate) -> bool:
        """ "fitting the bearing is easy": a subject, not a thing done."""
        text = self._scan.text
        chain = text[predicate.group : predicate.verb]
        if any(word in self._rules.words["be"] for word in chain):
            return False
        at = predicate.end
        return at < len(text) and (text[at] in ("is", "was", "'s", "will", "can", "would") or not predicate.objects)

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

    def _is_left_to_do(self, predicate: Predicate) -> bool:
        """ "So, what's left. Sprocket off, top up the oil": a list of jobs."""
        text, gap = self._scan.text, self._scan.gap
        if predicate.subject is not None and predicate.subject.head in ("i", "we"):
            return False
        sentences = 0
        for at in range(predicate.verb, max(0, predicate.verb - 30), -1):
            if gap[at] >= SENTENCE:
                sentences += 1
                if sentences > 1:
                    return False
            hit = self._rules.left_to_do.at(text, at)
            if hit and hit[0] <= predicate.start:
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
        start, _ = self.sentence(predicate.verb)
        for at in range(predicate.verb - 1, start - 1, -1):
            ended = self._rules.past_ends.at(text, at)
            if ended and ended[0] <= predicate.verb and not (text[at] == "now" and False):
                if text[at] not in ("i", "we") or predicate.form != "past":
                    return ""
            hit = self._rules.past_phrases.at(text, at)
            if hit and hit[0] <= predicate.verb:
                return " ".join(text[at : hit[0]])
            people = self._rules.past_people.at(text, at)
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
                and predicate.form in ("s", "ing", "base")
                and predicate.voice not in ("state", "verbless")
            ):
                return "planned", said
            if hit.status == NONE:
                return NONE, said
            if hit.status == "done" and status == "past":
                return "done", said
        if status == "done" and predicate.action in ("fit", "tighten") and self._only_until(predicate, end):
            return "provisional", "just ... until"
        return status, trigger

    def _only_until(self, predicate: Predicate, end: int) -> bool:
        """ "it's just pinched up until the forks are in"."""
        text = self._scan.text
        follows = text[predicate.end : end + 2]
        before = text[predicate.start : predicate.verb]
        purpose = follows[:2] in (["to", "hold"], ["to", "keep"], ["to", "locate"], ["to", "check"], ["to", "see"])
        return ("just" in before or "only" in before) and ("until" in follows or "till" in follows or purpose)


# Verbs that open a clause which belongs to them: "I think I'll", "make sure you".
_OPEN_CLAUSES = frozenset(
    "think guess reckon hope wish wonder make forget remember know say suppose imagine decide mean ensure suggest"
    " recommend believe expect mind let help".split()
)
# What can be done for now and finished later.
_UNDOABLE = frozenset("fit tighten torque connect assemble seal adjust route renew repair align disconnect weld".split())
_SENT_OUT = frozenset(("coat", "machine", "polish", "repair", "weld", "clean", "test"))
_CLAUSE_ENDS = frozenset(("but", "because", "so", "if", "when", "which", "although", "while"))
_ASKED = frozenset(
    ("i", "you", "we", "they", "he", "she", "it", "that", "this", "these", "those", "the", "anyone", "anybody")
)
_TENSE_WHY = {"pp": "has been", "s": "said of the part", "past": "past tense", "ing": "happening now"}


def _finite(predicate: Predicate, scan: Scan) -> bool:
    """True for a verb that makes a clause of its own."""
    if predicate.form == "ing" and predicate.group == predicate.verb:
        return False
    return not (predicate.verb and scan.text[predicate.verb - 1] == "to")


def _sentence_starts(scan: Scan) -> list[int]:
    return [at for at in range(len(scan.gap)) if scan.gap[at] >= SENTENCE]
