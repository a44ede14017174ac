"""Which pairs of a window and a form deserve a score: by sound, by what was met before, by what the user decided."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from rapidfuzz.distance import Indel
from rapidfuzz.process import cpdist

from pipeline.correct.channel import likeness
from pipeline.correct.features import Pairs, measure
from pipeline.correct.matcher import Matcher
from pipeline.correct.strip import Bools, Floats, Ints
from pipeline.correct.windows import LONGEST, Heard, all_windows, suspicious

LEAST_LIKENESS = 0.2
FORMS_A_WINDOW = 6
_LONGEST_PIECE = 3


def _by_sound(heard: Heard, matcher: Matcher, starts: Ints, ends: Ints) -> Ints:
    """Pairs as `window * rows of the matcher + row`, each once, sorted."""
    size = len(matcher.rows)
    rows = heard.strip.rows(starts, ends)
    found = [index.pairs(rows) for index in matcher.indexes]
    for at, (index, index_rows) in enumerate(zip(matcher.remainders, matcher.remainder_rows, strict=True)):
        salt = heard.strip.ids[starts if at == 0 else ends - 1]
        chosen = np.flatnonzero((salt >= 0) & (ends - starts > 1))
        if len(chosen) and index.rows:
            rest = heard.strip.rows(starts[chosen] + (at == 0), ends[chosen] - (at == 1))
            pairs = index.pairs(rest, salt[chosen])
            found.append(chosen[pairs // index.rows] * size + index_rows[pairs % index.rows])
    pairs = np.sort(np.concatenate(found))
    return pairs[np.diff(pairs, prepend=-1) > 0]


def wordings(words: Sequence[str], starts: Ints, ends: Ints) -> tuple[Ints, Ints]:
    """One window for each different wording, as a place in `starts`, and the number of the wording of each window."""
    types: dict[str, int] = {}
    number = np.array([types.setdefault(word, len(types) + 1) for word in words], dtype=np.int64)
    first, wording = np.arange(0), np.zeros(len(starts), dtype=np.int64)
    for step in range(LONGEST):
        place = starts + step
        key = wording * (len(types) + 1) + np.where(place < ends, number[np.minimum(place, len(number) - 1)], 0)
        _, first, wording = np.unique(key, return_index=True, return_inverse=True)
    return first, wording


def alike_pairs(heard: Heard, matcher: Matcher, starts: Ints, ends: Ints) -> tuple[Ints, Ints, Ints, Floats, Floats]:
    """Starts, ends, forms, support and likeness of the pairs that sound most alike, a few forms a window.

    Speech repeats itself: each wording is searched for once.
    """
    if not len(matcher.rows) or not len(starts):
        return starts[:0], starts[:0], starts[:0], np.zeros(0), np.zeros(0)
    first, wording = wordings(heard.strip.words, starts, ends)
    owner, form, nats, sound = _alike_pairs(heard, matcher, starts[first], ends[first])
    low, high = (np.searchsorted(owner, wording, side) for side in ("left", "right"))
    window = np.repeat(np.arange(len(starts)), high - low)
    pair = np.arange(len(window)) - np.repeat(np.cumsum(high - low) - high, high - low)
    return starts[window], ends[window], form[pair], nats[pair], sound[pair]


def _alike_pairs(heard: Heard, matcher: Matcher, starts: Ints, ends: Ints) -> tuple[Ints, Ints, Floats, Floats]:
    """Windows (sorted), forms, support and likeness of pairs."""
    pairs = _by_sound(heard, matcher, starts, ends)
    window, row = pairs // len(matcher.rows), pairs % len(matcher.rows)
    own, other = heard.strip.mass(starts, ends)[window], matcher.row_mass[row]
    near = (own < 1.6 * other + 4) & (other < 1.6 * own + 4)
    window, row = window[near], row[near]
    nats, sound = likeness(heard.strip.rows(starts, ends), matcher.rows, window, row)
    good = sound >= LEAST_LIKENESS
    window, form, nats, sound = window[good], matcher.row_form[row[good]], nats[good], sound[good]
    order = np.lexsort((-nats, form, window))
    fresh = np.ones(len(order), dtype=bool)
    fresh[1:] = (np.diff(window[order]) != 0) | (np.diff(form[order]) != 0)
    kept = np.sort(order[fresh])
    kept = kept[_best_few(heard, matcher, starts, ends, window[kept], form[kept], sound[kept])]
    return window[kept], form[kept], nats[kept], sound[kept]


def _best_few(
    heard: Heard, matcher: Matcher, starts: Ints, ends: Ints, window: Ints, form: Ints, sound: Floats
) -> Ints:
    """Places of the pairs that are among the best of their window by sound and spelling."""
    if not len(window):
        return window
    strip, forms = heard.strip, matcher.strip
    own = [strip.window_letters(*span) for span in zip(starts[window].tolist(), ends[window].tolist(), strict=True)]
    spans = zip(matcher.form_start[form].tolist(), matcher.form_end[form].tolist(), strict=True)
    other = [forms.window_letters(*span) for span in spans]
    worth = sound + cpdist(own, other, scorer=Indel.normalized_similarity)
    order = np.lexsort((-worth, window))
    firsts = np.flatnonzero(np.diff(window[order], prepend=-1))
    rank = np.arange(len(order)) - np.repeat(firsts, np.diff(np.append(firsts, len(order))))
    return np.sort(order[rank < FORMS_A_WINDOW])


def _looked_up(heard: Heard, matcher: Matcher, starts: Ints, ends: Ints) -> list[tuple[int, int, int]]:
    """Start, end and form where the window was met before as a garble, was decided on or differs in spacing only."""
    found: list[tuple[int, int, int]] = []
    strip, joined, met = heard.strip, matcher.joined, matcher.heard
    text, offsets = strip.letters, strip.letter_offsets
    leads = [word.partition("-")[0] in matcher.met_firsts for word in strip.words]
    for start, end in zip(starts.tolist(), ends.tolist(), strict=True):
        letters = text[offsets[start] : offsets[end]]
        if letters in joined:
            form = matcher.respaced(letters, strip.window_text(start, end))
            if form is not None and (end - start > 1 or not strip.frequency[start]):
                found.append((start, end, form))
        if leads[start]:
            stretch = strip.window_text(start, end).replace("-", " ")
            found += [(start, end, form) for form, _ in met.get(stretch, ())]
            form = matcher.decided(stretch)
            if form is not None:
                found.append((start, end, form))
    return found


def _by_word(heard: Heard, matcher: Matcher) -> list[tuple[int, int, int]]:
    """Start, end and form where a piece was heard before for a word, and with that word a term stands there."""
    found: list[tuple[int, int, int]] = []
    strip, words, sentence = heard.strip, heard.strip.words, heard.sentence
    count = len(words)
    pieces, letters, offsets = matcher.pieces, strip.letters, strip.letter_offsets
    if not pieces:
        return found
    for start in range(count):
        for end in range(start + 1, min(count, start + _LONGEST_PIECE) + 1):
            meant = pieces.get(letters[offsets[start] : offsets[end]])
            if meant is None:
                continue
            if sentence[end - 1] != sentence[start] or not heard.sayable[start:end].all():
                break
            for said in meant:
                for low in range(start, max(-1, start - 3), -1):
                    for high in range(end, min(count, end + 2) + 1):
                        form = matcher.exact.get((*words[low:start], *said, *words[end:high]))
                        if form is not None and sentence[low] == sentence[high - 1] and high - low <= LONGEST:
                            found.append((low, high, form))
    return found


def sounds_of(heard: Heard, matcher: Matcher, start: Ints, end: Ints, form: Ints) -> tuple[Floats, Floats]:
    """Support and likeness of windows with forms; shape (pairs,) each."""
    every = np.arange(len(start))
    said = matcher.strip.rows(matcher.form_start[form], matcher.form_end[form])
    return likeness(heard.strip.rows(start, end), said, every, every)


def find_pairs(heard: Heard, matcher: Matcher, everywhere: bool = False) -> Pairs:
    """All pairs of a window and a form that deserve a score; `everywhere`: over windows of ordinary English too."""
    starts, ends = all_windows(heard)
    chosen: Bools = np.ones(len(starts), dtype=bool) if everywhere else suspicious(heard, starts, ends)
    start, end, form, nats, sound = alike_pairs(heard, matcher, starts[chosen], ends[chosen])
    known = set(zip(start.tolist(), end.tolist(), form.tolist(), strict=True))
    more = [
        key
        for key in dict.fromkeys(_looked_up(heard, matcher, starts, ends) + _by_word(heard, matcher))
        if key not in known
    ]
    extra = np.array(more, dtype=np.int64).reshape(-1, 3)
    start, end = np.concatenate([start, extra[:, 0]]), np.concatenate([end, extra[:, 1]])
    form = np.concatenate([form, extra[:, 2]])
    their_nats, their_sound = sounds_of(heard, matcher, extra[:, 0], extra[:, 1], extra[:, 2])
    nats, sound = np.concatenate([nats, their_nats]), np.concatenate([sound, their_sound])
    triples = zip(start.tolist(), end.tolist(), form.tolist(), strict=True)
    wanted = np.array([_is_open(heard, matcher, *triple) for triple in triples], dtype=bool)
    return measure(heard, matcher, start[wanted], end[wanted], form[wanted], nats[wanted], sound[wanted])


def _is_open(heard: Heard, matcher: Matcher, start: int, end: int, form: int) -> bool:
    """False where the term itself is written within the window, or the user has rejected the pair."""
    term = matcher.forms[form].term
    if term in heard.terms_said and any(start <= place < end for place in heard.terms_said[term]):
        return False
    name = matcher.terms[term].name
    texts = [text for text, rejected in matcher.decisions.rejected if rejected == name]
    return not texts or not any(f" {text} " in f" {heard.strip.window_text(start, end)} " for text in texts)
