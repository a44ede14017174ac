"""What the reader takes one word to tell of a part is not done and undone at once; a bare name tells one deed."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from pipeline.events.phrase import Phrase
from pipeline.events.predicate import Predicate

_PAIRS = ("fit remove", "tighten slacken", "fill drain", "connect disconnect", "assemble dismantle")
_UNDOES = {one: other for pair in _PAIRS for one, other in (pair.split(), reversed(pair.split()))}


class ReadOnce:
    """Keeps what was read from each word: "five bolts on the cover" go on or come off."""

    def __init__(self) -> None:
        self._told: dict[tuple[int, str], set[str]] = {}

    def left(self, predicate: Predicate, parts: Sequence[Phrase]) -> list[Phrase]:
        """The parts of which the word of a predicate can tell its action, after all that it has told."""
        return [part for part in parts if not self._rules_out(predicate, part)]

    def told(self, predicate: Predicate, parts: Iterable[Phrase]) -> None:
        """Notes what the word of a predicate has told."""
        for part in parts:
            self._told.setdefault(_place(predicate, part), set()).add(predicate.action)

    def _rules_out(self, predicate: Predicate, part: Phrase) -> bool:
        others = self._told.get(_place(predicate, part), set()) - {predicate.action}
        return bool(others) if _is_named(predicate, part) else _UNDOES.get(predicate.action) in others


def _is_named(predicate: Predicate, part: Phrase) -> bool:
    """Whether the words of the part's own name tell it: no verb says that more was done than one thing."""
    return part.start <= predicate.verb < part.end


def _place(predicate: Predicate, part: Phrase) -> tuple[int, str]:
    return part.start if _is_named(predicate, part) else predicate.verb, part.name
