"""Faults of terms that would make correction do the wrong thing, all reported at once."""

from __future__ import annotations

from collections.abc import Sequence

from pipeline.vocabulary.terms import Term

MOST_WORDS = 5


def check_terms(terms: Sequence[Term]) -> list[str]:
    """One sentence a fault."""
    faults = []
    owner: dict[str, Term] = {}
    for term in terms:
        place = f"{term.pack}: {term.name}"
        for spelling in term.spellings:
            if spelling != " ".join(spelling.split()) or not spelling:
                faults.append(f"{place}: “{spelling}” has stray white space")
            if len(spelling.split()) > MOST_WORDS:
                faults.append(f"{place}: “{spelling}” has more than {MOST_WORDS} words")
            key = spelling.lower().replace("-", " ")
            other = owner.setdefault(key, term)
            if other is not term:
                faults.append(f"{place}: “{spelling}” is also {other.name} in {other.pack}")
    return faults
