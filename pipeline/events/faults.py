"""Faults that are told of a part in so many words: "has had it", "isn't working", "was out of true"."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from pipeline.events.clauses import sentence_around
from pipeline.events.phrase import Phrase, Scan
from pipeline.events.predicate import Predicate
from pipeline.events.reading import COMMA
from pipeline.records import Event

FAULTY = "faulty"
"""The voice of a fault that a part was found with."""

_BE = frozenset(("is", "'s", "are", "'re", "was", "were"))
_HAVE = frozenset(("has", "'s", "have", "'ve"))
_DO = frozenset(("does", "do", "did"))
_HOW = frozenset(
    ("a", "bit", "slightly", "well", "badly", "way", "miles", "quite", "very", "all", "still", "really", "completely",
     "just", "both", "actually", "also", "little", "touch")
)  # fmt: skip
_MOST_HOW = 3
# What a part should be, and is "out of".
_TRUE = frozenset(
    ("true", "truth", "round", "line", "square", "level", "balance", "tram", "shape", "alignment", "spec", "tolerance")
)
_WORKS = frozenset(
    ("work", "turn", "run", "open", "close", "read", "charge", "hold", "fire", "spin", "flash", "spark", "pump",
     "latch", "seal", "engage", "light")
)  # fmt: skip
_WORKING = frozenset(
    ("working", "turning", "running", "opening", "closing", "reading", "charging", "holding", "firing", "spinning",
     "flashing", "sparking", "pumping", "latching", "sealing", "engaging", "lighting")
)  # fmt: skip
# Behind one of these nothing was found.
_SUPPOSED = frozenset(("if", "whether", "unless", "until", "till", "when", "case", "should", "would", "could", "might"))


def faults(scan: Scan) -> Iterator[Predicate]:
    """A proposal for each fault that is told right behind a part's name, at the words for it."""
    for part, end in _faulty(scan):
        if not _SUPPOSED.isdisjoint(scan.text[sentence_around(scan, part.start)[0] : part.end]):
            continue
        yield Predicate(
            part.start, part.end, end - 1, end, "inspect", "", FAULTY, "", None, [part],
            said_as=" ".join(scan.text[part.end : end]), status="done", trigger="found so",
        )  # fmt: skip


def faulty_units(scan: Scan) -> frozenset[int]:
    """The units of "out of true" and its like behind a part: nothing was taken out."""
    return frozenset(
        unit for part, end in _faulty(scan) if scan.text[end - 2] == "of" for unit in range(part.start, end)
    )


def _faulty(scan: Scan) -> Iterator[tuple[Phrase, int]]:
    """The parts of which a fault is told right behind their names, each with the end of that."""
    for part in scan.phrases:
        if part.is_part and (end := _fault(scan, part.end)):
            yield part, end


def _fault(scan: Scan, at: int) -> int:
    """Where the fault ends that is told from the unit `at` on; 0 where none is."""
    text = scan.text
    if at >= len(text) or scan.gap[at] >= COMMA:
        return 0
    if text[at] in _HAVE and text[at + 1 : at + 3] == ["had", "it"] and _is_over(scan, at + 3):
        return at + 3
    first = at + 1
    if text[first : first + 1] == ["not"]:
        said = text[first + 1 : first + 2]
        fails = (text[at] in _BE and _WORKING.issuperset(said)) or (text[at] in _DO and _WORKS.issuperset(said))
        return first + 2 if said and fails else 0
    if text[at] not in _BE:
        return 0
    while first - at <= _MOST_HOW and text[first : first + 1] and text[first] in _HOW:
        first += 1
    out = text[first : first + 2] == ["out", "of"] and text[first + 2 : first + 3] and text[first + 2] in _TRUE
    return first + 3 if out else 0


def _is_over(scan: Scan, at: int) -> bool:
    """Not "has had it off", "had it apart twice"."""
    over = ("and", "so", "but", "too", "as", "i", "there", "now", "i've", "because")
    return at >= len(scan.text) or scan.gap[at] >= COMMA or scan.text[at] in over


def is_told(fault: Predicate, events: Sequence[Event], spans: Sequence[tuple[int, int]]) -> bool:
    """Whether one of the events, over units each, tells already what was found of the part there."""
    name = fault.objects[0].name
    return any(
        event.action in ("inspect", "test", "measure") and event.part == name and low < fault.end and fault.start < high
        for event, (low, high) in zip(events, spans, strict=True)
    )
