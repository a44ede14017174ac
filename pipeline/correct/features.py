"""What speaks for and against each pair of a heard window and a form of a term, as numbers."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

import numpy as np

from pipeline.correct.context import beside, leaning, said_elsewhere, talk_of, talk_with, topic, words_elsewhere
from pipeline.correct.language import COMMON, english
from pipeline.correct.matcher import Matcher
from pipeline.correct.strip import Bools, Floats, Ints
from pipeline.correct.vectors import heard_vectors, said_vectors
from pipeline.correct.windows import LONGEST, Heard, any_in
from pipeline.correct.wording import in_common

FEATURES = (
    "bias", "sound", "nats", "spelling", "spelling_high", "length", "core_sound", "core_nats", "core_spelling",
    "core_length", "rare", "unknown", "ordinary", "odd_inside", "odd_outside", "odd_after", "doubt", "more_words",
    "fewer_words", "shared", "target_common", "margin", "met_before", "met_as_other", "word_met", "topic",
    "said_elsewhere", "cue", "one_word", "same_ends", "plural_clash", "core_ordinary", "core_common", "covers",
    "edge_common", "comma", "many_terms", "words", "core_trade", "same_sound",
    "pack", "assembly", "talk", "talk_words", "core_talk", "talk_before",
    "talk_after", "workshop", "uncounted", "glance", "core_elsewhere", "led", "followed",
    "fits", "fits_rather",
)  # fmt: skip

_FREQUENCY_SCALE = 75.0
_TARGET_COMMON_FROM = 30.0
_FIT = 4.0
_FUNCTION_WORD = 58

_SINGULAR_CUES = frozenset(("a", "an", "this", "that", "one", "each", "every", "another"))
_PLURAL_CUES = frozenset(("two", "three", "four", "five", "six", "eight", "ten", "both", "these", "those", "several"))
_CUES = frozenset(("the", "a", "an", "this", "that", "my", "your", "our", "its", "new", "old", "original")) | frozenset(
    ("first", "second", "of", "and", "with", "left", "right", "front", "rear")
)


@dataclass(frozen=True)
class Pairs:
    """Pairs worth a look: window `start`..`end` against `form`. `table`: features, shape (pairs, len(FEATURES)).

    `nats`, `sound`: support and likeness (see `channel`). `wording`: a number for each different text of a window,
    however it is spaced.
    """

    start: Ints
    end: Ints
    form: Ints
    nats: Floats
    sound: Floats
    wording: Ints
    table: Floats


def _fold(values: Ints | Floats, start: Ints, end: Ints) -> tuple[Floats, Floats]:
    """Lowest and mean of `values[start:end]` for each pair of bounds that are at most `LONGEST` or so apart."""
    total = np.concatenate([[0], np.cumsum(values)])
    low = values[start]
    for step in range(1, int((end - start).max(initial=1))):
        low = np.minimum(low, values[np.minimum(start + step, end - 1)])
    return low.astype(np.float64), (total[end] - total[start]) / (end - start)


def _margin(window: Ints, term: Ints, nats: Floats) -> Floats:
    """By how many nats each pair has more support than the best other term over its window (by number)."""
    order = np.lexsort((-nats, window))
    firsts = order[np.flatnonzero(np.diff(window[order], prepend=-1))]
    top_term, top = term[firsts], nats[firsts]
    second = np.zeros(len(firsts))
    others = term != top_term[window]
    np.maximum.at(second, window[others], nats[others])
    rival = np.where(others, top[window], second[window])
    return np.clip(nats - rival, -15.0, 15.0) / 10


def measure(heard: Heard, matcher: Matcher, start: Ints, end: Ints, form: Ints, nats: Floats, sound: Floats) -> Pairs:
    """Works the features out for every pair."""
    if not len(start):
        return Pairs(start, end, form, nats, sound, start, np.zeros((0, len(FEATURES))))
    form_start, form_end = matcher.form_start[form], matcher.form_end[form]
    own_count, form_count = end - start, form_end - form_start
    windows = _windows(start, end)
    wordings = _wordings(heard, windows)
    _, first, number = np.unique(wordings[2] * len(matcher.forms) + form, return_index=True, return_inverse=True)
    alike = in_common(heard, matcher, start[first], end[first], form[first], nats[first], sound[first]).of(number)
    low, high = alike.low, alike.high
    whole = (low + high) == 0
    rarest, mean = _fold(heard.strip.frequency, start, end)
    core_start, core_end = start + low, end - high
    filled = core_end > core_start
    core_rarest, core_mean = _fold(
        heard.strip.frequency, np.where(filled, core_start, start), np.where(filled, core_end, end)
    )
    frequency = heard.strip.frequency
    edges = ((frequency[start] >= _FUNCTION_WORD) & (low == 0)) + 0.0
    edges += (frequency[end - 1] >= _FUNCTION_WORD) & (high == 0)
    target_rarest, _ = _fold(matcher.strip.frequency, form_start, form_end)
    odd = np.concatenate([[0], np.cumsum(~heard.joins)])
    left = _left_words(heard, start)
    one, many = np.array([w in _SINGULAR_CUES for w in left]), np.array([w in _PLURAL_CUES for w in left])
    plural = matcher.form_plural[form]
    term = matcher.form_term[form]
    talk = talk_of(heard, matcher)
    led, followed = beside(heard, start, end)
    fits, fits_rather = _fits(heard, matcher, windows, form)
    columns = {
        "bias": np.ones(len(start)),
        "sound": sound,
        "nats": nats / 20,
        "spelling": alike.spelling,
        "spelling_high": np.maximum(0, alike.spelling - 0.8),
        "length": np.minimum(1, alike.letters / 12),
        "core_sound": np.where(whole, sound, alike.core_sound),
        "core_nats": np.where(whole, nats, alike.core_nats) / 10,
        "core_spelling": alike.core_spelling,
        "core_length": np.minimum(1, alike.core_letters / 10),
        "rare": np.maximum(0, COMMON - rarest) / COMMON,
        "unknown": any_in(heard.strip.frequency == 0, start, end),
        "ordinary": mean / _FREQUENCY_SCALE,
        "odd_inside": (odd[end] - odd[start + 1]) / np.maximum(1, own_count - 1),
        "odd_outside": (2.0 - heard.joins[start] - heard.joins[end]) / 2,
        "odd_after": _odd_after(heard, matcher, start, end, form) / 2,
        "doubt": _highest(heard.doubt, start, end),
        "more_words": np.maximum(0, own_count - form_count) / 2,
        "fewer_words": np.maximum(0, form_count - own_count) / 2,
        "shared": (low + high) / form_count,
        "target_common": np.maximum(0, target_rarest - _TARGET_COMMON_FROM)
        / _TARGET_COMMON_FROM
        * np.where(form_count == 1, 1.5, 0.5),
        "margin": _margin(windows[2], term, nats),
        "met_before": alike.met,
        "met_as_other": alike.met_as_other,
        "word_met": alike.core_met,
        "topic": topic(heard, matcher, start, form),
        "said_elsewhere": said_elsewhere(heard, matcher, form),
        "cue": np.array([word in _CUES for word in left]) | many,
        "one_word": (own_count == 1) & (rarest >= COMMON),
        "same_ends": alike.ends / 2,
        "plural_clash": (one & plural) | (many & ~plural),
        "core_ordinary": np.where(filled, core_mean / _FREQUENCY_SCALE, 1.0),
        "core_common": ~filled | (core_rarest >= COMMON),
        "covers": _covered(heard, start, end) / own_count,
        "edge_common": edges,
        "comma": heard.clause[end - 1] > heard.clause[start],
        "words": form_count / 3,
        "core_trade": np.where(filled, _share(heard.strip.ids >= 0, core_start, core_end), 0.0),
        "same_sound": sound > 0.999,
        "pack": leaning(heard, matcher.term_pack, term),
        "assembly": leaning(heard, matcher.term_assembly, term),
        "talk": matcher.term_talk[term, 0],
        "talk_words": matcher.term_talk[term, 1],
        "core_talk": _fold(talk.words, np.where(filled, core_start, start), np.where(filled, core_end, end))[0] / 3,
        "talk_before": (talk.joints[start] + talk.joints[end]) / 3,
        "talk_after": talk_with(heard, matcher, start, end, form) / 3,
        "workshop": np.full(len(start), talk.workshop),
        "uncounted": np.full(len(start), not matcher.talk),
        "glance": _glance(heard, matcher, wordings, form),
        "core_elsewhere": words_elsewhere(heard, matcher, form_start + low, form_end - high),
        "led": led,
        "followed": followed,
        "fits": fits,
        "fits_rather": fits_rather,
        "many_terms": np.full(len(start), np.log10(len(matcher.terms) + 1).round(1)),
    }
    table = np.column_stack([np.asarray(columns[name], dtype=np.float64) for name in FEATURES])
    return Pairs(start, end, form, nats, sound, _numbers(heard.strip.window_letters, windows), table)


def _windows(start: Ints, end: Ints) -> tuple[Ints, Ints, Ints]:
    """Start and end of every different window, and the number of each pair's."""
    windows, number = np.unique(start * (LONGEST + 1) + end - start, return_inverse=True)
    first = windows // (LONGEST + 1)
    return first, first + windows % (LONGEST + 1), number


