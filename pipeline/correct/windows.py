"""Windows of one to five heard words, and which of them could hide a garbled term."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pipeline.correct.language import COMMON, english
from pipeline.correct.matcher import WIDTH, Matcher
from pipeline.correct.pronounce import plain_letters, speak
from pipeline.correct.sounds import CODES, PAD
from pipeline.records import Word
from pipeline.tokens import bare, ends_sentence

LONGEST = 5
_LOW_PROBABILITY = 0.6

Bools = NDArray[np.bool_]
Ints = NDArray[np.int64]


@dataclass(frozen=True)
class Heard:
    """Heard words prepared for comparison. Arrays have one entry a word, `joins` one a pair of neighbours.

    `words`: bare, without accents or possessive ending. `sayable`: has sounds and no digit. `sentence`: number of the
    sentence that the word belongs to. `joins`: the pair stands together in general English (True across sentences).
    `doubt`: 1 - probability, 0 everywhere where the recogniser gave none. `terms_said`: where each term is written
    right. `taken`: first word of the written term that the word is in, -1 for none; `taken_length`: that term's words.
    """

    words: tuple[str, ...]
    possessive: tuple[bool, ...]
    sounds: tuple[str, ...]
    sayable: Bools
    sentence: Ints
    frequency: Ints
    joins: Bools
    doubt: NDArray[np.float64]
    terms_said: dict[int, tuple[int, ...]]
    taken: Ints
    taken_length: Ints


def _sounds(word: str) -> str:
    return "".join(ways[0] for part in word.split("-") if part and (ways := speak(part)))


def _frequency(word: str) -> int:
    return min((english().frequency(part) for part in word.split("-") if part), default=0)


def prepare(words: Sequence[Word], matcher: Matcher, breaks: Iterable[int] = ()) -> Heard:
    """Looks every heard word up once and marks the terms that are already written right."""
    plain = [plain_letters(bare(word.text)) for word in words]
    possessive = tuple(len(word) > 3 and word.endswith(("'s", "s'")) for word in plain)
    stems = tuple(
        w[:-2] if w.endswith("'s") and p else w[:-1] if p else w for w, p in zip(plain, possessive, strict=True)
    )
    sounds = tuple("" if any(c.isdigit() for c in word) else _sounds(word) for word in stems)
    opens = np.array([False, *(ends_sentence(word.text) for word in words[:-1])], dtype=bool)[: len(words)]
    opens[[place for place in breaks if 0 < place < len(words)]] = True
    sentence = np.cumsum(opens, dtype=np.int64)
    joins = english().neighbours(plain)
    joins = joins | (sentence[1:] != sentence[:-1]) if len(words) > 1 else joins
    probabilities = np.array([word.probability for word in words], dtype=np.float64)
    known = bool((probabilities < 1.0).any()) if len(words) else False
    said: dict[int, list[int]] = {}
    taken, taken_length = np.full(len(words), -1, np.int64), np.zeros(len(words), np.int64)
    start = 0
    while start < len(words):
        for end in range(min(len(words), start + LONGEST), start, -1):
            parts = tuple(part for word in stems[start:end] for part in word.split("-") if part)
            form = matcher.exact.get(parts)
            if form is not None and sentence[start] == sentence[end - 1]:
                said.setdefault(matcher.forms[form].term, []).append(start)
                taken[start:end], taken_length[start:end] = start, end - start
                start = end - 1
                break
        start += 1
    return Heard(
        words=stems,
        possessive=possessive,
        sounds=sounds,
        sayable=np.array([bool(s) for s in sounds], dtype=bool),
        sentence=sentence,
        frequency=np.array([_frequency(word) for word in stems], dtype=np.int64),
        joins=joins,
        doubt=np.clip(1.0 - probabilities, 0.0, 1.0) if known else np.zeros(len(words)),
        terms_said={term: tuple(places) for term, places in said.items()},
        taken=taken,
        taken_length=taken_length,
    )


def all_windows(heard: Heard) -> tuple[Ints, Ints]:
    """Starts and ends of every window of sayable words within one sentence that no written term cuts through."""
    count = len(heard.words)
    places = np.arange(count, dtype=np.int64)
    last_sayable = np.cumsum(~heard.sayable)
    starts, ends = [], []
    for length in range(1, min(LONGEST, count) + 1):
        start = places[: count - length + 1]
        last = start + length - 1
        good = heard.sayable[start] & (last_sayable[last] == last_sayable[start])
        good &= heard.sentence[start] == heard.sentence[last]
        # a window may hold a written term within a longer one, but may not be one, lie in one or cut one in two
        first_term, last_term = heard.taken[start], heard.taken[last]
        good &= (first_term < 0) | (first_term == start)
        good &= (last_term < 0) | (last_term + heard.taken_length[last] == last + 1)
        good &= ~((first_term == start) & (heard.taken_length[start] >= length))
        starts.append(start[good])
        ends.append(last[good] + 1)
    if not starts:
        return places, places
    return np.concatenate(starts), np.concatenate(ends)


def suspicious(heard: Heard, starts: Ints, ends: Ints) -> Bools:
    """Where a rare word, neighbours that do not belong together or a doubting recogniser leave room for a garble."""

    def any_in(flags: Bools, low: Ints, high: Ints) -> Bools:
        total = np.concatenate([[0], np.cumsum(flags)])
        found: Bools = total[np.maximum(high, low)] > total[low]
        return found

    rare = any_in(heard.frequency < COMMON, starts, ends)
    odd = any_in(~heard.joins, starts, ends - 1)
    doubted = any_in(heard.doubt > 1 - _LOW_PROBABILITY, starts, ends)
    padded = np.concatenate([[True], heard.joins, [True]])
    single = (ends - starts == 1) & ~(padded[starts] & padded[ends])
    chosen: Bools = rare | odd | doubted | single
    return chosen


def window_rows(heard: Heard, starts: Ints, ends: Ints) -> NDArray[np.uint8]:
    """Phones of each window; shape (windows, WIDTH). The second of two like phones at a joint of words is left out."""
    offsets = np.cumsum([0] + [len(sounds) for sounds in heard.sounds])
    flat = np.array([CODES[char] for sounds in heard.sounds for char in sounds] + [PAD], dtype=np.uint8)
    again = np.zeros(len(flat), dtype=bool)
    again[1:] = flat[1:] == flat[:-1]
    low, high = offsets[starts], offsets[ends]
    spots = low[:, None] + np.arange(WIDTH)
    inside = spots < high[:, None]
    spots = np.minimum(spots, len(flat) - 1)
    rows: NDArray[np.uint8] = np.where(inside & ~again[spots], flat[spots], PAD).astype(np.uint8)
    if len(rows):
        rows[:, 0] = flat[low]
    return rows
