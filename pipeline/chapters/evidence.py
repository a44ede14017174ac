"""What speaks for a new chapter between two utterances: pauses, spoken turns, a change of what the talk is about."""

from __future__ import annotations

import bisect
import math
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from pipeline.chapters.terms import TermMention
from pipeline.chapters.units import Utterance
from pipeline.chapters.words import has_topic, stem, topic_words, turns
from pipeline.records import Token
from pipeline.tokens import bare

# Topic words looked at on either side of a place. Hearst ("TextTiling", Computational Linguistics 23(1), 1997) compares
# blocks of 200 words; workshop talk changes its subject quicker.
WINDOW = 24
FEATURES = ("bias", "pause", "opener", "phrase", "closer", "announced", "naming", "bridged", "moved", "farewell")
# A sentence of at most so many words, openers aside, may be a mere heading: "Right. Brakes, then."
NAMING_WORDS = 4
_ENDING_WORDS = 6
_SHORTEST_PAUSE_MS = 150
# Where hardly an utterance has a pause in front, nothing is known of pauses: each counts for about the average.
_KNOWN_PAUSES = 0.1
_UNKNOWN_PAUSE = 0.25
_INTRODUCTION_WORDS = 70


@dataclass(frozen=True, slots=True)
class Topics:
    """For each utterance: the stems it is about (`stems`) and the places on the machine it names (`places`)."""

    stems: tuple[tuple[str, ...], ...]
    places: tuple[tuple[str, ...], ...]


def find_topics(units: Sequence[Utterance], tokens: Sequence[Token], mentions: Sequence[TermMention]) -> Topics:
    """Stems of the words that have a topic, and the assemblies of the terms of each utterance."""
    general = topic_words().general_assemblies
    unit_of = {at: number for number, unit in enumerate(units) for at in range(unit.start, unit.end)}
    places: list[list[str]] = [[] for _ in units]
    for mention in mentions:
        if mention.plain and mention.term.part_of and mention.term.part_of not in general:
            places[unit_of[mention.start]].append(mention.term.part_of)
    keys = [bare(token.text) for token in tokens]
    stems = tuple(tuple(stem(key) for key in keys[unit.start : unit.end] if has_topic(key)) for unit in units)
    return Topics(stems, tuple(tuple(names) for names in places))


def _starts_with(words: Sequence[str], table: Mapping[tuple[str, ...], float]) -> tuple[float, int]:
    """Weight and length of the longest entry that the words begin with."""
    for length in range(min(4, len(words)), 0, -1):
        weight = table.get(tuple(words[:length]))
        if weight is not None:
            return weight, length
    return 0.0, 0


def opener_score(words: Sequence[str]) -> tuple[float, int]:
    """Weight of the openers at the head of an utterance, and how many words they are."""
    table = turns().openers
    total, at = 0.0, 0
    while True:
        weight, length = _starts_with(words[at:], table)
        if length == 0:
            return min(total, 3.0), at
        total += weight
        at += length


def opener_length(words: Sequence[str]) -> int:
    """How many words at the head of an utterance only open it: "right, so"."""
    return opener_score(words)[1]


def phrase_score(words: Sequence[str], table: Mapping[tuple[str, ...], float], within: int) -> float:
    """Greatest weight of an entry that begins within the first words."""
    return max((_starts_with(words[at:], table)[0] for at in range(min(within, len(words)))), default=0.0)


def is_introduced(units: Sequence[Utterance]) -> bool:
    """True where the recording opens with what is going to be done."""
    words = [word for unit in units[:_INTRODUCTION_WORDS] for word in unit.words][:_INTRODUCTION_WORDS]
    return phrase_score(words, turns().introductions, len(words)) > 0


def _block(stems: Sequence[Sequence[str]], numbers: Sequence[int]) -> list[str]:
    """Stems of utterances, taken in the order of `numbers` until the window is full."""
    block: list[str] = []
    for number in numbers:
        block.extend(stems[number])
        if len(block) >= WINDOW:
            break
    return block


