"""Words + vocabulary -> corrections: garbled terms put right, asked or left, each with its reason."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path

from pipeline.correct.candidates import Candidate, candidates
from pipeline.correct.decide import choose
from pipeline.correct.judge import shipped_weights
from pipeline.correct.match import Match, match
from pipeline.correct.matcher import Decisions, Matcher, build_matcher
from pipeline.correct.plurals import with_plurals
from pipeline.correct.verbs import with_verbs
from pipeline.records import Correction, Word
from pipeline.vocabulary import UserWords, load_vocabulary, shipped_hearings

__all__ = [
    "Candidate", "Decisions", "Match", "Matcher", "build_matcher", "candidates", "correct", "corrections_of",
    "load_matcher", "match",
]  # fmt: skip


def correct(words: Sequence[Word], matcher: Matcher, breaks: Iterable[int] = ()) -> list[Correction]:
    """Corrections of `words` in order of `start_word`, none overlapping another. The words stay as they are.

    `breaks`: indexes of words that open something new (a line of a file); no correction reaches over one.
    """
    return corrections_of(match(words, matcher, breaks))


def corrections_of(matched: Match | None) -> list[Correction]:
    """The corrections of words that were held against the vocabulary already; see `correct`."""
    if matched is None:
        return []
    words, matcher = matched.words, matched.matcher
    found = with_plurals(words, matched.heard, matcher, choose(matched, shipped_weights()))
    return with_verbs(words, found, matcher.decisions.rejected) if matcher.talk else found


def load_matcher(packs: Sequence[str] = (), extra: Iterable[Path] = (), user: UserWords | None = None) -> Matcher:
    """The matcher over shipped packs (all without `packs`), `extra` files, mined hearings and the user's decisions.

    Raises:
        WitnessmarkError: no such pack, or a file cannot be read.
    """
    user = user or UserWords.load()
    return build_matcher(load_vocabulary(packs, extra), shipped_hearings(), Decisions.of(user))
