"""From pairs to corrections: probabilities, the choice between overlapping windows, and auto, ask or keep."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from pipeline.correct.explain import explain
from pipeline.correct.features import FEATURES, reasons
from pipeline.correct.forms import Form
from pipeline.correct.judge import Weights
from pipeline.correct.language import COMMON, english
from pipeline.correct.match import Match
from pipeline.correct.matcher import Matcher
from pipeline.correct.number import signs
from pipeline.correct.plurals import is_said_of_many
from pipeline.correct.rewrite import written_form
from pipeline.correct.sense import out_of_place
from pipeline.correct.spelling import spelled
from pipeline.correct.windows import Heard
from pipeline.records import Correction, Decision
from pipeline.tokens import same_letters

_RIVALS = 3
_LEAST_ODDS = 0.01
_RIVAL_SHARE = 0.2
# Words that all mean something ("gadget bin") must sound so much like a term that has none of them.
SURE_SOUND_ALONE = 0.9
# How frequent "not", "but" and "up" are, at least (of `english`), and the probability from which such words are asked:
# of 18 questions below it on recordings to develop on none was right.
_EVERYDAY, _ASK_EVERYDAY = 60, 0.5


@dataclass(frozen=True, slots=True)
class Option:
    """One pair with its own odds against "nothing is wrong here".

    `change`: what it does to the words, (start, end, words written), without the words that stay as they are.
    `ground`: "decided" by the user, "respaced" or "". `raised`: by how many nats reading it in its place has raised the
    odds.
    """

    start: int
    end: int
    form: int
    term: int
    odds: float
    number: int
    change: tuple[int, int, tuple[str, ...]]
    ground: str = ""
    raised: float = 0.0

    def says_as_much_as(self, other: Option) -> bool:
        """The "hub" for the "her" of "her nut" is the "hub nut", and no rival of it."""
        return self.term == other.term or self.change == other.change


# The name of the machine, which was given, is likelier where machines are introduced.
_INTRODUCTION_WORDS, _INTRODUCED = 60, 8.0
_INTRODUCE = frozenset(("the", "this", "our", "my", "a", "old", "is", "it's", "called"))
_MOST_NATS, _RESPACED_ODDS, _DECIDED_ODDS = 25.0, 1e11, 1e12
_SPELLING = FEATURES.index("spelling")


def options(matched: Match, least: float = 0.0) -> list[Option]:
    """Pairs with odds of at least `least`, the likeliest first; ties: more words first, then further left."""
    heard, pairs, matcher = matched.heard, matched.pairs, matched.matcher
    odds = np.exp(np.clip(matched.log_odds, -30, _MOST_NATS))
    # what differs in spacing alone has the same letters, and few words were ever decided on
    worth = (odds >= least) | (pairs.table[:, _SPELLING] == 1.0)
    chosen = np.arange(len(odds)) if matcher.decisions.accepted else np.flatnonzero(worth)
    found = []
    for number in chosen.tolist():
        start, end, form = int(pairs.start[number]), int(pairs.end[number]), int(pairs.form[number])
        text = heard.strip.window_text(start, end)
        ground, value = "", float(odds[number])
        if matcher.decided(text) == form:
            ground, value = "decided", _DECIDED_ODDS
        elif matcher.respaced(heard.strip.window_letters(start, end), text) == form:
            ground, value = "respaced", _RESPACED_ODDS  # all alike, so that the longest wins
        if matcher.terms[matcher.forms[form].term].kind == "name" and _is_introduced(heard, start, matcher.forms[form]):
            value *= _INTRODUCED
        if value >= least and (ground or not out_of_place(heard, start, end, matcher.forms[form])):
            change = _change(heard.strip.words[start:end], matcher.forms[form].words, start)
            term, nats = matcher.forms[form].term, float(matched.raised[number])
            found.append(Option(start, end, form, term, value, number, change, ground, nats))
    return sorted(found, key=_rank)


def _is_introduced(heard: Heard, start: int, name: Form) -> bool:
    """Whether a machine whose name is not said anywhere may well be introduced here: "so this is the pen below"."""
    led = heard.strip.words[start - 1] if start else ""
    return start < _INTRODUCTION_WORDS and led in _INTRODUCE and name.term not in heard.terms_said


def _change(own: Sequence[str], other: Sequence[str], start: int) -> tuple[int, int, tuple[str, ...]]:
    """What is left of a window from `start` on and of a form without the words that both begin and end with."""
    low, most = 0, min(len(own), len(other))
    while low < most and own[low] == other[low]:
        low += 1
    high = 0
    while high < most - low and own[-1 - high] == other[-1 - high]:
        high += 1
    return start + low, start + len(own) - high, tuple(other[low : len(other) - high])


def _rank(option: Option) -> tuple[float, int, int, int]:
    return -option.odds, option.start - option.end, option.start, option.form


def probability(option: Option, ranked: Sequence[Option]) -> tuple[float, tuple[Option, ...]]:
    """Probability that the option's term was said, against every other term over any of the same words; and those."""
    best: dict[int, Option] = {}
    for other in ranked:
        meets = other.start < option.end and option.start < other.end
        if meets and not option.says_as_much_as(other) and not _is_part_of(other, option):
            best.setdefault(other.term, other)
    rivals = tuple(sorted(best.values(), key=lambda o: -o.odds))
    total = 1.0 + option.odds + sum(rival.odds for rival in rivals)
    return option.odds / total, rivals


def _is_part_of(inner: Option, outer: Option) -> bool:
    """The "gearbox" of a "gear box cover" is no rival of the "gearbox cover": both say the same of those words."""
    inside = outer.start <= inner.start and inner.end <= outer.end
    return inside and inner.ground == outer.ground == "respaced"


