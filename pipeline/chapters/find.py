"""The chapters of one recording: utterances, evidence, division, titles."""

from __future__ import annotations

from collections.abc import Container, Sequence

from pipeline.chapters.cut import choose_starts, division_costs, usual_length_ms
from pipeline.chapters.evidence import find_topics
from pipeline.chapters.terms import TermMention, find_terms
from pipeline.chapters.titles import find_titles
from pipeline.chapters.units import Utterance, cut_utterances
from pipeline.records import Chapter, Event, Finding, Spelling, Token, Word
from pipeline.vocabulary import Vocabulary

LEAST_CHAPTERS = 3
# More chapters than this in one recording nobody can read through.
_MOST_CHAPTERS = 60


def find_starts(
    tokens: Sequence[Token],
    mentions: Sequence[TermMention],
    duration_ms: int,
    count: int | None = None,
    target_length_ms: int | None = None,
    segment_starts: Sequence[int] = (),
) -> list[int]:
    """First tokens of the chapters. `count` fixes their number, `target_length_ms` their usual length."""
    units: list[Utterance] = cut_utterances(tokens, segment_starts)
    if not units:
        return []
    duration_ms = max(duration_ms, units[-1].end_ms)
    topics = find_topics(units, tokens, mentions)
    target_ms = duration_ms / count if count else float(target_length_ms or usual_length_ms(duration_ms))
    cost = division_costs(units, topics, duration_ms, target_ms)
    least, most = LEAST_CHAPTERS, min(_MOST_CHAPTERS, max(LEAST_CHAPTERS, int(3 * duration_ms / target_ms)))
    if count:
        least = most = count
    return [units[number].start for number in choose_starts(cost, least, most)]


def find_chapters(
    words: Sequence[Word],
    tokens: Sequence[Token],
    events: Sequence[Event],
    vocabulary: Vocabulary,
    duration_ms: int,
    count: int | None = None,
    target_length_ms: int | None = None,
    segment_starts: Sequence[int] = (),
    spelling: Spelling = "british",
    assemblies: Container[str] | None = None,
) -> list[Chapter]:
    """Chapters in order of time, the first at 0, none shorter than 10 s, at least three where there is time for them.

    `tokens` is the corrected text of `words`. `count` asks for a number of chapters, `target_length_ms` for a usual
    length; fewer come where the talk has no more places to cut. `assemblies` are those that the machine may have: no
    other heads a title. No words, no chapters.
    """
    if not words:
        return []
    mentions = find_terms(tokens, vocabulary)
    starts = find_starts(tokens, mentions, duration_ms, count, target_length_ms, segment_starts)
    titles = find_titles(words, tokens, starts, mentions, events, vocabulary, spelling, assemblies)
    begins = [0, *(tokens[start].start_ms for start in starts[1:])]
    return [Chapter(start_ms, title) for start_ms, title in zip(begins, titles, strict=True)]


def _too_few(number: int) -> str:
    told = {0: "no chapters", 1: "one chapter only"}.get(number, f"only {number} chapters")
    return f"{told}, and video sites show none where there are fewer than {LEAST_CHAPTERS}"


def chapter_findings(chapters: Sequence[Chapter], count: int | None = None) -> list[Finding]:
    """Says where there are fewer chapters than asked for, or than the three that a player wants to show any."""
    wanted = count or LEAST_CHAPTERS
    if len(chapters) >= wanted:
        return []
    number = f"only {len(chapters)} of {wanted} chapters" if count else _too_few(len(chapters))
    message = f"{number}: a chapter lasts at least 10 s and begins with a sentence; the recording has no room for more"
    return [Finding("note", "few-chapters", message, 0)]
