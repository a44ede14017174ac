"""Two witnesses to what is left open: the rules, and the weights learned from narrations."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from pipeline.loose_ends.reading import Reading
from pipeline.loose_ends.signs import load_stuff
from pipeline.loose_ends.taken_back import is_taken_back
from pipeline.loose_ends.told import Told, as_loose_end, judge
from pipeline.loose_ends.weights import Weights
from pipeline.records import LooseEnd

# Chosen on narrations that were left out of the learning (tools/fit_loose_ends.py cross).
HEARD_OF = 0.05  # so probable must a remark be to count as a witness at all
OWN_PART = 0.7  # so probable to name the part against the rules
ALONE = 0.5  # so probable to be told without the rules
RULE_ALONE = 0.3  # so probable must a clause be for the rules to be believed alone
WAITING_ALONE = 0.05  # the same of what is waited for, which is mostly said in set phrases


def agree(reading: Reading, ruled: Sequence[LooseEnd], weights: Weights) -> list[LooseEnd]:
    """What the rules found and the weights bear out, and what the weights are sure of themselves."""
    learned = judge(reading, weights, HEARD_OF)
    heard: set[int] = set()
    ends: list[LooseEnd] = []
    for end in ruled:
        spots = reading.clauses_in(end.start_word, end.end_word)
        same = [
            place for place, told in enumerate(learned)
            if told.kind == end.kind and (told.clause in spots or _same_part(reading, told, end))
        ]  # fmt: skip
        same.sort(key=lambda place: not _same_part(reading, learned[place], end))
        if same:
            heard.add(same[0])
            told = learned[same[0]]
            inside = reading.names.container_of(told.candidate.name) == end.part
            if inside or _same_part(reading, told, end) or told.chance < OWN_PART:
                ends.append(end)
            else:
                ends.append(replace(end, part=told.candidate.name, side=end.side or told.candidate.phrase.side))
        elif end.part.split()[-1] in load_stuff("no_part"):
            continue
        elif _chance(reading, weights, end.kind, spots) >= (WAITING_ALONE if end.kind == "waiting" else RULE_ALONE):
            ends.append(end)
    ends += [
        as_loose_end(reading, told) for place, told in enumerate(learned) if place not in heard and told.chance >= ALONE
    ]
    placed = [(end, reading.clauses_in(end.start_word, end.end_word)) for end in ends]
    return [
        _whole(reading, end, spots)
        for end, spots in placed
        if not _goes_on(reading, end, spots, placed) and not is_taken_back(reading, end, spots)
    ]


def _goes_on(
    reading: Reading, end: LooseEnd, spots: Sequence[int], others: Sequence[tuple[LooseEnd, Sequence[int]]]
) -> bool:
    """ "it's back for now to try the engine, and it has to come off again": the second clause names no part of its own
    and says the same of what the first is about. `spots`: the clauses that tell an end."""
    if not spots:
        return False
    first, last = reading.clauses[spots[0]], reading.clauses[spots[-1]]
    follows = any(
        other.kind == end.kind and before and before[-1] < spots[0]
        and reading.clauses[before[0]].sentence == last.sentence
        for other, before in others
    )  # fmt: skip
    if not follows:
        return False
    named = {phrase.name for phrase in reading.scan.phrases_in(first.start, last.end)}
    return not any(end.part in (name, reading.names.container_of(name)) for name in named)


def _whole(reading: Reading, end: LooseEnd, spots: Sequence[int]) -> LooseEnd:
    """The end with all words of the clauses that tell it, so that it reads well."""
    if not spots:
        return end
    start, stop = reading.clauses[spots[0]].start, reading.clauses[spots[-1]].end
    said, start_word, end_word, start_ms = reading.words(start, stop)
    return replace(end, said=said, start_word=start_word, end_word=end_word, start_ms=start_ms)


def _same_part(reading: Reading, told: Told, end: LooseEnd) -> bool:
    return reading.names.name_of(told.candidate.name) == reading.names.name_of(end.part)


def _chance(reading: Reading, weights: Weights, kind: str, spots: Sequence[int]) -> float:
    return max((weights.probability(kind, reading.facts.of(index)) for index in spots), default=0.0)