def _numbers(text_of: Callable[[int, int], str], windows: tuple[Ints, Ints, Ints]) -> Ints:
    """A number for each pair, the same where the text of the window is."""
    first, last, window = windows
    known: dict[str, int] = {}
    spans = zip(first.tolist(), last.tolist(), strict=True)
    return np.array([known.setdefault(text_of(*span), len(known)) for span in spans], dtype=np.int64)[window]


def _wordings(heard: Heard, windows: tuple[Ints, Ints, Ints]) -> tuple[Ints, Ints, Ints]:
    """Start and end of a window for every different wording, and the number of the wording of each pair."""
    number = _numbers(heard.strip.window_text, windows)
    _, pair = np.unique(number, return_index=True)
    first, last, window = windows
    return first[window[pair]], last[window[pair]], number


def _glance(heard: Heard, matcher: Matcher, wordings: tuple[Ints, Ints, Ints], form: Ints) -> Floats:
    """How near the vectors of window and form are; from -1 to 1."""
    first, last, wording = wordings
    forms, own = np.unique(form, return_inverse=True)
    heard_here = heard_vectors(heard.strip.rows(first, last))
    said = said_vectors(matcher.strip.rows(matcher.form_start[forms], matcher.form_end[forms]))
    found: Floats = np.einsum("ij,ij->i", heard_here[wording], said[own]).astype(np.float64)
    return found


