"""What speaks for a form by the words heard alone, wherever they stand; so it is worked out once for each wording."""

from __future__ import annotations

from dataclasses import dataclass, fields
from math import log1p

import numpy as np
from rapidfuzz.distance import Indel
from rapidfuzz.process import cpdist

from pipeline.correct.channel import likeness
from pipeline.correct.matcher import Matcher
from pipeline.correct.strip import Floats, Ints, Strip
from pipeline.correct.windows import LONGEST, Heard


@dataclass(frozen=True)
class InCommon:
    """What a window and a form have in common, one entry a pair.

    `low`, `high`: so many words at the beginning and then at the end; the core is what is left between them. `letters`,
    `core_letters`: how many the form has. `ends`: how many of the first and the last letter of the core are the same.
    `core_met`: how often the core was heard for the form's; `met`, `met_as_other`: how often the window was met as
    this term, and as others (damped logarithms).
    """

    low: Ints
    high: Ints
    spelling: Floats
    letters: Floats
    core_nats: Floats
    core_sound: Floats
    core_spelling: Floats
    core_letters: Floats
    core_met: Floats
    ends: Ints
    met: Floats
    met_as_other: Floats

    def of(self, number: Ints) -> InCommon:
        """The entries `number`."""
        return InCommon(*(getattr(self, field.name)[number] for field in fields(self)))


def in_common(
    heard: Heard, matcher: Matcher, start: Ints, end: Ints, form: Ints, nats: Floats, sound: Floats
) -> InCommon:
    """Holds windows against forms, from which they have support `nats` and likeness `sound`."""
    form_start, form_end = matcher.form_start[form], matcher.form_end[form]
    low, high = _alike_at_the_ends(heard, matcher, start, end, form)
    own, other = _letters(heard.strip, start, end), _letters(matcher.strip, form_start, form_end)
    own_core = _letters(heard.strip, start + low, end - high)
    other_core = _letters(matcher.strip, form_start + low, form_end - high)
    spelling = _spelling(own, other)
    core_nats, core_sound, core_spelling = nats.copy(), sound.copy(), spelling.copy()
    rest = np.flatnonzero(low + high)
    if len(rest):
        heard_rows = heard.strip.rows((start + low)[rest], (end - high)[rest])
        said_rows = matcher.strip.rows((form_start + low)[rest], (form_end - high)[rest])
        every = np.arange(len(rest))
        core_nats[rest], core_sound[rest] = likeness(heard_rows, said_rows, every, every)
        core_spelling[rest] = _spelling([own_core[n] for n in rest], [other_core[n] for n in rest])
    cores = list(zip(own_core, other_core, strict=True))
    met, met_as_other = _met(heard, matcher, start, end, form)
    return InCommon(
        low=low,
        high=high,
        spelling=spelling,
        letters=np.array([len(text) for text in other], dtype=np.float64),
        core_nats=core_nats,
        core_sound=core_sound,
        core_spelling=core_spelling,
        core_letters=np.array([len(text) for text in other_core], dtype=np.float64),
        core_met=np.array([matcher.words_heard.get(core, 0.0) for core in cores], dtype=np.float64),
        ends=np.array([(a[:1] == b[:1]) + (a[-1:] == b[-1:]) for a, b in cores], dtype=np.int64),
        met=met,
        met_as_other=met_as_other,
    )


def _alike_at_the_ends(heard: Heard, matcher: Matcher, start: Ints, end: Ints, form: Ints) -> tuple[Ints, Ints]:
    """How many words window and form have in common at the beginning, and then at the end."""
    own, other = heard.strip.ids, matcher.strip.ids
    form_start, form_end = matcher.form_start[form], matcher.form_end[form]
    shorter = np.minimum(end - start, form_end - form_start)
    counts: list[Ints] = []
    for side in (1, -1):
        count = np.zeros(len(start), dtype=np.int64)
        room = shorter - (counts[0] if counts else 0)
        going = np.ones(len(start), dtype=bool)
        for step in range(LONGEST):
            first = start + step if side == 1 else end - 1 - step
            second = form_start + step if side == 1 else form_end - 1 - step
            going = going & (step < room)
            going[going] &= own[first[going]] == other[second[going]]
            count += going
        counts.append(count)
    return counts[0], counts[1]


def _letters(strip: Strip, start: Ints, end: Ints) -> list[str]:
    return [strip.window_letters(*span) for span in zip(start.tolist(), end.tolist(), strict=True)]


def _spelling(first: list[str], second: list[str]) -> Floats:
    return np.asarray(cpdist(first, second, scorer=Indel.normalized_similarity), dtype=np.float64)


def _met(heard: Heard, matcher: Matcher, start: Ints, end: Ints, form: Ints) -> tuple[Floats, Floats]:
    """How often the window was met as this term, and as others; damped logarithms."""
    as_this, as_others = np.zeros(len(start)), np.zeros(len(start))
    if not matcher.heard:
        return as_this, as_others
    for number, (first, last, own) in enumerate(zip(start.tolist(), end.tolist(), form.tolist(), strict=True)):
        counts = matcher.heard.get(heard.strip.window_text(first, last).replace("-", " "), ())
        if counts:
            same = sum(count for other, count in counts if matcher.form_term[other] == matcher.form_term[own])
            as_this[number] = log1p(same) / 2
            as_others[number] = log1p(sum(count for _, count in counts) - same) / 2
    return as_this, as_others
