"""The stage: what to put to the sound, in the order of its worth, and what becomes of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pipeline.correct import Match, Matcher, match
from pipeline.hearing.sound import Sound
from pipeline.records import Correction, Finding, Quantity, Transcript, Word
from pipeline.second_hearing.calibration import Calibration, shipped_calibration
from pipeline.second_hearing.contests import Contest
from pipeline.second_hearing.doubts import SecondHearing, doubt_findings
from pipeline.second_hearing.ears import Ears, Heard, hear_contests
from pipeline.second_hearing.figures import Figure, find_figures, judge_figures
from pipeline.second_hearing.options import term_options
from pipeline.second_hearing.terms import TermContest, find_terms, judge_term
from pipeline.second_hearing.units import UnitContest, find_units, judge_unit
from pipeline.second_hearing.unsupported import doubted_runs, unsupported_findings

# Contests a minute of speech beside the figures, which are all heard: keeps the stage within a quarter of hearing.
TERMS_A_MINUTE = 8
UNHEARD_A_MINUTE = 1
UNITS_A_MINUTE = 2
_RUNS_A_MINUTE = 1
_FEWEST = 4
_LONGEST_NUMBER = 4


def hear_again(
    transcript: Transcript,
    sound: Sound | None,
    corrections: Sequence[Correction],
    quantities: Sequence[Quantity],
    matcher: Matcher,
    model: Ears | None,
    calibration: Calibration | None = None,
    matched: Match | None = None,
) -> SecondHearing:
    """Goes back to the sound where two wordings compete.

    Args:
        transcript: the words as first heard.
        sound: what they were heard in; None for a transcript without sound, which is passed on with a note.
        corrections: what text matching made of the words.
        quantities: figures found in the text so corrected.
        matcher: the vocabulary's.
        model: the loaded speech model.
        calibration: weights; the shipped ones if not given.
        matched: the words held against the matcher's terms, if that was done already.

    Returns:
        Corrections in order (some decided otherwise, some new), findings, and figures that the sound leaves open.
    """
    words = transcript.words
    if sound is None or model is None:
        note = "There is no sound to go back to: doubtful terms and figures are left as the text has them."
        return SecondHearing(tuple(corrections), (Finding("note", "no_second_hearing", note, 0),))
    if not words:
        return SecondHearing(tuple(corrections))
    plan = plan_contests(words, corrections, quantities, matcher, matched=matched)
    heard = hear_contests(words, plan.contests(), sound, model)
    return decide(words, corrections, quantities, plan, heard, model, calibration or shipped_calibration())


@dataclass(frozen=True, slots=True)
class Plan:
    """Everything of one recording that is put to the sound."""

    figures: tuple[Figure, ...]
    units: tuple[UnitContest, ...]
    terms: tuple[TermContest, ...]
    runs: tuple[Contest, ...]

    def contests(self) -> list[Contest]:
        """All contests, each once."""
        figures = [figure.contest for figure in self.figures]
        others = [item.contest for item in self.units] + [item.contest for item in self.terms]
        return [*figures, *others, *self.runs]


def plan_contests(
    words: Sequence[Word],
    corrections: Sequence[Correction],
    quantities: Sequence[Quantity],
    matcher: Matcher,
    generous: float = 1.0,
    matched: Match | None = None,
) -> Plan:
    """All figures with rivals, and of everything else what is worth most, so many a minute of speech.

    `generous` times as many as the time allows, for measuring. `matched`: see `hear_again`.
    """
    spoken_min = generous * spoken_minutes(words)
    # Behind a number a unit is likelier than a term that is only faintly asked for.
    firm = [corr for corr in corrections if corr.decision == "auto" or (corr.decision == "ask" and corr.score >= 0.6)]
    made = [(corr.start_word, corr.end_word) for corr in firm]
    units = find_units(words, quantities, made)[: allowed(UNITS_A_MINUTE, spoken_min)]
    beside = [(max(0, item.contest.start_word - _LONGEST_NUMBER), item.contest.start_word) for item in units]
    proposed, unheard = find_terms(words, corrections, term_options(matched or match(words, matcher)))
    terms = _worth_hearing(proposed, allowed(TERMS_A_MINUTE, spoken_min))
    terms += _worth_hearing(unheard, allowed(UNHEARD_A_MINUTE, spoken_min))
    figures = find_figures(words, quantities, beside)
    runs = doubted_runs(words, allowed(_RUNS_A_MINUTE, spoken_min))
    return Plan(tuple(figures), tuple(units), tuple(terms), tuple(runs))


def allowed(a_minute: float, spoken_min: float) -> int:
    """How many contests of a kind are heard in so many minutes of speech."""
    return max(_FEWEST, round(a_minute * spoken_min))


def spoken_minutes(words: Sequence[Word]) -> float:
    """Minutes of speech without the pauses, by which contests are allowed."""
    return sum(word.end_ms - word.start_ms for word in words) / 60_000


def decide(
    words: Sequence[Word],
    corrections: Sequence[Correction],
    quantities: Sequence[Quantity],
    plan: Plan,
    heard: Sequence[Heard],
    model: Ears,
    calibration: Calibration,
) -> SecondHearing:
    """What becomes of the contests of a plan once they have been heard."""
    by_contest = {id(item.contest): item for item in heard}
    doubts = judge_figures(plan.figures, heard, model, calibration)
    judged = [(item.corr, judge_term(item, by_contest[id(item.contest)], words, calibration)) for item in plan.terms]
    again = {id(corr) for corr, _ in judged}
    result = [corr for corr in corrections if id(corr) not in again]
    result += [new for _, new in judged if new is not None]
    judged_units = [judge_unit(item, by_contest[id(item.contest)], words, calibration) for item in plan.units]
    result += [new for new in judged_units if new is not None]
    findings = doubt_findings(doubts, quantities, words)
    findings += unsupported_findings(words, [by_contest[id(run)] for run in plan.runs])
    return SecondHearing(_without_overlaps(result), tuple(findings), tuple(doubts))


def _worth_hearing(items: Sequence[TermContest], most: int) -> list[TermContest]:
    return sorted(items, key=lambda item: -item.contest.value)[:most]


def _without_overlaps(corrections: Sequence[Correction]) -> tuple[Correction, ...]:
    """In order of place; of two that share a word the one decided more firmly stays."""
    rank = {"auto": 2, "ask": 1, "keep": 0}
    kept: list[Correction] = []
    for corr in sorted(corrections, key=lambda corr: (-rank[corr.decision], -corr.score, corr.start_word)):
        if all(corr.end_word <= other.start_word or other.end_word <= corr.start_word for other in kept):
            kept.append(corr)
    return tuple(sorted(kept, key=lambda corr: corr.start_word))
