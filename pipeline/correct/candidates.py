"""Terms that a doubtful stretch could be, even where the text alone gives no reason to touch it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pipeline.correct.channel import likeness
from pipeline.correct.decide import options, probability
from pipeline.correct.features import measure
from pipeline.correct.judge import shipped_weights
from pipeline.correct.match import judged
from pipeline.correct.matcher import Matcher
from pipeline.correct.rewrite import written_form
from pipeline.correct.search import find_pairs
from pipeline.correct.windows import prepare
from pipeline.records import Word

_AROUND = 12
_LEAST_LIKENESS = 0.15


@dataclass(frozen=True, slots=True)
class Candidate:
    """`written` could stand for words `start_word`..`end_word`.

    `score`: probability from the text alone; `sound`: likeness of the sounds; both from 0 to 1.
    """

    start_word: int
    end_word: int
    written: str
    term: str
    score: float
    sound: float


def candidates(
    words: Sequence[Word], start_word: int, end_word: int, matcher: Matcher, limit: int = 5
) -> list[Candidate]:
    """The best terms over windows that share a word with `start_word`..`end_word`, the likeliest first.

    Each term comes once, with its best window. The very stretch is held against every form there is, windows around
    it against those that the index finds.
    """
    low, high = max(0, start_word - _AROUND), min(len(words), end_word + _AROUND)
    heard = prepare(words[low:high], matcher)
    first, last = start_word - low, end_word - low
    pairs = find_pairs(heard, matcher, everywhere=True)
    near = (pairs.start < last) & (pairs.end > first)
    start, end, form = pairs.start[near], pairs.end[near], pairs.form[near]
    nats, sound = pairs.nats[near], pairs.sound[near]
    if len(matcher.rows) and heard.sayable[first:last].all() and first < last:
        row = heard.strip.rows(np.array([first]), np.array([last]))
        every = np.arange(len(matcher.rows))
        support, alike = likeness(row, matcher.rows, np.zeros_like(every), every)
        best = np.argsort(-alike, kind="stable")[: 4 * limit]
        best = best[alike[best] >= _LEAST_LIKENESS]
        start, end = np.append(start, np.full(len(best), first)), np.append(end, np.full(len(best), last))
        form = np.append(form, matcher.row_form[best])
        nats, sound = np.append(nats, support[best]), np.append(sound, alike[best])
    pairs = measure(heard, matcher, start, end, form, nats, sound)
    ranked = options(judged(words[low:high], matcher, heard, pairs, shipped_weights()))
    found: dict[int, Candidate] = {}
    for option in ranked:
        if option.term in found or len(found) == limit:
            continue
        stretch = words[low + option.start : low + option.end]
        found[option.term] = Candidate(
            start_word=low + option.start,
            end_word=low + option.end,
            written=written_form(stretch, matcher.forms[option.form].text, heard.possessive[option.end - 1]),
            term=matcher.terms[option.term].name,
            score=round(probability(option, ranked)[0], 3),
            sound=round(float(pairs.sound[option.number]), 3),
        )
    return list(found.values())
