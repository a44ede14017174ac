"""Garbled terms: which to put to the sound, and what sound and text make of them together."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import log, tanh

from pipeline.records import Correction, Decision, Word
from pipeline.second_hearing.calibration import Calibration
from pipeline.second_hearing.contests import Contest
from pipeline.second_hearing.ears import Heard
from pipeline.second_hearing.options import TermOption
from pipeline.tokens import same_letters

_OPTIONS = 3
_DOUBTED = 0.6
_WIDEST = 6
# Beyond so many nats more support says nothing more: it comes from what is garbled beside the term.
_LEVEL = 10.0
_GUARDED = "not made without asking"
_DECIDED = "you have said that this is meant"


@dataclass(frozen=True, slots=True)
class TermContest:
    """Terms that may stand for a stretch; the contest's wordings are what was heard, then one an option, in order.

    `corr` is what text matching made of it, None where it proposed nothing.
    """

    contest: Contest
    options: tuple[TermOption, ...]
    corr: Correction | None


def find_terms(
    words: Sequence[Word], corrections: Sequence[Correction], options: Sequence[TermOption]
) -> tuple[list[TermContest], list[TermContest]]:
    """Contests for the corrections that text alone leaves open, and for doubted words that it has no correction for."""
    proposed: list[TermContest] = []
    taken: list[tuple[int, int]] = []
    for corr in corrections:
        taken.append((corr.start_word, corr.end_word))
        if (
            corr.decision == "auto"
            or not corr.term
            or corr.why.startswith(_DECIDED)
            or same_letters(corr.heard, corr.written)  # no sound can tell
        ):
            continue
        own = [item for item in options if item.overlaps(corr.start_word, corr.end_word)]
        worth = corr.score * (1.0 - corr.score)
        proposed.append(_contest(words, own, corr, worth, (corr.start_word, corr.end_word)))
    unheard: list[TermContest] = []
    for option in options:
        doubt = 1.0 - min(word.probability for word in words[option.start_word : option.end_word])
        if doubt < 1.0 - _DOUBTED or any(option.overlaps(*place) for place in taken):
            continue
        place = (option.start_word, option.end_word)
        own = [item for item in options if item.overlaps(*place)]
        taken.append(place)
        unheard.append(_contest(words, own, None, option.odds * doubt, place))
    return [item for item in proposed if item.options], unheard


def _contest(
    words: Sequence[Word], own: Sequence[TermOption], corr: Correction | None, worth: float, place: tuple[int, int]
) -> TermContest:
    """The likeliest options, a term once, whose windows together stay short."""
    chosen: list[TermOption] = []
    start, end = place
    for option in own:
        low, high = min(start, option.start_word), max(end, option.end_word)
        if high - low > _WIDEST or any(option.term == other.term for other in chosen):
            continue
        chosen.append(option)
        start, end = low, high
        if len(chosen) == _OPTIONS:
            break
    texts = [word.text for word in words[start:end]]
    wordings = [" ".join(texts)]
    for option in chosen:
        before, after = texts[: option.start_word - start], texts[option.end_word - start :]
        wordings.append(" ".join([*before, option.written, *after]))
    return TermContest(Contest(start, end, tuple(wordings), worth), tuple(chosen), corr)


def option_evidence(item: TermContest, heard: Heard) -> list[dict[str, float]]:
    """For each option, evidence that it was said and not what was heard.

    `text`: log odds from the text. `sound`: nats in its favour. `support`: the same less a share of what is in its
    favour without any sound, levelling off at 10. `pieces`: by how many pieces of text the wording is longer.
    """
    return [
        {
            "text": log(option.odds),
            "sound": heard.nats(place) - heard.nats(0),
            "support": _levelled(heard.support(place) - heard.support(0)),
            "pieces": float(heard.pieces(place) - heard.pieces(0)),
        }
        for place, option in enumerate(item.options, start=1)
    ]


def _levelled(nats: float) -> float:
    return _LEVEL * tanh(nats / _LEVEL) if nats > 0 else nats


def judge_term(item: TermContest, heard: Heard, words: Sequence[Word], calibration: Calibration) -> Correction | None:
    """The likeliest option as a correction; what text matching made where none is likelier than that."""
    evidence = option_evidence(item, heard)
    odds = [calibration.odds("term", each) for each in evidence]
    best = max(range(len(odds)), key=lambda place: odds[place])
    option = item.options[best]
    score = odds[best] / (1.0 + sum(odds))
    rivals = sorted((place for place in range(len(odds)) if place != best), key=lambda place: -odds[place])
    decision = _decision(item.corr, option, score, calibration)
    if item.corr is None and decision == "keep":
        return None
    said = _said(evidence[best]["sound"], evidence[best]["support"])
    heard_text = " ".join(word.text for word in words[option.start_word : option.end_word])
    why = item.corr.why if item.corr is not None and item.corr.term == option.term else "sounds alike"
    if decision == "auto":  # the sound has given the leave that the text could not
        why = "; ".join(reason for reason in why.split("; ") if not reason.startswith(_GUARDED))
    return Correction(
        start_word=option.start_word,
        end_word=option.end_word,
        heard=heard_text,
        written=option.written,
        score=round(score, 3),
        decision=decision,
        why=f"{why}; {said}",
        term=option.term,
        rivals=tuple(item.options[place].term for place in rivals[:2]),
        sound_nats=round(evidence[best]["sound"], 2),
    )


def _decision(corr: Correction | None, option: TermOption, score: float, calibration: Calibration) -> Decision:
    guarded = corr is None or corr.term != option.term or _GUARDED in corr.why
    if score >= (calibration.auto_guarded if guarded else calibration.auto):
        return "auto"
    return "ask" if score >= calibration.ask else "keep"


def _said(nats: float, support: float) -> str:
    if nats > 0:
        return "heard again, the sound fits it better than what was heard"
    if support > 0:
        return "heard again, the sound fits it well for so rare a wording"
    return "heard again, the sound speaks against it" if support < -0.8 * _LEVEL else "the sound leaves it open"
