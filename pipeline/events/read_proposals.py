"""Events that the reader network sees where the sentence rules see none; the judge decides."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence

from pipeline.events.phrase import Phrase, Scan
from pipeline.events.predicate import Predicate
from pipeline.events.reader_evidence import ReaderEvidence
from pipeline.reader.reading import UNRELATED

# In natural logarithms of odds: what is less likely than this is not proposed.
_LEAST_TOLD, _LEAST_ABOUT = -2.0, -2.5
_MOST_PARTS, _BEFORE, _AFTER = 3, 70, 24


class ReadProposals:
    """Proposals of one scan."""

    def __init__(self, scan: Scan, evidence: ReaderEvidence) -> None:
        self._scan, self._evidence = scan, evidence
        self._parts = [phrase for phrase in scan.phrases if phrase.is_part]
        self._starts = [phrase.start for phrase in self._parts]
        self._unit_of: dict[int, int] = {}
        self._parts_of: dict[int, list[Phrase]] = {}
        for index, unit in enumerate(scan.units):
            self._unit_of.setdefault(unit.token, index)

    def parts(self, token: int) -> list[Phrase]:
        """The parts that the word at a token is most likely about, the likeliest first."""
        if token not in self._parts_of:
            self._parts_of[token] = self._likeliest(token)
        return self._parts_of[token]

    def _likeliest(self, token: int) -> list[Phrase]:
        unit = self._unit_of[token]
        low, high = bisect_left(self._starts, unit - _BEFORE), bisect_left(self._starts, unit + _AFTER)
        scored = [(self._evidence.pair(token, part), -abs(part.start - unit), part) for part in self._parts[low:high]]
        scored = [row for row in scored if row[0] > max(_LEAST_ABOUT, UNRELATED)]
        scored.sort(key=lambda row: row[:2], reverse=True)
        return [part for _, _, part in scored[:_MOST_PARTS]]

    def proposals(self, known: Sequence[Predicate]) -> Iterator[Predicate]:
        """What no known predicate of the same action covers."""
        covered = {
            (token, predicate.action)
            for predicate in known if predicate.action
            for token in self._evidence.tokens_of(predicate)
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
