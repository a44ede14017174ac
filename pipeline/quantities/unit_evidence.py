"""What speaks for the unit of a number whose unit nobody says, and for its being no figure at all."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from functools import cache
from math import log2

from pipeline.numbers.words import ONES, TEENS, word_set
from pipeline.quantities.counts import is_plural, not_between
from pipeline.quantities.heard_units import kind_asks
from pipeline.quantities.scan import Bare, Found, Scan, cue_words
from pipeline.quantities.talk import words_beside
from pipeline.quantities.units import IGNORED, unit_table
from pipeline.quantities.usual_units import DEFAULTS, GRADES, has_part

REACH_BACK = 90
_LATELY = 40
# Above this a number counts nothing that is not named.
_COUNTED = 12
_COUNTING = ONES | TEENS
_JAWS = range(5, 47)
_OFFERED = 6
_BEFORE = word_set(
    "to at is was are were be been it's that's they're says said read reads under over below above than about around "
    "only wants nearly just minimum maximum limit took takes showing shows measured till until by with on maybe say "
    "now then got gets get reading or and a an the of in for from used use put all those these both other this every "
    "each last first another them number no i you we it he she cut down up out between past half point"
)
_AFTER = word_set(
    "of times way ways thing things people piece side sides and or so but then because for in on at to the a is was "
    "now each all again it it's that's i you we out off more less which if when thick minimum max maximum limit front "
    "back top bottom rear left right inlet exhaust cold hot wide deep long one ones with without years o'clock paper "
    "wet here there dead new old"
)
_STEPS = (1, 2, 3, 5, 8, 12, 18, 26, 40, 60)


def inch_talk(scan: Scan, bare: Bare, lenders: Sequence[Found]) -> Iterator[str]:
    """What says that a size with three decimals is in inches: whose speech it is, its size, the sizes around it."""
    american = "american" if scan.settings.units == "us" else "british"
    yield "inches with three decimals"
    yield f"inches with three decimals, {american}"
    yield f"inches with three decimals, {american}, {_step(int(bare.value))}"
    units = {found.unit for found in lenders if abs(found.start - bare.start) <= REACH_BACK}
    yield f"inches beside {'inches' if units & {'in', 'thou'} else 'millimetres' if units & {'mm', 'µm'} else 'none'}"


def lent(scan: Scan, bare: Bare, found: Found, side: str, passed: int) -> Iterator[str]:
    """How near and how much alike the figure stands that would lend its unit, past so many others."""
    yield f"lent {side}"
    yield f"lent {found.kind}"
    gap = bare.start - found.end if side == "before" else found.start - bare.end
    yield f"lent {side} {_step(gap)}"
    first, last = (found.end, bare.start) if side == "before" else (bare.end, found.start)
    stops = sum(place in scan.breaks for place in range(first, last + 1))
    apart = bisect_right(scan.sentences, last) - bisect_right(scan.sentences, first - 1)
    yield f"lent {side} {min(apart, 3)} sentences"
    if not stops:
        yield f"lent {side} without a stop"
    yield f"lent past {min(passed, 3)}"
    value = bare.value * found.times
    if value > 0 and found.value > 0:
        away = abs(log2(float(value / found.value)))
        yield f"lent times {next((bound for bound in (0.3, 0.7, 1.2, 2, 3, 4) if away <= bound), 9)}"
        yield f"lent {'same sentence' if not apart else 'apart'} times {'near' if away <= 1.2 else 'far'}"
    if (bare.value.denominator == 1) == ((found.value / found.times).denominator == 1):
        yield "lent as exact"
    if bare.spoken == (not scan.pieces[found.head].text[0].isdigit()):
        yield "lent as written"
    if scan.at(bare.start - 1) == scan.at(found.head - 1) and scan.at(bare.start - 1) in _BEFORE:
        yield "lent behind the same word"


def asked(scan: Scan, bare: Bare, kind: str) -> Iterator[str]:
    """How near the nearest word stands that asks for such a figure, in the sentence or not long before."""
    places = _asking(scan, kind)
    first, last = scan.sentence(bare.start)
    behind = bisect_left(places, bare.end)
    gaps = []
    before = bisect_left(places, bare.start) - 1
    if before >= 0 and places[before] >= first:
        gaps.append((bare.start - places[before], True))
    if behind < len(places) and places[behind] < last:
        gaps.append((places[behind] - bare.end + 1, False))
    if gaps:
        gap, is_before = min(gaps)
        yield f"asked {'before' if is_before else 'behind'} {_step(gap)}"
        yield f"{kind} asked"
    elif before >= 0 and places[before] >= scan.with_sentence_before(bare.start)[0]:
        yield "asked in the sentence before"
        yield f"{kind} asked before"
    elif before >= 0 and bare.start - places[before] <= _LATELY and (bare.value > _COUNTED or has_part(bare)):
        yield "asked lately"
        yield f"{kind} asked lately"


def _asking(scan: Scan, kind: str) -> list[int]:
    """Places of the words that ask for such a figure."""
    if not scan.asking:
        for each in DEFAULTS:
            scan.asking[each] = []
        kinds = _asked_kinds()
        for place, word in enumerate(scan.plain):
            for each in kinds.get(word, ()):
                scan.asking[each].append(place)
    return scan.asking.get(kind, [])


@cache
def _asked_kinds() -> dict[str, tuple[str, ...]]:
    """Word -> the kinds of figure that it asks for."""
    kinds: dict[str, tuple[str, ...]] = {}
    for kind in DEFAULTS:
        for word in _asks(kind):
            kinds[word] = (*kinds.get(word, ()), kind)
    return kinds


def _asks(kind: str) -> frozenset[str]:
    if kind in ("grit", "spanner", "teeth", "angle"):
        return cue_words(f"{kind}_asked")
    if kind == "length":
        return (
            kind_asks("clearance")
            | cue_words("valve_words")
            | cue_words("length")
            | cue_words("length_things")
            | cue_words("measured_with")
        )
    return kind_asks(kind)


def offered(scan: Scan, bare: Bare, kind: str, last: Found | None) -> Iterator[str]:
    """What makes a number a jaw, a grade or a torque without a word for it: "with a seventeen", "a pint of ninety".

    `last` is the figure before.
    """
    before = scan.at(bare.start - 1) if bare.start not in scan.breaks else ""
    whole = bare.value.denominator == 1 and bare.high is None
    if kind == "spanner" and whole and bare.value in _JAWS and before in ("a", "an", "with", "of", "size", "the"):
        yield f"spanner offered behind {before}"
        closes = bare.end in scan.breaks or bare.end >= len(scan.words)
        yield f"spanner offered {'before a stop' if closes else 'in the midst'}"
        if scan.at(bare.start - 2) in ("with", "takes", "it's", "a"):
            yield f"spanner offered behind {scan.at(bare.start - 2)} {before}"
    if kind == "viscosity" and whole and bare.value in GRADES and before in ("of", "with"):
        yield f"viscosity offered behind {before}"
        if any(0 < bare.start - found.end <= 3 and found.kind == "volume" for found in scan.found):
            yield "viscosity offered behind a volume"
    if kind == "torque" and last is not None and _fastens(last) and 0 <= bare.start - last.end <= _OFFERED:
        # "slider pins are a seven mil Allen and only twenty eight"
        same = bisect_right(scan.sentences, bare.start) == bisect_right(scan.sentences, last.start)
        yield f"torque offered behind a {last.kind}{'' if same else ', apart'}"
    if kind == "torque" and before in ("to", "at"):
        verbs = scan.plain[max(scan.sentence(bare.start)[0], bare.start - 7) : bare.start - 1]
        if {*verbs} & cue_words("torque_led"):
            yield f"torque led by a verb and {before}"


def _fastens(found: Found) -> bool:
    """Whether a figure is a spanner's or a thread's, or a length of the size of one."""
    return found.kind in ("spanner", "thread") or (
        found.kind == "length" and found.unit == "mm" and found.value in _JAWS and found.high is None
    )


def for_none(scan: Scan, bare: Bare, lenders: Sequence[Found]) -> list[str]:
    """What says that a number is no figure of the build, or that it is one whatever its unit."""
    before = scan.at(bare.start - 1) if bare.start not in scan.breaks else ""
    after = scan.at(bare.end) if bare.end not in scan.breaks else ""
    whole = bare.value.denominator == 1
    names = ["none", f"none, {bare.shape}", "none, spoken" if bare.spoken else "none, written"]
    size = "part" if not whole else next((str(most) for most in (1, 4, 12, 30, 100, 999) if bare.value <= most), "more")
    names.append(f"none, {size}")
    if before in _BEFORE:
        names.append(f"none behind {before}")
    elif not before:
        names.append("none behind a stop")
    elif before.endswith("'s"):
        names.append("none behind 's")
    elif is_plural(before):
        names.append("none behind a plural")
    else:
        names.append("none behind a word")
    if after in _AFTER:
        names.append(f"none before {after}")
    elif not after:
        names.append("none before a stop")
        names.append(f"none before a stop, {size}")
    elif is_plural(after):
        names.append("none before a plural")
    elif after.endswith("s") and after not in not_between():
        names.append("none before a word in s")
    elif after in unit_table().aliases:
        names.append("none before a unit")
    else:
        names.append("none before a word")
    if bare.high is not None:
        names.append("none, a range")
    if whole and _counts_on(scan, bare):
        names.append("none, counting on")
    if whole and 1900 <= bare.value <= 2060:
        names.append("none, a year")
    raw = scan.pieces[bare.start - 1].raw if bare.start else ""
    if raw[:1].isupper() and bare.start - 1 not in scan.sentences and bare.start > 1:
        names.append("none behind a name")
    earlier = [found for found in lenders if 0 <= bare.start - found.end <= REACH_BACK]
    if not earlier:
        names.append("none, first figure")
    elif earlier[-1].kind == IGNORED and bare.start - earlier[-1].end <= _LATELY:
        # "eight clicks out, compression's four"
        names.append(f"none, behind one of no build {_step(bare.start - earlier[-1].end)}")
        names.append("none, behind one of no build")
    return [*names, *(f"none {name}" for name in words_beside(scan, bare.start, bare.end))]


def _counts_on(scan: Scan, bare: Bare) -> bool:
    """ "one, two, three": right beside the next number."""
    beside = (scan.at(bare.start - 1), scan.at(bare.end))
    return any(abs(_COUNTING.get(word, 99) - bare.value) == 1 for word in beside)


def _step(gap: int) -> int:
    return next((bound for bound in _STEPS if gap <= bound), 99)
