"""What words are compared against: every form of every term with its sounds, built once per vocabulary."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from itertools import chain
from math import log1p

import numpy as np
from numpy.typing import NDArray

from pipeline.correct.channel import best_support
from pipeline.correct.contexts import Contexts, Vectors, shipped_contexts
from pipeline.correct.forms import Form, forms_of, other_numbers, split_words, ways_to_say
from pipeline.correct.index import CONFUSED, CONSONANTS, MANNERS, REMAINDERS, SoundIndex
from pipeline.correct.sounds import padded
from pipeline.correct.strip import WIDTH, Floats, Ints, Strip, lay, letters_of
from pipeline.correct.talk import talk_for, usualness
from pipeline.vocabulary import Term, UserWords, Vocabulary

_IN_FIGURES = {
    "one": "1", "two": "2", "three": "3", "four": "4", "five": "5", "six": "6", "seven": "7", "eight": "8", "nine": "9",
    "ten": "10", "twelve": "12", "fifteen": "15", "twenty": "20", "thirty": "30", "forty": "40", "fifty": "50",
    "sixty": "60", "seventy": "70", "eighty": "80", "ninety": "90",
}  # fmt: skip

Hearings = Mapping[str, Mapping[str, int]]
"""spelling of a term -> what was heard instead -> how often"""


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

    `strip`: the words of all forms end to end; form f is its words `form_start[f]`..`form_end[f]`; `form_other`: the
    same spelling in the other number, -1 for none. `rows`: phones of each way to say a form, shape (rows, WIDTH), with
    `row_form` and `row_mass`. `exact`, `joined`: forms by their words and by their letters without white space;
    `exact_words`: all words of theirs.
    `heard`: what was met before -> (form, count); `met_firsts`: the first words of that. `word_ids`: numbers of the
    words of all forms, `word_stems`: of what is left of each without a final s. `remainders`: what is left beside a
    first and beside a last word, with `remainder_rows`. `term_pack`, `term_assembly`: numbers of what each term is
    from. `talk`, `term_talk`: how usual words and terms are in workshop talk; empty and 0 for another trade.
    `contexts`, `form_fit`: how words fit where they stand, and each form's own vector for that.
    """

    terms: tuple[Term, ...]
    forms: tuple[Form, ...]
    strip: Strip
    form_start: Ints
    form_end: Ints
    form_term: Ints
    form_plural: NDArray[np.bool_]
    form_other: Ints
    term_pack: Ints
    term_assembly: Ints
    term_talk: Floats
    talk: Mapping[str, int]
    contexts: Contexts
    form_fit: Vectors
    rows: NDArray[np.uint8]
    row_form: Ints
    row_mass: Floats
    indexes: tuple[SoundIndex, ...]
    remainders: tuple[SoundIndex, SoundIndex]
    remainder_rows: tuple[Ints, Ints]
    word_ids: Mapping[str, int]
    word_stems: Ints
    exact: Mapping[tuple[str, ...], int]
    exact_words: frozenset[str]
    joined: Mapping[str, int]
    heard: Mapping[str, tuple[tuple[int, int], ...]]
    met_firsts: frozenset[str]
    words_heard: Mapping[tuple[str, str], float]
    pieces: Mapping[str, tuple[tuple[str, ...], ...]]
    decisions: Decisions

    def decided(self, heard: str) -> int | None:
        """The form that the user has said is meant by `heard`; None for none."""
        name = self.decisions.accepted.get(heard)
        return None if name is None else self.exact.get(split_words(name))

    def respaced(self, letters: str, text: str) -> int | None:
        """The form that has the very letters of a window but other word boundaries; None for none.

        Letters said one by one are an abbreviation ("c d i"), longer pieces are not ("50 cc a side" is no "CCA").
        """
        form = self.joined.get(letters)
        if form is None or " ".join(self.forms[form].words) == text.replace("-", " "):
            return None
        spelt = self.forms[form].text.isupper() and len(self.forms[form].words) == 1
        return None if spelt and any(len(piece) > 1 for piece in text.replace("-", " ").split()) else form


def _remainders(
    forms: tuple[Form, ...], row_form: Ints, strip: Strip, starts: Ints, ends: Ints, at: int
) -> tuple[SoundIndex, Ints]:
    """Index over what is left of longer forms beside their first (`at` 0) or last (-1) word, and their rows."""
    number, row = np.unique(row_form, return_index=True)
    longer = ends[number] - starts[number] > 1
    number, row = number[longer], row[longer]
    rest = strip.rows(starts[number] + (at == 0), ends[number] - (at == -1))
    salt = strip.ids[starts[number] if at == 0 else ends[number] - 1]
    return SoundIndex(rest, REMAINDERS, salt), row


def form_vectors(contexts: Contexts, strip: Strip, starts: Ints, ends: Ints) -> Vectors:
    """For each form the mean of its words' vectors; shape (forms, width)."""
    return contexts.means(contexts.places(strip.words), starts, ends)


def _numbers(names: Iterable[str]) -> Ints:
    known: dict[str, int] = {}
    return np.array([known.setdefault(name, len(known)) for name in names], dtype=np.int64)


