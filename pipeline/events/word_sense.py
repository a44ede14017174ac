"""What single words and the vocabulary's terms tell, before any sentence is looked at."""

from __future__ import annotations

from collections.abc import Sequence

from pipeline.events.phrase import PARTICLES, Scan
from pipeline.events.rules import PhraseTable, Rules
from pipeline.vocabulary import Term, Vocabulary, regular_plural, regular_singular

_NO_PLURAL = frozenset(
    ("points", "forks", "gas", "chassis", "pliers", "brass", "bars", "controls", "electrics", "ways")
)
_DIGITS = frozenset(["two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "twelve"])


def term_table(vocabulary: Vocabulary) -> PhraseTable[tuple[Term, str, bool]]:
    """Every way to say a term -> (term, the singular as said, plural?)."""
    rows: list[tuple[str, tuple[Term, str, bool]]] = []
    for term in vocabulary.terms:
        if term.kind in ("action", "finish"):
            continue
        for spelling in term.spellings:
            rows.append((spelling.lower(), (term, spelling, False)))
            plural = term.plural if spelling == term.name else regular_plural(spelling)
            if plural and plural != spelling:
                rows.append((plural.lower(), (term, spelling, True)))
    return PhraseTable(rows)


class WordSense:
    """Look-ups over one vocabulary; holds no state between calls."""

    def __init__(self, rules: Rules, vocabulary: Vocabulary) -> None:
        self._rules = rules
        self._terms = term_table(vocabulary)
        words = rules.words
        self.determiners = words["determiners"] | words["possessives"] | words["demonstratives"]
        self.small = (
            self.determiners | words["subjects"] | words["be"] | words["have"] | words["get"] | words["do"]
            | words["modals"] | words["negatives"] | words["adverbs"] | words["prepositions"] | words["conjunctions"]
            | words["openers"] | words["things"] | PARTICLES | {"'s", "'d", "to", "us", "me", "him", "let", "going"}
        )  # fmt: skip
        self._auxiliary = words["be"] | words["have"] | words["get"] | words["do"] | words["modals"]

    def term_at(self, scan: Scan, start: int) -> tuple[int, tuple[Term, str, bool]] | None:
        """The vocabulary term that starts at a unit, within one breath."""
        hit = self._terms.at(scan.text, start)
        while hit and any(scan.gap[start + 1 : hit[0]]):
            cut = next(at for at in range(start + 1, hit[0]) if scan.gap[at])
            hit = self._terms.at(scan.text[:cut], start)
        return hit

    def descriptive(self, text: Sequence[str], index: int) -> bool:
        """True where a word of side, position, condition or number stands."""
        if not 0 <= index < len(text):
            return False
        tables = (self._rules.side, self._rules.position, self._rules.condition)
        return any(table.at(text, index) for table in tables) or text[index] in _DIGITS

    def _opens_name(self, scan: Scan, at: int) -> bool:
        """True where a bare name may start: "broken | grease line"."""
        text = scan.text
        return at < len(text) and not scan.gap[at] and text[at] not in self.small and text[at][:1].isalpha()

    def finish_at(self, text: Sequence[str], start: int) -> tuple[int, str] | None:
        """(end, words) of a finish said at `start`: "enamelled in gloss grey", "satin black", "zinc plated"."""
        finish = self._rules.finish
        said: list[str] = []
        index, strong = start, False
        hit = finish["process"].at(text, index)
        if hit:
            said += text[index : hit[0]]
            index, strong = hit[0], True
            if index < len(text) and text[index] in ("in", "a"):
                index += 1
        tone = index
        while hit := finish["sheen"].at(text, index):
            index = hit[0]
        colour = finish["colour"].at(text, index)
        if strong and not colour and text[index - 1] == "in" and index + 1 < len(text):
            colour = finish["colour"].at(text, index + 1)
            index += 1 if colour else 0
        if colour and (index > tone or strong):
            said += text[tone : colour[0]]
            index, strong = colour[0], True
        elif colour and not strong and (hit := finish["process"].at(text, colour[0])):
            return hit[0], " ".join(text[start : hit[0]])
        elif index > tone and strong and index < len(text) and text[index] in ("finish",):
            said += text[tone:index]
        else:
            index = tone
        if not strong:
            return None
        end = index
        while text[end - 1] in ("in", "a") and end > start:
            end -= 1
        return (end, " ".join(said)) if said else None

    def singular(self, word: str) -> tuple[str, bool]:
        """An unknown noun in the singular, and whether it was a plural.

        >>> from pipeline.events.rules import load_rules
        >>> sense = WordSense(load_rules(), Vocabulary((), {}, {}))
        >>> sense.singular("bushes"), sense.singular("bodies"), sense.singular("glass"), sense.singular("plates")
        (('bush', True), ('body', True), ('glass', False), ('plate', True))
        """
        if word in _NO_PLURAL or len(word) < 4:
            return word, False
        single = regular_singular(word)
        return single, single != word
