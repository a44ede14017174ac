"""What the rest of the recording and the trade at large say for a term: what is talked of here, and how usual it is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import log1p

import numpy as np

from pipeline.correct.matcher import Matcher
from pipeline.correct.strip import Floats, Ints
from pipeline.correct.talk import term_neighbours
from pipeline.correct.windows import Heard

_TOPIC_WORDS = 150
_FAITH = 12.0
_MOST = 2.5
_EVERYDAY = 55
_WELL_KNOWN = log1p(3)


def said_elsewhere(heard: Heard, matcher: Matcher, form: Ints) -> Floats:
    """How often each form's term is written right in the recording; damped, at most 1."""
    said = np.zeros(len(matcher.terms))
    for term, places in heard.terms_said.items():
        said[term] = min(1.0, log1p(len(places)) / 2)
    found: Floats = said[matcher.form_term[form]]
    return found


def words_elsewhere(heard: Heard, matcher: Matcher, first: Ints, last: Ints) -> Floats:
    """How often words `first`..`last` of the forms (their places in the matcher's strip) are heard in the recording.

    In one number or the other; damped, at most 1; the mean of the words, 0 for none.
    """
    stems = matcher.word_stems
    ids = heard.strip.ids[heard.strip.ids >= 0]
    count = np.minimum(1.0, np.log1p(np.bincount(stems[ids], minlength=len(stems))) / 2)
    total = np.concatenate([[0.0], np.cumsum(count[stems[matcher.strip.ids]])])
    found: Floats = (total[np.maximum(first, last)] - total[first]) / np.maximum(1, last - first)
    return found


def beside(heard: Heard, start: Ints, end: Ints) -> tuple[Floats, Floats]:
    """How gladly the words before and after each window stand beside a term; see `talk.term_neighbours`."""
    table = term_neighbours()
    sentence = heard.sentence
    apart = np.concatenate([[True], sentence[1:] != sentence[:-1], [True]])
    scores = np.array([table.get(word, (0.0, 0.0)) for word in heard.strip.words] + [table[""]])
    own = np.arange(len(heard.strip.words) + 1)
    left = scores[np.where(apart, -1, own - 1), 0]
    right = scores[np.where(apart, -1, own), 1]
    return left[start], right[end]


def topic(heard: Heard, matcher: Matcher, start: Ints, form: Ints) -> Floats:
    """Terms of the same assembly that are written right within the last minute or the next, three or more count 1."""
    said: dict[int, list[int]] = {}
    for term, places in heard.terms_said.items():
        if matcher.terms[term].part_of:
            said.setdefault(int(matcher.term_assembly[term]), []).extend(places)
    assembly = matcher.term_assembly[matcher.form_term[form]]
    found = np.zeros(len(start))
    for number, spots in said.items():
        own = np.flatnonzero(assembly == number)
        near = np.sort(spots)
        high, low = (np.searchsorted(near, start[own] + reach) for reach in (_TOPIC_WORDS, -_TOPIC_WORDS))
        found[own] = np.minimum(1.0, (high - low) / 3)
    return found


def leaning(heard: Heard, groups: Ints, term: Ints) -> Floats:
    """How much more the recording talks of each term's group than the vocabulary holds of it; from -1 to 1.

    `groups`: number of the group (pack or assembly) of every term of the vocabulary. Log ratio of shares of different
    terms, smoothed towards 0 where little was said.
    """
    if not len(groups):
        return np.zeros(len(term))
    held = np.bincount(groups) / len(groups)
    said = np.bincount(groups[sorted(heard.terms_said)], minlength=len(held))
    ratio = np.log((said + _FAITH * held) / ((said.sum() + _FAITH) * np.maximum(held, 1e-9)))
    found: Floats = np.clip(ratio, -_MOST, _MOST)[groups[term]] / _MOST
    return found


@dataclass(frozen=True)
class Talk:
    """Heard words in the light of workshop talk.

    `words`: how usual each word is there. `joints`: the same of words n - 1 and n together, with one more than there
    are words; 0 across sentences. `workshop`: how much of the recording is such talk, from 0 to 1.
    """

    words: Floats
    joints: Floats
    workshop: float


def talk_of(heard: Heard, matcher: Matcher) -> Talk:
    """Looks every heard word and every two neighbours up."""
    words, talk = heard.strip.words, matcher.talk
    joints = np.zeros(len(words) + 1)
    if not talk:
        return Talk(np.zeros(len(words)), joints, 0.0)
    joints[1:-1] = np.log1p([talk.get(f"{a} {b}", 0) for a, b in pairwise(words)])
    joints[1:-1][heard.sentence[1:] != heard.sentence[:-1]] = 0.0
    usual = np.log1p([talk.get(word, 0) for word in words])
    telling = heard.strip.frequency < _EVERYDAY
    share = float((usual[telling] >= _WELL_KNOWN).mean()) if telling.any() else 0.0
    return Talk(usual, joints, share)


def talk_with(heard: Heard, matcher: Matcher, start: Ints, end: Ints, form: Ints) -> Floats:
    """How usual the two outer joints would be with the term in place of the window."""
    if not matcher.talk:
        return np.zeros(len(start))
    words, count = heard.strip.words, len(heard.strip.words)
    inside = np.concatenate([[False], heard.sentence[1:] == heard.sentence[:-1], [False]])
    before, after = np.maximum(start - 1, 0), np.minimum(end, count - 1)
    opening, closing = matcher.form_start[form], matcher.form_end[form] - 1
    left = _usual_joints(words, before, matcher.strip.words, opening, matcher.talk)
    right = _usual_joints(matcher.strip.words, closing, words, after, matcher.talk)
    return np.where(inside[start], left, 0.0) + np.where(inside[end], right, 0.0)


def _usual_joints(
    words: Sequence[str], first: Ints, others: Sequence[str], second: Ints, talk: Mapping[str, int]
) -> Floats:
    """How usual each word `first` of `words` is before the word `second` of `others`; each two are looked up once."""
    own, own_number = _numbered(words, first)
    other, other_number = _numbered(others, second)
    joints, number = np.unique(own_number * len(other) + other_number, return_inverse=True)
    left, right = np.divmod(joints, len(other))
    counts = [talk.get(f"{own[a]} {other[b]}", 0) for a, b in zip(left.tolist(), right.tolist(), strict=True)]
    found: Floats = np.log1p(np.array(counts, dtype=np.float64))[number]
    return found


def _numbered(words: Sequence[str], places: Ints) -> tuple[list[str], Ints]:
    """The different words at the places, and the number among them of each place's."""
    spots, number = np.unique(places, return_inverse=True)
    known: dict[str, int] = {}
    each = np.array([known.setdefault(words[spot], len(known)) for spot in spots.tolist()], dtype=np.int64)
    return list(known), each[number]
