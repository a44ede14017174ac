"""Decimals said without their point beside a figure that they come near: "the guide's seven oh five" of seven mil."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction

from pipeline.numbers.figure import RANGE_WORDS
from pipeline.numbers.words import POINTS
from pipeline.quantities.batteries import of_a_battery
from pipeline.quantities.scan import Bare, Found, Scan

_REACH = 60
_LEAST_REVS, _LISTED_WITHIN = 1000, 4
_TURNING = frozenset(
    {"idle", "idles", "throttle", "tickover", "revs", "rpm", "governor", "flat", "chain", "turned", "tach"}
)
_COUNTED = frozenset({"volts", "volt", "foot", "newton", "psi", "degrees", "minutes", "seconds", "thou"})
_FIVE_DIGITS = 10_000
_MOST_MM = 250
_BORED = frozenset(
    {
        "bore",
        "bores",
        "piston",
        "pistons",
        "journal",
        "shaft",
        "sleeve",
        "housing",
        "liner",
        "mikes",
        "measures",
        "cylinder",
        "bush",
    }
)
_SAID_OF = frozenset({"at", "is", "was", "it's", "to", "from", "says", "now"})
_KINDS = frozenset({"length", "clearance", "pressure", "voltage"})
_LEAST_WHOLE, _NEAR_WHOLE = 8, Fraction(6, 100)
# How far from the other figure such a decimal may be: hundredths, and tenths of it.
_NEAR, _NEAR_TENTHS = Fraction(3, 100), Fraction(15, 100)


def with_points(scan: Scan) -> list[Found]:
    """Figures for the bare numbers that are such decimals; those numbers leave `scan.bare`, or get their point."""
    given: list[Found] = []
    left: list[Bare] = []
    near_by = _references(scan)
    by_start = {bare.start: bare for bare in scan.bare}
    taken: set[int] = set()
    turning = [*_speeds(scan)]
    for bare in scan.bare:
        if bare.start in taken:
            continue
        pointed, digit = None, None
        if bare.spoken and bare.value.denominator == 1:
            if (revs := _thousands(scan, bare, by_start, turning)) is not None:
                taken |= {item.start for item in scan.bare if bare.start < item.start < revs.end}
                given.append(scan.figure_of(revs, "speed", "rpm", "thousands of revs, said short"))
                of_it = [item for item in turning if isinstance(item, Bare) and _comes_near(item, revs)]
                given += [scan.figure_of(item, "speed", "rpm", "beside revs said short") for item in of_it]
                turning = [item for item in turning if item not in of_it]
                turning.append(given[-1])
                taken |= {item.start for item in of_it}
                left = [item for item in left if item not in of_it]
                continue
            pointed = _hundredths(scan, bare)
            if bare.high is not None and (said := _digits(scan, bare)) is not None:
                near = _beside(near_by, said, _NEAR_TENTHS)
                left.append(bare if near is None else said)
                continue
            if pointed is None and (digit := _digit_behind(scan, bare, by_start)) is not None:
                pointed = _tenths(bare, digit)
                last = _digit_behind(scan, replace(bare, end=digit.end), by_start)
                fine = None if last is None else replace(pointed, value=pointed.value + last.value / 100, end=last.end)
                if last is not None and fine is not None and _beside(near_by, fine, _NEAR) is not None:
                    pointed = replace(fine, places=2)  # "twelve four four" beside twelve and a half
                    taken.add(last.start)
        if pointed is not None and (pair := _metric_pair(scan, pointed)) is not None:
            given.append(pair)
            continue
        near = None
        if pointed is not None:
            near = _beside(near_by, pointed, _NEAR if digit is None else _NEAR_TENTHS)
            if near is None and digit is not None:
                near = _worn_from(scan, near_by, pointed)
        if digit is not None and pointed is not None and near is None:
            volts = of_a_battery(scan, pointed) or _more_volts(scan, pointed, given)  # "resting they're twelve six"
            if volts is not None:
                given.append(volts)
                taken.add(digit.start)
                continue
        if pointed is None or near is None:
            left.append(bare)
            continue
        if digit is not None:
            taken.add(digit.start)
        if isinstance(near, Bare):
            left.append(pointed)
        else:
            why = f"a decimal said without its point, beside {' '.join(scan.words[near.start : near.end])!r}"
            given.append(scan.figure_of(pointed, near.kind.replace("clearance", "length"), near.unit, why))
    scan.bare = left
    return given


def _hundredths(scan: Scan, bare: Bare) -> Bare | None:
    """ "fifty-seven seventy-five", "seven oh five"."""
    if bare.high is not None:
        if not _side_by_side(scan, bare) or bare.high not in range(10, 100) or bare.value < 10:
            return None
        return replace(bare, value=bare.value + bare.high / 100, high=None, shape="decimal", places=2)
    if bare.shape != "joined" or bare.value < 100:
        return None
    over = bare.value // 100
    drum = any(
        found.unit == "in" and found.value == over and abs(found.start - bare.start) <= _REACH for found in scan.found
    )
    if drum and bare.value < _FIVE_DIGITS and over > 1:
        # "the drum's ten inches, max is ten sixty"
        return replace(bare, value=over + (bare.value - over * 100) / 1000, shape="decimal", places=3)
    places = 4 if bare.value >= _FIVE_DIGITS else 2  # "one seven four nine two"
    return replace(bare, value=bare.value / 10**places, shape="decimal", places=places)


def _metric_pair(scan: Scan, pointed: Bare) -> Found | None:
    """ "the bore's sixty eight oh one at the top and sixty eight oh six at the bottom": hundredths of a millimetre,
    where two such sizes stand side by side."""
    if not 10 <= pointed.value <= _MOST_MM or pointed.places != 2:
        return None
    start, end = scan.sentence(pointed.start)
    said = {*scan.plain[start:end]}
    if (
        not said & _BORED
        or said & (_TURNING | _COUNTED - {"thou"})
        or any(found.unit in ("thou", "in") for found in scan.found)
    ):
        return None
    others = [
        _hundredths(scan, bare) for bare in scan.bare if bare.start != pointed.start and start <= bare.start < end
    ]
    alike = (
        other for other in others if other is not None and abs(other.value - pointed.value) <= _NEAR * pointed.value
    )
    why = "a size in hundredths, said without its point; taken as millimetres"
    return scan.figure_of(pointed, "length", "mm", why) if any(alike) else None


def _side_by_side(scan: Scan, bare: Bare) -> bool:
    """Whether a range is two numbers side by side, the second the larger, with no "to" between them."""
    return not {*scan.words[bare.start : bare.end]} & (RANGE_WORDS | {"between", "from"})


def _more_volts(scan: Scan, pointed: Bare, given: Sequence[Found]) -> Found | None:
    """ "twelve six, twelve seven, ten two": another of the volts just before."""
    last = given[-1] if given else None
    if last is None or last.unit != "V" or not 0 <= pointed.start - last.end <= _LISTED_WITHIN:
        return None
    near = abs(last.value - pointed.value) <= last.value / 4
    return scan.figure_of(pointed, "voltage", "V", "beside volts said without their point") if near else None


def _speeds(scan: Scan) -> Iterator[Found | Bare]:
    """Figures and numbers that can only be revs, one of whose size may be said short."""
    yield from (found for found in scan.found if found.unit == "rpm" and found.value >= _LEAST_REVS)
    talk = {*scan.plain} & _TURNING
    yield from (
        bare for bare in scan.bare if talk and bare.spoken and bare.value >= _LEAST_REVS and not bare.value % 50
    )


def _thousands(scan: Scan, bare: Bare, by_start: Mapping[int, Bare], turning: Sequence[Found | Bare]) -> Bare | None:
    """ "thirteen and a half thousand, the sticker says thirteen two", "thirty-three hundred, now thirty-five fifty"."""
    if not turning or not 1 < bare.value < 100:
        return None
    behind = by_start.get(bare.end) if bare.end not in scan.breaks else None
    value, end = Fraction(0), bare.end
    if bare.high is not None:
        if _side_by_side(scan, bare) and bare.value >= 10 and bare.high in range(10, 100):
            value = bare.value * 100 + bare.high
    elif behind is not None and behind.spoken and behind.high is None and scan.at(behind.end) not in _COUNTED:
        end = behind.end
        if behind.value in range(1, 10) and behind.end == behind.start + 1:
            value = bare.value * 1000 + behind.value * 100
        elif bare.value >= 10 and behind.value in range(10, 100):
            value = bare.value * 100 + behind.value
    revs = replace(bare, value=value, high=None, end=end, shape="joined")
    return revs if value and any(_comes_near(item, revs) for item in turning) else None


def _comes_near(item: Found | Bare, revs: Bare) -> bool:
    apart = abs(item.start - revs.start)
    return 0 < apart <= _REACH and abs(item.value - revs.value) <= item.value / 4


def _digit_behind(scan: Scan, bare: Bare, by_start: Mapping[int, Bare]) -> Bare | None:
    digit = by_start.get(bare.end) if bare.end not in scan.breaks else None
    if digit is None or bare.high is not None or bare.value < 1 or bare.shape != "whole":
        return None
    single = digit.spoken and digit.high is None and digit.value in range(1, 10) and digit.end == digit.start + 1
    return digit if single else None


def _digits(scan: Scan, bare: Bare) -> Bare | None:
    """ "the limit's four five": two digits side by side, read as a range."""
    if bare.high is None or not _side_by_side(scan, bare) or bare.end != bare.start + 2:
        return None
    if bare.value not in range(1, 10) or bare.high not in range(1, 10):
        return None
    return replace(bare, value=bare.value + bare.high / 10, high=None, shape="decimal", places=1)


def _worn_from(scan: Scan, near_by: Sequence[Found | Bare], pointed: Bare) -> Found | Bare | None:
    """ "one point four thick, it started out at one eight": a size with its point, said of the same just before."""
    led = scan.at(pointed.start - 1)
    closes = pointed.end in scan.breaks or scan.at(pointed.end) in ("", "and", "so", "but", "new", "now")
    if not closes or not (led in _SAID_OF or led.endswith("'s")) or not scan.joined(pointed.start):
        return None
    start = scan.sentence(pointed.start)[0]
    before = [item for item in near_by if start <= item.start and item.end < pointed.start]
    last = before[-1] if before else None
    sized = last is not None and last.value.denominator in (2, 5, 10) and scan.at(last.start + 1) in POINTS
    alike = sized and last is not None and Fraction(1, 2) <= pointed.value / last.value <= 2
    return last if alike else None


def _tenths(bare: Bare, digit: Bare) -> Bare:
    """ "twenty-four six"."""
    return replace(bare, value=bare.value + digit.value / 10, end=digit.end, shape="decimal", places=1)


def _references(scan: Scan) -> list[Found | Bare]:
    """Figures and numbers with a point that such a decimal may come near, in order."""
    figures = [found for found in scan.found if found.kind in _KINDS and found.times == 1 and found.high is None]
    return sorted([*figures, *(item for item in scan.bare if item.shape == "decimal")], key=lambda item: item.start)


def _of_a_whole(item: Found | Bare, pointed: Bare) -> bool:
    """ "a minimum of twenty two millimetres, and it mikes at twenty one six": tenths of a whole size, if so near it."""
    sized = isinstance(item, Found) and item.unit == "mm" and item.kind == "length"
    return sized and item.value >= _LEAST_WHOLE and abs(item.value - pointed.value) <= _NEAR_WHOLE * item.value


def _beside(near_by: Sequence[Found | Bare], pointed: Bare, within: Fraction) -> Found | Bare | None:
    """The first figure, else the first number with a point, that stands not far off and comes so near in value."""
    first = bisect_left(near_by, pointed.start - _REACH, key=lambda item: item.start)
    last = bisect_right(near_by, pointed.start + _REACH, key=lambda item: item.start)
    alike = [
        item
        for item in near_by[first:last]
        if item.start != pointed.start
        and (item.value.denominator != 1 or within == _NEAR or _of_a_whole(item, pointed))
        and abs(item.value - pointed.value) <= within * item.value
    ]
    return next((item for item in alike if isinstance(item, Found)), alike[0] if alike else None)