def is_protected(heard: Heard, option: Option, form: Form, features: Mapping[str, float]) -> str:
    """Why this may be asked but never be made silently; "" where nothing forbids it."""
    data = english()
    start, end = option.start, option.end
    if len(form.words) == 1 and data.frequency(form.words[0]) >= COMMON:
        return f"“{form.text}” is an everyday word"
    frequency = heard.strip.frequency[start:end]
    fluent = bool(heard.joins[start + 1 : end].all())
    if fluent and int(frequency.min()) >= COMMON:
        return "what was heard is ordinary English"
    if option.ground:
        return ""
    if features["comma"]:
        return "there is a pause in what was heard"
    if not features["shared"] and not features["unknown"] and features["sound"] < SURE_SOUND_ALONE:
        return "no word of the term was heard as it is"
    return ""


def agree(heard: Heard, found: list[Option]) -> list[Option]:
    """What comes to the same takes the best odds of all: the same change of words, and the same term for the same
    words wherever they were heard."""
    for keys in (
        [option.change for option in found],
        [(heard.strip.window_text(option.start, option.end), option.form) for option in found],
    ):
        best: dict[object, float] = {}
        for key, option in zip(keys, found, strict=True):
            best[key] = max(best.get(key, 0.0), option.odds)
        found = [
            option if option.odds == best[key] else replace(option, odds=best[key])
            for key, option in zip(keys, found, strict=True)
        ]
    return found


def choose(matched: Match, weights: Weights) -> list[Correction]:
    """The likeliest pairs that do not overlap, as corrections in order of their place."""
    ranked = sorted(agree(matched.heard, options(matched, _LEAST_ODDS)), key=_rank)
    by_word: dict[int, list[Option]] = {}
    for option in ranked:
        for place in range(option.start, option.end):
            by_word.setdefault(place, []).append(option)
    used = np.zeros(len(matched.words), dtype=bool)
    chosen = []
    for option in ranked:
        if used[option.start : option.end].any():
            continue
        near = sorted({o for place in range(option.start, option.end) for o in by_word[place]}, key=_rank)
        score, rivals = probability(option, near)
        if score < weights.keep:
            continue
        used[option.start : option.end] = True
        chosen.append((option, score, rivals))
    forms, sure = _written_forms(matched.heard, matched.matcher, [option for option, _, _ in chosen], weights)
    found = [
        _correction(matched, replace(option, form=form), score, surely, rivals, weights)
        for (option, score, rivals), form, surely in zip(chosen, forms, sure, strict=True)
    ]
    return sorted(found, key=lambda corr: corr.start_word)


def _written_forms(
    heard: Heard, matcher: Matcher, chosen: Sequence[Option], weights: Weights
) -> tuple[list[int], list[float]]:
    """The form of each option in the number and the spelling that are to be written, and how sure the number is."""
    forms, sure = np.array([option.form for option in chosen], dtype=np.int64), np.ones(len(chosen))
    start, end = (np.array([getattr(option, name) for option in chosen], dtype=np.int64) for name in ("start", "end"))
    free = np.array([not option.ground for option in chosen], dtype=bool)
    some = np.flatnonzero(free & (matcher.form_other[forms] >= 0))
    many = weights.many(signs(heard, matcher, start[some], end[some], forms[some]))
    many[[is_said_of_many(heard, stop) for stop in end[some].tolist()]] = 1.0
    forms[some] = np.where(
        (many > 0.5) == matcher.form_plural[forms[some]], forms[some], matcher.form_other[forms[some]]
    )
    sure[some] = np.maximum(many, 1 - many)
    some = np.flatnonzero(free)
    forms[some] = spelled(heard, matcher, start[some], end[some], forms[some])
    return forms.tolist(), sure.tolist()


def _ask_from(heard: Heard, option: Option, weights: Weights) -> float:
    """The probability from which it is asked. Words that everybody says all the time were most likely said."""
    everyday = int(heard.strip.frequency[option.start : option.end].min()) >= _EVERYDAY
    return max(weights.ask, _ASK_EVERYDAY) if everyday else weights.ask


def _correction(
    matched: Match, option: Option, score: float, sure: float, rivals: Sequence[Option], weights: Weights
) -> Correction:
    words, heard, matcher = matched.words, matched.heard, matched.matcher
    form = matcher.forms[option.form]
    features = reasons(matched.pairs, option.number)
    guard = "" if option.ground == "decided" else is_protected(heard, option, form, features)
    total = option.odds + sum(rival.odds for rival in rivals)
    said = " ".join(word.text for word in words[option.start : option.end])
    possessive = heard.possessive[option.end - 1] and not (form.plural and is_said_of_many(heard, option.end))
    written = written_form(words[option.start : option.end], form.text, possessive)
    decision: Decision = "keep"
    if score >= weights.auto and sure >= weights.number_auto and not guard:
        decision = "auto"
    elif total / (1 + total) >= _ask_from(heard, option, weights) and not same_letters(said, written):
        # something is wrong here, and this is the likeliest of what it could be; where words are parted is no question
        decision = "ask"
    return Correction(
        start_word=option.start,
        end_word=option.end,
        heard=said,
        written=written,
        score=round(score, 3),
        decision=decision,
        why=explain(features | {"raised": option.raised}, decision, guard, option.ground),
        term=matcher.terms[option.term].name,
        rivals=tuple(
            matcher.terms[rival.term].name for rival in rivals[:_RIVALS] if rival.odds >= _RIVAL_SHARE * option.odds
        ),
    )
