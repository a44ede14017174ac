"""One or many: which number of a term was said, by what was heard of its end and by the words beside it.

A logistic regression over a few signs, fitted by `tools/fit_correction.py`.
"""

from __future__ import annotations

import numpy as np

from pipeline.correct.channel import likeness
from pipeline.correct.matcher import Matcher
from pipeline.correct.strip import Floats, Ints
from pipeline.correct.windows import Heard

SIGNS = (
    "bias", "heard_s", "last_word", "sound", "one_before", "many_before", "one_after", "many_after", "usual", "next_s",
)  # fmt: skip

ONE_BEFORE = frozenset(("a", "an", "this", "that", "one", "each", "every", "another", "single"))
MANY_BEFORE = frozenset(
    ("two", "three", "four", "five", "six", "eight", "ten", "both", "these", "those", "several")
) | (frozenset(("all", "pair", "set", "few", "many", "twelve", "seven", "2", "3", "4", "5", "6", "8", "10")))
_ONE_AFTER = frozenset(("is", "was", "has", "isn't", "wasn't", "it", "it's", "goes", "comes", "needs", "looks", "came"))
_MANY_AFTER = frozenset(("are", "were", "have", "aren't", "weren't", "they", "they're", "go", "come", "need", "look"))
_BEFORE = 3


def signs(heard: Heard, matcher: Matcher, start: Ints, end: Ints, form: Ints) -> Floats:
    """What speaks for many (positive) and for one, for windows with forms that have another number.

    Shape (windows, len(SIGNS)).
    """
    words, sentence = heard.strip.words, heard.sentence
    other = matcher.form_other[form]
    plural = matcher.form_plural[form]
    one, many = np.where(plural, other, form), np.where(plural, form, other)
    rows, every = heard.strip.rows(start, end), np.arange(len(start))
    nats = [
        likeness(rows, matcher.strip.rows(matcher.form_start[each], matcher.form_end[each]), every, every)[0]
        for each in (many, one)
    ]
    last_ids = [matcher.strip.ids[matcher.form_end[each] - 1] for each in (many, one)]
    same = [heard.strip.ids[end - 1] == ids for ids in last_ids]
    found = np.zeros((len(start), len(SIGNS)))
    for row, (first, last) in enumerate(zip(start.tolist(), end.tolist(), strict=True)):
        before = [words[n] for n in range(max(0, first - _BEFORE), first) if sentence[n] == sentence[first]]
        near = words[last] if last < len(words) and sentence[last] == sentence[first] else ""
        found[row] = (
            1.0,
            heard.strip.window_letters(first, last).endswith(("s", "z", "x")) or heard.possessive[last - 1],
            0.0,
            0.0,
            any(word in ONE_BEFORE for word in before[-2:]),
            any(word in MANY_BEFORE for word in before),
            near in _ONE_AFTER,
            near in _MANY_AFTER,
            _usual(matcher, int(one[row]), int(many[row])),
            near.startswith(("s", "z")),
        )
    found[:, SIGNS.index("last_word")] = same[0].astype(float) - same[1]
    found[:, SIGNS.index("sound")] = np.clip(nats[0] - nats[1], -6.0, 6.0) / 3
    return found


def _usual(matcher: Matcher, one: int, many: int) -> float:
    """Log ratio of how often many and one are spoken of, of the last word where the term is not known."""
    found = 0.0
    for length in (len(matcher.forms[one].words), 1):
        counts = [matcher.talk.get(" ".join(matcher.forms[each].words[-length:]), 0) for each in (many, one)]
        found += float(np.log((counts[0] + 2) / (counts[1] + 2)))
    return found / 2
