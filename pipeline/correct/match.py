"""Words held against a vocabulary: looked up, paired and judged once, for all who ask what may have been said."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from pipeline.correct.features import Pairs
from pipeline.correct.judge import Weights, shipped_weights
from pipeline.correct.matcher import Matcher
from pipeline.correct.search import find_pairs
from pipeline.correct.strip import Floats
from pipeline.correct.windows import Heard, prepare
from pipeline.records import Word


@dataclass(frozen=True)
class Match:
    """Pairs of heard words and forms of the matcher. `log_odds`, `raised`: see `Weights.log_odds`."""

    words: Sequence[Word]
    matcher: Matcher
    heard: Heard
    pairs: Pairs
    log_odds: Floats
    raised: Floats


def match(words: Sequence[Word], matcher: Matcher, breaks: Iterable[int] = ()) -> Match | None:
    """What may have been said for the words; None where there are no words or no terms. `breaks`: see `correct`."""
    if not words or not matcher.forms:
        return None
    heard = prepare(words, matcher, breaks)
    return judged(words, matcher, heard, find_pairs(heard, matcher), shipped_weights())


def judged(words: Sequence[Word], matcher: Matcher, heard: Heard, pairs: Pairs, weights: Weights) -> Match:
    """The pairs with their odds."""
    return Match(words, matcher, heard, pairs, *weights.log_odds(heard, pairs, matcher))