_LEAST_COUNT = 2


def _words_heard(
    hearings: Hearings, word_ids: Mapping[str, int]
) -> tuple[dict[tuple[str, str], float], dict[str, tuple[tuple[str, ...], ...]]]:
    """What was heard for one or two words of terms, whichever the term: hearings without the words heard right.

    Damped counts by (letters heard, letters said), and the words said by letters heard.
    """
    counts: dict[tuple[str, tuple[str, ...]], int] = {}
    for spelling, garbles in hearings.items():
        whole = split_words(spelling)
        for stretch, count in garbles.items():
            pieces_heard = tuple(stretch.split(" "))
            most = min(len(whole), len(pieces_heard))
            low = 0
            while low < most and whole[low] == pieces_heard[low]:
                low += 1
            high = 0
            while high < most - low and whole[-1 - high] == pieces_heard[-1 - high]:
                high += 1
            said, heard = whole[low : len(whole) - high], pieces_heard[low : len(pieces_heard) - high]
            if heard and 0 < len(said) <= 2 and all(word in word_ids for word in said):
                key = "".join(map(letters_of, heard)), said
                counts[key] = counts.get(key, 0) + count
    damped: dict[tuple[str, str], float] = {}
    pieces: dict[str, list[tuple[str, ...]]] = {}
    for (heard_letters, said), count in counts.items():
        if count >= _LEAST_COUNT:
            damped[heard_letters, "".join(map(letters_of, said))] = log1p(count) / 2
            pieces.setdefault(heard_letters, []).append(said)
    return damped, {piece: tuple(found) for piece, found in pieces.items()}


def build_matcher(
    vocabulary: Vocabulary, hearings: Hearings | None = None, decisions: Decisions | None = None
) -> Matcher:
    """Everything that can be worked out before the first word is heard."""
    decisions = decisions or Decisions()
    forms = forms_of(vocabulary.terms)
    word_ids: dict[str, int] = {}
    for form in forms:
        for word in form.words:
            word_ids.setdefault(word, len(word_ids))
    strip = lay((word for form in forms for word in form.words), word_ids)
    ends = np.cumsum([len(form.words) for form in forms], dtype=np.int64)
    starts = ends - np.array([len(form.words) for form in forms], dtype=np.int64)
    said = [(number, way) for number, form in enumerate(forms) for way in ways_to_say(form.words)]
    rows = padded([way for _, way in said], WIDTH)
    row_form = np.array([number for number, _ in said], dtype=np.int64)
    exact: dict[tuple[str, ...], int] = {}
    joined: dict[str, int] = {}
    for number, form in enumerate(forms):
        exact.setdefault(form.words, number)
        joined.setdefault("".join(map(letters_of, form.words)), number)
    for number, form in enumerate(forms):
        if not _IN_FIGURES.keys().isdisjoint(form.words):  # "90 weight" is what recognisers make of "ninety weight"
            figures = tuple(_IN_FIGURES.get(word, word) for word in form.words)
            exact.setdefault(figures, number)
            word_ids.setdefault(figures[0], len(word_ids))
    met: dict[str, list[tuple[int, int]]] = {}
    for spelling, counts in (hearings or {}).items():
        own = exact.get(split_words(spelling))
        if own is not None:
            for stretch, count in counts.items():
                met.setdefault(stretch, []).append((own, count))
    form_term = np.array([form.term for form in forms], dtype=np.int64)
    words_heard, pieces = _words_heard(hearings or {}, word_ids)
    talk = talk_for(word_ids)
    first_index, first_rows = _remainders(forms, row_form, strip, starts, ends, 0)
    last_index, last_rows = _remainders(forms, row_form, strip, starts, ends, -1)
    return Matcher(
        terms=vocabulary.terms,
        forms=forms,
        strip=strip,
        form_start=starts,
        form_end=ends,
        form_term=form_term,
        form_plural=np.array([form.plural for form in forms], dtype=bool),
        form_other=other_numbers(vocabulary.terms, forms),
        term_pack=_numbers(term.pack for term in vocabulary.terms),
        term_assembly=_numbers(term.part_of for term in vocabulary.terms),
        term_talk=usualness([form.words for form in forms], form_term, len(vocabulary.terms), talk),
        talk=talk,
        contexts=shipped_contexts(),
        form_fit=form_vectors(shipped_contexts(), strip, starts, ends),
        rows=rows,
        row_form=row_form,
        row_mass=best_support(rows).astype(np.float64),
        indexes=tuple(SoundIndex(rows, how) for how in (CONFUSED, MANNERS, CONSONANTS)),
        remainders=(first_index, last_index),
        remainder_rows=(first_rows, last_rows),
        word_ids=word_ids,
        word_stems=_numbers(word.removesuffix("s") for word in word_ids),
        exact=exact,
        exact_words=frozenset(chain.from_iterable(exact)),
        joined=joined,
        heard={stretch: tuple(found) for stretch, found in met.items()},
        words_heard=words_heard,
        pieces=pieces,
        met_firsts=frozenset(stretch.split(" ")[0] for stretch in (*met, *decisions.accepted)),
        decisions=decisions,
    )
