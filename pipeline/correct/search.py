"""Which pairs of a window and a form deserve a score: by sound, by what was met before, by what the user decided."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from pipeline.correct.features import Floats, Ints, Pairs, measure
from pipeline.correct.matcher import Matcher
from pipeline.correct.sounds import likeness, mass
from pipeline.correct.windows import Heard, all_windows, suspicious, window_rows

LEAST_LIKENESS = 0.55
_MET_LIKENESS = 0.7


def _by_sound(heard: Heard, matcher: Matcher, starts: Ints, ends: Ints, rows: NDArray[np.uint8]) -> Ints:
    """Pairs as `window * rows of the matcher + row`, each once."""
    size = len(matcher.rows)
    found = [index.pairs(rows) for index in matcher.indexes]
    for at, (index, index_rows) in enumerate(zip(matcher.remainders, matcher.remainder_rows, strict=True)):
        anchored = [
            matcher.anchors.get(heard.words[s if at == 0 else e - 1], -1)
            for s, e in zip(starts.tolist(), ends.tolist(), strict=True)
        ]
        salt = np.array(anchored, dtype=np.int64)
        chosen = np.flatnonzero((salt >= 0) & (ends - starts > 1))
        if len(chosen) and index.rows:
            low, high = (starts[chosen] + 1, ends[chosen]) if at == 0 else (starts[chosen], ends[chosen] - 1)
            pairs = index.pairs(window_rows(heard, low, high), salt[chosen])
            found.append(chosen[pairs // index.rows] * size + index_rows[pairs % index.rows])
    return np.unique(np.concatenate(found))


def alike_pairs(heard: Heard, matcher: Matcher, starts: Ints, ends: Ints) -> tuple[Ints, Ints, Ints, Floats]:
    """Starts, ends, forms and likeness of sound of the pairs that sound alike at all, each once."""
    if not len(matcher.rows) or not len(starts):
        return starts[:0], starts[:0], starts[:0], np.zeros(0)
    rows = window_rows(heard, starts, ends)
    pairs = _by_sound(heard, matcher, starts, ends, rows)
    window, row = pairs // len(matcher.rows), pairs % len(matcher.rows)
    own, other = mass(rows)[window], matcher.row_mass[row]
    near = (own < 1.8 * other + 0.6) & (other < 1.8 * own + 0.6)
    window, row = window[near], row[near]
    sound = likeness(rows[window], matcher.rows[row]).astype(np.float64)
    good = sound >= LEAST_LIKENESS
    window, form, sound = window[good], matcher.row_form[row[good]], sound[good]
    order = np.lexsort((-sound, form, window))
    window, form, sound = window[order], form[order], sound[order]
    fresh = np.ones(len(window), dtype=bool)
    fresh[1:] = (window[1:] != window[:-1]) | (form[1:] != form[:-1])
    return starts[window[fresh]], ends[window[fresh]], form[fresh], sound[fresh]


def _looked_up(heard: Heard, matcher: Matcher, starts: Ints, ends: Ints) -> list[tuple[int, int, int]]:
    """Start, end and form where the window was met before as a garble, was decided on or differs in spacing only."""
    found: list[tuple[int, int, int]] = []
    for start, end in zip(starts.tolist(), ends.tolist(), strict=True):
        window = heard.words[start:end]
        key = " ".join(window)
        found += [(start, end, form) for form, _ in matcher.heard.get(key, ())]
        form = matcher.decided(key)
        if form is None:
            form = matcher.respaced(window)
        if form is not None:
            found.append((start, end, form))
    return found


def find_pairs(heard: Heard, matcher: Matcher, everywhere: bool = False) -> Pairs:
    """All pairs of a window and a form that deserve a score; `everywhere`: over windows of ordinary English too."""
    starts, ends = all_windows(heard)
    chosen = np.ones(len(starts), dtype=bool) if everywhere else suspicious(heard, starts, ends)
    start, end, form, sound = alike_pairs(heard, matcher, starts[chosen], ends[chosen])
    known = set(zip(start.tolist(), end.tolist(), form.tolist(), strict=True))
    more = [key for key in dict.fromkeys(_looked_up(heard, matcher, starts, ends)) if key not in known]
    extra = np.array(more, dtype=np.int64).reshape(-1, 3)
    start, end = np.concatenate([start, extra[:, 0]]), np.concatenate([end, extra[:, 1]])
    form, sound = np.concatenate([form, extra[:, 2]]), np.concatenate([sound, np.full(len(extra), _MET_LIKENESS)])
    wanted = np.array(
        [_is_open(heard, matcher, *key) for key in zip(start.tolist(), end.tolist(), form.tolist(), strict=True)],
        dtype=bool,
    )
    return measure(heard, matcher, start[wanted], end[wanted], form[wanted], sound[wanted])


def _is_open(heard: Heard, matcher: Matcher, start: int, end: int, form: int) -> bool:
    """False where the term itself is written within the window, or the user has rejected the pair."""
    term = matcher.forms[form].term
    if any(start <= place < end for place in heard.terms_said.get(term, ())):
        return False
    return (" ".join(heard.words[start:end]), matcher.terms[term].name) not in matcher.decisions.rejected
