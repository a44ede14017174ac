"""Windows of one to five heard words, and which of them could hide a garbled term."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import chain

import numpy as np

from pipeline.correct.language import COMMON, english
from pipeline.correct.matcher import Matcher
from pipeline.correct.pronounce import plain_letters
from pipeline.correct.strip import Bools, Floats, Ints, Strip, lay
from pipeline.records import Word
from pipeline.tokens import bare, ends_sentence

LONGEST = 5
_LOW_PROBABILITY = 0.6
_LEADS = 2
_BEFORE_A_TERM = frozenset(("the", "a", "two", "three", "four", "five", "six", "eight", "ten", "twelve", "both", "new"))


@dataclass(frozen=True)
class Heard:
    """Heard words prepared for comparison. Arrays have one entry a word; `joins` has one more than there are words.

    `texts`: the words as written; `line`: number of what opened at a break, over which nothing reaches. `strip`: the
    words, bare, without accents or possessive ending. `sayable`: has sounds and no digit. `sentence`: number of the
    sentence that the word belongs to; `clause`: the same for clauses, which commas part.
    `joins[n]`: words n - 1 and n stand together in general English, or a sentence starts at n. `doubt`: 1 -
    probability, 0 everywhere where the recogniser gave none. `terms_said`: where each term is written right.
    `taken`: first word of the written term that the word is in, -1 for none; `taken_length`: that term's words.
    """

    texts: tuple[str, ...]
    line: Ints
    strip: Strip
    possessive: tuple[bool, ...]
    sayable: Bools
    sentence: Ints
    clause: Ints
    joins: Bools
    doubt: Floats
    terms_said: dict[int, tuple[int, ...]]
    taken: Ints
    taken_length: Ints


def stem_of(word: str) -> tuple[str, bool]:
    """The word without a possessive ending, and whether it had one."""
    if len(word) > 3 and word.endswith("'s"):
        return word[:-2], True
    if len(word) > 3 and word.endswith("s'"):
        return word[:-1], True
    return word, False


def _ends_clause(text: str) -> bool:
    return text.rstrip("\"'”’)]").endswith((",", ";", ":", "–", "—"))


def prepare(words: Sequence[Word], matcher: Matcher, breaks: Iterable[int] = ()) -> Heard:
    """Looks every heard word up once and marks the terms that are already written right."""
    count = len(words)
    letters = {text: plain_letters(bare(text)) for text in {word.text for word in words}}  # speech repeats itself
    stem_for = {word: stem_of(word) for word in letters.values()}
    plain = [letters[word.text] for word in words]
    stems = [stem_for[word] for word in plain]
    digits = {word for word in stem_for if any(char.isdigit() for char in word)}
    with_digits = frozenset(n for n, word in enumerate(plain) if word in digits)
    strip = lay((stem for stem, _ in stems), matcher.word_ids, with_digits)
    opens = np.zeros(count + 1, dtype=bool)
    opens[[0, count]] = True
    opens[1:count] = [ends_sentence(word.text) for word in words[:-1]]
    lines = np.zeros(count, dtype=np.int64)
    lines[[place for place in breaks if 0 < place < count]] = 1
    opens[:count] |= lines > 0
    probabilities = np.array([word.probability for word in words], dtype=np.float64)
    known = bool((probabilities < 1.0).any())
    joins = opens.copy()
    joins[1:count] |= english().neighbours(plain)
    sentence = np.cumsum(opens[:count], dtype=np.int64)
    terms_said, taken, taken_length = _written_terms(strip.words, sentence, matcher)
    return Heard(
        texts=tuple(word.text for word in words),
        line=np.cumsum(lines),
        strip=strip,
        possessive=tuple(had for _, had in stems),
        sayable=np.diff(strip.phone_offsets) > 0,
        sentence=sentence,
        clause=np.cumsum([False, *(_ends_clause(word.text) for word in words[:-1])], dtype=np.int64),
        joins=joins,
        doubt=np.clip(1.0 - probabilities, 0.0, 1.0) if known else np.zeros(count),
        terms_said=terms_said,
        taken=taken,
        taken_length=taken_length,
    )


def _written_terms(
    words: Sequence[str], sentence: Ints, matcher: Matcher
) -> tuple[dict[int, tuple[int, ...]], Ints, Ints]:
    said: dict[int, list[int]] = {}
    taken, taken_length = np.full(len(words), -1, np.int64), np.zeros(len(words), np.int64)
    parts = [tuple(filter(None, word.split("-"))) if "-" in word else (word,) for word in words]
    known = [matcher.exact_words.issuperset(own) for own in parts]
    start = 0
    while start < len(words):
        if words[start].partition("-")[0] in matcher.word_ids:
            furthest = start
            while furthest < min(len(words), start + LONGEST) and known[furthest]:
                furthest += 1
            for end in range(furthest, start, -1):
                form = matcher.exact.get(tuple(chain.from_iterable(parts[start:end])))
                if form is not None and sentence[start] == sentence[end - 1]:
                    said.setdefault(matcher.forms[form].term, []).append(start)
                    taken[start:end], taken_length[start:end] = start, end - start
                    start = end - 1
                    break
        start += 1
    return {term: tuple(places) for term, places in said.items()}, taken, taken_length


def all_windows(heard: Heard) -> tuple[Ints, Ints]:
    """Starts and ends of every window of sayable words within one clause that no written term cuts through."""
    count = len(heard.sayable)
    places = np.arange(count, dtype=np.int64)
    unsayable = np.cumsum(~heard.sayable)
    leads = np.array([word in _BEFORE_A_TERM for word in heard.strip.words], dtype=bool)
    starts, ends = [], []
    for length in range(1, min(LONGEST, count) + 1):
        start = places[: count - length + 1]
        last = start + length - 1
        good = heard.sayable[start] & (unsayable[last] == unsayable[start])
        good &= heard.sentence[start] == heard.sentence[last]
        # a window may hold a written term within a longer one, but may not be one, lie in one or cut one in two
        first_term, last_term = heard.taken[start], heard.taken[last]
        good &= (first_term < 0) | (first_term == start)
        good &= (last_term < 0) | (last_term + heard.taken_length[last] == last + 1)
        good &= ~((first_term == start) & (heard.taken_length[start] >= length))
        # "the two return springs" are return springs, and no garble of a longer name
        leading = np.ones(len(start), dtype=bool)
        for before in range(1, min(_LEADS, length - 1) + 1):
            leading &= leads[start + before - 1]
            first = start + before
            good &= ~(leading & (heard.taken[first] == first) & (heard.taken_length[first] <= length - before))
        starts.append(start[good])
        ends.append(last[good] + 1)
    return np.concatenate(starts), np.concatenate(ends)


def any_in(flags: Bools, low: Ints, high: Ints) -> Bools:
    """Is any of `flags[low:high]` set? For each pair of bounds; False for an empty stretch."""
    total = np.concatenate([[0], np.cumsum(flags)])
    found: Bools = total[np.maximum(high, low)] > total[low]
    return found


def suspicious(heard: Heard, starts: Ints, ends: Ints) -> Bools:
    """Where a rare word, neighbours that do not belong together or a doubting recogniser leave room for a garble."""
    rare = any_in(heard.strip.frequency < COMMON, starts, ends)
    odd = any_in(~heard.joins, starts + 1, ends)
    doubted = any_in(heard.doubt > 1 - _LOW_PROBABILITY, starts, ends)
    single = (ends - starts == 1) & ~(heard.joins[starts] & heard.joins[ends])
    chosen: Bools = rare | odd | doubted | single
    return chosen
