"""What speaks for and against a clause telling of something left open: named features, weighed in data."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from pipeline.events.phrase import Scan
from pipeline.loose_ends.reader_features import ReaderFeatures
from pipeline.loose_ends.signs import Clause, SignReader, load_signs
from pipeline.records import Event

_NEAR = 2  # clauses of the same sentence
_LENGTHS = (2, 4, 7, 12)
_JOBS = {
    "fit": "on", "renew": "on", "assemble": "on", "connect": "on", "remove": "off", "dismantle": "off",
    "disconnect": "off", "slacken": "off", "tighten": "tight", "torque": "tight", "fill": "fluid", "top_up": "fluid",
    "drain": "drain", "bleed": "fluid", "inspect": "look", "measure": "look", "test": "look",
}  # fmt: skip


class ClauseFeatures:
    """The features of each clause of one text."""

    def __init__(
        self, scan: Scan, reader: SignReader, events: Sequence[Event], unit_of: dict[int, int], read: ReaderFeatures
    ) -> None:
        self._scan, self._reader, self._read = scan, reader, read
        self._events: list[list[Event]] = [[] for _ in reader.clauses]
        place = 0
        for event in sorted(events, key=lambda event: event.start_word):
            at = unit_of.get(event.start_word, 0)
            end = unit_of.get(event.end_word, len(scan.text))
            while place + 1 < len(reader.clauses) and reader.clauses[place].end <= at:
                place += 1
            for spot in range(place, len(reader.clauses)):
                if reader.clauses[spot].start >= end:
                    break
                self._events[spot].append(event)

    def events(self, index: int) -> Sequence[Event]:
        """The events told in a clause, wholly or in part."""
        return self._events[index]

    def of(self, index: int) -> set[str]:
        """The names of the features that a clause has."""
        return set(self._of(index))

    def _of(self, index: int) -> Iterator[str]:
        clauses, signs = self._reader.clauses, self._reader.signs
        clause = clauses[index]
        inside = signs[index]
        yield from inside
        yield from self._read.of_clause(clause)
        zones = {"before": range(index - 1, index - 1 - _NEAR, -1), "after": range(index + 1, index + 1 + _NEAR)}
        for zone, spots in zones.items():
            seen: set[str] = set()
            for spot in spots:
                if not 0 <= spot < len(clauses) or clauses[spot].sentence != clause.sentence:
                    break
                seen |= signs[spot].keys()
            for name in seen:
                yield f"{zone}:{name}"
        if index and clauses[index - 1].sentence != clause.sentence:
            for name in signs[index - 1]:
                yield f"earlier:{name}"
        yield from self._shape(clause, inside)
        names = sorted(inside)
        for place, first in enumerate(names):
            for second in names[place + 1 :]:
                yield f"{first}+{second}"
        for event in self._events[index]:
            yield f"event:{event.status}"
            yield f"event:{event.status}:{_JOBS.get(event.action, 'other')}"
        if not self._events[index]:
            yield "event:none"

    def _shape(self, clause: Clause, inside: dict[str, int]) -> Iterator[str]:
        phrases = self._scan.phrases_in(clause.start, clause.end)
        parts = [phrase for phrase in phrases if phrase.is_part]
        yield "parts:" + str(min(2, len(parts)))
        for phrase in parts:
            if phrase.condition:
                yield f"condition:{phrase.condition}"
            if phrase.side:
                yield "sided"
            if phrase.kind:
                yield f"named:{phrase.kind}"
        pronoun = next((phrase for phrase in phrases if phrase.is_pronoun), None)
        if pronoun is not None:
            yield "pronoun:many" if pronoun.plural else "pronoun:one"
        first = self._scan.text[clause.start]
        yield f"first:{first}" if first in _FIRST else "first:other"
        yield f"length:{sum(clause.end - clause.start > length for length in _LENGTHS)}"
        kinds = {load_signs()[name].kind for name in inside}
        for kind in kinds:
            yield f"any:{kind}"


_FIRST = frozenset((
    "i", "we", "it", "that", "they", "those", "there", "and", "but", "so", "because", "as", "until", "till", "when",
    "if", "the", "its", "which", "you", "with", "only", "just", "not", "no", "never", "once", "to", "then", "since",
))  # fmt: skip
