"""Every term that the text alone holds possible anywhere, with its odds: what the sound then chooses from."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pipeline.correct import Matcher
from pipeline.correct.decide import options
from pipeline.correct.judge import shipped_weights
from pipeline.correct.rewrite import written_form
from pipeline.correct.search import find_pairs
from pipeline.correct.windows import prepare
from pipeline.records import Word

_LEAST_ODDS = 0.004


@dataclass(frozen=True, slots=True)
class TermOption:
    """`written` may stand for words `start_word`..`end_word`. `odds`: from the text, against no error."""

    start_word: int
    end_word: int
    written: str
    term: str
    odds: float

    def overlaps(self, start_word: int, end_word: int) -> bool:
        """True where the option shares a word with the stretch."""
        return self.start_word < end_word and start_word < self.end_word


def term_options(words: Sequence[Word], matcher: Matcher) -> list[TermOption]:
    """All options worth a thought, the likeliest first."""
    if not words or not matcher.forms:
        return []
    heard = prepare(words, matcher)
    found = []
    for option in options(heard, find_pairs(heard, matcher), matcher, shipped_weights()):
        if option.odds < _LEAST_ODDS:
            break
        stretch = words[option.start : option.end]
        written = written_form(stretch, matcher.forms[option.form].text, heard.possessive[option.end - 1])
        name = matcher.terms[option.term].name
        found.append(TermOption(option.start, option.end, written, name, option.odds))
    return found
