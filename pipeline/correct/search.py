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
from pipeline.correct.vectors import heard_vectors, said_vectors
from pipeline.correct.windows import LONGEST, Heard, all_windows, suspicious

LEAST_LIKENESS = 0.2
FORMS_A_WINDOW = 6
_LONGEST_PIECE = 3
_EXPECTED = 500
_LONGEST_GLANCE, _GLANCES, _LEAST_ALIKE = 3, 4, 0.45
_USUAL_IS_WORTH = 0.25


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
    found.append(_at_a_glance(heard, matcher, starts, ends))
    pairs = np.sort(np.concatenate(found))
    return pairs[np.diff(pairs, prepend=-1) > 0]


def expected_rows(heard: Heard, matcher: Matcher) -> Ints:
    """Rows of the terms to be expected here: usual in workshop talk, written right elsewhere, or few in all."""
    wanted = np.zeros(len(matcher.terms), dtype=bool)
    if matcher.talk or len(matcher.terms) <= _EXPECTED:
        wanted[np.argsort(-matcher.term_talk[:, 0], kind="stable")[:_EXPECTED]] = True
    wanted[list(heard.terms_said)] = True
    return np.flatnonzero(wanted[matcher.form_term[matcher.row_form]])


def _at_a_glance(heard: Heard, matcher: Matcher, starts: Ints, ends: Ints) -> Ints:
    """Pairs, as `_by_sound` has them, of short windows and the nearest of the terms that are expected.

    The terms are dealt to a few tables, and the nearest of each table is taken.
    """
    short = np.flatnonzero(ends - starts <= _LONGEST_GLANCE)
    rows = expected_rows(heard, matcher)
    found = [short[:0]]
    own = heard_vectors(heard.strip.rows(starts[short], ends[short]))
    said = said_vectors(matcher.rows[rows])
    table = matcher.form_term[matcher.row_form[rows]] % _GLANCES
    for number in range(_GLANCES):
        dealt = np.flatnonzero(table == number)
        if len(dealt) and len(short):
            alike = own @ said[dealt].T
            nearest = alike.argmax(axis=1)
            near = np.flatnonzero(alike[np.arange(len(short)), nearest] >= _LEAST_ALIKE)
            found.append(short[near] * len(matcher.rows) + rows[dealt[nearest[near]]])
    return np.concatenate(found)


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
    worth += _USUAL_IS_WORTH * matcher.term_talk[matcher.form_term[form], 0]
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
    led, followed = _terms_beside(heard, matcher)
    for start in range(count):
        for end in range(start + 1, min(count, start + _LONGEST_PIECE) + 1):
            meant = pieces.get(letters[offsets[start] : offsets[end]])
            if meant is None:
                continue
            if sentence[end - 1] != sentence[start] or not heard.sayable[start:end].all():
                break
            for said in meant:
                for low in range(start, start - led[start] - 1, -1):
                    for high in range(end, end + followed[end] + 1):
                        form = matcher.exact.get((*words[low:start], *said, *words[end:high]))
                        if form is not None and high - low <= LONGEST:
                            found.append((low, high, form))
    return found


def _terms_beside(heard: Heard, matcher: Matcher) -> tuple[list[int], list[int]]:
    """How many words right before each place, and from there on, are words of terms; two at most, of one sentence."""
    known = np.array([word in matcher.exact_words for word in heard.strip.words])
    goes_on = np.concatenate([[False], heard.sentence[1:] == heard.sentence[:-1], [False]])
    before, onwards = goes_on & np.append(False, known), goes_on & np.append(known, False)
    led = before + (before & np.append(False, before[:-1])).astype(np.int64)
    followed = onwards + (onwards & np.append(onwards[1:], False)).astype(np.int64)
    return led.tolist(), followed.tolist()


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
    wanted = _open(heard, matcher, start, end, form)
    return measure(heard, matcher, start[wanted], end[wanted], form[wanted], nats[wanted], sound[wanted])


def _open(heard: Heard, matcher: Matcher, start: Ints, end: Ints, form: Ints) -> Bools:
    """False where the term itself is written within the window, the user has rejected the pair, or what is written at
    one end of the window would have to move to the other."""
    term = matcher.form_term[form]
    rejected: dict[str, list[str]] = {}
    for text, name in matcher.decisions.rejected:
        rejected.setdefault(name, []).append(text)
    doubted = np.zeros(len(matcher.terms), dtype=bool)
    doubted[list(heard.terms_said)] = True
    doubted[[number for number, each in enumerate(matcher.terms) if each.name in rejected]] = True
    found = ~_moved(heard, matcher, start, end, form)
    for pair in np.flatnonzero(doubted[term]).tolist():
        low, high, own = int(start[pair]), int(end[pair]), int(term[pair])
        said = any(low <= place < high for place in heard.terms_said.get(own, ()))
        window = f" {heard.strip.window_text(low, high)} "
        found[pair] = not said and not any(f" {text} " in window for text in rejected.get(matcher.terms[own].name, ()))
    return found


def _moved(heard: Heard, matcher: Matcher, start: Ints, end: Ints, form: Ints) -> Bools:
    """True where a window opens with a written term that the form closes with, or the other way round.

    The "return springs hook" are no "shoe return springs": the return springs were heard where they are.
    """
    found = np.zeros(len(start), dtype=bool)
    length = matcher.form_end[form] - matcher.form_start[form]
    opening = np.where(heard.taken[start] == start, heard.taken_length[start], 0)
    last = heard.taken_length[end - 1]
    closing = np.where(heard.taken[end - 1] + last == end, last, 0)
    words = heard.strip.words
    for pair in np.flatnonzero(((opening > 0) & (opening < length)) | ((closing > 0) & (closing < length))).tolist():
        low, high, own = int(start[pair]), int(end[pair]), matcher.forms[form[pair]].words
        first, final = words[low : low + int(opening[pair])], words[high - int(closing[pair]) : high]
        found[pair] = (bool(first) and own[-len(first) :] == first != own[: len(first)]) or (
            bool(final) and own[: len(final)] == final != own[-len(final) :]
        )
    return found
