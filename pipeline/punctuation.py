"""Where sentences end and commas stand in words that came without punctuation, as automatic captions do.

A linear model over the words around each gap, fitted by `tools/train_punctuation.py`. What it finds is a view for the
stages that read sentences: words and evidence keep the form in which they were heard.
"""

from __future__ import annotations

import gzip
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache
from itertools import pairwise
from math import exp
from pathlib import Path

import numpy as np

from pipeline.correct.language import english
from pipeline.quantities import figure_places
from pipeline.records import Settings, Token
from pipeline.tokens import bare

MARKS = ("", ",", ".")
_DATA = Path(__file__).resolve().parent / "data" / "punctuation.gz"
_WRITTEN = (".", ",", "?", "!", ";", ":", "…")
# With fewer marks than one in so many words nobody wrote any.
_WORDS_A_MARK = 30
_SHORTEST = 4
_FREQUENCY_STEP = 15
# A gap stays open from this probability of no mark on.
_NO_MARK = 0.6
_PAUSE_MS = 700
_PAUSE_WORTH = 2.0
_NEAR = (1, 2, 3, 4, 6, 8, 12, 18)
_CLOSED_WORDS = """
a an the this that these those my your our its his her their i you he she it we they me him us them who which what
where when why how is are was were be been being am do does did have has had will would shall should can could may
might must not and or but so because if then than as of in on at to from for with by into onto off out up down over
under back through about around between after before until while just only also still again now here there there's
that's it's i've i'm i'll we've we'll don't isn't hasn't haven't right okay well yes no one two three four five six
both each all any some every new old first next last very too quite going got get put goes come comes take took make
made let's
"""
_CLOSED = frozenset(_CLOSED_WORDS.split())
_MEASURED = frozenset(
    ("spanner", "socket", "wrench", "allen", "hex", "key", "drill", "tap", "bolt", "bolts", "nut", "of")
)


def word_class(word: str) -> str:
    """A closed-class word itself, or the ending that says most of what an open-class word is.

    >>> word_class("the"), word_class("tightened"), word_class("8.5"), word_class("washers"), word_class("pin")
    ('the', '-ed', '-0', '-s', '-')
    """
    if word in _CLOSED:
        return word
    if word[:1].isdigit():
        return "-0"
    for ending in ("ing", "ed", "ly", "s"):
        if word.endswith(ending) and len(word) > len(ending) + 1:
            return "-" + ending
    return "-"


def _bucket(distance: int) -> int:
    return next((near for near in _NEAR if distance <= near), 99)


@dataclass(frozen=True, slots=True)
class Look:
    """Bare words with what general English says of them, a value a word. `odd`: how oddly the next word follows."""

    words: Sequence[str]
    classes: Sequence[str]
    frequency: Sequence[int]
    odd: Sequence[float]

    @classmethod
    def at(cls, words: Sequence[str]) -> Look:
        """Looks the words up."""
        data = english()
        places = np.array([data.place(word) for word in words], dtype=np.int64)
        odd = [*data.oddness(places[:-1], places[1:]).tolist(), 0.5]
        frequency = [data.frequency(word) // _FREQUENCY_STEP for word in words]
        return cls(words, [word_class(word) for word in words], frequency, odd)


def features(look: Look, at: int, since_mark: int, since_stop: int) -> Iterator[str]:
    """What is seen at the gap after word `at`; distances count the words since the marks before."""
    words, classes = look.words, look.classes

    def word(offset: int) -> str:
        place = at + offset
        return words[place] if 0 <= place < len(words) else "#"

    def kind(offset: int) -> str:
        place = at + offset
        return classes[place] if 0 <= place < len(classes) else "#"

    left, right = word(0), word(1)
    if at + 1 < len(words):
        odd = look.odd[at]
        yield f"o {odd}"
        yield f"oc {odd} {kind(0)} {kind(1)}"
        yield f"q {look.frequency[at]} {look.frequency[at + 1]}"
    yield "bias"
    yield f"m{_bucket(since_mark)}"
    yield f"s{_bucket(since_stop)}"
    yield f"sr{_bucket(since_stop)} {kind(1)}"
    yield f"l {left}"
    yield f"r {right}"
    yield f"ll {word(-1)} {left}"
    yield f"lr {left} {right}"
    yield f"rr {right} {word(2)}"
    yield f"llr {word(-1)} {left} {right}"
    yield f"lrr {left} {right} {word(2)}"
    yield f"rrr {right} {word(2)} {word(3)}"
    yield f"c {kind(0)} {kind(1)}"
    yield f"cl {kind(-1)} {kind(0)} {kind(1)}"
    yield f"cr {kind(0)} {kind(1)} {kind(2)}"
    yield f"ca {kind(-1)} {kind(0)} {kind(1)} {kind(2)}"
    yield f"cb {kind(0)} {kind(1)} {kind(2)} {kind(3)}"
    yield f"cz {kind(-2)} {kind(-1)} {kind(0)} {kind(1)}"
    yield f"e {left[-3:]} {kind(1)}"
    yield f"f {kind(0)} {right[-3:]}"


@cache
def _weights() -> dict[str, tuple[float, float]]:
    lines = gzip.decompress(_DATA.read_bytes()).decode("utf-8").splitlines()
    parted = (line.split("\t") for line in lines)
    return {name: (int(comma) / 100, int(stop) / 100) for name, comma, stop in parted}


def predict(words: Sequence[str], pauses: Sequence[bool] = ()) -> list[int]:
    """The mark after each of the bare words, as an index into `MARKS`; `pauses[i]` tells of silence after word i."""
    weights = _weights()
    look = Look.at(words)
    marks, last_mark, last_stop = [], -1, -1
    for at in range(len(words)):
        comma = stop = 0.0
        for name in features(look, at, at - last_mark, at - last_stop):
            pair = weights.get(name)
            if pair:
                comma += pair[0]
                stop += pair[1]
        if pauses and pauses[at]:
            comma += _PAUSE_WORTH
            stop += _PAUSE_WORTH
        total = 1.0 + exp(comma) + exp(stop)
        mark = 0 if 1.0 / total >= _NO_MARK else 1 if comma > stop else 2
        if mark:
            last_mark = at
        if mark == 2:
            last_stop = at
        marks.append(mark)
    return marks


def punctuated(tokens: Sequence[Token], settings: Settings | None = None) -> tuple[Token, ...]:
    """The tokens with marks where the words came without any; as they are where somebody wrote punctuation.

    No mark parts a figure, nor a figure from the tool or thing it measures ("17 mil socket").
    """
    if len(tokens) < _SHORTEST or sum(token.text.endswith(_WRITTEN) for token in tokens) * _WORDS_A_MARK > len(tokens):
        return tuple(tokens)
    pauses = [after.start_ms - before.end_ms >= _PAUSE_MS for before, after in pairwise(tokens)]
    marks = predict([bare(token.text) for token in tokens], [*pauses, False])
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
