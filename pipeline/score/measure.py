"""Counts of what correction did, line by line and in all."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields
from typing import Any

from pipeline.correct.matcher import Matcher
from pipeline.correct.windows import stem_of
from pipeline.records import Correction, Word
from pipeline.score.align import Alignment, align, comparable
from pipeline.tokens import written_tokens

_MOST_TERM_WORDS = 6


@dataclass(frozen=True, slots=True)
class Score:
    """Counts. "Term" counts are of mentions of vocabulary terms in the reference.

    `harmed`: spoken words that were heard right and are wrong after correction; `mended`: the other way round.
    `heard_otherwise`: mentions heard in another spelling or number of the same term ("tires", "carburetor"), or with a
    verb or an owner's ending drawn to it ("the tyre's flat"), which are no garbles. `garbled`: the other mentions not
    heard right; `put_right` and `asked_right` of those. `autos`: changes made (those of spacing only are `respaced`
    instead); `autos_right`: those whose words are what was said;
    `autos_other_number`: not among those, since plural for singular or the other way round, but the right term.
    `written_terms`: mentions in the corrected text; `written_terms_right`: those that were said there.
    """

    words: int = 0
    harmed: int = 0
    mended: int = 0
    errors_before: int = 0
    errors_after: int = 0
    mentions: int = 0
    heard_right: int = 0
    heard_otherwise: int = 0
    garbled: int = 0
    put_right: int = 0
    asked_right: int = 0
    autos: int = 0
    autos_right: int = 0
    autos_other_number: int = 0
    respaced: int = 0
    asks: int = 0
    written_terms: int = 0
    written_terms_right: int = 0

    def __add__(self, other: Score) -> Score:
        return Score(*(getattr(self, f.name) + getattr(other, f.name) for f in fields(self)))


@dataclass(frozen=True, slots=True)
class LineScore:
    """One line: its counts, the three texts as compared words, and the automatic changes that are wrong."""

    number: int
    score: Score
    reference: tuple[str, ...]
    heard: tuple[str, ...]
    corrected: tuple[str, ...]
    wrong: tuple[Correction, ...] = ()


def term_mentions(words: Sequence[str], matcher: Matcher) -> list[tuple[int, int]]:
    """Half-open spans of the terms in a text, the longest at each place."""
    found = []
    start = 0
    while start < len(words):
        for end in range(min(len(words), start + _MOST_TERM_WORDS), start, -1):
            if tuple(words[start:end]) in matcher.exact:
                found.append((start, end))
                start = end - 1
                break
        start += 1
    return found


def _term(words: Sequence[str], span: tuple[int, int], matcher: Matcher) -> str:
    """Name of the term that stands at a span."""
    return matcher.terms[matcher.forms[matcher.exact[tuple(words[slice(*span)])]].term].name


def _is_matched(alignment: Alignment, start: int, end: int) -> bool:
    spots = alignment.matched[start:end]
    return all(spot >= 0 for spot in spots) and list(spots) == list(range(spots[0], spots[0] + len(spots)))


def _is_other_number(after: Alignment, said: Sequence[str], span: tuple[int, int], corrected: Sequence[str]) -> bool:
    """True where the wrong words at `span` are the term that was said, but plural for singular or vice versa."""
    written = [word.removesuffix("s") for word in corrected[slice(*span)]]
    touched = [block for block in after.blocks if block[3] < span[1] and span[0] < block[4]]
    if not touched:
        return False
    near = [word.removesuffix("s") for word in said[touched[0][1] : touched[-1][2]]]
    return any(near[n : n + len(written)] == written for n in range(len(near)))


def _spans(
    words: Sequence[Word], corrections: Sequence[Correction]
) -> tuple[list[str], dict[int, tuple[int, int]], list[tuple[int, int]]]:
    """Compared words of the corrected text, where each automatic change stands in it, and of the heard text by word."""
    corrected: list[str] = []
    changed: dict[int, tuple[int, int]] = {}
    for token in written_tokens(words, corrections):
        low = len(corrected)
        corrected += comparable(token.text)
        first = changed.get(token.start_word, (low, low))[0]
        changed[token.start_word] = (first, len(corrected))
    places = []
    count = 0
    for word in words:
        size = len(comparable(word.text))
        places.append((count, count + size))
        count += size
    return corrected, changed, places


def score_line(
    number: int, reference: str, words: Sequence[Word], corrections: Sequence[Correction], matcher: Matcher
) -> LineScore:
    """Scores one line of reference text against heard words and their corrections."""
    said = comparable(reference)
    heard = [piece for word in words for piece in comparable(word.text)]
    corrected, changed, places = _spans(words, corrections)
    before, after = align(said, heard), align(said, corrected)
    right_after = {spot for spot in after.matched if spot >= 0}
    made = [corr for corr in corrections if corr.decision == "auto"]
    autos = [corr for corr in made if "".join(comparable(corr.heard)) != "".join(comparable(corr.written))]
    wrong = tuple(corr for corr in autos if not set(range(*changed[corr.start_word])) <= right_after)
    asks = [corr for corr in corrections if corr.decision == "ask"]
    counts: dict[str, int] = dict.fromkeys((f.name for f in fields(Score)), 0)
    mentions = term_mentions(said, matcher)
    # "the plunger's original", where "the plunger is original" was said, names the plunger
    texts = heard, [stem_of(word)[0] for word in heard]
    named = [(*span, _term(text, span, matcher)) for text in texts for span in term_mentions(text, matcher)]
    for start, end in mentions:
        name = _term(said, (start, end), matcher)
        low, high = before.heard_span(start, end)
        if _is_matched(before, start, end):
            counts["heard_right"] += 1
        elif any(first < high and low < last and other == name for first, last, other in named):
            counts["heard_otherwise"] += 1
        elif _is_matched(after, start, end):
            counts["put_right"] += 1
        else:
            near = (c for c in asks if places[c.start_word][0] < max(high, low + 1) and low < places[c.end_word - 1][1])
            counts["asked_right"] += any(corr.term == name for corr in near)
    written = term_mentions(corrected, matcher)
    said_right = [set(range(*span)) <= right_after for span in written]
    score = Score(
        words=len(said),
        harmed=sum(b >= 0 > a for b, a in zip(before.matched, after.matched, strict=True)),
        mended=sum(a >= 0 > b for b, a in zip(before.matched, after.matched, strict=True)),
        errors_before=before.errors,
        errors_after=after.errors,
        mentions=len(mentions),
        heard_right=counts["heard_right"],
        heard_otherwise=counts["heard_otherwise"],
        garbled=len(mentions) - counts["heard_right"] - counts["heard_otherwise"],
        put_right=counts["put_right"],
        asked_right=counts["asked_right"],
        autos=len(autos),
        autos_right=len(autos) - len(wrong),
        autos_other_number=sum(_is_other_number(after, said, changed[c.start_word], corrected) for c in wrong),
        respaced=len(made) - len(autos),
        asks=len(asks),
        written_terms=len(written),
        written_terms_right=sum(said_right),
    )
    return LineScore(number, score, tuple(said), tuple(heard), tuple(corrected), wrong)


def score_lines(
    references: Sequence[str],
    heard: Sequence[Sequence[Word]],
    corrections: Sequence[Sequence[Correction]],
    matcher: Matcher,
) -> tuple[Score, list[LineScore]]:
    """Scores line by line, and all lines together."""
    lines = [
        score_line(number, *each, matcher)
        for number, each in enumerate(zip(references, heard, corrections, strict=True), 1)
    ]
    return sum((line.score for line in lines), Score()), lines


def share(part: int, whole: int) -> float | None:
    """`part` of `whole`, None of nothing."""
    return part / whole if whole else None


def figures(score: Score) -> dict[str, Any]:
    """The figures made of the counts."""
    recalled = score.heard_right + score.heard_otherwise + score.put_right
    return {
        "false_replacements_per_1000_words": share(1000 * (score.autos - score.autos_right), score.words),
        "auto_precision": share(score.autos_right, score.autos),
        "auto_precision_of_terms": share(score.autos_right + score.autos_other_number, score.autos),
        "garbled_put_right_or_asked": share(score.put_right + score.asked_right, score.garbled),
        "term_recall_before": share(score.heard_right + score.heard_otherwise, score.mentions),
        "term_recall_after": share(recalled, score.mentions),
        "term_precision_after": share(score.written_terms_right, score.written_terms),
        "word_error_rate_before": share(score.errors_before, score.words),
        "word_error_rate_after": share(score.errors_after, score.words),
    }
