"""Verb groups with what they are about: which action, on which parts, in which form."""

from __future__ import annotations

from pipeline.events.predicate import Predicate
from pipeline.events.states import StateSearch
from pipeline.events.verbless import VerblessSearch
from pipeline.events.voices import VoiceSearch


class PredicateSearch(VoiceSearch, StateSearch, VerblessSearch):
    """Finds the predicates of one scan, in order of the words."""

    def run(self) -> list[Predicate]:
        """Every predicate, the ones without an action included."""
        scan, at = self._scan, 0
        while at < len(scan.text):
            found = self._at(at)
            if found:
                self._found.append(found)
                inner = found.end if found.voice == "verbless" or found.said_as.count(" a ") else found.verb + 1
                at = max(at + 1, inner, found.finish_end)
            else:
                at += 1
        return self._found

    def _at(self, at: int) -> Predicate | None:
        scan = self._scan
        if at in self._inner:
            return None
        if at in scan.verbs:
            return self._verb(at)
        if at < self._limit():
            return None
        if scan.text[at] in self._rules.words["be"] and not (scan.text[at] == "'s" and (not at or self._owns(at))):
            return self._copula(at)
        return self._inverted(at) or self._verbless(at)

    def _owns(self, at: int) -> bool:
        """ "driver's side shaft": the 's inside a name."""
        return any(phrase.start < at < phrase.end for phrase in self._scan.phrases)
