"""What went in and how much, told without a verb: "Oil. Two litres of twenty fifty.", "that's taken a litre"."""

from __future__ import annotations

from collections.abc import Iterator

from pipeline.events.clauses import sentence_around
from pipeline.events.phrase import Phrase, Scan
from pipeline.events.predicate import Predicate
from pipeline.events.rules import Rules

FILLED = "filled"
"""The voice of a filling that nothing but the amount and the fluid tells."""

# What is said of an amount that is not in yet, comes out, or is only what the book has.
_NOT_IN = frozenset(
    ("should", "hold", "holds", "takes", "take", "need", "needs", "want", "wants", "manual", "book", "says", "said",
     "say", "leaflet", "capacity", "supposed", "meant", "if", "not", "will", "would", "'d", "'ll", "going", "drained",
     "drain", "out", "lost", "came", "comes", "buy", "bought", "ordered", "bottle", "can", "tin", "per", "cost", "mix",
     "ratio", "lifts", "reads", "last", "never", "usually", "must", "could", "might", "until", "when", "later",
     "tomorrow", "spilt", "leaked", "waste", "old", "mixed", "premix", "paraffin", "thinners", "you", "next", "before",
     "what")
)  # fmt: skip
_NOT_SO = frozenset(("should", "holds", "drained", "drain", "draining", "lost", "if", "not", "never"))
_TAKEN = (("'s", "taken"), ("has", "taken"), ("have", "used"), ("it", "took"), ("went", "in"), ("gone", "in"))
_HEADING = 8


def filled(rules: Rules, scan: Scan) -> Iterator[Predicate]:
    """A proposal for each amount of a fluid that went in, at the end of its sentence; its object is the fluid."""
    for at in sorted(scan.volumes):
        start, end = sentence_around(scan, at)
        words = scan.text[start:end]
        taken = any(tuple(words[spot : spot + 2]) in _TAKEN for spot in range(len(words)))
        if not (_NOT_SO if taken else _NOT_IN).isdisjoint(words) or any(scan.volumes.intersection(range(start, at))):
            continue
        fluid = _fluid(rules, scan, start, end)
        verbless = not any(start <= verb < scan.figures[at] + 1 for verb in scan.verbs)
        if fluid is None or not (taken or (verbless and _is_heading(scan, fluid, start))):
            continue
        yield Predicate(
            start, at, end - 1, end, "fill", "", FILLED, "", None, [fluid], said_as="an amount of a fluid",
            status="done", trigger="went in",
        )  # fmt: skip


def _fluid(rules: Rules, scan: Scan, start: int, end: int) -> Phrase | None:
    """The fluid named in the sentence, or that the sentence before is about."""
    here = [phrase for phrase in scan.phrases_in(start, end) if _is_fluid(rules, phrase)]
    if here:
        return here[0]
    before = sentence_around(scan, start - 1)[0] if start else 0
    if not _NOT_SO.isdisjoint(scan.text[before:start]):
        return None
    named = next((phrase for phrase in reversed(scan.phrases_in(before, start)) if _is_fluid(rules, phrase)), None)
    if named is None and start - before == 1 and scan.text[before] in rules.words["fluid_heads"]:  # not the verb "oil"
        return Phrase(before, start, scan.text[before], "fluid", scan.text[before])
    return named


def _is_fluid(rules: Rules, phrase: Phrase) -> bool:
    return phrase.is_part and (phrase.kind == "fluid" or phrase.head in rules.words["fluid_heads"])


def _is_heading(scan: Scan, fluid: Phrase, start: int) -> bool:
    """ "Oil. Two litres", "Now the oil, ...": the fluid opens the talk."""
    first = sentence_around(scan, fluid.start)[0]
    return fluid.start - first <= 2 and first < start and start - first <= _HEADING
