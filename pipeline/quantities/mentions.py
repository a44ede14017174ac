"""Where the vocabulary's terms stand in a run of words: longest first, plurals too."""

from __future__ import annotations

from collections.abc import Container, Sequence
from dataclasses import dataclass

from pipeline.tokens import bare
from pipeline.vocabulary import Term, Vocabulary, regular_plural


@dataclass(frozen=True, slots=True)
class Mention:
    """A term over words `start` to `end` (half-open)."""

    term: Term
    start: int
    end: int


class _Index:
    """Terms by the words of each spelling, under the first word; the last vocabulary's index is kept."""

    vocabulary: Vocabulary | None = None
    by_first: dict[str, dict[tuple[str, ...], Term]]
    naming: frozenset[str]
    longest: dict[str, int]


_index = _Index()


def find_mentions(words: Sequence[str], vocabulary: Vocabulary, ends: Container[int] = ()) -> list[Mention]:
    """Mentions of terms that do not overlap, in order. `words` are bare; no term runs over a word in `ends`."""
    if _index.vocabulary is not vocabulary:
        _build(vocabulary)
    mentions: list[Mention] = []
    place = 0
    while place < len(words):
        terms = _index.by_first.get(words[place])
        if terms:
            for length in range(_index.longest[words[place]], 0, -1):
                term = terms.get(tuple(words[place : place + length]))
                over = any(at in ends for at in range(place, place + length - 1))
                if term is not None and place + length <= len(words) and not over:
                    mentions.append(Mention(term, place, place + length))
                    place += length - 1
                    break
        place += 1
    return mentions


def named(words: Sequence[str], vocabulary: Vocabulary) -> Term | None:
    """The term that the words spell exactly, or None."""
    if _index.vocabulary is not vocabulary:
        _build(vocabulary)
    return _index.by_first.get(words[0], {}).get(tuple(words))


def name_words(vocabulary: Vocabulary) -> frozenset[str]:
    """Words that a part, a fastener or a fluid is named with."""
    if _index.vocabulary is not vocabulary:
        _build(vocabulary)
    return _index.naming


def _build(vocabulary: Vocabulary) -> None:
    by_first: dict[str, dict[tuple[str, ...], Term]] = {}
    for term in vocabulary.terms:
        plurals = [term.plural, *(regular_plural(spelling) for spelling in term.spellings[1:])]
        for spelling in (*term.spellings, *plurals):
            words = tuple(bare(word) for word in spelling.split())
            if words:
                by_first.setdefault(words[0], {}).setdefault(words, term)
    _index.by_first = by_first
    kinds = ("part", "fastener", "fluid")
    _index.naming = frozenset(
        word for names in by_first.values() for words, term in names.items() if term.kind in kinds for word in words
    )
    _index.longest = {first: max(map(len, terms)) for first, terms in by_first.items()}
    _index.vocabulary = vocabulary
