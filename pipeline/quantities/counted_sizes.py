"""A count and a size said in one breath: "two thirty thou shims", "four thirteen mil and one nineteen", "a new one
twelve volt". They sound like one number, 230 or 413."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from pipeline.numbers.words import ONES, ZEROS, word_set
from pipeline.quantities.counts import counted_nouns, is_plural, not_between
from pipeline.quantities.scan import Bare, Found, Scan, cue_words
from pipeline.quantities.spanner_lists import split_count
from pipeline.quantities.units import IGNORED

# What comes in such sizes: the heads of fasteners, shims, bulbs.
_HEADS_MM = frozenset({8, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 21, 22, 24, 27, 30, 32, 36})
_VOLTAGES = frozenset({6, 12, 24, 36, 48})
_LEAST_THOU, _MOST_THOU = 3, 60
_UNITS = frozenset({"mm", "thou", "V", "in", "L", "A"})
# "Two fourteen mil ones", "two twelve mil heads".
_STAND_INS = word_set("ones heads headed")
_MOST_BETWEEN = 2
_MEASURED = word_set("long wide thick deep tall high length width diameter travel apart across bore")
# Before the "one" that stands for a thing: "a new one twelve volt".
_SORTS_OF_ONE = word_set("new old other bigger smaller better spare decent good used proper different")


def split_sizes(scan: Scan) -> None:
    """Takes the counts off such figures in `scan.found`, and off the numbers without a unit beside them."""
    counted = [found.end for found in scan.found if found.unit in _UNITS and _small_and_counted(scan, found)]
    ends: list[int] = []
    split = [at for at, found in enumerate(scan.found) if _is_counted(scan, found)]
    split += [at for at, found in enumerate(scan.found) if at not in split and _in_a_row(scan, found, split)]
    for at in split:
        found = scan.found[at]
        count, size = divmod(found.value / found.times, 100)
        ends.append(found.end)
        if _noun_behind(scan, found.end):
            scan.bare.append(Bare(Fraction(count), None, found.head, found.head + 1, True, "whole"))
        scan.found[at] = replace(found, value=size * found.times, start=found.head + 1, head=found.head + 1)
    before = [*ends, *counted]
    before += [end + 1 for end in before if is_plural(scan.at(end))]
    scan.bare = [_less_its_count(scan, bare, before) for bare in scan.bare if not _counts_next(scan, bare, ends)]


def _parts(found: Found) -> tuple[Fraction, Fraction] | None:
    """The count and the size of a figure that may be both."""
    value = found.value / found.times
    parts = split_count(value) if found.high is None and value.denominator == 1 and value >= 100 else None
    if parts is None or found.kind == IGNORED:
        return None
    size = parts[1]
    fits = {
        "mm": size in _HEADS_MM,
        "thou": _LEAST_THOU <= size <= _MOST_THOU,
        "V": size in _VOLTAGES,
    }
    return parts if fits.get(found.unit, False) else None


def _said_as_two(scan: Scan, found: Found) -> bool:
    """Whether a number begins with a lone digit, and no hundred is said."""
    return scan.at(found.head) in ONES and scan.at(found.head + 1) not in ("hundred", "and", "point", *ZEROS)


def _stands_for_a_thing(scan: Scan, found: Found) -> bool:
    """ "a new one twelve volt"."""
    return scan.at(found.head) == "one" and scan.joined(found.head) and scan.at(found.head - 1) in _SORTS_OF_ONE


def _is_counted(scan: Scan, found: Found) -> bool:
    """Whether the noun behind says that there are several, or the word before "one" that it is no number."""
    if not _said_as_two(scan, found):
        return False
    if _stands_for_a_thing(scan, found):
        value = found.value / found.times
        return found.unit in _UNITS and found.high is None and 100 <= value < 200 and value.denominator == 1
    if _parts(found) is None:
        return False
    if scan.at(found.head) == "one" or scan.at(found.head - 1) in ("a", "an", "the"):
        return False
    if _noun_behind(scan, found.end):
        return True
    # "five bolts hold it, four thirteen mil and one hidden"
    rest = scan.at(found.end) == "and" and scan.at(found.end + 1) in ONES and found.end not in scan.sentences
    if not rest or _length_said(scan, found):
        return False
    sized = any(bare.start == found.end + 1 and split_count(bare.value) for bare in scan.bare)
    return sized or _of_fasteners(scan, found.start)


def _noun_behind(scan: Scan, end: int) -> bool:
    """Whether a plural stands behind a figure: "two thirty thou brass shims"."""
    for place in range(end, end + _MOST_BETWEEN + 1):
        word = scan.at(place)
        if not word or place in scan.breaks or word in not_between():
            return False
        if is_plural(word) or word in _STAND_INS:
            return True
    return False


def _in_a_row(scan: Scan, found: Found, split: list[int]) -> bool:
    """ "two ten mil bolts and four twelve mil", "three seventeen mil and one nineteen mil": beside a counted size."""
    if not _said_as_two(scan, found) or _parts(found) is None or _length_said(scan, found):
        return False
    start, end = scan.sentence(found.start)
    others = [other for at, other in enumerate(scan.found) if at in split or _small_and_counted(scan, other)]
    if any(start <= other.start < end and other.unit == found.unit for other in others):
        return True
    # "two thirteen mil, two seventeen mil": of fasteners
    twins = [
        other
        for other in scan.found
        if other is not found and other.unit == found.unit and _said_as_two(scan, other) and _parts(other) is not None
    ]
    beside = [
        other
        for other in twins
        if {found.end, found.end + 1} & {other.head} or {other.end, other.end + 1} & {found.head}
    ]
    return bool(beside) and found.unit == "mm" and _of_fasteners(scan, found.start)


def _small_and_counted(scan: Scan, found: Found) -> bool:
    """ "two ten mil bolts", "five eight mil": a size with a number of things right before it."""
    return scan.joined(found.head) and any(
        bare.end == found.head and scan.at(bare.start) in ONES and bare.end == bare.start + 1 for bare in scan.bare
    )


def _of_fasteners(scan: Scan, place: int) -> bool:
    start, end = scan.with_sentence_before(place)
    return bool({*scan.plain[start:end]} & (cue_words("fastener_nouns") | {"heads", "head"}))


def _length_said(scan: Scan, found: Found) -> bool:
    return scan.at(found.end) in _MEASURED and found.end not in scan.breaks


def _counts_next(scan: Scan, bare: Bare, ends: list[int]) -> bool:
    """ "five eight mil and one ten mil": five of them, once it is clear that such are counted here."""
    ahead = next((found for found in scan.found if found.start == bare.end), None)
    lone = scan.at(bare.start) in ONES and bare.end == bare.start + 1
    if not lone or ahead is None or bare.end in scan.breaks or scan.at(ahead.end) in counted_nouns():
        return False
    start, end = scan.sentence(bare.start)
    return any(start <= place <= end for place in ends) and ahead.end not in ends


def _less_its_count(scan: Scan, bare: Bare, ends: list[int]) -> Bare:
    """ "three seventeen mil and one nineteen": the last one has its unit from the others."""
    parts = split_count(bare.value) if bare.high is None and bare.value.denominator == 1 and bare.spoken else None
    behind = bare.start - (scan.at(bare.start - 1) == "and") in ends
    if parts is None or not behind or scan.at(bare.start) not in ONES or scan.at(bare.start + 1) == "hundred":
        return bare
    return replace(bare, value=parts[1], start=bare.start + 1)
