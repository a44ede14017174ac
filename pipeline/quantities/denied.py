"""Figures that are taken back although they are named once more: "no, not forty, fifty newton metres", "no wait,
twenty is for the other one, this is twenty five", "forty newton metres, no sorry, foot pounds"."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from pipeline.numbers.words import word_set
from pipeline.quantities.counts import counted_nouns
from pipeline.quantities.lent import LEND_NONE, may_lend
from pipeline.quantities.likened import like
from pipeline.quantities.reasons import put_right_why
from pipeline.quantities.scan import Bare, Found, Scan, cue_words
from pipeline.quantities.unit_words import units_at
from pipeline.quantities.units import declared, unit_table

# Words between a figure and what takes it back, and between that and the figure that stays.
_BACK, _ON = 10, 16
_STOPS = word_set("no nah nope wait sorry hang hold actually scratch scrub ignore forget oops")
_UNIT_STOPS = word_set("no nah nope sorry wait mean")
# "Ten is for the exhaust", "three is what the manual says", "six was the old one".
_IS = word_set("is was that's are were would's")
_OF_ANOTHER = (("for",), ("what",), ("the", "other"), ("the", "old"), ("on", "the"), ("wrong",), ("too",), ("from",))
# "No, that's what the book says, I only got four in", "no, ignore that, I was reading the wrong line, thirty".
_THAT_IS = (
    ("that's", "what"), ("thats", "what"), ("that's", "for", "the"), ("thats", "for", "the"), ("that", "was", "for"),
    ("ignore", "that"), ("forget", "that"), ("scrap", "that"), ("scrub", "that"), ("scratch", "that"),
    ("that's", "the", "other"), ("that's", "the", "wrong"),
)  # fmt: skip
_FILLERS = word_set("no nah nope wait sorry hang on hold oh ah well er i tell a lie actually")
# Numbers stay within such a factor of the figure that they put right.
_MOST_TIMES = 6
_TAKEN_WITHIN = 4


def without_denied(scan: Scan) -> None:
    """Takes the figures that are denied out of `scan.found`, and gives the numbers that replace them their unit."""
    for bare in sorted(scan.bare, key=lambda item: item.start):
        if bare not in scan.bare:
            continue
        figures = sorted(scan.found, key=lambda found: found.start)
        if _is_not(scan, bare, figures) or _of_another(scan, bare, figures) or _without_its_unit(scan, bare, figures):
            scan.bare.remove(bare)
    for found in sorted(scan.found, key=lambda found: found.start):
        if _is_not_but(scan, found):
            scan.found.remove(found)
        else:
            _taken_back(scan, found)
    scan.found = [_in_other_unit(scan, found) for found in scan.found]


def _before(scan: Scan, place: int, figures: Sequence[Found]) -> Found | None:
    """The last figure before a place that can be taken back there."""
    near = [found for found in figures if 0 <= place - found.end <= _BACK and found.kind not in LEND_NONE]
    return near[-1] if near else None


def _is_not(scan: Scan, bare: Bare, figures: Sequence[Found]) -> bool:
    """ "not forty, fifty newton metres": drops the number, and a figure before it of that value."""
    if scan.at(bare.start - 1) != "not" or bare.start in scan.breaks or bare.high is not None:
        return False
    wrong = _before(scan, bare.start, figures)
    same = wrong is not None and wrong.value == bare.value * wrong.times
    after = next((found for found in figures if 0 <= found.head - bare.end <= 1), None)
    if after is not None and bare.end in scan.breaks | {after.head - 1}:
        if wrong is not None and same and wrong.kind == after.kind:
            scan.found.remove(wrong)
        # "thirty, no not thirty, thirty five newton metres"
        near = range(1, _BACK // 2 + 1)
        scan.bare = [item for item in scan.bare if item.value != bare.value or bare.start - item.end not in near]
        return True
    if wrong is None or not same:
        return False
    right = next((item for item in scan.bare if 0 <= item.start - bare.end <= 1 and item.start > bare.start), None)
    if right is None or not _fits(scan, right, wrong):
        return False
    _replace(scan, right, wrong)
    return True


def _without_its_unit(scan: Scan, bare: Bare, figures: Sequence[Found]) -> bool:
    """ "two hundred and fifty, no, two hundred and eighty degrees": taken back before its unit was said."""
    after = next((found for found in figures if bare.end < found.start <= bare.end + _TAKEN_WITHIN), None)
    if after is None or after.kind in LEND_NONE or bare.high is not None or bare.end not in scan.breaks:
        return False
    between = " ".join(scan.words[bare.end : after.start])
    return between in cue_words("taken_back") and _fits(scan, bare, after)


def _is_not_but(scan: Scan, found: Found) -> bool:
    """ "the gap is not twenty thou, twenty five thou"."""
    if scan.at(found.head - 1) != "not" or found.head in scan.breaks or found.end not in scan.breaks:
        return False
    alike = (other for other in scan.found if other.kind == found.kind and other.unit == found.unit)
    return any(0 <= other.head - found.end <= 1 for other in alike)


def _of_another(scan: Scan, bare: Bare, figures: Sequence[Found]) -> bool:
    """ "no wait, twenty is for the other one, this is twenty five"."""
    wrong = _before(scan, bare.start, figures)
    if wrong is None or wrong.value != bare.value * wrong.times or not _stopped(scan, wrong.end, bare.start):
        return False
    shortened = bare.end in scan.breaks and scan.pieces[bare.end - 1].text.endswith("'s")
    place = bare.end if shortened else bare.end + 1
    if not shortened and scan.at(bare.end) not in _IS:
        return False
    if not any(tuple(scan.words[place : place + len(words)]) == words for words in _OF_ANOTHER):
        return False
    _put_right_behind(scan, wrong, bare.end)
    return True


def _stopped(scan: Scan, start: int, end: int) -> bool:
    return bool({*scan.words[start:end]} & _STOPS)


def _taken_back(scan: Scan, wrong: Found) -> None:
    """ "no, that's what the book says", "no, forget that": right behind a figure."""
    if wrong.kind in LEND_NONE:
        return
    place = wrong.end
    # "twelve thou nip on the stem seals, no, forget that"
    stop = next((at for at in range(place, place + _BACK) if scan.at(at) in _UNIT_STOPS and at in scan.breaks), place)
    if not any(place <= other.start < stop for other in scan.found):
        place = stop
    while place - wrong.end < 2 * _BACK and scan.at(place) in _FILLERS:
        place += 1
    said = any(tuple(scan.words[place : place + len(words)]) == words for words in _THAT_IS)
    if said and _stopped(scan, wrong.end, place + 1) and (place > wrong.end or wrong.end in scan.breaks):
        only = scan.at(place) in ("ignore", "forget", "scrap", "scrub", "scratch")
        _put_right_behind(scan, wrong, place, only=only)


def _put_right_behind(scan: Scan, wrong: Found, place: int, *, only: bool = False) -> None:
    """Drops a figure for the next one behind a place, which takes its unit where it has none.

    `only`: nothing need come instead of it.
    """
    figure = next((found for found in sorted(scan.found, key=lambda item: item.start) if found.start >= place), None)
    number = next(
        (
            item
            for item in sorted(scan.bare, key=lambda item: item.start)
            if item.start >= place and not _is_one(scan, item)
        ),
        None,
    )
    if figure is not None and (number is None or figure.start < number.start):
        if figure.start - place <= _ON and figure.kind == wrong.kind:
            scan.found.remove(wrong)
            return
    elif number is not None and number.start - place <= _ON and _fits(scan, number, wrong):
        _replace(scan, number, wrong)
        return
    if only and wrong in scan.found:
        scan.found.remove(wrong)


def _is_one(scan: Scan, bare: Bare) -> bool:
    """ "this one is four"."""
    return scan.at(bare.start) == "one" and bare.end == bare.start + 1


def _fits(scan: Scan, bare: Bare, wrong: Found) -> bool:
    value = bare.value * wrong.times
    near = value > 0 and wrong.value > 0 and 1 / _MOST_TIMES <= value / wrong.value <= _MOST_TIMES
    return near and may_lend(bare, wrong) and not counted_nouns() & {*scan.words[bare.end : bare.end + 2]}


def _replace(scan: Scan, bare: Bare, wrong: Found) -> None:
    """The number takes the place and the unit of the figure that it puts right."""
    scan.bare.remove(bare)
    right = like(scan, bare, wrong)
    scan.found.append(replace(right, why=put_right_why(scan.words[wrong.start : wrong.end])))
    scan.found.remove(wrong)


def _in_other_unit(scan: Scan, found: Found) -> Found:
    """ "forty newton metres, no sorry, foot pounds": the unit is put right, its number stays."""
    if found.kind in LEND_NONE or found.high is not None or found.heard:
        return found
    place = found.end
    while place - found.end < _BACK and (
        scan.at(place) in _FILLERS or scan.at(place) in ("i", "mean", "that's", "it's")
    ):
        place += 1
    if not {*scan.words[found.end : place]} & _UNIT_STOPS:
        return found
    for unit in units_at(scan, place):
        name = unit.alias.target
        if name not in unit_table().units or unit.alias.written:
            continue
        other, is_declared = declared(name, scan.settings)
        entry = unit_table().units[other]
        said_in_full = any(0 <= item.head - unit.end <= 2 and item.kind == found.kind for item in scan.found)
        if entry.kind == found.kind and other != found.unit and not said_in_full:
            value = found.value / found.times * unit.alias.times
            return replace(
                found, value=value, unit=other, times=unit.alias.times, declared=is_declared, end=unit.end, why=""
            )
    return found
