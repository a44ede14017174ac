"""Where sentences and clauses begin and end when nobody wrote the punctuation, and which verbs go on from another."""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass

from pipeline.events.phrase import Scan
from pipeline.events.predicate import Predicate
from pipeline.events.reading import PAUSE, SENTENCE
from pipeline.events.rules import Rules

NONE = "none"


@dataclass(frozen=True, slots=True)
class Hit:
    """A trigger that looks back: its units, half-open, and its status."""

    start: int
    end: int
    status: str


# Verbs that open a clause which belongs to them: "I think I'll", "make sure you".
_OPEN_CLAUSES = frozenset(
    [
        "think",
        "guess",
        "reckon",
        "hope",
        "wish",
        "wonder",
        "make",
        "forget",
        "remember",
        "know",
        "say",
        "suppose",
        "imagine",
        "decide",
        "mean",
        "ensure",
        "suggest",
        "recommend",
        "believe",
        "expect",
        "mind",
        "let",
        "help",
    ]
)
_CLAUSE_ENDS = frozenset(("but", "because", "so", "if", "when", "which", "although", "while"))


_OPENING = frozenset(("so", "then", "now", "okay", "right", "anyway", "well", "but"))
_LEADS_ON = frozenset(
    ("and", "or", "if", "when", "once", "because", "that", "which", "who", "until", "till", "before", "after", "while",
     "so", "as", "since", "where", "than", "like", "what", "how", "unless", "the", "a", "not", "to", "let", "think")
)  # fmt: skip


def is_finite(predicate: Predicate, scan: Scan) -> bool:
    """True for a verb that makes a clause of its own."""
    if predicate.form == "ing" and predicate.group == predicate.verb:
        return False
    return not (predicate.verb and scan.text[predicate.verb - 1] == "to")


def sentence_around(scan: Scan, at: int) -> tuple[int, int]:
    """Units (start, end) of the sentence around a unit, by punctuation."""
    start, end = at, at + 1
    while start and scan.gap[start] < SENTENCE:
        start -= 1
    while end < len(scan.text) and scan.gap[end] < SENTENCE:
        end += 1
    return start, end


def sentence_starts(scan: Scan) -> list[int]:
    """Units that open a sentence, by punctuation."""
    return [at for at in range(len(scan.gap)) if scan.gap[at] >= SENTENCE]


def left_headings(scan: Scan, rules: Rules) -> dict[int, int]:
    """ "Pending: air filter, belt.": start -> end of what stands alone at the head of a sentence to open a list."""
    found = {}
    for at in range(len(scan.text)):
        hit = rules.left_heading.at(scan.text, at) if not at or scan.gap[at] >= SENTENCE else None
        if hit and hit[0] < len(scan.text) and scan.gap[hit[0]] > 0:
            found[at] = hit[0]
    return found


class Clauses:
    """Questions about the clauses of one scan."""

    def __init__(self, rules: Rules, scan: Scan, predicates: list[Predicate]) -> None:
        self._rules, self._scan, self._predicates = rules, scan, predicates
        text = scan.text
        self._before = [(i, *hit) for i in range(len(text)) if (hit := rules.before.at(text, i))]
        self._after = [Hit(i, hit[0], hit[1]) for i in range(len(text)) if (hit := rules.after.at(text, i))]
        # where what opens a list of jobs starts -> where it ends
        self._left = {i: left[0] for i in range(len(text)) if (left := rules.left_to_do.at(text, i))}
        self._left.update(left_headings(scan, rules))
        self._sentences = sentence_starts(scan)
        # where a time of the past ends -> where it starts
        self._time_ends: dict[int, int] = {}
        for at in range(len(text)):
            past = rules.past_phrases.at(text, at) or rules.past_people.at(text, at)
            if past:
                self._time_ends[past[0]] = at
        if scan.bare:
            self._sentences = sorted({*self._sentences, *self._own_sentences()})

    def _own_sentences(self) -> list[int]:
        """Where a new statement begins when nobody wrote the full stops: at a subject that nothing leads on to."""
        found = []
        text, leading = self._scan.text, _LEADS_ON | self._rules.words["prepositions"]
        for place, predicate in enumerate(self._predicates):
            at = predicate.start
            told = predicate.subject is not None or predicate.voice in ("verbless", "state")
            told = told or (
                predicate.form == "past" and predicate.voice == "active" and predicate.group == predicate.verb
            )
            if not told or at == 0 or (place and at < self._predicates[place - 1].end):
                continue
            lead = at
            while lead and text[lead - 1] in _OPENING:
                lead -= 1
            if lead and text[lead - 1] not in leading and lead - 1 not in self._scan.verbs:
                time = self._time_ends.get(lead, self._time_ends.get(at))
                if time is None or (place and self._ends_with_time(self._predicates[place - 1], time)):
                    found.append(lead)
        return found

    def _ends_with_time(self, before: Predicate, time: int) -> bool:
        """ "the rim was trued on tuesday | inflated ...": the time belongs to what was told before it."""
        return before.action != "" and before.form in ("past", "pp") and 0 <= time - before.end < 4

    def sentence(self, at: int) -> tuple[int, int]:
        """Units (start, end) of the sentence around `at`."""
        place = bisect_right(self._sentences, at)
        start = self._sentences[place - 1] if place else 0
        return start, self._sentences[place] if place < len(self._sentences) else len(self._scan.text)

    def clause_end(self, place: int) -> int:
        """Where the words after a predicate stop being about it."""
        predicate = self._predicates[place]
        stop = len(self._scan.text)
        for later in self._predicates[place + 1 :]:
            if later.start >= predicate.end and self._scan.text[later.verb] != "using":
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
        joined = any(word in ("and", "or") for word in scan.text[last.end : predicate.group])
        if last.status == NONE and last.trigger in self._rules.one_clause and not joined:
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
        return all(
            other.voice != "other" or not is_finite(other, scan) for other in self._predicates[start + 1 : place]
        )

    def _own_helper(self, predicate: Predicate) -> bool:
        chain = self._scan.text[predicate.group : predicate.verb]
        words = self._rules.words
        helpers = words["be"] | words["have"] | words["get"] | words["do"] | words["modals"] | {"to", "us", "'d"}
        return any(word in helpers for word in chain)

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
                and scan.text[at - 1 : at + 3]
                not in (["so", "that", "i", "can"], ["so", "that", "you", "can"], ["so", "that", "we", "can"])
                and scan.text[at - 1 : at + 2]
                not in (["so", "i", "can"], ["so", "you", "can"], ["so", "we", "can"], ["so", "as", "to"])
            ):
                return at
        opened = self.sentence(predicate.verb)[0] if scan.bare else 0
        return max(start, predicate.verb - 24, opened, self._own_clause(predicate, place))

    def _own_clause(self, predicate: Predicate, place: int) -> int:
        """Where a clause with a subject of its own begins, after a full one: "you can see it, that's been ..."."""
        if predicate.subject is None or place == 0:
            return 0
        other = self._predicates[place - 1]
        if other.action or other.subject is None or other.lemma in _OPEN_CLAUSES or not is_finite(other, self._scan):
            return 0
        if other.verb >= predicate.subject.start or other.subject == predicate.subject:
            return 0
        return max(other.end, predicate.start - 3)
