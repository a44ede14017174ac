"""Every term that the text alone holds possible anywhere, with its odds: what the sound then chooses from."""

from __future__ import annotations

from dataclasses import dataclass

from pipeline.correct import Match
from pipeline.correct.decide import options
from pipeline.correct.rewrite import written_form

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


def term_options(matched: Match | None) -> list[TermOption]:
    """All options worth a thought, the likeliest first."""
    if matched is None:
        return []
    found = []
    for option in options(matched):
        if option.odds < _LEAST_ODDS:
            break
        stretch = matched.words[option.start : option.end]
        possessive = matched.heard.possessive[option.end - 1]
        written = written_form(stretch, matched.matcher.forms[option.form].text, possessive)
        name = matched.matcher.terms[option.term].name
        found.append(TermOption(option.start, option.end, written, name, option.odds))
    return found
