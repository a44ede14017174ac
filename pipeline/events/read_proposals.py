"""Events that the reader network sees where the sentence rules see none; the judge decides."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

import numpy as np

from pipeline.events.phrase import Phrase, Scan
from pipeline.events.predicate import Predicate
from pipeline.events.reader_evidence import ReaderEvidence

# In natural logarithms of odds: what is less likely than this is not proposed.
_LEAST_TOLD, _LEAST_ABOUT = -3.5, -4.0
_MOST_PARTS, _BEFORE, _AFTER = 4, 100, 24
# A word that the sentence rules took for no part is one where the network is so sure, and surer than of the others.
_LEAST_POINTED, _MOST_POINTED, _LONGEST_NAME = 0.0, 2, 3

PhraseAt = Callable[[Scan, int], Phrase | None]


class ReadProposals:
    """Proposals of one scan. `phrase_at` reads the noun phrase that starts at a unit, if one can."""

    def __init__(self, scan: Scan, evidence: ReaderEvidence, phrase_at: PhraseAt) -> None:
        self._scan, self._evidence, self._phrase_at = scan, evidence, phrase_at
        self._at_head: dict[int, list[Phrase]] = {}
        for phrase in scan.phrases:
            if phrase.is_part:
                self._at_head.setdefault(evidence.head_of(phrase), []).append(phrase)
        self._unit_of: dict[int, int] = {}
        self._parts_of: dict[int, list[Phrase]] = {}
        self._pointed: dict[int, Phrase | None] = {}
        for index, unit in enumerate(scan.units):
            self._unit_of.setdefault(unit.token, index)
        self._tokens = scan.units[-1].token + 1

    def parts(self, token: int) -> list[Phrase]:
        """The parts that the word at a token is most likely about, the likeliest first."""
        if token not in self._parts_of:
            self._parts_of[token] = self._likeliest(token)
        return self._parts_of[token]

    def _likeliest(self, token: int) -> list[Phrase]:
        low, high = max(0, token - _BEFORE), min(self._tokens, token + _AFTER)
        scores = self._evidence.around(token, low, high)
        scored = [
            (float(scores[head - low]), -abs(head - token), part)
            for head in range(low, high)
            if scores[head - low] > _LEAST_ABOUT
            for part in self._at_head.get(head, ())
        ]
        scored.sort(key=lambda row: row[:2], reverse=True)
        least = max([_LEAST_POINTED, *(score for score, _, _ in scored[:1])])
        pointed = [low + int(at) for at in np.argsort(-scores)[:_MOST_POINTED] if scores[at] > least]
        found = [phrase for head in pointed if (phrase := self._named(head)) is not None]
        return [*found, *(part for _, _, part in scored)][:_MOST_PARTS]

    def _named(self, head: int) -> Phrase | None:
        """The phrase that ends with a word in which the sentence rules saw no part: "hose off", "then the lock"."""
        if head in self._at_head:
            return None
        if head not in self._pointed:
            self._pointed[head] = self._read_at(head)
        return self._pointed[head]

    def _read_at(self, head: int) -> Phrase | None:
        last = self._unit_of.get(head)
        if last is None:
            return None
        for start in range(max(0, last - _LONGEST_NAME + 1), last + 1):
            if any(self._scan.gap[start + 1 : last + 1]):
                continue
            phrase = self._phrase_at(self._scan, start)
            if phrase is not None and phrase.is_part and phrase.end == last + 1:
                return phrase
        return None

    def proposals(self, known: Sequence[Predicate]) -> Iterator[Predicate]:
        """What no known predicate of the same action covers."""
        covered = {
            (token, predicate.action)
            for predicate in known if predicate.action
            for token in (*self._evidence.tokens_of(predicate), *self._evidence.before(predicate))
        }  # fmt: skip
        for token, action, _ in self._evidence.told(_LEAST_TOLD):
            at = self._unit_of.get(token)
            if at is None or (token, action) in covered:
                continue
            parts = self.parts(token)
            if parts:
                yield Predicate(
                    at, at, at, at + 1, action, "", "read", self._scan.text[at], None, parts,
                    said_as=self._scan.text[at], doubt="read", status="none", trigger="no verb",
                )  # fmt: skip
