"""Finds the vocabulary's terms in the corrected text."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from pipeline.records import Token
from pipeline.tokens import bare
from pipeline.vocabulary import Term, Vocabulary, regular_plural


@dataclass(frozen=True, slots=True)
class TermMention:
    """A term at the tokens [start, end). `wording`: what was said, in the vocabulary's spelling.

    `plain`: said under its own name, and not under a word that may as well mean something else.
    """

    term: Term
    start: int
    end: int
    wording: str
    plain: bool


@dataclass(frozen=True, slots=True)
class _Wording:
    pieces: tuple[str, ...]
    text: str
    term: Term


@lru_cache(maxsize=4)
def _index(terms: tuple[Term, ...]) -> dict[str, list[_Wording]]:
    """First word -> wordings that begin with it, longest first."""
    index: dict[str, list[_Wording]] = {}
    for term in terms:
        for text in dict.fromkeys([*term.spellings, term.plural, *map(regular_plural, term.spellings)]):
            pieces = tuple(bare(piece) for piece in text.split())
            if pieces:
                index.setdefault(pieces[0], []).append(_Wording(pieces, text, term))
    for entries in index.values():
        entries.sort(key=lambda wording: -len(wording.pieces))
    return index


def find_terms(tokens: Sequence[Token], vocabulary: Vocabulary) -> list[TermMention]:
    """Mentions in order, without overlap: from left to right, the longest wording first."""
    index = _index(vocabulary.terms)
    keys = [bare(token.text) for token in tokens]
    found: list[TermMention] = []
    at = 0
    while at < len(keys):
        for wording in index.get(keys[at], ()):
            end = at + len(wording.pieces)
            if tuple(keys[at:end]) == wording.pieces:
                own = (wording.term.name, wording.term.plural, wording.term.american)
                plain = len(wording.pieces) > 1 or wording.text in own
                found.append(TermMention(wording.term, at, end, wording.text, plain))
                at = end
                break
        else:
            at += 1
    return found


def term_spans(tokens: Sequence[Token], vocabulary: Vocabulary) -> list[tuple[int, int]]:
    """Half-open ranges of original words of every term of several words: what captions keep on one line."""
    spans = [
        (tokens[mention.start].start_word, tokens[mention.end - 1].end_word)
        for mention in find_terms(tokens, vocabulary)
    ]
    return [(start, end) for start, end in spans if end - start > 1]
