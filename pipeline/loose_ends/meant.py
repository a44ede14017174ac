"""What "it" and "those" mean where the sentence that leaves something open names no part: the likeliest, or none."""

from __future__ import annotations

from dataclasses import replace

from pipeline.loose_ends.closing import OTHER_SIDE
from pipeline.loose_ends.reading import Reading
from pipeline.loose_ends.weights import Weights
from pipeline.records import LooseEnd

# Of all parts talked of before: so unlikely is no longer believed, so likely is taken instead.
_UNLIKELY, _LIKELY = 0.15, 0.7


def better_named(end: LooseEnd, reading: Reading, weights: Weights) -> LooseEnd:
    """The end with the part that is by far the likeliest, where its own is as good as excluded."""
    shares = _shares(end, reading, weights)
    if not shares or _share(end, shares, reading) >= _UNLIKELY:
        return end
    best = max(shares, key=lambda name: shares[name])
    return replace(end, part=best, side="", position="", event="") if shares[best] >= _LIKELY else end


def placed_one(end: LooseEnd, reading: Reading) -> LooseEnd:
    """The end with the place that its own words tell: "the rear one I've cut too short" is no front brake cable."""
    spots = reading.clauses_in(end.start_word, end.end_word)
    if not spots or not end.part:
        return end
    text, rules = reading.scan.text, reading.rules
    for at in range(reading.clauses[spots[0]].start, reading.clauses[spots[-1]].end):
        side, position = rules.side.at(text, at), rules.position.at(text, at)
        hit = side or position
        if hit is None or text[at - 1 : at] != ["the"] or text[hit[0] : hit[0] + 1] not in (["one"], ["ones"]):
            continue
        told = {end.side, end.position, *end.part.split()} & {hit[1], OTHER_SIDE.get(hit[1], "")} - {""}
        if told == {OTHER_SIDE.get(hit[1], "")}:
            part = " ".join(word for word in end.part.split() if word not in told) or end.part
            return replace(
                end,
                part=part,
                side=hit[1] if side else "",
                position="" if side else hit[1],
                event="",
                closed_by="",
                closed_ms=None,
            )
    return end


def named_or_not(end: LooseEnd, reading: Reading, weights: Weights) -> LooseEnd:
    """The end without a part where nobody can tell which one is meant: its words stand for it."""
    if end.closed_by:
        return end
    shares = _shares(end, reading, weights)
    unknown = bool(shares) and _share(end, shares, reading) < _UNLIKELY
    return replace(end, part="", side="", position="", action="", event="") if unknown else end


def _shares(end: LooseEnd, reading: Reading, weights: Weights) -> dict[str, float]:
    """How likely each part named before is meant; nothing where the sentence names the part itself."""
    spots = reading.clauses_in(end.start_word, end.end_word)
    if not spots or end.kind not in weights.kinds:
        return {}
    beside = [clause for clause in reading.clauses if clause.sentence == reading.clauses[spots[-1]].sentence]
    named = reading.scan.phrases_in(beside[0].start, beside[-1].end)
    if any(end.part in (phrase.name, reading.names.container_of(phrase.name)) for phrase in named if phrase.is_part):
        return {}
    rows = reading.parts.of(spots[-1], end.kind)
    known = {candidate.name for candidate, _ in rows if candidate.phrase.kind}
    shares: dict[str, float] = {}
    for (candidate, _), share in zip(rows, weights.shares([names for _, names in rows]), strict=True):
        shares[candidate.name] = shares.get(candidate.name, 0.0) + share
    return {name: share if name in known else share / 2 for name, share in shares.items()}


def _share(end: LooseEnd, shares: dict[str, float], reading: Reading) -> float:
    """How likely the part of an end is, by whatever name."""
    name_of = reading.names.name_of
    return sum(share for name, share in shares.items() if name_of(name) == name_of(end.part))
