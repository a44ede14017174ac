"""Records of the first look at a text: noun phrases, and which units are verbs."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace

from pipeline.events.reading import Unit
from pipeline.events.rules import Verb

PARTICLES = frozenset(("off", "out", "up", "down", "on", "in", "over", "through", "apart", "back", "away", "together"))


@dataclass(frozen=True, slots=True)
class Phrase:
    """A noun phrase over units `start`..`end` (half-open).

    `name` is the part as said, in the singular and without the words that describe it; "" for a pronoun or for
    something that is no part. `kind` is the vocabulary's ("" if not there), "person" or "pronoun".
    """

    start: int
    end: int
    name: str
    kind: str
    head: str
    determiner: str = ""
    plural: bool = False
    count: int | None = None
    side: str = ""
    position: str = ""
    condition: str = ""
    finish: str = ""
    measure: str = ""
    assembly: str = ""
    pair: str = ""
    weak: bool = False

    @property
    def is_part(self) -> bool:
        """True for a named thing that something can be done to."""
        return bool(self.name) and self.kind not in ("person", "pronoun", "nothing")

    @property
    def is_pronoun(self) -> bool:
        """True for "it", "those", "the new one"."""
        return self.kind == "pronoun"


@dataclass(slots=True)
class Scan:
    """What is known of each unit after the first look."""

    units: Sequence[Unit]
    text: list[str]
    gap: list[int]
    phrases: list[Phrase] = field(default_factory=list)
    verbs: dict[int, tuple[int, tuple[Verb, ...]]] = field(default_factory=dict)
    starting: dict[int, Phrase] = field(default_factory=dict)
    ending: dict[int, Phrase] = field(default_factory=dict)
    figures: dict[int, int] = field(default_factory=dict)
    torques: set[int] = field(default_factory=set)
    volumes: set[int] = field(default_factory=set)
    bare: bool = False

    def __post_init__(self) -> None:
        """`bare` tells that nobody wrote punctuation: fewer than one break in thirty words."""
        self.bare = len(self.gap) > 12 and sum(gap > 0 for gap in self.gap) * 30 <= len(self.gap)

    def phrases_in(self, start: int, end: int) -> list[Phrase]:
        """The phrases that begin in `start`..`end`; they are kept in order."""
        low = bisect_left(self.phrases, start, key=_start)
        return self.phrases[low : bisect_left(self.phrases, end, lo=low, key=_start)]


def says(text: Sequence[str], phrases: Iterable[tuple[str, ...]], start: int, end: int) -> bool:
    """Whether one of some phrases begins at a unit from `start` on, before `end`."""
    return any(tuple(text[at : at + len(said)]) == said for said in phrases for at in range(start, end))


def _start(phrase: Phrase) -> int:
    return phrase.start


def noun_ends_at(scan: Scan, index: int) -> bool:
    """True where a named part ends right before a unit."""
    return bool(scan.phrases) and scan.phrases[-1].end == index and scan.phrases[-1].is_part and scan.gap[index] == 0


def replace_end(phrase: Phrase, end: int) -> Phrase:
    """The same phrase, ending elsewhere."""
    return replace(phrase, end=end)
