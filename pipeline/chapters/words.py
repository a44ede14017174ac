"""The data that tell what a stretch of talk is about and where it turns: read once, from vocab/."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache

from pipeline.resources import resource_folder
from pipeline.tokens import bare


@dataclass(frozen=True, slots=True)
class TopicWords:
    """Words without a topic (`stop`, `measures`), too general for one (`general`), and words of action (`verbs`).

    `general_assemblies` are keys of assemblies that are no place on a machine; `determiners` stand before nouns and
    `doers` before verbs; an opening word is no turn after `no_turn_after` or before `no_turn_before`; `gerunds` name
    actions in titles.
    """

    stop: frozenset[str]
    measures: frozenset[str]
    general: frozenset[str]
    verbs: frozenset[str]
    general_assemblies: frozenset[str]
    determiners: frozenset[str]
    doers: frozenset[str]
    no_turn_after: frozenset[str]
    no_turn_before: frozenset[str]
    gerunds: dict[str, str]


@dataclass(frozen=True, slots=True)
class Turns:
    """Spoken turns, split into words, with their weight."""

    openers: dict[tuple[str, ...], float]
    phrases: dict[tuple[str, ...], float]
    endings: dict[tuple[str, ...], float]
    closers: dict[tuple[str, ...], float]
    farewells: dict[tuple[str, ...], float]
    introductions: dict[tuple[str, ...], float]
    remainders: dict[tuple[str, ...], float]


@cache
def topic_words() -> TopicWords:
    """The lists of vocab/chapters/words.toml."""
    data = tomllib.loads((resource_folder("vocab") / "chapters" / "words.toml").read_text(encoding="utf-8"))
    lists = {name: frozenset(words) for name, words in data.items() if isinstance(words, list)}
    return TopicWords(**lists, gerunds=data["gerunds"])


@cache
def turns() -> Turns:
    """The tables of vocab/events/turns.toml."""
    data = tomllib.loads((resource_folder("vocab") / "events" / "turns.toml").read_text(encoding="utf-8"))
    names = ("openers", "phrases", "endings", "closers", "farewells", "introductions", "remainders")
    return Turns(*({tuple(said.split()): float(weight) for said, weight in data[name].items()} for name in names))


def stem(word: str) -> str:
    """A word without its commonest endings, so that "brakes" and "brake" count as one.

    >>> [stem(word) for word in ("brakes", "bushes", "bearings", "glass", "cleaned", "fitting")]
    ['brake', 'bush', 'bear', 'glass', 'clean', 'fit']
    """
    for ending in ("ings", "ing", "ed"):
        if word.endswith(ending) and len(word) >= len(ending) + 3:
            root = word[: -len(ending)]
            return root[:-1] if len(root) > 3 and root[-1] == root[-2] and root[-1] not in "ls" else root
    if word.endswith("ies") and len(word) > 4:
        return word[:-3] + "y"
    if word.endswith(("shes", "ches", "sses", "xes")):
        return word[:-2]
    if word.endswith("s") and not word.endswith(("ss", "us", "is")) and len(word) > 3:
        return word[:-1]
    return word


def has_topic(word: str) -> bool:
    """True for a bare word that may tell what the talk is about: no function word, figure or unit."""
    words = topic_words()
    plain = bare(word)
    return len(plain) > 2 and plain not in words.stop and plain not in words.measures and not plain[0].isdigit()
