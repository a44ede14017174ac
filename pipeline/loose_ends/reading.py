"""One recording as loose ends are read from it: its clauses, their signs, its events and its named parts."""

from __future__ import annotations

from collections.abc import Sequence

from pipeline.events import finder_of
from pipeline.events.rules import load_rules
from pipeline.loose_ends.clause_features import ClauseFeatures
from pipeline.loose_ends.names import PartNames
from pipeline.loose_ends.part_features import PartFeatures
from pipeline.loose_ends.reader_features import ReaderFeatures
from pipeline.loose_ends.signs import SignReader
from pipeline.records import Event, Token
from pipeline.vocabulary import Vocabulary


class Reading:
    """`clauses` and `signs` run in step; `facts` and `parts` give the features of a clause and of its candidates."""

    def __init__(self, events: Sequence[Event], tokens: Sequence[Token], vocabulary: Vocabulary) -> None:
        self.tokens, self.events = tokens, events
        self.rules, self.names = load_rules(), PartNames(vocabulary)
        finder = finder_of(vocabulary)
        self.scan = finder.read(tokens)
        read = ReaderFeatures(self.scan, finder.reader.read([token.text for token in tokens]))
        reader = SignReader(self.scan)
        self.clauses, self.signs = reader.clauses, reader.signs
        unit_of: dict[int, int] = {}
        for index, unit in enumerate(self.scan.units):
            unit_of.setdefault(tokens[unit.token].start_word, index)
        self._word_of = [tokens[unit.token].start_word for unit in self.scan.units]
        self.facts = ClauseFeatures(self.scan, reader, events, unit_of, read)
        self.parts = PartFeatures(self.scan, reader, self.facts, self.names, read)

    def clauses_in(self, start_word: int, end_word: int) -> list[int]:
        """The clauses that have one of these words."""
        return [
            index for index, clause in enumerate(self.clauses)
            if any(start_word <= self._word_of[unit] < end_word for unit in range(clause.start, clause.end))
        ]  # fmt: skip

    def words(self, start: int, end: int) -> tuple[str, int, int, int]:
        """(text, start_word, end_word, start_ms) of some units."""
        first, last = self.scan.units[start].token, self.scan.units[max(start, end - 1)].token
        tokens = self.tokens[first : last + 1]
        return " ".join(token.text for token in tokens), tokens[0].start_word, tokens[-1].end_word, tokens[0].start_ms
