"""What words are compared against: every form of every term with its sounds, built once per vocabulary."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from itertools import product

import numpy as np
from numpy.typing import NDArray

from pipeline.correct.index import CONSONANTS, PHONES_ROUGHLY, REMAINDERS, SoundIndex
from pipeline.correct.pronounce import plain_letters, speak
from pipeline.correct.sounds import codes, mass, padded
from pipeline.tokens import bare
from pipeline.vocabulary import Term, UserWords, Vocabulary, regular_plural

WIDTH = 28
"""Phones kept of a stretch; the longest terms are told apart well before that."""

_WAYS = 2
_COUNTABLE = frozenset(("part", "fastener", "tool"))

Hearings = Mapping[str, Mapping[str, int]]
"""spelling of a term -> what was heard instead -> how often"""


@dataclass(frozen=True, slots=True)
class Form:
    """One way to write a term: a spelling, singular or plural. `words` are bare and without accents."""

    text: str
    words: tuple[str, ...]
    term: int
    plural: bool


@dataclass(frozen=True)
class Decisions:
    """What the user has decided: (heard, term name) never to be made, heard -> term name always to be made."""

    rejected: frozenset[tuple[str, str]] = frozenset()
    accepted: Mapping[str, str] = field(default_factory=dict)

    @classmethod
    def of(cls, user: UserWords) -> Decisions:
        """What one user has decided."""
        return cls(frozenset((heard, name) for heard, names in user.rejected.items() for name in names), user.accepted)


@dataclass(frozen=True)
class Matcher:
    """Forms of terms with their sounds and the look-ups over them.

    `rows`: phones, shape (rows, WIDTH); `row_form`: the form of each row. `exact`, `joined`: forms by their words and
    by their letters without white space. `heard`: what was met before -> (form, count). `ordinary`: for each form, is
    it an ordinary word of general English, which nothing is ever silently changed into?
    """

    terms: tuple[Term, ...]
    forms: tuple[Form, ...]
    rows: NDArray[np.uint8]
    row_form: NDArray[np.int64]
    row_mass: NDArray[np.float32]
    indexes: tuple[SoundIndex, ...]
    anchors: Mapping[str, int]
    remainders: tuple[SoundIndex, SoundIndex]
    remainder_rows: tuple[NDArray[np.int64], NDArray[np.int64]]
    exact: Mapping[tuple[str, ...], int]
    joined: Mapping[str, int]
    heard: Mapping[str, tuple[tuple[int, int], ...]]
    decisions: Decisions

    def decided(self, heard: str) -> int | None:
        """The form that the user has said is meant by `heard`; None for none."""
        name = self.decisions.accepted.get(heard)
        return None if name is None else self.exact.get(split_words(name))

    def respaced(self, window: tuple[str, ...]) -> int | None:
        """The form that has the very letters of the window but other word boundaries; None for none."""
        form = self.joined.get(letters(window))
        parts = tuple(part for word in window for part in word.split("-") if part)
        return None if form is None or self.forms[form].words == parts else form


def heard_key(words: Iterable[str]) -> str:
    """How a stretch of heard words is named in hearings and decisions: bare, without accents, single spaces.

    >>> heard_key(["Good", "gin", "pin,"])
    'good gin pin'
    """
    return " ".join(filter(None, (plain_letters(bare(word)) for word in words)))


def letters(words: Iterable[str]) -> str:
    """The letters and digits of the words with nothing between them."""
    return "".join(char for word in words for char in word if char.isalnum())


def split_words(text: str) -> tuple[str, ...]:
    """Bare words of a stretch of text; a hyphen parts words."""
    return tuple(filter(None, (bare(piece) for piece in plain_letters(text).replace("-", " ").split())))


def _forms(terms: tuple[Term, ...]) -> tuple[Form, ...]:
    found: dict[str, Form] = {}
    for number, term in enumerate(terms):
        for spelling in term.spellings:
            variants = [(spelling, False)]
            if term.kind in _COUNTABLE:
                variants.append((term.plural if spelling == term.name else regular_plural(spelling), True))
            for text, plural in variants:
                key = text.lower()
                if text and key not in found:
                    found[key] = Form(text, split_words(text), number, plural)
    return tuple(found.values())


def ways_to_say(words: Iterable[str]) -> list[str]:
    """Sounds of a stretch of words, at most two ways; none where a word cannot be said."""
    ways = [speak(word)[:_WAYS] for word in words]
    if not ways or not all(ways):
        return []
    said = ["".join(parts) for parts in product(*ways[:2])] if len(ways) <= 2 else ["".join(w[0] for w in ways)]
    return list(dict.fromkeys(said))[:_WAYS]


def build_matcher(
    vocabulary: Vocabulary, hearings: Hearings | None = None, decisions: Decisions | None = None
) -> Matcher:
    """Everything that can be worked out before the first word is heard."""
    terms = vocabulary.terms
    forms = _forms(terms)
    said = [(number, way) for number, form in enumerate(forms) for way in ways_to_say(form.words)]
    rows = padded([codes(way) for _, way in said], WIDTH)
    exact: dict[tuple[str, ...], int] = {}
    joined: dict[str, int] = {}
    for number, form in enumerate(forms):
        exact.setdefault(form.words, number)
        joined.setdefault(letters(form.words), number)
    anchors: dict[str, int] = {}
    for form in forms:
        if len(form.words) > 1:
            anchors.setdefault(form.words[0], len(anchors))
            anchors.setdefault(form.words[-1], len(anchors))
    first_index, first_rows = _remainders(forms, said, anchors, 0)
    last_index, last_rows = _remainders(forms, said, anchors, -1)
    met: dict[str, list[tuple[int, int]]] = {}
    for spelling, counts in (hearings or {}).items():
        own = exact.get(split_words(spelling))
        if own is not None:
            for stretch, count in counts.items():
                met.setdefault(stretch, []).append((own, count))
    return Matcher(
        terms=terms,
        forms=forms,
        rows=rows,
        row_form=np.array([number for number, _ in said], dtype=np.int64),
        row_mass=mass(rows) if len(rows) else np.zeros(0, np.float32),
        indexes=(SoundIndex(rows, CONSONANTS), SoundIndex(rows, PHONES_ROUGHLY)),
        anchors=anchors,
        remainders=(first_index, last_index),
        remainder_rows=(first_rows, last_rows),
        exact=exact,
        joined=joined,
        heard={stretch: tuple(found) for stretch, found in met.items()},
        decisions=decisions or Decisions(),
    )


def _remainders(
    forms: tuple[Form, ...], said: list[tuple[int, str]], anchors: Mapping[str, int], at: int
) -> tuple[SoundIndex, NDArray[np.int64]]:
    """Index over what is left of longer forms beside their first (`at` 0) or last (-1) word, and their rows."""
    kept: dict[int, tuple[str, int]] = {}
    for row, (number, _) in enumerate(said):
        words = forms[number].words
        if len(words) > 1 and number not in kept:
            rest = words[1:] if at == 0 else words[:-1]
            kept[number] = ("".join(speak(word)[0] for word in rest), row)
    rests = padded([codes(way) for way, _ in kept.values()], WIDTH)
    salt = np.array([anchors[forms[number].words[at]] for number in kept], dtype=np.int64)
    return SoundIndex(rests, REMAINDERS, salt), np.array([row for _, row in kept.values()], dtype=np.int64)
