"""Words that describe, in front of a noun: where it is, what became of it, how many there are, how it was made."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from pipeline.events.noun_counting import NounCounting, strength_class
from pipeline.events.phrase import PARTICLES
from pipeline.events.place_words import tells_place
from pipeline.events.rules import PhraseTable, Verb

_ONLY_AFTER_ARTICLE = frozenset(
    ("back", "inside", "outside", "right", "left", "used", "shot", "forward", "split", "original")
)
_MODEL = re.compile(r"^(m\d+|\d+([./x]\d+)*)$")


def follows_time(text: Sequence[str], at: int, words: Mapping[str, frozenset[str]]) -> bool:
    """ "those | next week": a time, not more of the name."""
    return at + 1 < len(text) and text[at + 1] in words["not_nouns"]


class NounDescribing(NounCounting):
    """Takes one describing word after the other, up to the first noun."""

    def _describing(self, word: str, at: int) -> bool:
        text, words = self._scan.text, self._rules.words
        bare_start = at == self._start
        finish = self._finder.finish_at(text, at)
        if finish and not (bare_start and self._rules.verbs.at(text, at) and not self._noun_soon(finish[0])):
            self._said["finish"] = " ".join(filter(None, (self._said.get("finish"), finish[1])))
            self._at, self._described = finish[0], True
            return True
        if word == "right" and text[at - 1 : at] == ["all"]:
            return False
        if word in ("right", "back") and not self._tells_place(at):
            if word == "right" and self._determiner and self._noun_soon(at + 1):  # "the right bolts": the proper ones
                self._at, self._described = at + 1, True
                return True
            return False
        for name in ("side", "position", "condition"):
            table: PhraseTable[str] = getattr(self._rules, name)
            hit = table.at(text, at) if self._may_be(name, at) else None
            if hit and not (bare_start and word in _ONLY_AFTER_ARTICLE and not self._noun_soon(hit[0])):
                end = hit[0]
                longer = self._finder.term_at(self._scan, at + 1) if end > at + 1 and text[end - 1] == "side" else None
                if longer and longer[0] > end:
                    end = at + 1
                self._said.setdefault(name, hit[1])
                self._at = self._end = end
                self._described = True
                return True
            if hit:
                return False
        if classed := strength_class(text, at):
            self._at = classed
            return True
        number = self._rules.numbers.at(text, at)
        if number and self._count is None and word != "one":
            self._count, self._at = None if self._sorts_or_labels(number[0]) else number[1], number[0]
            return True
        if word in ("one", "ones") and (self._determiner or self._described):
            self._at = self._end = at + 1
            self._said["one"] = word
            return False
        if _MODEL.match(word):
            self._at += 1
            return True
        if word in ("next", "last") and self._determiner in words["demonstratives"] and follows_time(text, at, words):
            return False
        if word in words["adjectives"] and (self._determiner or not bare_start or self._noun_soon(at + 1)):
            self._at = at + 1
            self._described = True
            return True
        follows = text[at + 1] if at + 1 < len(text) else ""
        if word in words["leading"] and follows and not self._scan.gap[at + 1] and self._names_on(at + 1):
            self._nouns.append(word)
            self._at = self._end = at + 1
            return True
        if follows == "of" and (word in words["measures"] or word in words["groups"]) and self._determiner:
            self._nouns.append(word)
            self._at = self._end = at + 1
            return True
        if word in words["not_nouns"] and word not in self._finder.small:
            if self._determiner or self._described:
                self._said["nothing"] = word
                self._at = self._end = at + 1
            return False
        if word in PARTICLES and self._determiner and at == self._start + 1 and self._noun_soon(at + 1):
            self._nouns.append(word)
            self._at = self._end = at + 1
            return True
        verb = self._rules.verbs.at(text, at)
        if verb and (self._determiner or self._described) and word not in self._finder.small:
            return self._participle(verb[0], verb[1], at)
        if self._could_be_noun(at, word):
            self._nouns.append(word)
            self._term = None
            self._at = self._end = at + 1
            return True
        return False

    def _may_be(self, name: str, at: int) -> bool:
        """Not "fresh water", and no port where nobody speaks of a starboard."""
        text = self._scan.text
        opening = name == "side" and text[at] == "port" and text[at + 1 : at + 2] != ["side"]
        return not (opening and "starboard" not in text) and text[at : at + 2] != ["fresh", "water"]

    def _tells_place(self, at: int) -> bool:
        """Whether "right" or "back" is a place here, not "right at the bottom", "that back on"."""
        text = self._scan.text
        if text[at : at + 2] in (["right", "hand"], ["right", "side"]):
            return True
        around = slice(max(0, at - 6), at + 3)
        breaks = [gap > 0 for gap in self._scan.gap[around]]
        return tells_place(text[around], breaks, at - around.start, at - around.start + 1)

    def _participle(self, end: int, verbs: Sequence[Verb], at: int) -> bool:
        """ "the machined face" (left out of the name), "the locking ring" (kept)."""
        text = self._scan.text
        tags = frozenset().union(*(verb.tags for verb in verbs))
        demonstrative = self._determiner in self._rules.words["demonstratives"] or self._determiner in ("both", "all")
        if tags == {"past"}:
            return False
        if demonstrative and not self._described and not self._noun_soon(end):
            return False
        if tags & {"past", "pp"} and "base" not in tags and text[at] != "felt":
            self._at = end
            return end < len(text)
        self._nouns += text[at:end]
        self._at = self._end = end
        return True
