"""What went in and how much, told without a verb: "Oil. Two litres of twenty fifty.", "that's taken a litre"."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from pipeline.events.clauses import sentence_around
from pipeline.events.phrase import Phrase, Scan, says
from pipeline.events.predicate import Predicate
from pipeline.events.rules import Rules

FILLED = "filled"
"""The voice of a filling that nothing but the amount and the fluid tells."""

SURELY = "went in there"
"""The trigger of one that leaves no doubt."""
ALSO = "and the other one with"
"""The trigger of one that a verb tells of a second vessel; its object is the vessel."""

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
_WENT_IN = (
    ("went", "in"), ("gone", "in"), ("went", "back", "in"), ("gone", "back", "in"), ("was", "put", "in"),
    ("put", "in"), ("poured", "in"), ("pumped", "in"), ("gone", "in", "there"), ("went", "in", "there"),
)  # fmt: skip
_CLOSES = frozenset(("and", "so", "but", "before", "until", "there", "then", "nicely", "again"))
_HEADING = 8


def filled(rules: Rules, scan: Scan) -> Iterator[Predicate]:
    """A proposal for each amount of a fluid that went in, at the end of its sentence; its object is the fluid.

    Where no fluid is named it has none, and is of what was drained before: "then four litres of ten W forty went in".
    """
    for at in sorted(scan.volumes):
        start, end = sentence_around(scan, at)
        if (vessel := _second_vessel(scan, start, at)) is not None:
            stop = _stop(scan, at, end)
            into = next((phrase.name for phrase in scan.phrases_in(at, stop) if _is_fluid(rules, phrase)), "")
            yield replace(_filling(vessel.start, at, stop, vessel, ALSO), fluid=into)
            continue
        own = _clause(scan, start, at)
        then, stop = scan.text[own] == "then", _stop(scan, at, end)
        words = scan.text[start:end]
        taken = says(words, _TAKEN, 0, len(words))
        went = _went_in(scan, at, stop) and _NOT_IN.isdisjoint(set(scan.text[own:stop]) - {"before"})
        verbs = (verb for verb in scan.verbs if scan.text[verb] not in rules.words["fluid_heads"])
        goes_on = then and own > start and not any(own <= verb < stop for verb in verbs)
        goes_on = goes_on and _NOT_IN.isdisjoint(set(scan.text[own:stop]) - {"then"}) and _named(rules, scan, own, stop)
        if went or goes_on:
            fluid = next((phrase for phrase in scan.phrases_in(own, stop) if _is_fluid(rules, phrase)), None)
            if not any(scan.volumes.intersection(range(own, at))) and (fluid is not None or goes_on or went):
                if fluid is None and went:
                    fluid = None if own == start else _fluid_in_front(rules, scan, start, own)
                yield _filling(own, at, stop, fluid, SURELY)
                continue
        if not (_NOT_SO if taken else _NOT_IN).isdisjoint(words) or any(scan.volumes.intersection(range(start, at))):
            continue
        fluid = _fluid(rules, scan, start, end)
        verbless = not any(start <= verb < scan.figures[at] + 1 for verb in scan.verbs)
        if fluid is None or not (taken or (verbless and _is_heading(scan, fluid, start))):
            continue
        yield _filling(start, at, end, fluid)


def _filling(start: int, at: int, end: int, fluid: Phrase | None, trigger: str = "went in") -> Predicate:
    objects = [] if fluid is None else [fluid]
    return Predicate(
        start, at, end - 1, end, "fill", "", FILLED, "", None, objects, said_as="an amount of a fluid",
        status="done", trigger=trigger,
    )  # fmt: skip


def _second_vessel(scan: Scan, start: int, at: int) -> Phrase | None:
    """ "I filled the gearbox with a pint of gear oil and | the primary | with three hundred mil of ATF"."""
    phrase = scan.ending.get(at - 1)
    if phrase is None or not phrase.is_part or phrase.kind in ("fluid", "tool") or scan.text[at - 1] != "with":
        return None
    joined = phrase.start > start and scan.text[phrase.start - 1] in ("and", "then")
    fills = any(
        verb.lemma in ("fill", "refill", "top") for place, (_, verbs) in scan.verbs.items()
        if start <= place < phrase.start for verb in verbs
    )  # fmt: skip
    return phrase if joined and fills else None


def _clause(scan: Scan, start: int, at: int) -> int:
    """Where the clause of a figure begins: at the last comma, "and" or "then" before it."""
    while at > start and not scan.gap[at] and scan.text[at] != "then":
        at -= 1
    return at


def _stop(scan: Scan, at: int, end: int) -> int:
    return next((place for place in range(at + 1, end) if scan.gap[place] and place >= scan.figures[at]), end)


def _went_in(scan: Scan, at: int, end: int) -> bool:
    """ "four litres of ten W forty | went in", and nothing behind that says into what else it went."""
    return any(
        spot + len(said) >= end or scan.text[spot + len(said)] in _CLOSES
        for spot in range(scan.figures[at], end) for said in _WENT_IN
        if tuple(scan.text[spot : spot + len(said)]) == said
    )  # fmt: skip


def _named(rules: Rules, scan: Scan, start: int, end: int) -> bool:
    return any(word in rules.words["fluid_heads"] for word in scan.text[start:end])


def _fluid_in_front(rules: Rules, scan: Scan, start: int, own: int) -> Phrase | None:
    """ "Gearbox oil, | two litres was put in"."""
    phrase = scan.ending.get(own)
    return phrase if phrase is not None and _is_fluid(rules, phrase) and phrase.start - start <= 2 else None


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
