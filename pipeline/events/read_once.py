"""What the reader takes one word to tell of a part is not done and undone at once."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from pipeline.events.phrase import Phrase
from pipeline.events.predicate import Predicate

_PAIRS = ("fit remove", "tighten slacken", "fill drain", "connect disconnect", "assemble dismantle")
_UNDOES = {one: other for pair in _PAIRS for one, other in (pair.split(), reversed(pair.split()))}


class ReadOnce:
    """Keeps, by the place of the word, what was read from it: "five bolts on the cover" goes on or comes off."""

    def __init__(self) -> None:
        self._told: dict[int, set[tuple[str, str]]] = {}

    def left(self, predicate: Predicate, parts: Sequence[Phrase]) -> list[Phrase]:
        """The parts of which the word of a predicate has not told the opposite."""
        told = self._told.get(predicate.verb, ())
        return [part for part in parts if (_UNDOES.get(predicate.action), part.name) not in told]

    def told(self, predicate: Predicate, parts: Iterable[Phrase]) -> None:
        """Notes what the word of a predicate has told."""
        self._told.setdefault(predicate.verb, set()).update((predicate.action, part.name) for part in parts)
