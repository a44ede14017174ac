"""What a noun phrase comes to: the name of a part, a person, a pronoun or nothing."""

from __future__ import annotations

from pipeline.events.phrase import Phrase, Scan, replace_end
from pipeline.events.word_sense import WordSense
from pipeline.vocabulary import Term

# Behind "the flywheel side one": it has a clause of its own.
_SAYS_OF_ONE = frozenset(
    ("is", "was", "'s", "has", "had", "needs", "needed", "got", "just", "came", "went", "still", "will", "measured")
)


class NounNaming:
    """The words gathered so far, and the phrase they make."""

    def __init__(self, finder: WordSense, scan: Scan, start: int) -> None:
        self._finder, self._scan, self._start = finder, scan, start
        self._rules, self._terms = finder._rules, finder._terms
        self._at = start
        self._nouns: list[str] = []
        self._term: Term | None = None
        self._last_term_plural: bool | None = None
        self._end = start
        self._said: dict[str, str] = {}
        self._determiner = ""
        self._count: int | None = None
        # "three of the ten hooks": ten are not meant
        self._of_so_many = False
        self._described = False
        self._known = False
        self._spelling = ""

    def _noun_soon(self, at: int) -> bool:
        text = self._scan.text
        for index in range(at, min(at + 3, len(text))):
            if self._scan.gap[index]:
                return False
            if self._terms.at(text, index) or text[index] in ("one", "ones"):
                return True
            if text[index] in self._finder.small and not self._rules.position.at(text, index):
                if index == at or self._rules.verbs.at(text, at):
                    return False
                break
        return at < len(text) and not self._scan.gap[at] and self._could_be_noun(at, text[at])

    def _could_be_noun(self, at: int, word: str) -> bool:
        return (
            word.isascii()
            and word[:1].isalpha()
            and len(word) > 2
            and word not in self._finder.small
            and (word not in self._rules.words["not_nouns"] or self._is_bar(at, word))
            and at not in self._scan.figures
        )

    def _is_bar(self, at: int, word: str) -> bool:
        """ "the needle bar", "tie bars": no pressure, and not "all the screws bar one"."""
        text = self._scan.text
        if word not in ("bar", "bars") or not at or self._scan.gap[at] or self._rules.numbers.at(text, at - 1):
            return False
        follows = text[at + 1 : at + 2]
        named = bool(self._nouns) and not self._finder.singular(self._nouns[-1])[1]
        return (named or self._determiner in ("the", "this", "that")) and follows not in (["one"], ["the"], ["two"])

    def _named(self) -> Phrase | None:
        last, plural = self._nouns[-1], bool(self._last_term_plural)
        if self._term is None:
            last, plural = self._finder.singular(last)
        if self._is_one_so_called(plural):
            self._at = self._end = self._end + 1
            return self._pronoun("one", plural=self._scan.text[self._end - 1] == "ones")
        if self._term is not None and self._term.kind == "fluid" and self._nouns[0] in self._rules.words["measures"]:
            del self._nouns[0]  # "a smear grease": recognisers lose the "of"
        name = self._joined([*self._nouns[:-1], last])
        if self._term is not None and name.startswith("back ") and self._term.name.startswith("rear "):
            name = self._term.name
        leading = self._scan.text[self._end - len(self._nouns) - 1] if self._end > len(self._nouns) else ""
        if not self._known and leading in ("back", "top", "bottom") and self._end - len(self._nouns) > self._start:
            name = f"{leading} {name}"
        bare_unknown = not self._known and not self._determiner and not self._described
        if len(self._nouns) == 1 and self._nouns[0] in self._rules.words["groups"] and self._term is None:
            return self._pronoun("one", plural=self._nouns[0] != "piece")
        if bare_unknown and all(
            self._rules.finish["colour"].at([word], 0) or self._rules.finish["sheen"].at([word], 0)
            for word in self._nouns
        ):
            return None
        verb = self._rules.verbs.at(self._scan.text, self._start) if bare_unknown else None
        if verb and not all(reading.tags <= {"s", "base"} for reading in verb[1]):
            return None
        person = last in self._rules.words["persons"]
        if self._term is None and self._is_seller(name.split()):
            return Phrase(self._start, self._end, "", "nothing", last, self._determiner)
        return Phrase(
            self._start,
            self._end,
            name,
            "person" if person else self._term.kind if self._term else "",
            last,
            self._determiner,
            (plural and self._determiner != "one" and self._count != 1) or (self._count or 1) > 1,
            self._count if not (self._determiner in ("both",) and self._count is None) else 2,
            self._said.get("side", ""),
            self._said.get("position", ""),
            self._said.get("condition", ""),
            self._said.get("finish", ""),
            self._said.get("measure", ""),
            self._term.part_of if self._term else "",
            self._term.pair if self._term else "",
            bare_unknown,
        )

    def _is_one_so_called(self, plural: bool) -> bool:
        """ "the gib strips were bent, the top slide one I straightened": a strip, and no slide."""
        text, at = self._scan.text, self._end
        if plural or self._determiner not in ("the", "that", "this") or text[at : at + 1] not in (["one"], ["ones"]):
            return False
        if self._scan.gap[at] or at + 1 >= len(text) or self._count is not None:
            return False
        if text[at + 1] in ("i", "we", "i've", "we've"):
            return not self._scan.gap[at + 1]
        return not self._scan.bare and not self._scan.gap[at + 1] and text[at + 1] in _SAYS_OF_ONE

    def _is_seller(self, words: list[str]) -> bool:
        """ "at the swap meet", "from the motor factors": where parts are found."""
        hit = self._rules.cues["sold_at"].at(words, 0)
        return hit is not None and hit[0] == len(words)

    def _joined(self, nouns: list[str]) -> str:
        """The name with the hyphens that were said, in the vocabulary's capitals."""
        name = ""
        units = self._scan.units
        for place, noun in enumerate(nouns):
            at = self._end - len(nouns) + place
            same = place > 0 and units[at].token == units[at - 1].token
            name += ("-" if same else " ") + noun
        name = name.strip()
        return self._spelling if self._spelling.lower() == name else name

    def _unnamed(self) -> Phrase | None:
        if "nothing" in self._said:
            head = self._said["nothing"]
            person = head in self._rules.words["persons"]
            return Phrase(
                self._start, self._end, "", "person" if person else "nothing", head, self._determiner,
                side=self._said.get("side", ""),
            )  # fmt: skip
        if "one" in self._said or (self._described and self._determiner and self._end > self._start + 1):
            return self._pronoun("one", plural=self._said.get("one") == "ones" or (self._count or 1) > 1)
        demonstratives = self._rules.words["demonstratives"]
        first = self._scan.text[self._start]
        if first in demonstratives:
            return replace_end(self._pronoun(first, plural=first in ("these", "those")), self._start + 1)
        if first == "each" and self._end <= self._start + 1:
            return replace_end(self._pronoun(first, plural=True), self._start + 1)
        if first == "both" or ((self._count or 0) > 1 and self._determiner in ("all", "these", "those", "the")):
            return replace_end(self._pronoun(first, plural=True), self._start + 1 if first == "both" else self._end)
        return None

    def _pronoun(self, head: str, plural: bool) -> Phrase:
        return Phrase(
            self._start, max(self._end, self._at if self._at > self._start else self._start + 1), "", "pronoun", head,
            self._determiner, plural, self._count, self._said.get("side", ""), self._said.get("position", ""),
            self._said.get("condition", ""), self._said.get("finish", ""),
        )  # fmt: skip

    def _runs_on(self, at: int, term: Term) -> bool:
        """Without punctuation: "reused balls in fresh grease | fork up", "new gasket | sump on"."""
        if not (self._scan.bare and self._nouns and self._end == at):
            return False
        if self._term is None:
            return self._finder.singular(self._nouns[-1])[1] and not self._determiner
        if term.kind == "fastener" and " " not in term.name and not self._last_term_plural:
            return False
        if self._last_term_plural or self._term.kind in ("fluid", "tool", "fastener", "material"):
            return True
        return " " in term.name or self._nouns[-1] in self._rules.words["end_names"]

    def _blocked(self, at: int, end: int) -> bool:
        """A term that is really the next verb: "the bolts clamp the cover"."""
        if not self._nouns or end > at + 1:
            return False
        after = self._scan.text[end] if end < len(self._scan.text) else ""
        return bool(
            self._last_term_plural
            and self._rules.verbs.at(self._scan.text, at)
            and (after in self._finder.determiners or after in ("up", "down", "on", "it", "into", "onto", "over"))
        )

    def _names_on(self, at: int) -> bool:
        """True where the name goes on: "end cap", "wear plate"."""
        text = self._scan.text
        if self._finder.term_at(self._scan, at):
            return True
        verb = self._rules.verbs.at(text, at)
        after = text[verb[0]] if verb and verb[0] < len(text) and not self._scan.gap[verb[0]] else ""
        return (
            verb is not None
            and any(reading.tags & {"base", "s"} for reading in verb[1])
            and after not in self._finder.determiners
        )
