"""Reads one noun phrase: (quantity) (article) (words that describe) nouns."""

from __future__ import annotations

from collections.abc import Sequence

from pipeline.events.noun_counting import strength_class
from pipeline.events.noun_describing import NounDescribing
from pipeline.events.phrase import PARTICLES, Phrase
from pipeline.events.place_words import has_opposite
from pipeline.events.reading import PAUSE, split_word

_QUANTIFIERS = frozenset(
    ("all", "both", "each", "some", "most", "none", "any", "half", "rest", "one", "neither", "either")
)


class NounReader(NounDescribing):
    """One phrase from one place on."""

    def read(self) -> Phrase | None:
        """The phrase, or None where none starts."""
        text = self._scan.text
        pronoun = self._opening()
        if pronoun:
            return pronoun
        while (self._at < len(text) and self._in_one_breath(self._at)) or self._at == self._start:
            if not self._step():
                break
        if self._nouns:
            return self._named()
        return self._unnamed()

    def _in_one_breath(self, at: int) -> bool:
        """A comma ends a name; between describing words ("the old, rusty bolt") it does not."""
        gap = self._scan.gap[at]
        if not gap:
            return True
        if self._nouns or gap >= PAUSE:
            return False
        text, numbered = self._scan.text, self._rules.numbers.at(self._scan.text, at)  # "two covers, new, four bushes"
        return not numbered and (text[at] in self._rules.words["adjectives"] or self._finder.descriptive(text, at))

    def _opening(self) -> Phrase | None:
        text, _words = self._scan.text, self._rules.words
        for _ in range(4):
            if self._at >= len(text) or (self._at > self._start and self._scan.gap[self._at] >= PAUSE):
                break
            word = text[self._at]
            after = text[self._at + 1] if self._at + 1 < len(text) else ""
            if word in _QUANTIFIERS and after == "of":
                self._determiner = self._determiner or word
                self._count = {"both": 2, "one": 1}.get(word, self._count)
                self._of_so_many = word != "all"
                self._at += 2
                if self._at < len(text) and text[self._at] in ("them", "it", "those", "these", "that", "this"):
                    nxt = text[self._at + 1] if self._at + 1 < len(text) else ""
                    if text[self._at] in ("them", "it") or not self._could_be_noun(self._at + 1, nxt):
                        self._at += 1
                        return self._pronoun(word, plural=True)
                continue
            if word == "one" and after in ("the", "a", "an") and not self._determiner:
                self._at = self._end = self._at + 1
                return self._pronoun("one", plural=False)
            if classed := strength_class(text, self._at):
                self._at = classed
                continue
            sized = word == "number" and self._count is not None  # "two number eight screws" are two
            number = self._rules.numbers.at(text, self._at + sized)
            if number and self._at not in self._scan.figures and not (word == "one" and self._determiner):
                counts = not (sized or self._of_so_many or self._sorts_or_labels(number[0]))
                self._count, self._at = number[1] if counts else self._count, number[0]
                self._determiner = self._determiner or "a"
                if self._at < len(text) and text[self._at] == "of":
                    self._of_so_many, self._at = True, self._at + 1
                    if text[self._at : self._at + 1] in (["them"], ["'em"], ["em"]):
                        self._at += 1
                        return self._pronoun(word, plural=number[1] > 1)
                continue
            if word.isdecimal() and int(word) <= 60 and self._at not in self._scan.figures and after.endswith("s"):
                self._count, self._at = int(word), self._at + 1
                continue
            if word in self._finder.determiners and not (word == "no" and self._determiner):
                self._determiner, self._at = word, self._at + 1
                continue
            break
        self._end = self._at
        return None

    def _step(self) -> bool:
        scan, text, at = self._scan, self._scan.text, self._at
        words = self._rules.words
        word = text[at]
        if at in scan.figures and not self._nouns:
            self._at = scan.figures[at]
            if self._at < len(text) and text[self._at] == "of":
                self._at += 1
            return self._at < len(text)
        term = self._finder.term_at(self._scan, at)
        if term and term[1][0].kind == "material" and not self._nouns and self._noun_soon(term[0]):
            self._at, self._described = term[0], True
            return True
        if term and self._runs_on(at, term[1][0]):
            return False
        if term and not self._blocked(at, term[0]):
            self._nouns += [*text[at : term[0] - 1], split_word(term[1][1].lower().split()[-1])[-1]]
            self._spelling = term[1][1]
            self._term, self._last_term_plural = term[1][0], term[1][2]
            self._note_place(text[at : term[0]])
            self._known = True
            self._at = self._end = term[0]
            return True
        if word == "'s":
            return self._possessive()
        group = self._nouns[-1:] and self._nouns[-1] in words["groups"]
        if word == "of" and self._nouns and (group or self._rules.measures.at([*self._nouns, ""], 0)):
            if not group:
                self._said["measure"] = " ".join(self._nouns)
            self._nouns, self._term, self._known = [], None, False
            self._at += 1
            while self._at < len(text) and text[self._at] in self._finder.determiners:
                self._at += 1
            return self._at < len(text)
        if self._nouns:
            return self._more_noun(word, at)
        return self._describing(word, at)

    def _note_place(self, said: Sequence[str]) -> None:
        for index in range(len(said) - 1):
            for name, table in (("side", self._rules.side), ("position", self._rules.position)):
                hit = table.at(said, index)
                if hit and hit[0] < len(said) and has_opposite(said, index, self._terms):
                    self._said.setdefault(name, hit[1])

    def _possessive(self) -> bool:
        text, at = self._scan.text, self._at
        nxt = at + 1
        if not self._nouns or nxt >= len(text):
            return False
        condition = self._rules.condition.at(text, nxt)
        look = condition[0] if condition else nxt
        if look < len(text) and self._terms.at(text, look) and text[look] not in self._finder.small:
            self._nouns, self._term, self._known = [], None, False
            self._at = nxt
            return True
        return False

    def _more_noun(self, word: str, at: int) -> bool:
        if self._scan.bare and (
            word in self._rules.words["adjectives"] or self._rules.condition.at(self._scan.text, at)
        ):
            return False
        if self._rules.finish["colour"].at(self._scan.text, at) or self._rules.finish["plating"].at(
            self._scan.text, at
        ):
            return False
        if word in ("loose", "tight", "home", "caught", "need", "needs", "want", "wants"):
            return False
        if self._could_be_noun(at, word) and self._noun_like_verb(at):
            if self._finder.finish_at(self._scan.text, at) or self._rules.condition.at(self._scan.text, at):
                return False
            if self._last_term_plural:
                return False
            self._nouns.append(word)
            self._term, self._last_term_plural = None, None
            self._at = self._end = at + 1
            return True
        return False

    def _noun_like_verb(self, at: int) -> bool:
        """ "the tailstock bore", "self extracting bolts": a verb's form that goes on with the name."""
        text, verb = self._scan.text, self._rules.verbs.at(self._scan.text, at)
        if not verb:
            return True
        tags = frozenset().union(*(reading.tags for reading in verb[1]))
        end = verb[0]
        if tags == {"ing"}:
            return self._term is None and self._terms.at(text, end) is not None
        if tags & {"past", "pp", "ing"} or self._last_term_plural:
            return False
        after = text[end] if end < len(text) else ""
        if tags == {"s"}:
            known = all(reading.lemma not in self._rules.words["other"] for reading in verb[1])
            known = known and all(reading.lemma not in self._rules.middle for reading in verb[1])
            known = known or all(reading.lemma in self._rules.plain for reading in verb[1])
            moves = any(
                reading.lemma in self._rules.motion or reading.lemma in self._rules.phrasal for reading in verb[1]
            )
            moves = moves and self._start - 1 not in self._scan.verbs
            return known and not (
                after in self._finder.determiners or (moves and after in PARTICLES) or after in ("it", "them")
            )
        named = after in self._finder.determiners or after in ("it", "them")
        takes_object = named or after in PARTICLES
        object_of = self._start - 1 in self._scan.verbs
        opens = not self._start or self._scan.gap[self._start] > 0
        singular = bool(self._determiner or object_of or opens) and not self._finder.singular(self._nouns[-1])[1]
        return "base" in tags and ((singular and not named) or not takes_object or self._scan.gap[end] > 0)
