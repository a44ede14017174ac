"""What the reader network says of a clause leaving something open, and of the part that it means, as features."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from pipeline.events.phrase import Phrase, Scan
from pipeline.loose_ends.signs import Clause
from pipeline.reader import Reading
from pipeline.reader.reading import KINDS, VERB_PART, step

# In natural logarithms of odds: what is less likely than this is no feature.
_LEAST = -5


class ReaderFeatures:
    """Features from one reading, for the clauses of one scan; none where there is no reading."""

    def __init__(self, scan: Scan, reading: Reading | None) -> None:
        self._units, self._reading = scan.units, reading

    def of_clause(self, clause: Clause) -> Iterator[str]:
        """How strongly the best word of a clause speaks for each kind of loose end."""
        if self._reading is None:
            return
        tokens = self._tokens(clause)
        odds = self._reading.ends[tokens, 1:] - self._reading.ends[tokens, :1]
        for kind, score in zip(KINDS, odds.max(0), strict=True):
            if score > _LEAST:
                yield f"read:{kind}={step(float(score))}"
                yield f"read:{kind}" if score > 0 else f"maybe:{kind}"
        yield f"read:any={step(float(odds.max()))}"

    def of_parts(self, clause: Clause, kind: str, phrases: Sequence[Phrase]) -> list[float]:
        """How much the word that tells a kind of loose end in a clause is about each named part (log odds)."""
        if self._reading is None:
            return [float(_LEAST)] * len(phrases)
        telling, pairs = self._telling(self._reading, clause, kind), self._reading.pairs
        return [pairs.score(VERB_PART, telling, self._units[phrase.end - 1].token) for phrase in phrases]

    def _tokens(self, clause: Clause) -> list[int]:
        return sorted({unit.token for unit in self._units[clause.start : clause.end]})

    def _telling(self, reading: Reading, clause: Clause, kind: str) -> int:
        """The token that tells it most; of an event, the one that tells of any."""
        tokens = self._tokens(clause)
        if kind in KINDS:
            odds = reading.ends[tokens, 1 + KINDS.index(kind)] - reading.ends[tokens, 0]
        else:
            odds = -reading.actions[tokens, 0]
        return tokens[int(odds.argmax())]
