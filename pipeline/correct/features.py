"""What speaks for and against each pair of a heard window and a form of a term, as numbers."""

from __future__ import annotations

from dataclasses import dataclass
from math import log1p

import numpy as np
from numpy.typing import NDArray
from rapidfuzz.distance import Indel
from rapidfuzz.process import cpdist

from pipeline.correct.language import COMMON, english
from pipeline.correct.matcher import WIDTH, Matcher, letters
from pipeline.correct.pronounce import speak
from pipeline.correct.sounds import codes, likeness, padded
from pipeline.correct.windows import Heard

FEATURES = (
    "bias", "sound", "spelling", "spelling_high", "length", "cost", "core_sound", "core_spelling", "core_length",
    "rare", "unknown", "ordinary", "odd_inside", "odd_outside", "odd_after", "doubt", "more_words", "fewer_words",
    "shared", "target_common", "margin", "met_before", "met_as_other", "topic", "said_elsewhere", "cue", "one_word",
    "same_ends", "plural_clash",
)  # fmt: skip

_TOPIC_WORDS = 150
_FREQUENCY_SCALE = 75.0

Ints = NDArray[np.int64]
Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Pairs:
    """Pairs worth a look: window `start`..`end` against `form`. `table`: features, shape (pairs, len(FEATURES))."""

    start: Ints
    end: Ints
    form: Ints
    sound: Floats
    table: Floats


