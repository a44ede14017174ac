"""Part events: what was done to which part, from the corrected words.

`find_events` is the stage; `EventFinder` is the same for many short texts over one vocabulary.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from pipeline.events.finder import EventFinder, EventsFound
from pipeline.events.part_numbers import find_part_numbers, without_codes
from pipeline.records import Quantity, Settings, Token
from pipeline.vocabulary import Vocabulary

__all__ = ["EventFinder", "EventsFound", "find_events", "find_part_numbers", "finder_of", "without_codes"]


class _Key:
    """Vocabularies compare by identity here: hashing thousands of terms a line would cost more than the rules."""

    def __init__(self, vocabulary: Vocabulary) -> None:
        self.vocabulary = vocabulary

    def __hash__(self) -> int:
        return id(self.vocabulary)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Key) and other.vocabulary is self.vocabulary


@lru_cache(maxsize=4)
def _finder(key: _Key) -> EventFinder:
    return EventFinder(key.vocabulary)


def finder_of(vocabulary: Vocabulary) -> EventFinder:
    """The finder of a vocabulary, built once."""
    return _finder(_Key(vocabulary))


def find_events(
    tokens: Sequence[Token],
    quantities: Sequence[Quantity],
    vocabulary: Vocabulary,
    settings: Settings | None = None,
) -> EventsFound:
    """Events, presented parts and notes of a corrected text.

    Args:
        tokens: the corrected text (`pipeline.tokens.written_tokens`); their times tell pauses.
        quantities: the figures found in the same tokens; events refer to them by id.
        vocabulary: the terms whose names parts take. A part it lacks is still found by its place in the sentence.
        settings: what the user has declared; the event rules need none of it yet.
    """
    return finder_of(vocabulary).find(tokens, quantities, settings)
