"""Where sentences end and commas stand in words that came without punctuation, as automatic captions do.

The reader network tells, from the words around each gap; long silences speak for a break. What is found is a view for
the stages that read sentences: words and evidence keep the form in which they were heard.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace
from itertools import pairwise
from typing import Protocol

import numpy as np

from pipeline.quantities import figure_places
from pipeline.reader import load_reader
from pipeline.reader.reading import MARKS, Floats
from pipeline.records import Settings, Token
from pipeline.tokens import bare

_WRITTEN = (".", ",", "?", "!", ";", ":", "…")
# With fewer marks than one in so many words nobody wrote any.
_WORDS_A_MARK = 30
_SHORTEST = 4
# A gap stays open from this probability of no mark on.
_NO_MARK = 0.5
_LINES, _BY_SENTENCE, _SENTENCE = 4, 0.6, MARKS.index(".")
_PAUSE_MS = 700
_PAUSE_WORTH = 2.0
_MEASURED = frozenset(
    ("spanner", "socket", "wrench", "allen", "hex", "key", "drill", "tap", "bolt", "bolts", "nut", "of")
)


class MarkReader(Protocol):
    """Anything that tells marks."""

    def breaks(self, words: Sequence[str]) -> Floats:
        """Scores [words, marks] for each of `MARKS` behind each word (log odds)."""


def predict(
    words: Sequence[str], pauses: Sequence[bool] = (), reader: MarkReader | None = None, ends: Sequence[int] = ()
) -> list[int]:
    """The mark after each of the bare words, as an index into `MARKS`; `pauses[i]` tells of silence after word i.

    `ends` are the words that end a line. Whoever wrote the lines may have cut them by sentence or by length: where
    there are marks behind most of them, there is one behind each.
    """
    if not words:
        return []
    scores = (reader or load_reader()).breaks(words).astype(np.float64)
    if pauses:
        scores[:, 1:] += _PAUSE_WORTH * np.array(pauses, dtype=float)[:, None]
    odds = np.exp(scores - scores.max(axis=1, keepdims=True))
    is_open = odds[:, 0] >= _NO_MARK * odds.sum(axis=1)
    marks = np.where(is_open, 0, 1 + odds[:, 1:].argmax(axis=1))
    if len(ends) >= _LINES and np.mean(~is_open[list(ends)]) >= _BY_SENTENCE:
        marks[list(ends)] = _SENTENCE
    return [int(mark) for mark in marks]


def punctuated(
    tokens: Sequence[Token], settings: Settings | None = None, reader: MarkReader | None = None,
    line_starts: Collection[int] = (),
) -> tuple[Token, ...]:  # fmt: skip
    """The tokens with marks where the words came without any; as they are where somebody wrote punctuation.

    No mark parts a figure, nor a figure from the tool or thing it measures ("17 mil socket"). `reader` tells the marks:
    the shipped network where none is given. `line_starts` are the words that open a line of the transcript.
    """
    if len(tokens) < _SHORTEST or sum(token.text.endswith(_WRITTEN) for token in tokens) * _WORDS_A_MARK > len(tokens):
        return tuple(tokens)
    pauses = [after.start_ms - before.end_ms >= _PAUSE_MS for before, after in pairwise(tokens)]
    ends = [place for place, after in enumerate(tokens[1:]) if after.start_word in line_starts]
    marks = predict([bare(token.text) for token in tokens], [*pauses, False], reader, ends)
    whole = _inside_figures(tokens, settings or Settings())
    return tuple(
        replace(token, text=token.text + MARKS[mark])
        if mark and place not in whole and not token.text.endswith(_WRITTEN)
        else token
        for place, (token, mark) in enumerate(zip(tokens, marks, strict=True))
    )


def _inside_figures(tokens: Sequence[Token], settings: Settings) -> set[int]:
    """Places of tokens after which a figure goes on."""
    whole: set[int] = set()
    for start, end in figure_places(tokens, settings):
        goes_on = end < len(tokens) and bare(tokens[end].text) in _MEASURED
        whole.update(range(start, end if goes_on else end - 1))
    return whole
