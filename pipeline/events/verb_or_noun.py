"""Is "seal" a verb here or a noun? Told by the words around it, without a parser."""

from __future__ import annotations

from collections.abc import Sequence

from pipeline.events.phrase import PARTICLES, Scan, noun_ends_at
from pipeline.events.reading import SENTENCE
from pipeline.events.rules import Verb
from pipeline.events.word_sense import WordSense

_SUBJECT_LIKE = frozenset(
    ("it", "that", "this", "which", "who", "everything", "he", "she", "one", "just", "then", "also", "there")
)
_POINTING = frozenset(("it", "that", "them", "those", "these"))
_TAKEN_UP_WITHIN = 8
_HABIT = frozenset(("do", "always", "every", "each", "usually"))
# Verbs that are parts as well, and no term alone.
_PARTS = frozenset(("plug", "clip", "pin", "hook", "bung", "peg", "wedge", "key", "rivet", "bolt"))
_BEFORE_ORDER = frozenset(("and", "then", "or", "so", "now", "just", "next", "please", "first"))


class VerbOrNoun(WordSense):
    """Tells verbs from nouns."""

    def is_verb(self, scan: Scan, index: int, end: int, verbs: tuple[Verb, ...]) -> bool:
        """True where the verb form at `index`..`end` is a verb."""
        text, words = scan.text, self._rules.words
        word = text[index]
        if word == "do" and text[end : end + 1] == ["with"]:
            return True
        follows = text[end] if end < len(text) and not scan.gap[end] else ""
        if word in ("do", "did", "doing") and index and text[index - 1] != "not" and follows in ("the", "my"):
            return True
        if word in self._auxiliary and word not in (
            "have",
            "had",
            "having",
            "get",
            "got",
            "gotten",
            "getting",
            "gets",
            "has",
        ):
            return False
        tags = frozenset().union(*(verb.tags for verb in verbs))
        before = text[index - 1] if index and not scan.gap[index] else ""
        after = text[end] if end < len(text) and not scan.gap[end] else ""
        takes_object = after in self.determiners or after in ("it", "them") or self._takes_particle(verbs, text, end)
        if word in words["adverbs"] and end == index + 1:
            opens = not before or scan.gap[index] or before in _BEFORE_ORDER or before in words["subjects"]
            opens = opens or (before in PARTICLES and after in self.determiners)
            helped = before in ("to", "us") or before in words["modals"]
            return (after not in ("off", "on", "in", "up") and bool(takes_object and opens)) or helped
        if not before and "base" in tags and (self._is_back(scan, index, end) or self._is_fronted(scan, end)):
            return False
        if word in words["not_nouns"] and "base" in tags and not takes_object and before not in ("to", "will"):
            return False
        if after == "to" and tags == {"base"} and all(verb.lemma in self._rules.plain for verb in verbs):
            return False
        if word == "felt" and before not in words["subjects"] | words["have"] and after not in self.determiners:
            return False
        if word == "left" and not before and after and after not in self.determiners | {"it", "them", "that"}:
            return False
        if not before and "base" in tags and not takes_object and self._opens_as_noun(scan, end, after, verbs):
            return False
        inverted = before in PARTICLES and after in self.determiners
        if tags == {"s"} and inverted and any(v.lemma in self._rules.middle or v.lemma == "fall" for v in verbs):
            return True
        if tags == {"s"} and before not in _SUBJECT_LIKE and not noun_ends_at(scan, index):
            return word in ("goes", "comes", "needs", "wants")
        if tags <= {"base", "s"} and before in PARTICLES and not takes_object:
            return False
        side = self._rules.side.at(text, index)
        if side and (side[0] > end or self.term_at(scan, end)):
            return False
        term = self.term_at(scan, index)
        helped = before in words["subjects"] or before in words["have"] or before in words["modals"]
        taken = helped and text[term[0] : term[0] + 1] and text[term[0]] in self.determiners if term else False
        if term and term[0] > end and before != "to" and not taken:
            return False
        if before in words["subjects"] or before in words["modals"] or before in ("not", "to", "us", "will"):
            return before != "to" or "base" in tags or text[index - 2] in ("round", "around", "forward")
        if before in ("quarter", "half", "eighth", "third", "full"):
            return False
        if before in ("it", "this", "that", "which", "everything") and not scan.gap[index]:
            return bool(tags & {"s", "past", "pp"}) or (before in ("which", "that", "it") and not term)
        if before in ("these", "those", "both", "all", "them"):
            return not term and bool(tags & {"base", "past", "pp", "ing"})
        if before in ("is", "was") and tags == {"base"} and takes_object:
            return True
        if tags <= {"base", "s"} and self._names_what_follows(scan, index, end):
            return False
        if before in words["be"] or before in words["have"] or before in words["get"]:
            return bool(tags & {"pp", "ing"}) and not (
                term and before in words["have"] and self._nounish(scan, end) is False and "pp" not in tags
            )
        if before in self.determiners or (before in words["adjectives"] and before not in words["adverbs"]):
            return False
        if before and self.descriptive(text, index - 1) and before not in words["adverbs"]:
            return False
        if before in words["prepositions"] and before not in words["adverbs"] and before not in PARTICLES:
            return "ing" in tags and not term
        opens_object = takes_object or (
            after == "and"
            and (not before or scan.gap[index] > 0)
            and "base" in tags
            and self._rules.verbs.at(text, end + 1)
        )
        if term:
            if noun_ends_at(scan, index):
                if tags == {"s"} and after in ("into", "onto", "over") and self._moving(verbs):
                    return True
                return False if tags <= {"base", "s"} else bool(tags & {"past", "pp"})
            return bool(tags & {"base", "past", "pp"}) and bool(
                opens_object or (self.descriptive(text, end) and "base" in tags)
            )
        if tags & {"past", "pp"} and self._rules.condition.at(text, index) and self._opens_name(scan, end):
            return False
        return not ((tags <= {"base", "s"} or tags == {"ing"}) and self._after_verb(scan, index) and not takes_object)

    def _moving(self, verbs: tuple[Verb, ...]) -> bool:
        return any(verb.lemma in self._rules.motion for verb in verbs)

    def _opens_as_noun(self, scan: Scan, end: int, after: str, verbs: tuple[Verb, ...]) -> bool:
        """ "Box is back in", "cover plate off", "earth first": the verb's form is a part that opens the sentence."""
        words = self._rules.words
        if after in words["be"] or after in ("has", "had", "first", "last", "'s"):
            return True
        phrasal = (self._rules.phrasal.get(verb.lemma) for verb in verbs)
        if self._moving(verbs) or any(table is not None and table.at(scan.text, end) for table in phrasal):
            return False
        condition = self._rules.condition.at(scan.text, end)
        if condition and self._opens_name(scan, condition[0]):
            return False
        done = self._rules.verbs.at(scan.text, end)
        if done and not scan.gap[end] and all(verb.tags <= {"past", "pp"} for verb in done[1]):
            return True
        at = end
        while at < min(end + 3, len(scan.text)) and not scan.gap[at]:
            state = self._rules.states.at(scan.text, at)
            if state is not None and state[1]:
                return True
            if scan.text[at] in self.small:
                return False
            at += 1
        return False

    def _is_back(self, scan: Scan, index: int, end: int) -> bool:
        """ "Plug back in with a new washer", "spring back on": a part, and where it is again."""
        text, at = scan.text, end + 2
        back = text[end : end + 1] == ["back"] and text[end + 1 : at] in (["in"], ["on"]) and not any(scan.gap[end:at])
        closed = at >= len(text) or scan.gap[at] > 0 or text[at] in ("with", "and", "too", "again", "now", "then")
        return back and closed and (text[index] in _PARTS or self._terms.at(text, index) is not None)

    def _is_fronted(self, scan: Scan, end: int) -> bool:
        """ "Feed dogs, I took those out": a name of two words in front, and what was done to that."""
        at = end + 1
        if at + 2 >= len(scan.text) or scan.gap[end] or not scan.gap[at] or scan.gap[at] >= SENTENCE:
            return False
        told = scan.text[at] in ("i", "we") and scan.text[end].isalpha() and scan.text[end] not in self.small
        rest = scan.text[at + 1 : at + _TAKEN_UP_WITHIN]
        return told and not _POINTING.isdisjoint(rest) and _HABIT.isdisjoint(rest)

    def _names_what_follows(self, scan: Scan, index: int, end: int) -> bool:
        """ "lock nut tightened", "feed screw out": a verb's form that is the first part of a name."""
        text, before = scan.text, scan.text[index - 1] if index else ""
        if (
            before in ("to", "not", "will", "us")
            or before in self._rules.words["subjects"] | self._rules.words["modals"]
        ):
            return False
        noun = self.term_at(scan, end)
        at = noun[0] if noun else end + 1
        if at >= len(text) or scan.gap[end] or scan.gap[at] or text[end] in self.small or not text[end].isalpha():
            return False
        verb = self._rules.verbs.at(text, at)
        passive = verb is not None and any({"pp"} <= reading.tags for reading in verb[1])
        state = self._rules.states.at(text, at)
        stands = state is not None and (state[0] >= len(text) or scan.gap[state[0]] > 0)
        return passive or stands or text[at] in ("is", "'s", "are", "has", "was", "goes", "comes")

    def _after_verb(self, scan: Scan, index: int) -> bool:
        """True right after a verb that takes an object: "replace | suspect sensor"."""
        if not index or scan.gap[index] or index - 1 not in scan.verbs:
            return False
        return any(verb.lemma in self._rules.plain for verb in scan.verbs[index - 1][1])

    def _takes_particle(self, verbs: tuple[Verb, ...], text: Sequence[str], end: int) -> bool:
        for verb in verbs:
            phrasal = self._rules.phrasal.get(verb.lemma)
            if phrasal and phrasal.at(text, end):
                return True
            if verb.lemma in self._rules.motion and end < len(text) and text[end] in PARTICLES:
                return True
        return False

    def _nounish(self, scan: Scan, index: int) -> bool:
        return index < len(scan.text) and scan.gap[index] == 0 and self._terms.at(scan.text, index) is not None
