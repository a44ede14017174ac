"""What waits for a person: loose ends and doubtful words, each said once."""

from __future__ import annotations

from dataclasses import dataclass

from pipeline.correct.asks import is_worth_asking, neighbours, questions
from pipeline.records import BuildLog, Correction, LooseEnd
from pipeline.render.quotes import Quote, Quotes
from pipeline.render.sentences import LOOSE_ENDS, loose_end_title
from pipeline.render.spelling import Names, in_spelling
from pipeline.times import ms_to_clock

_WORDS_BEFORE, _WORDS_AFTER = 4, 3
_ANSWER = "If so: "  # what stands before the command in a finding that asks


@dataclass(frozen=True, slots=True)
class OpenEnd:
    """A loose end in words, with those that prove it. `closing` says when and where it was closed, "" while open."""

    loose: LooseEnd
    quote: Quote
    number: int
    title: str
    meaning: str
    closing: str

    @property
    def clock(self) -> str:
        """When it was said."""
        return ms_to_clock(self.loose.start_ms)


@dataclass(frozen=True, slots=True)
class DoubtfulWords:
    """One question about words heard: the first correction that asks it, and every place where it comes up.

    `before` and `after` are the words around the first: nobody can judge a word without its neighbours. `answer` is the
    command that teaches the program the answer, "" if none is known.
    """

    corr: Correction
    before: str
    after: str
    places: tuple[tuple[Correction, str], ...]
    answer: str

    @property
    def denial(self) -> str:
        """The command that teaches that the words were heard right, so that it is never asked again."""
        return self.answer.replace(" accept ", " reject ", 1)

    @property
    def heard(self) -> str:
        """The words heard, without the comma or full stop that followed them."""
        return self.corr.heard.rstrip(",.;:")

    @property
    def written(self) -> str:
        """What they may stand for, likewise."""
        return self.corr.written.rstrip(",.;:")


def open_end(loose: LooseEnd, number: int, log: BuildLog, quotes: Quotes, names: Names) -> OpenEnd:
    """A loose end in words; `number` is its place in the log, from 1."""
    closing = ""
    if loose.closed_by:
        recording, _, _ = loose.closed_by.rpartition("#")
        when = f" at {ms_to_clock(loose.closed_ms)}" if loose.closed_ms is not None else ""
        closing = f"Closed{when}" + (f" in {recording}" if recording else "")
    meaning = in_spelling(LOOSE_ENDS.get(loose.kind, loose.kind.replace("_", " ").capitalize()), names.spelling)
    if loose.doubt:
        meaning += f" (heard “{loose.doubt}”)"
    quote, title = quotes.of(loose.start_word, loose.end_word), loose_end_title(loose, log, names)
    return OpenEnd(loose, quote, number, title, meaning, closing)


def doubtful_words(log: BuildLog) -> tuple[DoubtfulWords, ...]:
    """The same doubt about the same words is one question, however often it comes up; faint doubts are none."""
    answers = {(f.start_ms, f.message): f.message.partition(_ANSWER)[2] for f in log.findings if f.rule == "ask"}
    doubts = []
    for corrs in filter(is_worth_asking, questions(log.corrections).values()):
        first_ms = log.words[corrs[0].start_word].start_ms
        own = (text for (start_ms, asked), text in answers.items() if start_ms == first_ms and corrs[0].heard in asked)
        clocks = tuple((corr, ms_to_clock(log.words[corr.start_word].start_ms)) for corr in corrs)
        before, after = neighbours(corrs[0], log.words, _WORDS_BEFORE, _WORDS_AFTER)
        doubts.append(DoubtfulWords(corrs[0], before, after, clocks, next(own, "")))
    return tuple(doubts)