def _fits(heard: Heard, matcher: Matcher, windows: tuple[Ints, Ints, Ints], form: Ints) -> tuple[Floats, Floats]:
    """How well each form fits where the window stands, and by how much better than the words heard; see `contexts`."""
    first, last, window = windows
    numbers = matcher.contexts.places(heard.strip.words)
    around = matcher.contexts.surroundings(numbers, heard.sentence, first, last)
    own = np.einsum("ij,ij->i", around, matcher.contexts.means(numbers, first, last))
    fits: Floats = np.einsum("ij,ij->i", around[window], matcher.form_fit[form]).astype(np.float64)
    return fits / _FIT, (fits - own[window]) / _FIT


def _share(flags: Bools, low: Ints, high: Ints) -> Floats:
    """Share of `flags[low:high]` that are set, for each pair of bounds; 0 for an empty stretch."""
    total = np.concatenate([[0], np.cumsum(flags)])
    found: Floats = (total[np.maximum(high, low)] - total[low]) / np.maximum(1, high - low)
    return found


def _highest(values: Floats, start: Ints, end: Ints) -> Floats:
    high = values[start]
    for step in range(1, LONGEST):
        high = np.maximum(high, values[np.minimum(start + step, end - 1)])
    return high


def _covered(heard: Heard, start: Ints, end: Ints) -> Ints:
    """How many words of each window are part of a term of two or more words that is written right."""
    total = np.concatenate([[0], np.cumsum(heard.taken_length > 1)])
    return np.asarray(total[end] - total[start], dtype=np.int64)


def _left_words(heard: Heard, start: Ints) -> list[str]:
    """The word to the left of each window within the same sentence, "" for none."""
    words = heard.strip.words
    inside = np.concatenate([[False], heard.sentence[1:] == heard.sentence[:-1]])
    return [words[place - 1] if inside[place] else "" for place in start.tolist()]


def _odd_after(heard: Heard, matcher: Matcher, start: Ints, end: Ints, form: Ints) -> Floats:
    """How odd the two outer joints would be with the term in place, 0 to 2."""
    data, places = english(), heard.strip.places
    count = len(places)
    inside = np.concatenate([[False], heard.sentence[1:] == heard.sentence[:-1], [False]])
    first, last = matcher.strip.places[matcher.form_start[form]], matcher.strip.places[matcher.form_end[form] - 1]
    left = data.oddness(places[np.maximum(start - 1, 0)], first)
    right = data.oddness(last, places[np.minimum(end, count - 1)])
    return np.where(inside[start], left, 0.0) + np.where(inside[end], right, 0.0)


def reasons(pairs: Pairs, number: int) -> dict[str, float]:
    """The features of one pair by name."""
    values: Iterable[float] = pairs.table[number].tolist()
    return dict(zip(FEATURES, values, strict=True))
