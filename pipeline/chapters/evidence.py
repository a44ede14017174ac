"""What speaks for a new chapter between two utterances: pauses, spoken turns, a change of what the talk is about."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from pipeline.chapters.terms import TermMention
from pipeline.chapters.units import Utterance
from pipeline.chapters.words import has_topic, stem, topic_words, turns
from pipeline.records import Event, Token
from pipeline.tokens import bare

# Topic words looked at on either side of a place (Hearst, "TextTiling", Computational Linguistics 23(1), 1997, compares
# blocks of 10 sentences of 20 words; workshop talk changes its subject quicker).
WINDOW = 24
FEATURES = ("bias", "pause", "opener", "phrase", "closer", "announced", "short", "unlike", "dip", "moved", "farewell")


@dataclass(frozen=True, slots=True)
class Topics:
    """For each utterance: the stems it is about (`stems`) and the places on the machine it names (`places`)."""

    stems: tuple[tuple[str, ...], ...]
    places: tuple[tuple[str, ...], ...]


def find_topics(
    units: Sequence[Utterance], tokens: Sequence[Token], mentions: Sequence[TermMention], events: Sequence[Event]
) -> Topics:
    """Stems of the words that have a topic, and the assemblies of the terms and events of each utterance."""
    general = topic_words().general_assemblies
    unit_of = {at: number for number, unit in enumerate(units) for at in range(unit.start, unit.end)}
    places: list[list[str]] = [[] for _ in units]
    for mention in mentions:
        if mention.plain and mention.term.part_of and mention.term.part_of not in general:
            places[unit_of[mention.start]].append(mention.term.part_of)
    token_at = {token.start_word: at for at, token in reversed(list(enumerate(tokens)))}
    for event in events:
        at = token_at.get(event.start_word)
        if at is not None and event.assembly and event.assembly not in general:
            places[unit_of[at]].append(event.assembly)
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


def phrase_score(words: Sequence[str], table: Mapping[tuple[str, ...], float], within: int) -> float:
    """Greatest weight of an entry that begins within the first words."""
    return max((_starts_with(words[at:], table)[0] for at in range(min(within, len(words)))), default=0.0)


def _block(stems: Sequence[Sequence[str]], numbers: Sequence[int]) -> list[str]:
    """Stems of utterances, taken in the order of `numbers` until the window is full."""
    block: list[str] = []
    for number in numbers:
        block.extend(stems[number])
        if len(block) >= WINDOW:
            break
    return block


def _cosine(left: Sequence[str], right: Sequence[str], rare: Mapping[str, float]) -> float:
    a, b = Counter(left), Counter(right)
    dot = sum(a[key] * b[key] * rare[key] ** 2 for key in a.keys() & b.keys())
    norm = math.sqrt(sum((n * rare[k]) ** 2 for k, n in a.items()) * sum((n * rare[k]) ** 2 for k, n in b.items()))
    return dot / norm if norm else 0.0


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


def features(units: Sequence[Utterance], topics: Topics) -> npt.NDArray[np.float64]:
    """One row a place in front of an utterance (the first row, for the start of the recording, is of no use)."""
    said = turns()
    rare = _rarity(topics.stems)
    pauses = sorted(unit.pause_ms for unit in units[1:])
    usual_ms = pauses[len(pauses) // 2] if pauses else 0
    like = np.ones(len(units))
    rows = np.zeros((len(units), len(FEATURES)))
    for number in range(1, len(units)):
        unit = units[number]
        before = _block(topics.stems, range(number - 1, -1, -1))
        after = _block(topics.stems, range(number, len(units)))
        like[number] = _cosine(before, after, rare)
        opener, skip = opener_score(unit.words)
        rest = unit.words[skip:]
        closer = max(phrase_score(u.words, said.closers, 6) for u in units[max(0, number - 1) : number])
        announced = _announced(number, topics, before, after)
        short = 1.0 if len(rest) <= 4 and announced > 0 else 0.0
        phrase = phrase_score(unit.words, said.phrases, skip + 5)
        pause = math.log((unit.pause_ms + 300) / (usual_ms + 300))
        farewell = phrase_score(unit.words, said.farewells, 12)
        moved = _moved(number, topics)
        rows[number] = (1, pause, opener, phrase, closer, announced, short, 1 - like[number], 0, moved, farewell)
    rows[1:, FEATURES.index("dip")] = _dips(like)[1:]
    return rows


def _dips(like: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
    """Depth of each place below the highest likeness near it on both sides (TextTiling's depth score)."""
    near = 5
    depths = np.zeros(len(like))
    for number in range(1, len(like)):
        left = like[max(1, number - near) : number + 1].max()
        right = like[number : number + near + 1].max()
        depths[number] = (left - like[number]) + (right - like[number])
    return depths
