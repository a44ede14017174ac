"""Numbers that say how many or which, and are no figure although one stands near: "the other three went back in",
"I've done seven", "head nuts four, eighteen newton metres", "two out of the eight", "a bag of ten"."""

from __future__ import annotations

from fractions import Fraction
from functools import cache

from pipeline.numbers.words import word_set
from pipeline.quantities.scan import Bare, Found, Scan, cue_words
from pipeline.quantities.units import IGNORED

_MOST_COUNTED, _MOST_IN_A_BAG = 24, 200
# "It's ninety four out", as against a screw that is.
_LEAST_OUT = 12
_LEFT_OVER = word_set("other last first remaining next")
_POINTED = word_set("the my those these his her our their")
_VERBS = word_set(
    "went go goes came come comes are were is was got get gets have had need needs want wants look looked feel felt "
    "turned undid just only will still all aren't weren't haven't"
)
_DONE = word_set("done counted missing replaced changed")
_PACKS = word_set("bag box pack packet bags boxes packs packets card strip roll")
_PARTLY = word_set("full empty gone used way done finished eaten worn rotten")
# Behind "outside", where no size is told: "it's minus eleven outside and ..."
_OPENS_ON = word_set("and so but when today tonight here now again") | {""}
# Counts of fasteners, as against the sizes of their spanners.
_COUNTS = frozenset({2, 3, 4, 5, 6, 8, 9, 10, 12, 14, 16, 20})
# What is put in one by one.
_STACKED = word_set("shim shims washer washers spacer spacers packer packers gasket gaskets slip slips leaf leaves")
_PUT, _FEW = word_set("put fitted used added need needed took"), 9
_TORQUE_WITHIN, _TODAY_WITHIN, _MORE_WITHIN = 2, 4, 14


def without_counts(scan: Scan) -> None:
    """Takes such numbers out of `scan.bare`; how many fasteners there are becomes a count."""
    kept = []
    for bare in scan.bare:
        if behind_fasteners(scan, bare.start, bare.end) and _before_a_torque(scan, bare):
            scan.found.append(Found("count", bare.value, None, "", bare.start, bare.end, bare.start))
        elif _of_a_material(scan, bare):
            scan.found.append(Found(IGNORED, bare.value, None, "", bare.start, bare.end, bare.start))
        elif not _says_how_many(scan, bare):
            kept.append(bare)
    scan.bare = kept


def behind_fasteners(scan: Scan, start: int, end: int) -> bool:
    """Whether a number right behind a plural is how many there are: "cover screws five, eight newton metres"."""
    before = scan.at(start - 1)
    fasteners = before.endswith("s") and before in cue_words("fastener_nouns") and start not in scan.sentences
    return fasteners and end in scan.breaks and end not in scan.sentences


def _before_a_torque(scan: Scan, bare: Bare) -> bool:
    """Whether the number is such as fasteners are counted by, and their torque or thread follows."""
    if bare.value not in _COUNTS or bare.high is not None:
        return False
    return any(
        found.kind in ("torque", "thread") and 0 <= found.head - bare.end <= _TORQUE_WITHIN for found in scan.found
    )


def _of_the_weather(scan: Scan, bare: Bare) -> bool:
    """ "it's a hundred and four in town today", "it is minus eleven outside": how warm it is out of doors."""
    before, behind = scan.at(bare.start - 1), scan.words[bare.end : bare.end + _TODAY_WITHIN]
    whole = bare.value.denominator == 1 and (bare.value < 0 or bare.value >= _LEAST_OUT)
    led = before == "it's" or (before in ("is", "was") and scan.at(bare.start - 2) == "it")
    if not led or not whole or bare.end in scan.breaks or not behind:
        return False
    closes = bare.end + 1 in scan.breaks or (behind[1] if len(behind) > 1 else "") in _OPENS_ON
    out = behind[0] in ("outside", "out") and closes
    return out or (behind[0] == "in" and bool({"today", "tonight"} & {*behind}))


def _more_of_none(scan: Scan, bare: Bare) -> bool:
    """ "frequency was fifty three hertz and now it is fifty one point five": of a unit that is none of the build."""
    before = [found for found in scan.found if found.end <= bare.start]
    last = max(before, key=lambda found: found.end, default=None)
    if last is None or last.kind != IGNORED or scan.at(last.end - 1) not in cue_words("other_units"):
        return False
    near = bare.start - last.end <= _MORE_WITHIN and last.start >= scan.sentence(bare.start)[0]
    return near and last.value > 0 and Fraction(1, 3) <= bare.value / last.value <= 3


