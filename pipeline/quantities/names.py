"""Words that a name can hold: nouns, and what stands in front of them; not verbs, pronouns, numbers and units."""

from __future__ import annotations

import tomllib
from collections.abc import Sequence
from functools import cache
from typing import Any

from pipeline.numbers.words import NUMBER_WORDS, POINTS
from pipeline.quantities.counts import counted_nouns, not_between
from pipeline.quantities.scan import cue_words
from pipeline.quantities.units import unit_table
from pipeline.resources import resource_folder


@cache
def _grammar() -> dict[str, Any]:
    path = resource_folder("vocab") / "events" / "grammar.toml"
    return tomllib.loads(path.read_text(encoding="utf-8"))


@cache
def _function_words() -> frozenset[str]:
    lists = (
        "determiners demonstratives possessives subjects things be have get do modals negatives adverbs prepositions "
        "conjunctions openers"
    )
    return frozenset(word for name in lists.split() for word in _grammar()[name] if " " not in word)


def is_function_word(word: str) -> bool:
    """Whether a word can stand for no thing of its own, wherever it stands: "it", "was", "about", "things"."""
    return word in _function_words()


@cache
def _closed() -> frozenset[str]:
    """Words that no name contains: function words, adverbs, adjectives, verbs, numbers, units."""
    grammar = _grammar()
    named = ("adjectives", "persons", "groups")
    words = _function_words() | {word for name in named for word in grammar[name] if " " not in word}
    forms = {form for forms in grammar["irregular"].values() for form in forms} | set(grammar["irregular"])
    verbs = {inflected for verb in grammar["other"]["verbs"] for inflected in _inflected(verb)}
    units = {first for first in unit_table().aliases if len(first) > 1}
    return frozenset(
        (words | forms | verbs | not_between() | NUMBER_WORDS | POINTS | units | cue_words("never_in_names"))
        - counted_nouns()
    )


def _inflected(verb: str) -> tuple[str, ...]:
    stem = verb.removesuffix("e")
    return verb, f"{verb}s", f"{verb}es", f"{stem}ed", f"{stem}ing", f"{verb}{verb[-1]}ed", f"{verb}{verb[-1]}ing"


@cache
def pointing() -> frozenset[str]:
    """Words behind which a noun begins: "the", "my", "that"."""
    grammar = _grammar()
    words = (*grammar["determiners"], *grammar["demonstratives"], *grammar["possessives"])
    return frozenset(words) - {"all", "no", "some"}


@cache
def _adjectives() -> frozenset[str]:
    return frozenset(word for word in _grammar()["adjectives"] if " " not in word)


def describes(word: str) -> bool:
    """Whether a word only describes the noun behind it: "whole", "rusty"."""
    return word in _adjectives()


def nameable(word: str) -> bool:
    """Whether a word can stand in a name."""
    if len(word) < 3 or not word.replace("-", "").isalpha() or word.partition("-")[0] in NUMBER_WORDS:
        return False
    if word in counted_nouns():
        return word not in cue_words("never_in_names")
    if word in cue_words("nouns_in_ing") or (word.endswith("eed") and word not in _closed()):
        return True
    return word not in _closed() and not word.endswith(("ed", "ly", "est", "ing"))


def is_verb_behind(words: Sequence[str], place: int, stops: Sequence[bool]) -> bool:
    """ "the fan cuts in", "the journal mics at 0.75": a verb behind a name, where "two cuts" would be a noun."""
    if words[place] not in cue_words("verbs_behind_names"):
        return False
    return stops[place] or words[place + 1 : place + 2] == [] or words[place + 1] in cue_words("behind_verbs")
