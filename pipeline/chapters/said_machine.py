"""The machine as its owner introduces it: "this is the Tamsin 90 outboard", "still on the mill, the Brannock 2V"."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

from pipeline.correct.language import english
from pipeline.numbers import read_number
from pipeline.tokens import bare, ends_sentence
from pipeline.vocabulary import Term, Vocabulary, regular_plural

# An introduction is no longer; a name has so many words before that of its sort ("the old Brannock pillar drill").
_INTRODUCTION_WORDS, _LONGEST = 70, 9
# More common words than this are no maker's name, whatever capital they have.
_COMMON = 28
_DETERMINERS = frozenset(("the", "a", "an", "my", "our", "his", "her", "their", "this", "that", "your", "another"))
# What is only compared, what something else came from or is in: "like a lathe", "off a tractor", "in a van".
_NOT_THIS = frozenset(("off", "from", "like", "than", "in", "into", "onto", "any", "every", "if", "old", "different"))
# "twin" and "mill" are sorts only where the machine is presented, so many words before: "it's the single".
_PRESENTS, _NEAR = frozenset(("is", "it's", "one's", "here's", "today's", "that's", "still", "back")), 3
_CLOSES_A_PHRASE = ",.;:!?"
_MODEL = re.compile(r"\d{1,4}(?:[A-Za-z]{1,2}|-inch)?|[A-Z]{1,3}\d{1,4}[A-Za-z]?|[A-HJ-Z]")
_TYPES = ("type", "mark", "mk", "model", "series")


@dataclass(frozen=True, slots=True)
class SaidMachine:
    """`name` as it was said, with its maker, "" where only its sort was told. `words`: those that tell the sort."""

    name: str = ""
    words: tuple[str, ...] = ()


def said_machine(words: Sequence[str], vocabulary: Vocabulary) -> SaidMachine:
    """What the first words of a recording call the machine that it is about.

    `words` are as they were said, with their capitals and punctuation.

    >>> from pipeline.vocabulary import load_vocabulary
    >>> said_machine("Right, this is the Tamsin 90 outboard, and today it's the leg.".split(), load_vocabulary())
    SaidMachine(name='Tamsin 90 outboard', words=('outboard',))
    """
    words = words[:_INTRODUCTION_WORDS]
    keys = [bare(word) for word in words]
    sorts = _sort_words(vocabulary)
    name = next((found for at in range(len(words)) if (found := _name(words, keys, at, vocabulary))[1]), (0, 0))
    sure = {word for machine in vocabulary.machines for word in machine.said}
    told = []
    for start, end, wording in _sorts_at(keys, sorts):
        presented = wording in sure or _PRESENTS.intersection(keys[max(0, start - _NEAR) : start])
        one = keys[start:end] == wording.split()  # "the trucks are missing": a machine is introduced as one
        if name[0] <= start < name[1] or (one and presented and _is_this(words, keys, start, end)):
            told.append(wording)
    return SaidMachine(_written(words, keys, *name), tuple(dict.fromkeys(told)))


def _written(words: Sequence[str], keys: Sequence[str], start: int, end: int) -> str:
    """The name with its number in figures: "Tamsin 90"."""
    written, at = [], start
    while at < end:
        number = read_number(keys[:end], at) if at > start else None
        written.append(f"{float(number.exact):g}" if number and number.spoken else words[at].strip(_CLOSES_A_PHRASE))
        at = number.end if number and number.spoken else at + 1
    return " ".join(written)


@lru_cache(maxsize=4)
def _sorts(machines: tuple[tuple[str, ...], ...]) -> dict[tuple[str, ...], str]:
    return {tuple(one.split()): word for words in machines for word in words for one in (word, regular_plural(word))}


@lru_cache(maxsize=4)
def _words_of(terms: tuple[Term, ...]) -> frozenset[str]:
    names = {name.lower() for term in terms if term.kind != "name" for name in term.spellings}
    return frozenset(word for name in names for one in (name, regular_plural(name)) for word in one.split())


def _sort_words(vocabulary: Vocabulary) -> dict[tuple[str, ...], str]:
    """The words by which sorts of machine go, split, with how the vocabulary has them."""
    return _sorts(tuple((*machine.said, *machine.named) for machine in vocabulary.machines))


def _sorts_at(keys: Sequence[str], sorts: dict[tuple[str, ...], str]) -> Iterator[tuple[int, int, str]]:
    """Where sorts are named, and by which of the vocabulary's words; the longest first."""
    at = 0
    while at < len(keys):
        length = _sort_length(keys, at, sorts)
        if length:
            yield at, at + length, sorts[tuple(keys[at : at + length])]
        at += length or 1


