"""Units written as other words: "25 new demeters" can only be newton metres, "twelve hour backlash" twelve thou.

The words as heard stay the evidence; every figure read this way gets a finding.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from pipeline.numbers import Figure
from pipeline.numbers.words import NUMBER_WORDS
from pipeline.quantities.alike import alike
from pipeline.quantities.counts import is_plural, not_between
from pipeline.quantities.heard_units import MEASURED, HeardUnit, asked_beside, asked_nearby, heard_units, stretch_at
from pipeline.quantities.scan import Found, Scan, cue_words
from pipeline.quantities.units import unit_table

# Nothing idles as slowly.
_LEAST_REVS = 40
_LONGEST = 3
_LATELY = 12
_BEFORE_ORDINALS = frozenset(
    ("the", "a", "an", "my", "your", "our", "his", "her", "its", "this", "that", "every", "each", "on", "of")
)
ORDINAL_ENDINGS = frozenset({"th", "nd", "rd", "st"})
# Of two stretches that sound as like, the longer one is the garble.
_LONGER = 0.03
_HALVES = (("and", "a", "half"), ("and", "a", "quarter"), ("and", "half"))
_ALIKE_HALF = 0.5
_HALVED = ("thou", "L")


@dataclass(frozen=True, slots=True)
class Misheard:
    """A figure whose unit was `heard` as other words up to `end`; `sure` where they can mean nothing else."""

    figure: Figure
    unit: str
    end: int
    heard: str
    sure: bool
    why: str


def _surely(figure: Figure, unit: HeardUnit, end: int, heard: str, where: str) -> Misheard:
    return Misheard(figure, unit.name, end, heard, True, f"{heard!r} {where} can only be {unit.spoken[0]}")


def _maybe(figure: Figure, unit: HeardUnit, end: int, heard: str, where: str) -> Misheard:
    return Misheard(figure, unit.name, end, heard, False, f"{heard!r} {where} may stand for {unit.spoken[0]}")


def misheard_unit(scan: Scan, figure: Figure) -> Misheard | None:
    """A unit behind a figure that was heard as words met before; None where there is none."""
    place = _after(scan, figure)
    for length in range(_LONGEST, 0, -1):
        stretch = stretch_at(scan, place, length)
        if not stretch:
            continue
        for unit in heard_units():
            if stretch in unit.surely and 0 < figure.low <= unit.most:
                return _surely(figure, unit, place + length, stretch, "behind a number")
    return _everyday(scan, figure, place) or _thousands(scan, figure)


def _after(scan: Scan, figure: Figure) -> int:
    """The piece after a figure and the ending of an ordinal ("12th thou")."""
    if figure.end in scan.breaks:
        return figure.end
    # "half a valve" for half a thou
    article = figure.number.shape == "fraction" and scan.at(figure.end) == "a"
    return figure.end + (article or scan.at(figure.end) in ORDINAL_ENDINGS)


def _everyday(scan: Scan, figure: Figure, place: int) -> Misheard | None:
    if figure.low == 1 and figure.high is None:
        # "to one side"
        return None
    for length in (2, 1):
        word = stretch_at(scan, place, length)
        for unit in heard_units():
            if word in unit.heard | unit.common and 0 < figure.low <= unit.commonly:
                found = _everyday_unit(scan, figure, unit, word, place + length)
                if found is not None:
                    return found
    if scan.at(figure.start - 1) == "$":
        unit = next(unit for unit in heard_units() if unit.name == "thou")
        cue = asked_beside(scan, figure.start - 1, figure.end, unit)
        if cue:
            return _surely(figure, unit, figure.end, "$", f"beside {cue!r}")
    return None


def _everyday_unit(scan: Scan, figure: Figure, unit: HeardUnit, word: str, end: int) -> Misheard | None:
    if is_plural(scan.at(end)) and end not in scan.breaks:
        # "eight little bolts"
        return None
    if unit.name == "rpm" and figure.low < _LEAST_REVS:
        return None  # "eight ribs"
    if unit.before:
        known = scan.at(end) in unit.before and end not in scan.breaks
        return _surely(figure, unit, end, word, f"before {scan.at(end)!r}") if known else None
    if unit.after:
        verb = next(
            (plain for plain in scan.plain[max(0, figure.start - 5) : figure.start - 1] if plain in unit.after), ""
        )
        led = scan.at(figure.start - 1) == "to" and verb
        return _surely(figure, unit, end, word, f"behind {verb!r}") if led else None
    cue = asked_beside(scan, figure.start, end, unit)
    if cue:
        return _surely(figure, unit, end, word, f"beside {cue!r}")
    if any((item.heard, item.unit) == (word, unit.name) for item in _lately(scan, figure.start)):
        return _maybe(figure, unit, end, word, "behind a number, as just before,")
    if unit.name == "thou" and _bare_ordinal(scan, figure, end):
        return _surely(figure, unit, end, word, "behind an ordinal")
    between = scan.at(figure.start) == "between" or scan.at(figure.start - 1) in MEASURED
    if between and (before := _said_before(scan, figure.start, unit)):
        return _maybe(figure, unit, end, word, f"behind a number, after {before!r},")
    cue, toll = asked_nearby(scan, figure, end, unit.asks)
    odd_number = scan.at(figure.end) in ORDINAL_ENDINGS or figure.number.shape in ("decimal", "mixed")
    plain_count = figure.low == 1 or scan.at(figure.start - 1) in ("the", "a", "an", "for")
    if not cue or plain_count or not ((word in unit.heard and not toll) or odd_number or between):
        return None
    return _maybe(figure, unit, end, word, f"behind a number, with {cue!r} nearby,")


def _bare_ordinal(scan: Scan, figure: Figure, end: int) -> bool:
    """ "came out at 8th out", "between 5 and 10th out": no eighth has no "the", so "th" begins the unit."""
    ordinal = figure.end not in scan.breaks and scan.at(figure.end) in ORDINAL_ENDINGS
    return ordinal and scan.at(figure.start - 1) not in _BEFORE_ORDINALS and scan.at(end) != "of"


def _lately(scan: Scan, start: int) -> list[Found]:
    """Figures of the last words whose unit was heard as other words."""
    return [item for item in scan.found[-3:] if start - item.end <= _LATELY and item.heard]


def _said_before(scan: Scan, start: int, unit: HeardUnit) -> str:
    """The figure in the same unit that was said some words ago."""
    last = next((item for item in scan.found[-2:] if item.unit == unit.name and start - item.end <= 2 * _LATELY), None)
    return "" if last is None else " ".join(scan.words[last.start : last.end])


def _thousands(scan: Scan, figure: Figure) -> Misheard | None:
    """ "the gasket is 20 thousand": a number of thousandths of an inch where a gap is talked of."""
    if figure.number.shape != "whole" or figure.low % 1000 or not 1000 <= figure.low < 100_000:
        return None
    unit = next(unit for unit in heard_units() if unit.name == "thou")
    start, end = figure.start, figure.end
    cue = asked_beside(scan, start, end, unit)
    if not cue or scan.at(end) in ("rpm", "revs"):
        return None
    high = None if figure.high is None else figure.high / 1000
    less = replace(figure, low=figure.low / 1000, high=high)
    return _surely(less, unit, end, "thousand", f"beside {cue!r}")


def unit_by_sound(scan: Scan, figure: Figure) -> Misheard | None:
    """The unit that the words behind a figure sound like, where its kind is asked for and they make no sense there."""
    if scan.at(figure.end - 1) == "million" and figure.number.shape == "whole":
        # "4 million doors": the million is the beginning of the garble
        figure = replace(figure, low=figure.low / 1_000_000, end=figure.end - 1)
    place = _after(scan, figure)
    best: tuple[float, int, HeardUnit, str, str] | None = None
    for length in range(1, _LONGEST + 1):
        stretch = stretch_at(scan, place, length)
        if not stretch or _makes_sense(stretch):
            break
        if stretch in unit_table().aliases:
            # "55 kilometres": only a longer stretch is a garble ("40 foot pans")
            continue
        for unit in heard_units():
            if unit.alike >= 1 or not 0 < figure.low <= unit.most:
                continue
            likeness = max(alike(stretch, unit.spoken))
            worth = likeness + _LONGER * length
            if likeness < unit.alike or (best is not None and worth <= best[0]):
                continue
            cue, toll = asked_nearby(scan, figure, place + length, unit.asks)
            if cue and likeness >= unit.alike + toll:
                best = worth, length, unit, stretch, cue
    if best is None:
        return None
    _, length, unit, stretch, cue = best
    return _maybe(figure, unit, place + length, stretch, f"behind a number, with {cue!r} nearby,")


def _makes_sense(stretch: str) -> bool:
    """Whether the words behind a number are what they say: parts that are counted, or the sentence going on."""
    words = stretch.split()
    return words[0] in not_between() | NUMBER_WORDS or "'" in words[0] or is_plural(words[-1])


def one_and_a_half(scan: Scan, one: Figure) -> Misheard | None:
    """ "a litter and a quarter of oil", "to an hour and a half" of a gap: hardly anything but a unit stands there."""
    place = one.end
    word = stretch_at(scan, place, 1)
    if not word or tuple(scan.words[place + 1 : place + 4]) not in _HALVES or place + 1 in scan.sentences:
        return None
    last = place + 3 if scan.at(place + 2) == "half" else place + 4
    if last in scan.dashes:
        return None
    best: tuple[float, HeardUnit, str] | None = None
    for unit in heard_units():
        if unit.name not in _HALVED:
            continue
        cue, _ = asked_nearby(scan, one, place + 4, unit.beside)
        met = word in unit.heard | unit.common | unit.surely
        if not met and word in unit_table().aliases:
            continue
        likeness = max(0.9 * met, *alike(word, unit.spoken))
        if unit.name == "thou" and scan.at(one.start - 1) not in MEASURED:
            continue
        if cue and likeness >= _ALIKE_HALF and (best is None or likeness > best[0]):
            best = likeness, unit, cue
    if best is None:
        return None
    _, unit, cue = best
    return _maybe(one, unit, place + 1, word, f"with {cue!r} nearby")


def half_more(scan: Scan, half: Figure) -> Misheard | None:
    """ "set the gib screws to now and a half": a thou and a half, whose article was swallowed."""
    start = half.start - 2
    if half.low >= 1 or half.number.shape != "fraction" or scan.at(start + 1) != "and" or half.start in scan.breaks:
        return None
    if scan.at(start - 1) not in MEASURED or scan.breaks & {start, start + 1}:
        return None
    unit = next(unit for unit in heard_units() if unit.name == "thou")
    word = scan.at(start)
    if word not in unit.surely | unit.heard | unit.common:
        return None
    cue, _ = asked_nearby(scan, replace(half, start=start), half.end, unit.beside)
    more = replace(half, low=1 + half.low, start=start)
    return _maybe(more, unit, half.end, f"{word} and", f"with {cue!r} nearby") if cue else None


def rest_of_unit(scan: Scan, end: int) -> int:
    """End of a torque's unit that was heard in part: "14 newton meppers" is read as newtons."""
    if scan.at(end - 1) not in ("newton", "newtons") or not stretch_at(scan, end, 1):
        return end
    word = scan.at(end)
    if word in not_between() | NUMBER_WORDS or is_plural(word) or word in cue_words("fastener_nouns"):
        return end
    return end + 1 if alike(f"newton {word}", ("newton metres",))[0] >= _ALIKE_HALF else end
