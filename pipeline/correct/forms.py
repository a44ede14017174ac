"""Forms of terms: every way to write one, in one number or the other, with its bare words and how they are said."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from itertools import chain, product

import numpy as np

from pipeline.correct.channel import in_place
from pipeline.correct.pronounce import plain_letters, speak
from pipeline.correct.strip import Ints
from pipeline.tokens import bare
from pipeline.vocabulary import Term, regular_plural

_WAYS = 2
_COUNTABLE = frozenset(("part", "fastener", "tool"))


@dataclass(frozen=True, slots=True)
class Form:
    """One way to write a term: a spelling, singular or plural. `words` are bare and without accents."""

    text: str
    words: tuple[str, ...]
    term: int
    plural: bool


def heard_key(words: Iterable[str]) -> str:
    """How a stretch of heard words is named in hearings and decisions: bare, without accents, single spaces.

    >>> heard_key(["Good", "gin", "pin,"])
    'good gin pin'
    """
    return " ".join(filter(None, (plain_letters(bare(word)) for word in words)))


_bare = cache(bare)


def split_words(text: str) -> tuple[str, ...]:
    """Bare words of a stretch of text; a hyphen parts words."""
    return tuple(filter(None, map(_bare, plain_letters(text).replace("-", " ").split())))


def forms_of(terms: tuple[Term, ...]) -> tuple[Form, ...]:
    """All forms; what is written alike belongs to the term that comes first."""
    found: dict[str, Form] = {}
    for number, term in enumerate(terms):
        for spelling in term.spellings:
            variants = [(spelling, False)]
            # of a measure that has a number, as "play" has none: "I did the valve clearances"
            if term.kind in _COUNTABLE or (term.kind == "measure" and term.plural != term.name):
                variants.append((term.plural if spelling == term.name else regular_plural(spelling), True))
            for text, plural in variants:
                key = text.lower()
                if text and key not in found and (words := split_words(text)):
                    found[key] = Form(text, words, number, plural)
    return tuple(found.values())


@cache
def _ways_of_word(word: str) -> tuple[tuple[int, ...], ...]:
    return tuple(in_place(way) for way in speak(word)[:_WAYS])


def ways_to_say(words: Iterable[str]) -> list[tuple[int, ...]]:
    """Phones in their places of a stretch of words, at most two ways; none where a word cannot be said."""
    ways = [_ways_of_word(word) for word in words]
    if not ways or not all(ways):
        return []
    said = list(product(*ways)) if len(ways) <= 2 else [tuple(way[0] for way in ways)]
    return list(dict.fromkeys(tuple(chain.from_iterable(parts)) for parts in said))[:_WAYS]


def other_numbers(terms: tuple[Term, ...], forms: tuple[Form, ...]) -> Ints:
    """Form of the same spelling in the other number, -1 for none."""
    place = {form.text.lower(): number for number, form in enumerate(forms)}
    found = np.full(len(forms), -1, dtype=np.int64)
    for number, form in enumerate(forms):
        if not form.plural:
            term = terms[form.term]
            plural = term.plural if form.text == term.name else regular_plural(form.text)
            other = place.get(plural.lower(), -1)
            if other >= 0 and forms[other].plural and forms[other].term == form.term:
                found[number], found[other] = other, number
    return found
