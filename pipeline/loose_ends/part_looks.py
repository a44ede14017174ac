"""What a named part looks like where it stands: how its sentence has it, and what sort of thing it is."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from pipeline.events.phrase import Phrase, Scan
from pipeline.loose_ends.names import PartNames
from pipeline.loose_ends.signs import load_stuff

_SUBJECT_VERBS = frozenset((
    "is", "are", "'s", "has", "have", "was", "were", "will", "needs", "need", "wants", "want", "goes", "comes", "gets",
    "can", "must", "still", "not",
))  # fmt: skip
_WITH = frozenset(("with", "without"))
_OF = frozenset(("of",))
_FOR = frozenset(("for", "to", "until", "till"))
LINK = frozenset(("and", "but", "so", "because", "as", "that", "then", "or", "until", "till", "when", "if", "once"))
_PLACES = frozenset((
    "in", "on", "at", "from", "by", "into", "onto", "over", "under", "through", "off", "out", "around", "round",
    "between", "behind", "inside", "against", "like", "than", "down", "up",
))  # fmt: skip
GOVERNING = _PLACES | {"with", "without", "of", "for", "to"}


@dataclass(frozen=True, slots=True)
class Candidate:
    """A named part that a clause may be about. `contained` tells that the name is what holds the named fluid."""

    phrase: Phrase
    name: str
    contained: bool = False


class PartLooks:
    """The features that a candidate has whatever the clause is."""

    def __init__(self, scan: Scan, names: PartNames) -> None:
        self._scan, self._names = scan, names
        self._vessels, self._fasteners = load_stuff("vessel"), load_stuff("fastener")

    def _grammar(self, candidate: Candidate, zone: str) -> Iterator[str]:
        scan, phrase = self._scan, candidate.phrase
        text = scan.text
        ahead = text[phrase.start - 1] if phrase.start and not scan.gap[phrase.start] else ""
        governed = ""
        if ahead in _WITH:
            governed = "with"
        elif ahead in _OF:
            governed = "of"
        elif ahead in _FOR:
            governed = "for"
        elif ahead in _PLACES:
            governed = "place"
        yield f"{zone}:governed:{governed}" if governed else f"{zone}:free"
        first = not phrase.start or scan.gap[phrase.start] or ahead in LINK
        if first:
            yield f"{zone}:first"
        follows = text[phrase.end] if phrase.end < len(text) else ""
        if phrase.end < len(text) and not scan.gap[phrase.end]:
            if follows in _SUBJECT_VERBS:
                yield f"{zone}:subject"
            elif follows in ("i", "we"):
                yield f"{zone}:fronted"
            elif phrase.end in scan.verbs:
                yield f"{zone}:acts"
        elif first:
            yield f"{zone}:title"
        if phrase.start - 1 in _ends(scan):
            yield f"{zone}:object"
        yield f"determiner:{phrase.determiner or 'none'}"

    def _nature(self, candidate: Candidate, zone: str) -> Iterator[str]:
        phrase = candidate.phrase
        yield f"kind:{phrase.kind or 'unknown'}"
        yield f"{zone}:kind:{phrase.kind or 'unknown'}"
        if phrase.weak:
            yield "weak"
        if phrase.measure:
            yield "measure"
        if phrase.condition:
            yield f"condition:{phrase.condition}"
            yield f"{zone}:condition:{phrase.condition}"
        head = candidate.name.split()[-1]
        if head in self._fasteners:
            yield "fastener"
            yield f"{zone}:fastener"
        if head in self._vessels:
            yield "vessel"
            yield f"{zone}:vessel"
        if self._names.is_cover(candidate.name):
            yield "cover"
        if candidate.contained:
            yield "contained"
        if phrase.plural:
            yield f"{zone}:plural"
        if phrase.count:
            yield "counted"
        if phrase.side:
            yield "sided"
        if self._names.is_paired(candidate.name):
            yield "paired"
        yield f"words:{min(3, len(candidate.name.split()))}"


def _ends(scan: Scan) -> set[int]:
    return {end - 1 for end, _ in scan.verbs.values()}
