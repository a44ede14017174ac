"""Words + vocabulary -> corrections: garbled terms put right, asked or left, each with its reason."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from pathlib import Path

from pipeline.correct.candidates import Candidate, candidates
from pipeline.correct.decide import choose
from pipeline.correct.judge import shipped_weights
from pipeline.correct.matcher import Decisions, Matcher, build_matcher
from pipeline.correct.plurals import with_plurals
from pipeline.correct.search import find_pairs
from pipeline.correct.verbs import with_verbs
from pipeline.correct.windows import prepare
from pipeline.records import Correction, Word
from pipeline.vocabulary import UserWords, load_vocabulary, shipped_hearings

__all__ = ["Candidate", "Decisions", "Matcher", "build_matcher", "candidates", "correct", "load_matcher"]


def correct(words: Sequence[Word], matcher: Matcher, breaks: Iterable[int] = ()) -> list[Correction]:
    """Corrections of `words` in order of `start_word`, none overlapping another. The words stay as they are.

    `breaks`: indexes of words that open something new (a line of a file); no correction reaches over one.
    """
    if not words or not matcher.forms:
        return []
    heard = prepare(words, matcher, breaks)
    found = choose(words, heard, matcher, find_pairs(heard, matcher), shipped_weights())
    found = with_plurals(words, heard, matcher, found)
    return with_verbs(words, found, matcher.decisions.rejected) if matcher.talk else found


def load_matcher(packs: Sequence[str] = (), extra: Iterable[Path] = (), user: UserWords | None = None) -> Matcher:
    """The matcher over shipped packs (all without `packs`), `extra` files, mined hearings and the user's decisions.

    Raises:
        WitnessmarkError: no such pack, or a file cannot be read.
    """
    user = user or UserWords.load()
    return build_matcher(load_vocabulary(packs, extra), shipped_hearings(), Decisions.of(user))
