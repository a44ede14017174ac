"""Loose ends that the speaker tells: judged clause by clause from their signs, each with the part that it is about."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from pipeline.loose_ends.closing import OTHER_SIDE
from pipeline.loose_ends.part_looks import Candidate
from pipeline.loose_ends.reading import Reading
from pipeline.loose_ends.weights import KINDS, Weights
from pipeline.records import Event, LooseEnd

_BESIDE = 2  # clauses
_FITS = frozenset(("fit", "assemble"))


@dataclass(frozen=True, slots=True)
class Told:
    """One matter left open: the clause that tells it and the part that it is about."""

    kind: str
    clause: int
    candidate: Candidate
    chance: float


def judge(reading: Reading, weights: Weights, worth_telling: float) -> list[Told]:
    """The matters left open, the surest first, each told once."""
    kept: list[Told] = []
    for told in sorted(_candidates(reading, weights, worth_telling), key=lambda told: -told.chance):
        if not any(_is_same(reading, told, other) for other in kept):
            kept.append(told)
    return kept


def _candidates(reading: Reading, weights: Weights, worth_telling: float) -> Iterator[Told]:
    for index in range(len(reading.clauses)):
        features = reading.facts.of(index)
        for kind in KINDS:
            chance = weights.probability(kind, features)
            if chance < worth_telling:
                continue
            rows = reading.parts.of(index, kind)
            if not rows:
                continue
            shares: dict[str, float] = {}
            best, most = rows[0][0], 0.0
            for (candidate, _), share in zip(rows, weights.shares([names for _, names in rows]), strict=True):
                shares[candidate.name] = shares.get(candidate.name, 0.0) + share
                if share > most:
                    best, most = candidate, share
            share = sum(part for name, part in shares.items() if _is_tail(name, best.name))
            if chance * share >= worth_telling:
                yield Told(kind, index, best, chance * share)


def _is_tail(first: str, second: str) -> bool:
    """True where one name is the end of the other: "temperature gauge" and "gauge" are one thing said twice."""
    ours, theirs = first.split(), second.split()
    return ours[-len(theirs) :] == theirs or theirs[-len(ours) :] == ours


def _is_same(reading: Reading, told: Told, other: Told) -> bool:
    """True where a surer remark tells the same matter."""
    one = reading.names.name_of(told.candidate.name) == reading.names.name_of(other.candidate.name)
    near = abs(told.clause - other.clause) <= _BESIDE
    together = near and reading.clauses[told.clause].sentence == reading.clauses[other.clause].sentence
    if told.kind == other.kind:
        return one or (together and not (_names_own(reading, told) and _names_own(reading, other)))
    return {told.kind, other.kind} == {"promised", "provisional"} and together


def _names_own(reading: Reading, told: Told) -> bool:
    clause = reading.clauses[told.clause]
    return clause.start <= told.candidate.phrase.start < clause.end


def as_loose_end(reading: Reading, told: Told) -> LooseEnd:
    """A matter as a record, with the words that tell it."""
    clause, phrase = reading.clauses[told.clause], told.candidate.phrase
    start, end = clause.start, max(clause.end, min(phrase.end, clause.end + 6) if phrase.start >= clause.end else 0)
    for index in range(told.clause, max(-1, told.clause - 4), -1):
        earlier = reading.clauses[index]
        if earlier.sentence == clause.sentence and earlier.start <= phrase.start < earlier.end:
            start = earlier.start
    said, start_word, end_word, start_ms = reading.words(start, end)
    event = _event(reading, told)
    kind, action = told.kind, _action(reading, told, event)
    if (kind, action) == ("not_closed", "fill") and event is not None and event.action in _FITS:
        kind, action = "promised", event.action  # "I've not fitted the oil seal yet" leaves nothing without oil
    return LooseEnd(
        kind, told.candidate.name, said, start_ms, "", None, _side(reading, told), phrase.position, start_word,
        end_word, event.id if event else "", action,
    )  # fmt: skip


def _event(reading: Reading, told: Told) -> Event | None:
    """What the same clause tells to have been done, or to be done, to the part."""
    events = [event for event in reading.facts.events(told.clause) if event.part == told.candidate.name]
    return events[-1] if events else None


def _side(reading: Reading, told: Told) -> str:
    """The side of the part; of something open on one side only, the side that is done."""
    clause, text = reading.clauses[told.clause], reading.scan.text
    if told.kind != "one_side_only":
        return told.candidate.phrase.side
    for at in range(clause.start, clause.end):
        hit = reading.rules.side.at(text, at)
        if hit is not None and hit[1] in OTHER_SIDE and (text[at] not in ("left", "right") or text[at - 1] != "i"):
            only = {"only", "just"} & set(text[clause.start : at])
            return hit[1] if only else OTHER_SIDE[hit[1]]
    return told.candidate.phrase.side


def _action(reading: Reading, told: Told, event: Event | None) -> str:
    """What is still to be done."""
    signs = reading.signs[told.clause]
    if told.kind == "loose":
        return "tighten"
    if told.kind == "waiting" and told.candidate.phrase.kind == "fluid":
        return "fill"
    if told.kind in ("provisional", "waiting"):
        return "fit"
    if told.kind == "not_closed":
        if event is not None and event.action in ("connect", "disconnect"):
            return "connect"
        if "not_bled" in signs:
            return "bleed"
        return "fill" if {"no_fluid", "not_filled", "empty", "dry"} & signs.keys() else "fit"
    if event is not None:
        return event.action
    clause = reading.clauses[told.clause]
    for at in range(clause.start, clause.end):
        for verb in reading.scan.verbs.get(at, (0, ()))[1]:
            if verb.lemma in reading.rules.plain:
                return reading.rules.plain[verb.lemma]
    return ""
