"""Units written as other words: "25 new demeters" can only be newton metres, "twelve hour backlash" twelve thou.

The words as heard stay the evidence; every figure read this way gets a finding.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache
from typing import Any

from pipeline.numbers import Figure
from pipeline.numbers.words import NUMBER_WORDS
from pipeline.quantities.alike import alike
from pipeline.quantities.counts import is_plural, not_between
from pipeline.quantities.garbled import CAN_ONLY_BE, MAY_BE
from pipeline.quantities.scan import Found, Scan, cue_words
from pipeline.quantities.units import figures_data, unit_table

_LONGEST = 3
_NEAR = 6
_LATELY = 12
_LINKS = frozenset({"of", "end", "valve", "tappet", "on", "the"})
_MEASURED = frozenset({"at", "is", "was", "to", "of", "be", "are", "were", "it's", "gap", "about"})
ORDINAL_ENDINGS = frozenset({"th", "nd", "rd", "st"})
# Of two stretches that sound as like, the longer one is the garble.
_LONGER = 0.03
# Where the words asked for stand in the sentence before, the sound must be so much nearer.
_FAR_TOLL = 0.1
_HALVES = (("and", "a", "half"), ("and", "a", "quarter"), ("and", "half"))
_ALIKE_HALF = 0.5
_HALVED = ("thou", "L")


@dataclass(frozen=True, slots=True)
class _Heard:
    """What vocab/figures/heard.toml says of one unit."""

    name: str
    spoken: tuple[str, ...]
    alike: float
    surely: frozenset[str]
    heard: frozenset[str]
    common: frozenset[str]
    before: frozenset[str]
    most: int
    asks: frozenset[str]
    beside: frozenset[str]


@dataclass(frozen=True, slots=True)
class Misheard:
    """A figure whose unit was heard as other words up to `end`."""

    figure: Figure
    unit: str
    end: int
    why: str


@cache
def _units() -> tuple[_Heard, ...]:
    data = figures_data("heard")
    units = []
    for name, entry in data["units"].items():
        kind = data["kinds"][entry["kind"]]
        asks = _asks(kind)
        words = {key: frozenset(entry.get(key, ())) for key in ("surely", "heard", "common", "before")}
        beside = asks | frozenset(kind.get("beside", ()))
        spoken, least = tuple(entry["spoken"]), entry.get("alike", 1.0)
        units.append(_Heard(name, spoken, least, most=entry["most"], asks=asks, beside=beside, **words))
    return tuple(units)


def _asks(kind: dict[str, Any]) -> frozenset[str]:
    words = set(kind["asks"])
    for path in kind.get("also", ()):
        name, *keys = path.split(".", 2)
        found: Any = figures_data(name)
        for key in keys:
            found = found[key]
        words.update(found)
    return frozenset(words)


def misheard_unit(scan: Scan, figure: Figure) -> Misheard | None:
    """A unit behind a figure that was heard as words met before; None where there is none."""
    place = _after(scan, figure)
    for length in range(_LONGEST, 0, -1):
        stretch = _stretch(scan, place, length)
        if not stretch:
            continue
        for unit in _units():
            if stretch in unit.surely and 0 < figure.low <= unit.most:
                return Misheard(
                    figure, unit.name, place + length, f"{stretch!r} behind a number {CAN_ONLY_BE} {unit.spoken[0]}"
                )
    return _everyday(scan, figure, place) or _thousands(scan, figure)


def _after(scan: Scan, figure: Figure) -> int:
    """The piece after a figure and the ending of an ordinal ("12th thou")."""
    ordinal = scan.at(figure.end) in ORDINAL_ENDINGS and figure.end not in scan.breaks
    return figure.end + ordinal


def _stretch(scan: Scan, place: int, length: int) -> str:
    """So many words from a piece on, "" where they do not run on."""
    words = scan.words[place : place + length]
    runs_on = len(words) == length and not any(index in scan.breaks for index in range(place, place + length))
    return " ".join(words) if runs_on and not any(word[0].isdigit() for word in words) else ""


def _everyday(scan: Scan, figure: Figure, place: int) -> Misheard | None:
    for length in (2, 1):
        word = _stretch(scan, place, length)
        for unit in _units():
            if word in unit.heard | unit.common and 0 < figure.low <= unit.most:
                found = _everyday_unit(scan, figure, unit, word, place + length)
                if found is not None:
                    return found
    if scan.at(figure.start - 1) == "$":
        unit = next(unit for unit in _units() if unit.name == "thou")
        cue = _beside(scan, figure.start - 1, figure.end, unit)
        if cue:
            return Misheard(figure, unit.name, figure.end, f"'$' beside {cue!r} {CAN_ONLY_BE} {unit.spoken[0]}")
    return None


def _everyday_unit(scan: Scan, figure: Figure, unit: _Heard, word: str, end: int) -> Misheard | None:
    if unit.before:
        known = scan.at(end) in unit.before and end not in scan.breaks
        why = f"{word!r} before {scan.at(end)!r} {CAN_ONLY_BE} {unit.spoken[0]}"
        return Misheard(figure, unit.name, end, why) if known else None
    cue = _beside(scan, figure.start, end, unit)
    if cue:
        return Misheard(figure, unit.name, end, f"{word!r} beside {cue!r} {CAN_ONLY_BE} {unit.spoken[0]}")
    if any(word in item.why and item.unit == unit.name for item in _lately(scan, figure.start)):
        why = f"{word!r} behind a number, as just before, {MAY_BE} {unit.spoken[0]}"
        return Misheard(figure, unit.name, end, why)
    between = scan.at(figure.start) == "between" or scan.at(figure.start - 1) in _MEASURED
    if between and (before := _said_before(scan, figure.start, unit)):
        return Misheard(
            figure, unit.name, end, f"{word!r} behind a number, after {before!r}, {MAY_BE} {unit.spoken[0]}"
        )
    cue, toll = _asked(scan, figure, end, unit.asks)
    odd_number = end - figure.end > len(word.split()) or figure.number.shape in ("decimal", "mixed")
    plain_count = figure.low == 1 or scan.at(figure.start - 1) in ("the", "a", "an", "for")
    if not cue or plain_count or not ((word in unit.heard and not toll) or odd_number or between):
        return None
    return Misheard(figure, unit.name, end, f"{word!r} behind a number, with {cue!r} nearby, {MAY_BE} {unit.spoken[0]}")


def _lately(scan: Scan, start: int) -> list[Found]:
    """Figures of the last words whose unit was heard as other words."""
    return [
        item
        for item in scan.found[-3:]
        if start - item.end <= _LATELY and (CAN_ONLY_BE in item.why or MAY_BE in item.why)
    ]


def _said_before(scan: Scan, start: int, unit: _Heard) -> str:
    """The figure in the same unit that was said some words ago."""
    last = next((item for item in scan.found[-2:] if item.unit == unit.name and start - item.end <= 2 * _LATELY), None)
    return "" if last is None else " ".join(scan.words[last.start : last.end])


def _beside(scan: Scan, start: int, end: int, unit: _Heard) -> str:
    """The word right beside a figure that asks for it."""
    return _right_after(scan, end, unit.beside) or _before(scan, start, unit.beside)


def _right_after(scan: Scan, index: int, asks: frozenset[str]) -> str:
    """ "two now inlet", "twelve hour of backlash"."""
    for place in range(index, min(index + 3, len(scan.words))):
        if place in scan.breaks or (scan.words[place] not in asks and scan.words[place] not in _LINKS):
            return ""
        if scan.words[place] in asks:
            return scan.words[place]
    return ""


def _before(scan: Scan, index: int, asks: frozenset[str]) -> str:
    """ "the gap came out at twelve now": only where the figure is said to be the measure."""
    if scan.at(index - 1) not in _MEASURED:
        return ""
    start = max(scan.sentence(index)[0], index - _NEAR)
    return next((scan.plain[place] for place in range(index - 1, start - 1, -1) if scan.plain[place] in asks), "")


def _thousands(scan: Scan, figure: Figure) -> Misheard | None:
    """ "the gasket is 20 thousand": a number of thousandths of an inch where a gap is talked of."""
    if figure.number.shape != "whole" or figure.low % 1000 or not 1000 <= figure.low < 100_000:
        return None
    unit = next(unit for unit in _units() if unit.name == "thou")
    start, end = figure.start, figure.end
    cue = _beside(scan, start, end, unit)
    if not cue or scan.at(end) in ("rpm", "revs"):
        return None
    high = None if figure.high is None else figure.high / 1000
    less = replace(figure, low=figure.low / 1000, high=high)
    return Misheard(less, unit.name, end, f"'thousand' beside {cue!r} {CAN_ONLY_BE} {unit.spoken[0]}")


def unit_by_sound(scan: Scan, figure: Figure) -> Misheard | None:
    """The unit that the words behind a figure sound like, where its kind is asked for and they make no sense there."""
    if scan.at(figure.end - 1) == "million" and figure.number.shape == "whole":
        # "4 million doors": the million is the beginning of the garble
        figure = replace(figure, low=figure.low / 1_000_000, end=figure.end - 1)
    place = _after(scan, figure)
    best: tuple[float, int, _Heard, str, str] | None = None
    for length in range(1, _LONGEST + 1):
        stretch = _stretch(scan, place, length)
        if not stretch or _makes_sense(stretch):
            break
        if stretch in unit_table().aliases:
            # "55 kilometres": only a longer stretch is a garble ("40 foot pans")
            continue
        for unit in _units():
            if unit.alike >= 1 or not 0 < figure.low <= unit.most:
                continue
            likeness = max(alike(stretch, unit.spoken))
            worth = likeness + _LONGER * length
            if likeness < unit.alike or (best is not None and worth <= best[0]):
                continue
            cue, toll = _asked(scan, figure, place + length, unit.asks)
            if cue and likeness >= unit.alike + toll:
                best = worth, length, unit, stretch, cue
    if best is None:
        return None
    _, length, unit, stretch, cue = best
    why = f"{stretch!r} behind a number, with {cue!r} nearby, {MAY_BE} {unit.spoken[0]}"
    return Misheard(figure, unit.name, place + length, why)


def _makes_sense(stretch: str) -> bool:
    """Whether the words behind a number are what they say: parts that are counted, or the sentence going on."""
    words = stretch.split()
    return words[0] in not_between() | NUMBER_WORDS or "'" in words[0] or is_plural(words[-1])


def _asked(scan: Scan, figure: Figure, end: int, asks: frozenset[str]) -> tuple[str, float]:
    """(the nearest word of the sentence that asks for such a figure, toll); those of the sentence before count less."""
    own, wide = scan.sentence(figure.start), scan.with_sentence_before(figure.start)
    for (first, last), toll in ((own, 0.0), (wide, _FAR_TOLL)):
        places = [
            place for place in range(first, last) if not figure.start <= place < end and _asks_at(scan, place, asks)
        ]
        if places:
            return scan.plain[min(places, key=lambda place: abs(place - figure.start))], toll
    return "", 0.0


def _asks_at(scan: Scan, place: int, asks: frozenset[str]) -> bool:
    """Whether a word asks for a figure, alone or as one of two ("run out", for what "float" asks for)."""
    pair = f"{scan.plain[place]} {scan.at(place + 1)}"
    return scan.plain[place] in asks or ("float" in asks and pair in cue_words("clearance_pairs"))


def one_and_a_half(scan: Scan, one: Figure) -> Misheard | None:
    """ "a litter and a quarter of oil", "to an hour and a half" of a gap: hardly anything but a unit stands there."""
    place = one.end
    word = _stretch(scan, place, 1)
    if not word or tuple(scan.words[place + 1 : place + 4]) not in _HALVES or place + 1 in scan.sentences:
        return None
    last = place + 3 if scan.at(place + 2) == "half" else place + 4
    if last in scan.dashes:
        return None
    best: tuple[float, _Heard, str] | None = None
    for unit in _units():
        if unit.name not in _HALVED:
            continue
        cue, _ = _asked(scan, one, place + 4, unit.beside)
        met = word in unit.heard | unit.common | unit.surely
        if not met and word in unit_table().aliases:
            continue
        likeness = max(0.9 * met, *alike(word, unit.spoken))
        if unit.name == "thou" and scan.at(one.start - 1) not in _MEASURED:
            continue
        if cue and likeness >= _ALIKE_HALF and (best is None or likeness > best[0]):
            best = likeness, unit, cue
    if best is None:
        return None
    _, unit, cue = best
    return Misheard(one, unit.name, place + 1, f"{word!r}, with {cue!r} nearby, {MAY_BE} {unit.spoken[0]}")


def rest_of_unit(scan: Scan, end: int) -> int:
    """End of a torque's unit that was heard in part: "14 newton meppers" is read as newtons."""
    if scan.at(end - 1) not in ("newton", "newtons") or not _stretch(scan, end, 1):
        return end
    word = scan.at(end)
    if word in not_between() | NUMBER_WORDS or is_plural(word) or word in cue_words("fastener_nouns"):
        return end
    return end + 1 if alike(f"newton {word}", ("newton metres",))[0] >= _ALIKE_HALF else end