def _only_so_many(scan: Scan, bare: Bare) -> bool:
    """ "twelve bolts, but somebody has put back only ten": of fasteners that were counted in the sentence."""
    if (
        scan.at(bare.start - 1) != "only"
        or bare.value.denominator != 1
        or bare.end not in scan.breaks | {len(scan.words)}
    ):
        return False
    start = scan.sentence(bare.start)[0]
    return any(
        start <= item.start < bare.start
        and item.value > bare.value
        and scan.at(item.end) in cue_words("fastener_nouns")
        for item in scan.bare
    )


def _as_many_again(scan: Scan, bare: Bare) -> bool:
    """ "and then two drops of oil, only two": the number of things that was just said, once more."""
    led = scan.at(bare.start - 1) in ("only", "just") and bare.high is None
    if not led or bare.end not in scan.breaks | {len(scan.words)}:
        return False
    start = scan.with_sentence_before(bare.start)[0]
    counted = [(item.start, item.end, item.value) for item in scan.bare]
    counted += [(item.start, item.end, item.value) for item in scan.found if item.kind in ("count", IGNORED)]
    return any(
        start <= first < bare.start and value == bare.value and _counts_a_plural(scan, end)
        for first, end, value in counted
    )


def _counts_a_plural(scan: Scan, end: int) -> bool:
    """Whether the word that counts things, or the one before the end of a number, is a plural."""
    return any(len(word) > 3 and word.endswith("s") for word in (scan.at(end), scan.at(end - 1)))


def _put_in(scan: Scan, bare: Bare) -> bool:
    """ "one shim is worth twenty bar, so I put two": how many of what was spoken of one by one."""
    closes = bare.end in scan.breaks or bare.end >= len(scan.words) or scan.at(bare.end) in ("in", "and", "on")
    few = bare.value.denominator == 1 and 2 <= bare.value <= _FEW and bare.high is None
    if not closes or not few or not scan.joined(bare.start) or scan.at(bare.start - 1) not in _PUT:
        return False
    before = scan.plain[scan.sentence(bare.start)[0] : bare.start]
    return any(
        before[at] in ("one", "a", "each", "every") and {*before[at + 1 : at + 3]} & _STACKED
        for at in range(len(before) - 1)
    )


def _says_how_many(scan: Scan, bare: Bare) -> bool:
    if _of_the_weather(scan, bare) or _more_of_none(scan, bare) or _only_so_many(scan, bare):
        return True
    if _as_many_again(scan, bare) or _put_in(scan, bare):
        return True
    if bare.high is not None:
        return False
    before, behind = scan.at(bare.start - 1), scan.at(bare.end) if bare.end not in scan.breaks else ""
    joined = bare.start not in scan.breaks
    if bare.shape == "fraction" and bare.value < 1:
        return behind in _PARTLY
    if bare.value.denominator != 1 or bare.value > _MOST_IN_A_BAG:
        return False
    if before == "of" and scan.at(bare.start - 2) in _PACKS and joined:
        return True  # "a bag of ten"
    if bare.value > _MOST_COUNTED:
        return False
    if joined and before in _LEFT_OVER and scan.at(bare.start - 2) in _POINTED and behind in _VERBS:
        return True  # "the other three went back in"
    if (behind, scan.at(bare.end + 1)) == ("out", "of"):
        return True  # "two out of the eight"
    closes = bare.end in scan.breaks or behind in ("", "and", "so", "of", "out", "but")
    return joined and before in _DONE and closes


@cache
def _materials() -> frozenset[tuple[str, ...]]:
    return frozenset(tuple(name.split()) for name in cue_words("numbered_materials"))


def _of_a_material(scan: Scan, bare: Bare) -> bool:
    """ "out of four one forty": a steel's number, where what things are made of is said."""
    said = tuple(scan.words[bare.start : bare.end])
    longest = any(
        tuple(scan.words[bare.start : bare.start + len(name)]) == name and len(name) >= len(said)
        for name in _materials()
    )
    made = {*scan.words[max(0, bare.start - 3) : bare.start]} & {"of", "from", "some", "is", "it's"}
    return longest and bool(made)
