"""From tokens to events: the stages of this package in order."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from pipeline.events.builder import Builder, EventsFound
from pipeline.events.doubtful import doubtful
from pipeline.events.figure_links import Linker, by_weights
from pipeline.events.judge import Decider, load_judge
from pipeline.events.phrase import Scan
from pipeline.events.phrases import PhraseFinder
from pipeline.events.predicates import PredicateSearch
from pipeline.events.reading import read_units
from pipeline.events.rules import load_rules
from pipeline.events.scope import Scope
from pipeline.punctuation import MarkReader
from pipeline.reader import Reading, load_reader
from pipeline.records import Quantity, Settings, Token
from pipeline.vocabulary import Vocabulary

__all__ = ["EventFinder", "EventsFound"]


class TextReader(MarkReader, Protocol):
    """Anything that reads words, with or without their punctuation."""

    def read(self, words: Sequence[str]) -> Reading | None:
        """What it says of them; None where it can say nothing."""


class EventFinder:
    """The event rules over one vocabulary. Building one takes a moment; `find` is quick and keeps no state.

    `decider` chooses among what is proposed: the shipped weights where none is given. `reader` tells what it reads
    in the words: the shipped network where none is given. `linker` chooses with which event a figure was said.
    """

    def __init__(
        self, vocabulary: Vocabulary, decider: Decider | None = None, reader: TextReader | None = None
    ) -> None:
        self._rules = load_rules()
        self.reader: TextReader = reader or load_reader()
        self.decider = decider or load_judge()
        self.linker: Linker = by_weights
        self._phrases = PhraseFinder(self._rules, vocabulary)

    def find(
        self,
        tokens: Sequence[Token],
        quantities: Sequence[Quantity] = (),
        settings: Settings | None = None,
    ) -> EventsFound:
        """Events, presented parts and notes of the tokens. The rules need nothing of the settings so far."""
        del settings
        units = read_units(tokens, self._rules.bases)
        if not units:
            return EventsFound()
        first_unit: dict[int, int] = {}
        for index, unit in enumerate(units):
            first_unit.setdefault(tokens[unit.token].start_word, index)
        scan = self._phrases.scan(units, quantities, first_unit)
        predicates = PredicateSearch(self._rules, scan, self._phrases.finish_at).run()
        scope = Scope(self._rules, scan, predicates)
        scope.question_ends = frozenset(
            index + 1 for index, unit in enumerate(units)
            if "?" in tokens[unit.token].text and (index + 1 == len(units) or units[index + 1].token != unit.token)
        )  # fmt: skip
        scope.decide()
        more = doubtful(self._rules, scan, self._phrases.finish_at, predicates, scope.question_ends)
        reading = self.reader.read([token.text for token in tokens])
        builder = Builder(
            self._rules, self.decider, tokens, quantities, scan, predicates, more, scope, self._phrases.phrase_at,
            reading, self.linker,
        )  # fmt: skip
        return builder.build()

    def read(self, tokens: Sequence[Token]) -> Scan:
        """Phrases and verbs of the tokens, for stages that read on from here."""
        units = read_units(tokens, self._rules.bases)
        return self._phrases.scan(units, (), {})
