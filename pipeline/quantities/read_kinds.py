"""What the reader network takes a number for, from the words around it: evidence beside that of the cue words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from math import log
from typing import Protocol

from pipeline.reader import Reading, load_reader
from pipeline.reader.reading import FIGURES

_LEAST, _MOST = 1e-4, 6
# A number whose unit nobody says may be of a kind from this probability on.
_LIKELY = 0.12
# From this probability on the network is believed against a rule that only lends a unit.
_SURELY = 0.9
_SIZES = frozenset({"length", "clearance", "spanner", "thread"})
# Slack is a length until the words around it are weighed.
_LENGTHS = ("length", "clearance")


class KindReader(Protocol):
    """Anything that reads words."""

    def read(self, words: Sequence[str]) -> Reading | None:
        """What it says of them; None where it can say nothing."""


class ReadKinds:
    """The kinds of the numbers of one text. It is read when the first of them is asked for.

    `reader` reads it: the shipped network, loaded then, where none is given.
    """

    def __init__(self, words: Sequence[str], reader: KindReader | None = None) -> None:
        self._words, self._reader = words, reader
        self._reading: Reading | None = None
        self._found: dict[tuple[int, int], dict[str, float]] = {}

    def of(self, first: int, end: int) -> Mapping[str, float]:
        """Kind -> probability for the number over these tokens, "" for no figure; lengths hold clearances too."""
        if (first, end) not in self._found:
            self._reading = self._reading or (self._reader or load_reader()).read(self._words)
            kinds = self._reading.figure(range(first, end)) if self._reading else dict.fromkeys(("", *FIGURES), 0.0)
            self._found[first, end] = kinds
        return self._found[first, end]

    def likely(self, first: int, end: int) -> list[str]:
        """The kinds that a number may well be of."""
        kinds = self.of(first, end)
        return [kind for kind in FIGURES if kinds[kind] >= _LIKELY]

    def another(self, first: int, end: int, kind: str) -> bool:
        """Whether a number is surely of another kind; lengths, clearances, spanners and threads are one kind here."""
        kinds = self.of(first, end)
        read = max(kinds, key=lambda each: kinds[each])
        alike = read in ("", kind) or {read, kind} <= _SIZES
        return not alike and kinds[read] >= _SURELY

    def whether(self, first: int, end: int, kind: str) -> Iterator[str]:
        """What speaks for and against a kind ("" for no figure), as names of evidence."""
        kinds = self.of(first, end)
        share = sum(kinds[each] for each in _LENGTHS) if kind == "length" else kinds.get(kind, 0.0)
        step = _step(share, 1 - share)
        name = kind or "none"
        yield f"read {step}"
        yield f"{name} read {step}"
        if share >= max(kinds.values()):
            yield f"{name} read first"

    def rather(self, first: int, end: int, kind: str, than: str) -> Iterator[str]:
        """What speaks for a kind of figure beside another."""
        kinds = self.of(first, end)
        yield f"{kind} read {_step(kinds[kind], kinds[than])}"
        yield f"{kind} read at all {_step(kinds[kind], 1 - kinds[kind])}"


def _step(share: float, other: float) -> int:
    """Log odds as a whole step."""
    return max(-_MOST, min(_MOST, round(log(max(share, _LEAST) / max(other, _LEAST)))))
