"""Which work is told is read from the likelier wording of doubtful words; what was heard stays the evidence.

A correction that is asked is not made: the text shows the words as heard. But "a new split pen" tells of a split pin
fitted, if that is more likely than not, and an entry that says so and shows its doubt is of more use than none.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TypeVar

from pipeline.correct.asks import is_sure, only_ending, swallows_grammar
from pipeline.numbers.words import says_number
from pipeline.records import Correction, Event, LooseEnd, Note, PartMention, Word
from pipeline.tokens import bare, written_tokens
from pipeline.vocabulary import regular_plural

# What is asked is read as the term from this probability on.
LIKELY = 0.5
# So many words on, a part is still named by the doubtful words.
_HOLDS = 120

Told = TypeVar("Told", Event, PartMention, Note, LooseEnd)


def likely(words: Sequence[Word], corrections: Sequence[Correction]) -> list[Correction]:
    """The corrections as they are read: those that are likelier than what was heard are taken as made.

    Figures are never read so: a number in the words heard or meant, or right before them, leaves them as they are. In a
    text without a recogniser's probabilities nothing tells which words are doubtful: no word of grammar is read away.
    """
    sure = is_sure(words)
    return [replace(corr, decision="auto") if _is_likely(words, corr, sure) else corr for corr in corrections]


def _is_likely(words: Sequence[Word], corr: Correction, sure: bool) -> bool:
    if corr.decision != "ask" or corr.score < LIKELY or (sure and swallows_grammar(corr)):
        return False
    before = words[corr.start_word - 1].text if corr.start_word else ""
    return not _has_number(f"{before} {corr.heard} {corr.written}")


def _has_number(text: str) -> bool:
    return any(says_number(bare(word)) for word in text.split())


def _names_itself(record: Told) -> bool:
    """True where the record's own words name its part: no doubt about other words can touch it."""
    last = bare(record.part.split()[-1]) if record.part else ""
    said = [bare(word) for word in record.said.split()]
    return bool(last) and (last in said or regular_plural(last) in said)


class Doubts:
    """The doubtful words of one recording that were read as terms."""

    def __init__(self, words: Sequence[Word], corrections: Sequence[Correction]) -> None:
        sure = is_sure(words)
        asked = (c for c in corrections if _is_likely(words, c, sure) and not only_ending(c.heard, c.written))
        self._asked = sorted(asked, key=lambda corr: corr.start_word)
        self._tokens = written_tokens(words, corrections)

    def shown(self, records: Sequence[Told]) -> list[Told]:
        """The records with the words as heard, and with their `doubt`. Of a list each part has its own."""
        parts = {record.part for record in records}
        return [self._shown(record, parts - {record.part}) for record in records]

    def _shown(self, record: Told, others: set[str]) -> Told:
        own = [c for c in self._asked if c.start_word < record.end_word and record.start_word < c.end_word]
        named = [c for c in self._asked if c.term == record.part and 0 <= record.start_word - c.end_word <= _HOLDS]
        if _names_itself(record):
            named = []
        doubts = [corr for corr in own if corr.term not in others] or named[-1:]
        said = record.said
        if own:
            inside = (token for token in self._tokens if record.start_word <= token.start_word < record.end_word)
            said = " ".join(token.text for token in inside)
        heard = dict.fromkeys(" ".join(map(bare, corr.heard.split())) for corr in doubts)
        return replace(record, said=said, doubt=", ".join(heard))
