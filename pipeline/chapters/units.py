"""Cuts the corrected text into utterances: the places between them are where a chapter may begin."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from pipeline.chapters.words import topic_words, turns
from pipeline.records import Token
from pipeline.tokens import bare, ends_sentence

# Recognisers that punctuate give a mark of punctuation at least every so many words.
_PUNCTUATED_WORDS = 40
_PAUSE_MS = 350
_LONGEST_WORDS = 28
_STRONG_TURN = 2.0
# Below this share of words with a pause in front, the words' times are not their own but shared out among a line.
_PACED = 0.01
_SHORTEST_WORDS = 5


@dataclass(frozen=True, slots=True)
class Utterance:
    """Tokens [start, end) with the silence in front of them; the words are bare and lower case."""

    start: int
    end: int
    start_ms: int
    end_ms: int
    pause_ms: int
    words: tuple[str, ...]


def is_punctuated(tokens: Sequence[Token]) -> bool:
    """True where sentences can be told by their full stops; automatic captions often have none."""
    return sum(ends_sentence(token.text) for token in tokens) * _PUNCTUATED_WORDS >= len(tokens)


def has_pauses(tokens: Sequence[Token]) -> bool:
    """False where times tell no pauses, as in text whose words share the time between two marks."""
    gaps = (after.start_ms - before.end_ms for before, after in pairwise(tokens))
    return sum(gap >= _PAUSE_MS for gap in gaps) > _PACED * len(tokens)


def _word_turns(keys: Sequence[str]) -> set[int]:
    """Places where an opening word stands, for text with neither punctuation nor pauses."""
    words = topic_words()
    openers = {said[0] for said in turns().openers if len(said[0]) > 1}
    return {
        at
        for at in range(1, len(keys) - 1)
        if keys[at] in openers and keys[at - 1] not in words.no_turn_after and keys[at + 1] not in words.no_turn_before
    }


def _turn_starts(keys: Sequence[str]) -> set[int]:
    """Places where a plain spoken turn begins, for text without punctuation."""
    said = turns()
    strong = [words for words, weight in (said.openers | said.phrases).items() if weight >= _STRONG_TURN]
    firsts: dict[str, list[tuple[str, ...]]] = {}
    for words in strong:
        firsts.setdefault(words[0], []).append(words)
    places: set[int] = set()
    for at, key in enumerate(keys):
        for words in firsts.get(key, ()):
            # "the right side", "look right": one word alone is a turn only after a pause.
            if len(words) > 1 and tuple(keys[at : at + len(words)]) == words:
                start = at
                while start > 0 and (keys[start - 1],) in said.openers:
                    start -= 1
                places.add(start)
    return places


def cut_utterances(tokens: Sequence[Token], segment_starts: Sequence[int] = ()) -> list[Utterance]:
    """Utterances in order: by full stops, or, without any, by pauses, spoken turns and the segments of the source."""
    if not tokens:
        return []
    keys = [bare(token.text) for token in tokens]
    punctuated = is_punctuated(tokens)
    segments = set(segment_starts)
    turn_starts = set() if punctuated else _turn_starts(keys)
    word_turns = set() if punctuated or has_pauses(tokens) else _word_turns(keys)
    starts = [0]
    for at in range(1, len(tokens)):
        pause_ms = tokens[at].start_ms - tokens[at - 1].end_ms
        cut = ends_sentence(tokens[at - 1].text) if punctuated else pause_ms >= _PAUSE_MS or at in turn_starts
        # A long pause ends an utterance however it is written; so does a segment of unpunctuated text.
        cut = cut or pause_ms >= 4 * _PAUSE_MS
        if at - starts[-1] >= _SHORTEST_WORDS:
            cut = cut or at in word_turns or (not punctuated and not word_turns and tokens[at].start_word in segments)
        if cut:
            starts.append(at)
        elif at - starts[-1] >= _LONGEST_WORDS:
            starts.append(_best_split(tokens, starts[-1], at, keys))
    return [_utterance(tokens, keys, a, b) for a, b in zip(starts, [*starts[1:], len(tokens)], strict=True)]


def _best_split(tokens: Sequence[Token], start: int, end: int, keys: Sequence[str]) -> int:
    """Where a long run without a stop is best divided: at its longest pause, or in front of an opening word."""
    openers = {words[0] for words in turns().openers}

    def worth(at: int) -> tuple[int, bool, int]:
        pause_ms = tokens[at].start_ms - tokens[at - 1].end_ms
        return pause_ms // 100, keys[at] in openers, -abs(at - (start + end) // 2)

    return max(range(start + 4, end + 1), key=worth)


def _utterance(tokens: Sequence[Token], keys: Sequence[str], start: int, end: int) -> Utterance:
    first, last = tokens[start], tokens[end - 1]
    pause_ms = max(0, first.start_ms - tokens[start - 1].end_ms) if start else 0
    words = tuple(key for key in keys[start:end] if key)
    return Utterance(start, end, first.start_ms, last.end_ms, pause_ms, words)