def _sort_length(keys: Sequence[str], at: int, sorts: dict[tuple[str, ...], str]) -> int:
    return next((n for n in (3, 2, 1) if at + n <= len(keys) and tuple(keys[at : at + n]) in sorts), 0)


def _is_this(words: Sequence[str], keys: Sequence[str], start: int, end: int) -> bool:
    """True where the words from `start` to `end` tell what is worked on, and nothing that it only is compared with."""
    if words[end - 1][-1:] not in _CLOSES_A_PHRASE and end < len(keys) and not _goes_on(keys[end]):
        return False
    first = start
    while first and start - first < _LONGEST and words[first - 1][-1:] not in _CLOSES_A_PHRASE:
        if keys[first] in _DETERMINERS:
            break
        first -= 1
    before = keys[first - 1] if first and words[first - 1][-1:] not in ".;:!?" else ""
    return not _NOT_THIS.intersection((before, keys[first])) and "different" not in keys[first:start]


def _goes_on(word: str) -> bool:
    """A word behind the name of a thing that does not make it the name of another: "the lathe and", "a moped that"."""
    return english().frequency(word) > 50 and word not in ("part", "parts", "side", "end", "engine", "battery", "wheel")


def _name(words: Sequence[str], keys: Sequence[str], at: int, vocabulary: Vocabulary) -> tuple[int, int]:
    """Where a maker's name with its model or sort begins and ends, (0, 0) where none begins at `at`."""
    word, sorts = words[at], _sort_words(vocabulary)
    if not (word[:1].isupper() and word[1:2].islower() and word.isalpha()):
        return 0, 0
    if english().frequency(keys[at]) > _COMMON or (keys[at],) in sorts or keys[at] in _words_of(vocabulary.terms):
        return 0, 0
    opens = at == 0 or ends_sentence(words[at - 1])
    if not opens and not (keys[at - 1] in _DETERMINERS or keys[at - 1] in ("old", "little")):
        return 0, 0
    if not opens and at > 1 and keys[at - 2] in _NOT_THIS:
        return 0, 0
    end = _model(words, keys, at + 1)
    modelled = end > at + 1
    while end < len(keys) and words[end - 1][-1:] not in _CLOSES_A_PHRASE:
        length = _sort_length(keys, end, sorts)
        if not length:
            break
        end += length
        if words[end - 1][-1:] not in _CLOSES_A_PHRASE and end < len(keys) and not _goes_on(keys[end]):
            return 0, 0
        return at, end
    return (at, end) if modelled else (0, 0)


def _model(words: Sequence[str], keys: Sequence[str], at: int) -> int:
    """The end of a model's number: "350", "2V", "type D", "one seventy five"."""
    if at >= len(words) or words[at - 1][-1:] in _CLOSES_A_PHRASE:
        return at
    if keys[at] in _TYPES and at + 1 < len(words):
        return at + 2
    if _MODEL.fullmatch(words[at].strip(_CLOSES_A_PHRASE)):
        return at + 1
    ends = {spot for spot in range(at + 1, len(words)) if words[spot - 1][-1:] in _CLOSES_A_PHRASE}
    number = read_number(keys, at, ends)
    return number.end if number and number.spoken and number.exact >= 10 else at
