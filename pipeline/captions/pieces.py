"""The corrected text as pieces that can stand on a line, and what it costs to break between two of them."""

from __future__ import annotations

import itertools
import tomllib
import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cache

from pipeline.records import Correction, Quantity, Token, Word
from pipeline.resources import resource_folder
from pipeline.tokens import bare, ends_sentence, written_tokens

LINE_CHARACTERS = 37
# Nobody speaks more than a thousand words a minute: words dated closer than this have no believable time.
_LEAST_WORD_MS = 60
# Cost that no choice of other breaks outweighs: for what must not be broken at all unless nothing else fits.
NEVER = 10_000.0
PHRASE = 5.0
_SENTENCE, _CLAUSE, _PLAIN, _HELD, _TERM, _FIGURE = 0.0, 2.0, 9.0, 22.0, 24.0, 30.0
_CROWDED = 500.0
_PAUSE_MS, _LONG_PAUSE_MS = 250, 600


@dataclass(frozen=True, slots=True)
class Piece:
    """A word of the corrected text, or part of one that is longer than a line. `break_cost`: of breaking after it."""

    text: str
    start_ms: int
    end_ms: int
    start_word: int
    end_word: int
    break_cost: float = _PLAIN


@dataclass(frozen=True, slots=True)
class _Phrases:
    holds_next: frozenset[str]
    opens_phrase: frozenset[str]
    figures: frozenset[str]
    particles: frozenset[str]
    sides: frozenset[str]


@cache
def _phrases() -> _Phrases:
    data = tomllib.loads((resource_folder("vocab") / "captions" / "phrases.toml").read_text(encoding="utf-8"))
    names = ("holds_next", "opens_phrase", "figures", "particles", "sides")
    return _Phrases(*(frozenset(data[name]) for name in names))


def visible(text: str) -> str:
    """The text without control and direction characters, which could turn a caption around."""
    return " ".join("".join(c for c in text if c.isspace() or unicodedata.category(c) not in ("Cc", "Cf")).split())


def _chunks(text: str) -> list[str]:
    return [text[at : at + LINE_CHARACTERS] for at in range(0, len(text), LINE_CHARACTERS)]


def _is_figure(key: str) -> bool:
    return key in _phrases().figures or key[:1].isdigit()


def _is_particle(token: Token, following: Token | None) -> bool:
    """The "on" of "the new one's on and done up" and the "in" of "tapped in with a drift" open nothing."""
    phrases = _phrases()
    if bare(token.text) not in phrases.particles:
        return False
    if following is None or token.text.endswith((".", ",", ";", ":", "!", "?")):
        return True
    return bare(following.text) in phrases.opens_phrase


def _break_cost(token: Token, following: Token, then: Token | None, opens_segment: bool) -> float:
    """Of breaking between two tokens; `then` is the one after them."""
    phrases = _phrases()
    key, next_key = bare(token.text), bare(following.text)
    pause_ms = following.start_ms - token.end_ms
    if ends_sentence(token.text):
        return _SENTENCE
    if token.text.endswith((",", ";", ":", "–", "—", "-")):
        return _CLAUSE if pause_ms < _LONG_PAUSE_MS else _SENTENCE
    if _is_figure(key):
        cost = _FIGURE
    elif _is_particle(following, then):
        cost = _HELD
    elif _is_particle(token, following):
        cost = PHRASE
    elif key in phrases.holds_next or (
        key in phrases.sides and next_key not in phrases.holds_next and next_key not in phrases.opens_phrase
    ):
        cost = _HELD
    elif next_key in phrases.opens_phrase:
        cost = PHRASE
    else:
        cost = _PLAIN
    if pause_ms >= _LONG_PAUSE_MS:
        return cost * 0.2
    if pause_ms >= _PAUSE_MS or opens_segment:
        return cost * 0.5
    return cost


def _groups(
    quantities: Iterable[Quantity], corrections: Iterable[Correction], keep_together: Iterable[tuple[int, int]]
) -> tuple[set[int], set[int]]:
    """Word indexes after which a figure, or a term, would be broken."""
    figure = {index for qty in quantities for index in range(qty.start_word, qty.end_word - 1)}
    spans = [(corr.start_word, corr.end_word) for corr in corrections if corr.decision == "auto"]
    term = {index for start, end in (*spans, *keep_together) for index in range(start, end - 1)}
    return figure, term


def find_pieces(
    words: Sequence[Word],
    corrections: Sequence[Correction],
    quantities: Sequence[Quantity],
    segment_starts: Sequence[int],
    keep_together: Sequence[tuple[int, int]],
) -> list[Piece]:
    """Pieces in order, with believable times: starts rise, and no piece ends after the next begins."""
    tokens = [token for token in written_tokens(words, corrections) if visible(token.text)]
    figure, term = _groups(quantities, corrections, keep_together)
    segments = set(segment_starts)
    pieces: list[Piece] = []
    for place, token in enumerate(tokens):
        cost = _SENTENCE
        if place + 1 < len(tokens):
            following = tokens[place + 1]
            then = tokens[place + 2] if place + 2 < len(tokens) else None
            cost = _break_cost(token, following, then, following.start_word in segments)
            inside = following.start_word < token.end_word  # both are words of one correction
            if (token.end_word - 1) in figure or (inside and token.start_word in figure):
                cost = NEVER
            elif inside or (token.end_word - 1) in term:
                cost = max(cost, _TERM)
        chunks = _chunks(visible(token.text))
        for number, chunk in enumerate(chunks):
            span = token.end_ms - token.start_ms
            start_ms = token.start_ms + span * number // len(chunks)
            end_ms = token.start_ms + span * (number + 1) // len(chunks)
            last = number == len(chunks) - 1
            pieces.append(Piece(chunk, start_ms, end_ms, token.start_word, token.end_word, cost if last else _HELD))
    return _believable(pieces)


def _believable(pieces: Sequence[Piece]) -> list[Piece]:
    """Words dated too close together begin earlier: no caption may come after its speech, and none ends among them."""
    starts = [piece.start_ms for piece in pieces]
    for at in range(len(starts) - 2, -1, -1):
        starts[at] = min(starts[at], starts[at + 1] - _LEAST_WORD_MS)
    timed: list[Piece] = []
    earliest = 0
    for at, piece in enumerate(pieces):
        start_ms = max(starts[at], earliest)
        earliest = start_ms + _LEAST_WORD_MS
        # the next word follows too soon, or begins so early now that it cuts this one off
        crowded = at + 1 < len(pieces) and (
            pieces[at + 1].start_ms - piece.start_ms < _LEAST_WORD_MS or starts[at + 1] < piece.end_ms
        )
        cost = piece.break_cost + _CROWDED if crowded else piece.break_cost
        timed.append(replace(piece, start_ms=start_ms, end_ms=max(piece.end_ms, earliest), break_cost=cost))
    return [
        piece
        if following is None
        else replace(piece, end_ms=max(piece.start_ms, min(piece.end_ms, following.start_ms)))
        for piece, following in itertools.zip_longest(timed, timed[1:])
    ]
