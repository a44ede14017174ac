"""Figures that sound like other figures: the wordings to compare, and how doubtful what was heard is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pipeline.numbers import confusions, cut, read_number, speak_number
from pipeline.numbers.words import TEENS, TENS, says_number
from pipeline.records import Quantity, Word
from pipeline.second_hearing.calibration import Calibration
from pipeline.second_hearing.contests import Contest
from pipeline.second_hearing.ears import Ears, Heard
from pipeline.second_hearing.teen_ty import shipped_probe
from pipeline.tokens import bare

_NO_FIGURES = ("thread",)
_WORTH = 10.0
# Where "54 pounds" was said it has at least 11 nats more than "50 foot pounds" (twenty clips of five voices).
_A_FOOT = 6.0


@dataclass(frozen=True, slots=True)
class Figure:
    """A number in the heard words and one value that it could be instead.

    `contested`: index, within the spoken wording, of the first word that differs; `teen`: what was heard there is a
    -teen (True), a -ty (False), or neither (None); `longer`: nats that the rival loses by its length alone.
    """

    contest: Contest
    value: float
    rival: float
    why: str
    contested: int
    teen: bool | None
    longer: float = 0.0


@dataclass(frozen=True, slots=True)
class FigureDoubt:
    """A figure that the sound leaves open: `heard` and the `others` it may be, likeliest first.

    `probability` that one of the others was said. `why` is for a person.
    """

    start_word: int
    end_word: int
    heard: float
    others: tuple[float, ...]
    probability: float
    why: str


def find_figures(
    words: Sequence[Word], quantities: Sequence[Quantity], stretches: Sequence[tuple[int, int]] = ()
) -> list[Figure]:
    """Every number in the quantities, and in other `stretches` of words, once for each rival that it has.

    Left alone are fractions, numbers inside codes (M14), and those that stand for another figure than they read
    ("7580" is 75W80), and those that no number is said for ("a pair of dowels").
    """
    figures: list[Figure] = []
    done: set[tuple[int, int]] = set()
    counted = [qty for qty in quantities if qty.kind not in _NO_FIGURES]
    places = {(qty.start_word, qty.end_word): (qty.value, qty.high) for qty in counted}
    torques = {(qty.start_word, qty.end_word) for qty in counted if qty.kind == "torque"}
    for first, last in sorted({*places, *stretches}):
        for start, end, before, value, after in _numbers(words, first, last):
            meant = places.get((first, last))
            if (start, end) not in done and (meant is None or value in meant) and _is_numeral(words, start, end):
                done.add((start, end))
                figures += _rivals(words, start, end, before, value, after)
                figures += _swallowed_to(words, start, before, value, after)
                if (first, last) in torques:
                    figures += _swallowed_foot(words, start, end, value)
    return figures


def _numbers(words: Sequence[Word], start_word: int, end_word: int) -> list[tuple[int, int, str, float, str]]:
    """(start, end, text glued before it, value, text glued after it) of each number in a stretch of words."""
    texts = [word.text for word in words[start_word:end_word]]
    pieces = cut(texts)
    plain = [piece.text for piece in pieces]
    stops = {place + 1 for place, piece in enumerate(pieces) if piece.stop}
    found, at = [], 0
    while at < len(pieces):
        number = read_number(plain, at, stops)
        if number is None:
            at += 1
            continue
        first, last = pieces[at], pieces[number.end - 1]
        at = number.end
        if number.shape not in ("whole", "decimal"):
            continue
        before = texts[first.token].partition(first.raw)[0]
        after = texts[last.token].rpartition(last.raw)[2]
        if before.strip("(\"'“"):  # part of a code: M14, DOT 5.1
            continue
        found.append((start_word + first.token, start_word + last.token + 1, before, number.value, after))
    return found


def _rivals(
    words: Sequence[Word], start: int, end: int, before: str, value: float, after: str
) -> list[Figure]:  # fmt: skip
    spoken = speak_number(value).replace("-", " ").split()
    figures = []
    for reading in confusions(spoken):
        place = next((i for i, pair in enumerate(zip(spoken, reading.words, strict=False)) if pair[0] != pair[1]), 0)
        teen = None
        if place < min(len(spoken), len(reading.words)) and {spoken[place], reading.words[place]} & set(TEENS):
            teen = spoken[place] in TEENS if reading.words[place] in TENS or spoken[place] in TENS else None
        wordings = [_written(before, value, after), _written(before, reading.value, after)]
        if teen is not None:
            wordings += [_spoken(before, spoken, after), _spoken(before, reading.words, after)]
        contest = Contest(start, end, tuple(wordings), _WORTH, with_prior=False)
        figures.append(Figure(contest, value, reading.value, reading.why, place, teen))
    return figures


def _swallowed_to(words: Sequence[Word], start: int, before: str, value: float, after: str) -> list[Figure]:
    """ "Torqued to ten" is heard as "torqued 210": a 2 at the head of a figure may be the word before it."""
    digits = f"{value:g}"
    if not (digits.isdecimal() and digits[0] == "2" and len(digits) > 1 and digits[1] != "0"):
        return []
    if digits not in words[start].text or (start and bare(words[start - 1].text) in ("to", "two")):
        return []
    wordings = (_written(before, value, after), f"to {digits[1:]}{after}")
    contest = Contest(start, start + 1, wordings, _WORTH, with_prior=False)
    return [Figure(contest, value, float(digits[1:]), "'2' for 'to'", 0, None)]


def _swallowed_foot(words: Sequence[Word], start: int, end: int, value: float) -> list[Figure]:
    """ "Fifty foot pounds" is heard as "54 pounds"."""
    rival = value - 4
    if end == len(words) or bare(words[end].text) not in ("pounds", "pound") or rival < 20 or rival % 10:
        return []
    contest = Contest(start, end, (f"{value:g}", f"{rival:g} foot"), _WORTH, with_prior=False)
    return [Figure(contest, value, rival, "'four' for 'foot'", 0, None, _A_FOOT)]


def _is_numeral(words: Sequence[Word], start: int, end: int) -> bool:
    """Whether the words hold one that says a number, or figures."""
    parts = [part for word in words[start:end] for part in bare(word.text).split("-")]
    return any(map(says_number, parts))


def _written(before: str, value: float, after: str) -> str:
    return f"{before}{value:g}{after}" if abs(value) < 1e6 else f"{before}{value:.0f}{after}"


def _spoken(before: str, spoken: Sequence[str], after: str) -> str:
    glued = after and after[0].isalnum()
    return f"{before}{' '.join(spoken)}{' ' if glued else ''}{after}"


def figure_evidence(figure: Figure, heard: Heard, ears: Ears) -> dict[str, float]:
    """What the sound says in nats, above 0 for the figure as heard: `digits`, `words`, and `probe` for -teen or -ty."""
    evidence = {"digits": heard.nats(0) - heard.nats(1) - figure.longer}
    if figure.teen is None:
        return evidence
    evidence["words"] = heard.nats(2) - heard.nats(3)
    # a -ty is heard as a -teen far more often than the other way round
    evidence["teen"] = float(figure.teen)
    probe = shipped_probe()
    if probe.encoder == ears.encoder:
        own, rival = (heard.forced[wording][heard.start + figure.contested] for wording in (2, 3))
        teen, ty = (own, rival) if figure.teen else (rival, own)
        nats = probe.teen_nats(heard.encoded, (teen.start_ms, teen.end_ms), (ty.start_ms, ty.end_ms))
        evidence["probe"] = nats if figure.teen else -nats
    return evidence


def judge_figures(
    figures: Sequence[Figure], heard: Sequence[Heard], ears: Ears, calibration: Calibration
) -> list[FigureDoubt]:
    """Doubts about figures, one a number, in order of place."""
    by_contest = {id(item.contest): item for item in heard}
    open_figures: dict[tuple[int, int], list[tuple[float, Figure, str]]] = {}
    for figure in figures:
        item = by_contest.get(id(figure.contest))
        if item is None:
            continue
        evidence = figure_evidence(figure, item, ears)
        doubt = calibration.figure_doubt(evidence)
        if calibration.is_doubtful(evidence):
            place = (figure.contest.start_word, figure.contest.end_word)
            open_figures.setdefault(place, []).append((doubt, figure, _why(figure, evidence)))
    doubts = []
    for (start, end), rivals in sorted(open_figures.items()):
        rivals.sort(key=lambda rival: -rival[0])
        others = tuple(dict.fromkeys(figure.rival for _, figure, _ in rivals))
        doubts.append(FigureDoubt(start, end, rivals[0][1].value, others, round(rivals[0][0], 3), rivals[0][2]))
    return doubts


def _why(figure: Figure, evidence: dict[str, float]) -> str:
    heard, rival = f"{figure.value:g}", f"{figure.rival:g}"
    likelier = heard if evidence["digits"] + evidence.get("words", 0.0) > 0 else rival
    text = f"{heard} and {rival} sound alike: the words heard speak a little more for {likelier}"
    if "probe" in evidence:
        ending = heard if evidence["probe"] > 0 else rival
        return f"{text}, and so does the ending" if ending == likelier else f"{text}, the ending more for {ending}"
    if figure.teen is not None:
        return f"{text} (this speech model can say no more)"
    return text
