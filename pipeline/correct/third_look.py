"""The third look: a small transformer reads a doubtful place together with all that may have been said there.

Pairs over the same words make a cluster. The network reads the words around, what was heard, and the same stretch with
each of the terms in its place, all in one text, so that every term is seen beside its rivals; with what it makes of a
term, and the features of the pair, it gives the odds that this was said. It is three layers of a BERT encoder
(all-MiniLM-L6-v2, Apache-2.0), trained by `tools/train_third_look.py` and kept in 8-bit numbers.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from pathlib import Path

import numpy as np
import onnxruntime

from pipeline.correct.strip import Floats, Ints
from pipeline.correct.windows import Heard
from pipeline.reader.pieces import load_pieces, one_session

BEFORE, AFTER, LENGTH = 30, 24, 256
"""So many word pieces are read before and after a place, and at most so many in all."""
MOST = 7
"""So many pairs make a cluster."""
LEAST = -5.5
"""The log odds of the first look from which a pair is read."""
_WORTH, _RIVAL = -3.0, -6.0
"""The log odds of the second look that one pair of a cluster must have, and all others that are read beside it."""
AROUND, HEARD, MEANT, KEPT = range(4)
"""Kinds of pieces: around the place, heard there, of the term, and words that the term leaves as they are."""


class ThirdLook:
    """The network in the file at `path`, loaded when it is asked first."""

    def __init__(self, path: Path) -> None:
        self._path = path

    @cached_property
    def _session(self) -> onnxruntime.InferenceSession:
        # adding and levelling as one step takes the library four times as long as one after the other
        return one_session(self._path, without=("SkipLayerNormFusion",))

    def log_odds(
        self, heard: Heard, start: Ints, end: Ints, forms: Sequence[str], inputs: Floats, first: Floats, second: Floats
    ) -> Floats:
        """Log odds of pairs of a window `start`..`end` and one of `forms`; NaN where they are not worth a look.

        `inputs`: what the second look had, shape (pairs, features); `first`, `second`: what the looks before gave.
        """
        found = np.full(len(start), np.nan)
        some = [each[second[each] >= _RIVAL] for each in clusters(start, end, first) if second[each].max() >= _WORTH]
        if not some:
            return found
        pieces = load_pieces()
        offsets, text = pieces.of_words(heard.texts)
        place = np.append(offsets, len(text))
        named = {forms[n] for each in some for n in each.tolist()}
        meant = {form: pieces.of_words([form])[1] for form in named}
        for each in some:
            own = [(int(start[n]), int(end[n]), meant[forms[n]]) for n in each.tolist()]
            shown, kinds, owner = laid_out(text, place, heard.line, own, (pieces.first, pieces.last))
            asked, shares = _asked(owner, len(own))
            found[each] = self._session.run(
                None,
                {
                    "words": pieces.vectors(shown)[None],
                    "kinds": np.array([kinds], dtype=np.int64),
                    "asked": asked,
                    "owner": shares,
                    "features": inputs[each].astype(np.float32),
                },
            )[0]
        return found


def clusters(start: Ints, end: Ints, first: Floats) -> list[Ints]:
    """Pairs that compete: the likeliest that is left, by the first look, with the likeliest over any of its words."""
    free = first >= LEAST
    found = []
    for seed in np.argsort(-first, kind="stable").tolist():
        if not free[seed]:
            continue
        own = np.flatnonzero(free & (start < end[seed]) & (end > start[seed]))
        own = own[np.argsort(-first[own], kind="stable")][:MOST]
        free[own] = False
        found.append(own)
    return found


def laid_out(
    text: Sequence[int], place: Ints, line: Ints, own: Sequence[tuple[int, int, Sequence[int]]], ends: tuple[int, int]
) -> tuple[list[int], list[int], list[int]]:  # fmt: skip
    """The pieces of a cluster as they are read, their kinds, and the number of the pair whose term each is of, or -1.

    `text`, `place`: the pieces of the words, and where those of each word begin; `line`: number of each word's, over
    which nothing is read. `own`: windows with their terms. `ends`: the pieces that stand before a text, and behind it
    and each of the terms.
    """
    low, high = min(start for start, _, _ in own), max(end for _, end, _ in own)
    here, beyond = int(place[low]), int(place[high])
    opens, closes = (int(place[np.searchsorted(line, line[low], side)]) for side in ("left", "right"))
    before = text[max(opens, here - BEFORE) : here]
    after = text[beyond : min(closes, beyond + AFTER)]
    shown = [ends[0], *before, *text[here:beyond], *after, ends[1]]
    kinds = [AROUND] * (1 + len(before)) + [HEARD] * (beyond - here) + [AROUND] * (len(after) + 1)
    owner = [-1] * len(shown)
    for number, (start, end, meant) in enumerate(own):
        left, right = text[here : int(place[start])], text[int(place[end]) : beyond]
        shown += [*left, *meant, *right, ends[1]]
        kinds += [KEPT] * len(left) + [MEANT] * len(meant) + [KEPT] * (len(right) + 1)
        owner += [-1] * len(left) + [number] * len(meant) + [-1] * (len(right) + 1)
    return shown[:LENGTH], kinds[:LENGTH], owner[:LENGTH]


def _asked(owner: Sequence[int], count: int) -> tuple[Ints, Floats]:
    """The pieces that are judged by, the first and those of the terms; and for each pair what share each of them has in
    its term, shape (pairs, pieces)."""
    owners = np.array(owner)
    asked = np.append(0, np.flatnonzero(owners >= 0))
    mine = owners[asked] == np.arange(count)[:, None]
    shares: Floats = (mine / np.maximum(1, mine.sum(axis=1, keepdims=True))).astype(np.float32)
    return asked, shares