def _core(window: tuple[str, ...], target: tuple[str, ...]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """What is left of both after the words that they begin and end with alike."""
    low = 0
    while low < min(len(window), len(target)) and window[low] == target[low]:
        low += 1
    high = 0
    while high < min(len(window), len(target)) - low and window[-1 - high] == target[-1 - high]:
        high += 1
    return window[low : len(window) - high], target[low : len(target) - high]


def measure(heard: Heard, matcher: Matcher, start: Ints, end: Ints, form: Ints, sound: Floats) -> Pairs:
    """Works the features out for every pair."""
    windows = [heard.words[s:e] for s, e in zip(start.tolist(), end.tolist(), strict=True)]
    forms = [matcher.forms[f] for f in form.tolist()]
    if not forms:
        return Pairs(start, end, form, sound, np.zeros((0, len(FEATURES))))
    heard_letters = [letters(window) for window in windows]
    form_letters = [letters(f.words) for f in forms]
    spelling = cpdist(heard_letters, form_letters, scorer=Indel.normalized_similarity).astype(np.float64)
    cores = [_core(window, f.words) for window, f in zip(windows, forms, strict=True)]
    core_sound = likeness(
        padded([codes("".join(w for p in own for w in speak(p)[:1])) for own, _ in cores], WIDTH),
        padded([codes("".join(w for p in other for w in speak(p)[:1])) for _, other in cores], WIDTH),
    )
    whole = np.array([own == window for (own, _), window in zip(cores, windows, strict=True)])
    core_sound = np.where(whole, sound, core_sound)
    core_letters = [(letters(own), letters(other)) for own, other in cores]
    core_spelling = cpdist(*map(list, zip(*core_letters, strict=True)), scorer=Indel.normalized_similarity)
    best_other = _best_rivals(start, end, np.array([f.term for f in forms], dtype=np.int64), sound)
    topics = _topics(heard, matcher)
    odd = np.concatenate([[0], np.cumsum(~heard.joins)])
    joined = np.concatenate([[True], heard.joins, [True]])
    data = english()
    rows = []
    for number, (window, target) in enumerate(zip(windows, forms, strict=True)):
        first, last = int(start[number]), int(end[number])
        frequency = heard.frequency[first:last]
        inside = (odd[last - 1] - odd[first]) / max(1, last - first - 1)
        outside = 2 - int(joined[first]) - int(joined[last])
        after = _odd_after(heard, first, last, target.words)
        term = matcher.terms[target.term]
        count = len(window)
        target_frequency = min((data.frequency(word) for word in target.words), default=0)
        met = dict(matcher.heard.get(" ".join(window), ()))
        own_met = sum(n for f, n in met.items() if matcher.forms[f].term == target.term)
        other_met = sum(met.values()) - own_met
        left = heard.words[first - 1] if first and heard.sentence[first - 1] == heard.sentence[first] else ""
        s, p = float(sound[number]), float(spelling[number])
        own, other = core_letters[number]
        plural_left = left in _PLURAL_CUES
        rows.append((
            1.0, s, p, max(0.0, p - 0.8), min(1.0, len(form_letters[number]) / 12), (1 - s) * len(form_letters[number]) / 6,
            float(core_sound[number]), float(core_spelling[number]), min(1.0, len(other) / 10),
            max(0.0, COMMON - float(frequency.min())) / COMMON, float((frequency == 0).any()),
            float(frequency.mean()) / _FREQUENCY_SCALE, inside, outside / 2, after / 2,
            float(heard.doubt[first:last].max()), max(0, count - len(target.words)) / 2,
            max(0, len(target.words) - count) / 2, 1 - len(cores[number][1]) / len(target.words),
            max(0.0, target_frequency - 30.0) / 30 * (1.5 if len(target.words) == 1 else 0.5),
            float(np.clip(s - best_other[number], -0.3, 0.3)), log1p(own_met) / 2, log1p(other_met) / 2,
            topics(term.part_of, first), min(1.0, log1p(len(heard.terms_said.get(target.term, ()))) / 2),
            float(left in _CUES or plural_left),
            float(count == 1 and frequency.min() >= COMMON),
            float(own[:1] == other[:1]) / 2 + float(own[-1:] == other[-1:]) / 2,
            float((left in _SINGULAR_CUES and target.plural) or (plural_left and not target.plural)),
        ))  # fmt: skip
    return Pairs(start, end, form, sound, np.array(rows, dtype=np.float64))


_SINGULAR_CUES = frozenset(["a", "an", "this", "that", "one", "each", "every", "another"])
_PLURAL_CUES = frozenset(["two", "three", "four", "five", "six", "eight", "ten", "both", "these", "those", "several"])
_CUES = frozenset(
    ["the", "a", "an", "this", "that", "my", "your", "our", "its", "new", "old", "original", "first", "second", "of", "and", "with", "left", "right", "front", "rear"]
)


def _best_rivals(start: Ints, end: Ints, term: Ints, sound: Floats) -> Floats:
    """For each pair, the best likeness of any other term over the very same window (0 where there is none)."""
    best = np.zeros(len(start))
    groups: dict[tuple[int, int], list[int]] = {}
    for number, key in enumerate(zip(start.tolist(), end.tolist(), strict=True)):
        groups.setdefault(key, []).append(number)
    for members in groups.values():
        tops: dict[int, float] = {}
        for number in members:
            tops[int(term[number])] = max(tops.get(int(term[number]), 0.0), float(sound[number]))
        ranked = sorted(tops.items(), key=lambda item: -item[1])[:2]
        for number in members:
            others = [value for name, value in ranked if name != int(term[number])]
            best[number] = others[0] if others else 0.0
    return best


def _odd_after(heard: Heard, first: int, last: int, words: tuple[str, ...]) -> float:
    """How many of the two outer joints would not belong together with the term in place; half for an unknown word."""
    data = english()
    total = 0.0
    joints = []
    if first and heard.sentence[first - 1] == heard.sentence[first]:
        joints.append((heard.words[first - 1], words[0]))
    if last < len(heard.words) and heard.sentence[last] == heard.sentence[last - 1]:
        joints.append((words[-1], heard.words[last]))
    for pair in joints:
        known = all(data.place(word) >= 0 for word in pair)
        total += 0.5 if not known else float(not data.stand_together(*pair))
    return total


class _topics:  # noqa: N801 - called like a function
    """Share of the terms written right nearby that belong to the same assembly."""

    def __init__(self, heard: Heard, matcher: Matcher) -> None:
        said = [(place, matcher.terms[term].part_of) for term, places in heard.terms_said.items() for place in places]
        self._said = sorted(pair for pair in said if pair[1])
        self._places = np.array([place for place, _ in self._said])

    def __call__(self, part_of: str, place: int) -> float:
        if not part_of or not self._said:
            return 0.0
        low, high = np.searchsorted(self._places, (place - _TOPIC_WORDS, place + _TOPIC_WORDS))
        near = sum(assembly == part_of for _, assembly in self._said[low:high])
        return min(1.0, float(near) / 3)
