"""Which spelling of a term is written, where several sound alike: the one that the recording or the trade uses."""

from __future__ import annotations

import numpy as np

from pipeline.correct.channel import likeness
from pipeline.correct.matcher import Matcher
from pipeline.correct.strip import Ints
from pipeline.correct.windows import Heard

_AS_GOOD = 0.1
"""Likeness by which another spelling may fall behind the one that sounds most alike."""


def spelled(heard: Heard, matcher: Matcher, start: Ints, end: Ints, form: Ints) -> Ints:
    """For each window and form, the form of the same term and number to be written; shape (windows,)."""
    kinds = 2 * matcher.form_term + matcher.form_plural
    order = np.argsort(kinds, kind="stable")
    firsts, lasts = (np.searchsorted(kinds, kinds[form], side, sorter=order) for side in ("left", "right"))
    siblings = [order[first:last] for first, last in zip(firsts.tolist(), lasts.tolist(), strict=True)]
    sizes = lasts - firsts
    some = np.flatnonzero(sizes > 1)
    found = form.copy()
    if not len(some):
        return found
    forms = np.concatenate([siblings[n] for n in some])
    owner = np.repeat(some, sizes[some])
    said = matcher.strip.rows(matcher.form_start[forms], matcher.form_end[forms])
    _, sound = likeness(heard.strip.rows(start, end), said, owner, np.arange(len(forms)))
    text = f" {heard.strip.text}"
    for n in some.tolist():
        own, alike = forms[owner == n], sound[owner == n]
        good = own[alike >= alike.max() - _AS_GOOD].tolist()
        wordings = [" ".join(matcher.forms[each].words) for each in good]
        ranks = [
            (text.count(f" {words} "), matcher.talk.get(words, 0), -each)
            for words, each in zip(wordings, good, strict=True)
        ]
        found[n] = good[ranks.index(max(ranks))]
    return found
