"""Splits a text into noun phrases and verbs."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from pipeline.events.focus import OWN
from pipeline.events.noun_reader import NounReader
from pipeline.events.phrase import Phrase, Scan
from pipeline.events.reading import Unit
from pipeline.events.verb_or_noun import VerbOrNoun
from pipeline.records import Quantity

_ARTICLES = frozenset(("the", "a", "an", "my", "this", "these", "those", "all", "both"))
_WHEN = frozenset(("another", "next", "last", "later", "tomorrow", "tonight", "yesterday", "today", "first", "again"))
_PRONOUNS = frozenset(("it", "them", "they", "everything", "which", "itself"))


class PhraseFinder(VerbOrNoun):
    """Finds the phrases and verbs. One per vocabulary."""

    def scan(self, units: Sequence[Unit], quantities: Sequence[Quantity], first_unit: Mapping[int, int]) -> Scan:
        """All phrases and verbs of the units. `first_unit` gives the unit of an original word."""
        scan = Scan(units, [unit.text for unit in units], [unit.gap for unit in units])
        for qty in quantities:
            start, end = first_unit.get(qty.start_word), first_unit.get(qty.end_word, len(units))
            if start is not None and end > start and qty.kind != "count":
                scan.figures[start] = end
                if qty.kind == "torque":
                    scan.torques.add(start)
                elif qty.kind == "volume":
                    scan.volumes.add(start)
        index = 0
        while index < len(units):
            index = self._step(scan, index)
        for phrase in scan.phrases:
            scan.starting[phrase.start] = phrase
            scan.ending[phrase.end] = phrase
        return scan

    def _step(self, scan: Scan, index: int) -> int:
        found = self._rules.verbs.at(scan.text, index)
        if found and (self._does_up(scan, index, found[0]) or self.is_verb(scan, index, found[0], found[1])):
            scan.verbs[index] = found
            return found[0]
        phrase = self.phrase_at(scan, index)
        if phrase:
            scan.phrases.append(phrase)
            return phrase.end
        return scan.figures.get(index, index + 1)

    def _does_up(self, scan: Scan, index: int, end: int) -> bool:
        """ "do the nut up": here "do" is no auxiliary."""
        text = scan.text
        if text[index] not in self._rules.words["do"] or "up" not in text[end : end + 6]:
            return False
        nearest = text.index("up", end)
        whole = not any(scan.gap[end : nearest + 1])
        return whole and (nearest == end or self.phrase_ends(scan, end) == nearest)

    def phrase_ends(self, scan: Scan, start: int) -> int:
        """Where the phrase that starts at a unit ends; -1 where none starts."""
        phrase = self.phrase_at(scan, start)
        return phrase.end if phrase else -1

    def phrase_at(self, scan: Scan, start: int) -> Phrase | None:
        """The noun phrase that starts exactly at `start`, or None."""
        words = self._rules.words
        word = scan.text[start]
        if word in words["subjects"] and word != "they":
            return Phrase(start, start + 1, "", "person", word)
        if word == "him" or (word == "her" and self._ends_phrase(scan, start + 1)):
            return Phrase(start, start + 1, "", "pronoun", "it")
        if word in OWN:
            return Phrase(start, start + 1, "", "pronoun", word)
        following = scan.text[start + 1] if start + 1 < len(scan.text) else ""
        if word == "that" and following in _ARTICLES:
            return None
        if word in self._rules.words["demonstratives"] and following in _WHEN:
            return Phrase(start, start + 1, "", "pronoun", word, plural=word in ("these", "those"))
        if word in _PRONOUNS:
            return Phrase(start, start + 1, "", "pronoun", word, plural=word in ("them", "they", "everything"))
        return NounReader(self, scan, start).read()

    def _ends_phrase(self, scan: Scan, at: int) -> bool:
        """True where no name follows: "hosed her out", "drop him in"."""
        if at >= len(scan.text) or scan.gap[at]:
            return True
        return scan.text[at] in self.small or scan.text[at] in self._rules.words["adverbs"]