def _bridged(before: Sequence[str], after: Sequence[str], rare: Mapping[str, float]) -> float:
    """How many topics are spoken of on both sides (lexical chains over the place: Galley and others, ACL 2003)."""
    left, right = set(before), set(after)
    return sum(rare[key] for key in left & right) / math.sqrt(1 + min(len(left), len(right)))


def _rarity(stems: Sequence[Sequence[str]]) -> dict[str, float]:
    """Weight of each stem: those said all through the recording tell nothing apart."""
    in_units = Counter(key for unit in stems for key in set(unit))
    return {key: math.log((len(stems) + 1) / n) for key, n in in_units.items()}


def _announced(number: int, topics: Topics, before: Sequence[str], after: Sequence[str]) -> float:
    """Topics that this utterance brings up, that were not spoken of just before, and that stay."""
    earlier, later = set(before), Counter(after)
    general = topic_words().general
    fresh = {key for key in topics.stems[number] if key not in earlier and key not in general}
    return math.log1p(sum(min(later[key], 4) - 1 for key in fresh if later[key] >= 2))


def _moved(number: int, topics: Topics) -> float:
    """How little the places named just before and just after have in common; 0 where one side names none."""
    left = _places(topics, range(number - 1, max(-1, number - 9), -1))
    right = _places(topics, range(number, min(len(topics.places), number + 8)))
    if not left or not right:
        return 0.0
    shared = sum(min(left[key] / left.total(), right[key] / right.total()) for key in left)
    return 1.0 - shared


def _places(topics: Topics, numbers: range) -> Counter[str]:
    found: Counter[str] = Counter()
    for number in numbers:
        found.update(topics.places[number])
        if found.total() >= 6:
            break
    return found


def _pause(pause_ms: int, pauses: Sequence[int]) -> float:
    """0 to 1: how long a pause is among all of the recording (in rising order); only the longest count for much."""
    if pause_ms < _SHORTEST_PAUSE_MS:
        return 0.0
    return float((bisect.bisect_left(pauses, pause_ms) / len(pauses)) ** 4)


def _turn(words: Sequence[str], skip: int) -> float:
    """Weight of the spoken turn at the head of an utterance, or at the end of a short one."""
    said = turns()
    turn = phrase_score(words, said.phrases, skip + 5)
    if len(words) - skip <= _ENDING_WORDS and len(words) > 1:
        turn = max(turn, said.endings.get((words[-1],), 0.0))
    return turn


def features(units: Sequence[Utterance], topics: Topics) -> npt.NDArray[np.float64]:
    """One row for the place in front of each utterance, columns as in FEATURES. Row 0, the start, is all zeros."""
    said = turns()
    rare = _rarity(topics.stems)
    pauses = sorted(unit.pause_ms for unit in units[1:])
    unknown = sum(pause_ms >= _SHORTEST_PAUSE_MS for pause_ms in pauses) < _KNOWN_PAUSES * len(pauses)
    rows = np.zeros((len(units), len(FEATURES)))
    for number in range(1, len(units)):
        unit = units[number]
        before = _block(topics.stems, range(number - 1, -1, -1))
        after = _block(topics.stems, range(number, len(units)))
        opener, skip = opener_score(unit.words)
        announced = _announced(number, topics, before, after)
        naming = len(unit.words) - skip <= NAMING_WORDS and bool(topics.stems[number])
        rows[number] = (
            1.0,
            _UNKNOWN_PAUSE if unknown else _pause(unit.pause_ms, pauses),
            opener,
            _turn(unit.words, skip),
            phrase_score(units[number - 1].words, said.closers, len(units[number - 1].words)),
            announced,
            (1.0 if announced else 0.4) if naming else 0.0,
            _bridged(before, after, rare),
            _moved(number, topics),
            phrase_score(unit.words, said.farewells, 12),
        )
    return rows
