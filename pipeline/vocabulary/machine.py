"""The machine's own name as words to listen for: the owner of a Penhallow 175 says "the Penhallow" all day."""

from __future__ import annotations

import dataclasses
import re

from pipeline.vocabulary.terms import Term, Vocabulary, regular_plural

_NAME = re.compile(r"(?<![\w'’-])[A-Z][a-zA-Z]{3,}(?![\w'’-])")


def with_machine(vocabulary: Vocabulary, machine: str) -> Vocabulary:
    """The vocabulary with the capitalised words of the machine's name as terms of kind "name".

    A word that is part of a term already is left to that term.

    >>> from pipeline.vocabulary.terms import Vocabulary
    >>> [term.name for term in with_machine(Vocabulary((), {}, {}), "Penhallow 175 (frame B1201), red").terms]
    ['Penhallow']
    """
    said = dict.fromkeys(_NAME.findall(machine))
    if not said:  # nothing to look up: most runs name no machine
        return vocabulary
    known = {word for term in vocabulary.terms for spelling in term.spellings for word in spelling.lower().split()}
    names = [name for name in said if name.lower() not in known]
    terms = [Term(name, (name,), "", regular_plural(name), "name", "", "", "machine") for name in names]
    return dataclasses.replace(vocabulary, terms=(*vocabulary.terms, *terms))
