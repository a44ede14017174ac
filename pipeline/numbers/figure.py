"""Hedges, bounds and ranges around a number: "about", "just under", "ten to twelve", "between ten and twelve"."""

from __future__ import annotations

from collections.abc import Container, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from pipeline.numbers.number import Number
from pipeline.numbers.read import read_number
from pipeline.numbers.words import SCALES, word_set

# Words before a number: what they make of it. Longest first wins; data in the order of meaning.
HEDGES_BEFORE: dict[tuple[str, ...], tuple[bool, str]] = {}
HEDGES_AFTER: dict[tuple[str, ...], tuple[bool, str]] = {}


def _table(table: dict[tuple[str, ...], tuple[bool, str]], approximate: bool, bound: str, phrases: str) -> None:
    for phrase in phrases.split("|"):
        table[tuple(phrase.split())] = (approximate, bound)


_table(
    HEDGES_BEFORE,
    True,
    "",
    "about|around|roughly|approximately|approx|approximately about|circa|nearly|almost|call it|say|something like|"
    "somewhere around|somewhere near|in the region of|near enough|as near as|more or less|pretty much|close to|"
    "just about|maybe|perhaps|probably|getting on for|~|just under|just over|a bit over|a bit under|a touch over|"
    "a touch under|a shade over|a shade under|a whisker over|a whisker under|a hair over|a hair under|a little over|"
    "a little under|just shy of|shy of|just short of|just above|just below",
)
_table(
    HEDGES_BEFORE,
    False,
    "at_least",
    "at least|no less than|not less than|more than|over|above|upwards of|better than|north of|in excess of|"
    "minimum|a minimum of|minimum of|a good|"
    "minimum is|the minimum is|min is|minimum's",
)
_table(
    HEDGES_BEFORE,
    False,
    "at_most",
    "at most|no more than|not more than|less than|under|below|up to|maximum|a maximum of|maximum of|max|not over|"
    "never more than|not exceeding|within|max is|maximum is|the max is|the maximum is|max's|maximum's|limit is|"
    "the limit is|wear limit is|service limit is",
)
_table(
    HEDGES_AFTER,
    True,
    "",
    "or so|or thereabouts|give or take|ish|roughly|approximately|approx|odd|near enough|or near enough|or something",
)
_table(HEDGES_AFTER, False, "at_least", "or more|minimum|at least|or over|or above|and up|plus")
_table(HEDGES_AFTER, False, "at_most", "or less|maximum|max|at most|tops|or under|or below")

RANGE_WORDS = frozenset({"to", "or", "through", "till"})
# "torque all four to ten newton metres": a count before "to", not the lower end of a range.
COUNTED_BEFORE = word_set(
    "all those these other both last first remaining number cylinder cylinders page step stage gear the bottom top"
)

# "the other one": a thing, no number.
BEFORE_ONE = word_set(
    "the this that other new old front rear back left right top bottom upper lower inner outer big little small good "
    "bad first last inlet exhaust"
)


@dataclass(frozen=True, slots=True)
class Figure:
    """A number or a range, over words `start` to `end`. `bare_range`: two figures said side by side ("ten twelve")."""

    low: Fraction
    high: Fraction | None
    start: int
    end: int
    number: Number
    approximate: bool = False
    bare_range: bool = False


def read_figure(
    words: Sequence[str], start: int, breaks: Container[int] = (), dashes: Container[int] = ()
) -> Figure | None:
    """The number or range that begins at `start`. `dashes`: indexes of words with a dash before them ("10-12").

    >>> figure = read_figure("between ten and twelve".split(), 0)
    >>> float(figure.low), float(figure.high)
    (10.0, 12.0)
    """
    if start >= len(words):
        return None
    if words[start] in ("between", "from"):
        low = read_number(words, start + 1, breaks)
        linked = ("and", "to") if words[start] == "between" else ("to",)
        up = low is not None and words[start] == "from" and list(words[low.end : low.end + 2]) == ["up", "to"]
        if low is None or low.end >= len(words) or not (up or words[low.end] in linked):
            return None
        high = read_number(words, low.end + 1 + up, breaks)
        if high is None or high.exact <= low.exact:
            return None
        low = _as_many(words, low, high)
        return Figure(low.exact, high.exact, start, high.end, low, low.approximate)
    low = read_number(words, start, breaks)
    if low is None:
        return None
    plain = Figure(low.exact, None, start, low.end, low, low.approximate)
    if low.end >= len(words) or low.end in breaks:
        return plain
    linked_by = words[low.end]
    bare_range = False
    if low.end in dashes and linked_by not in RANGE_WORDS:
        high = read_number(words, low.end + (linked_by == "~"), breaks)
    elif linked_by in RANGE_WORDS and not _counted(words, start, breaks, low, linked_by):
        high = read_number(words, low.end + 1, breaks)
    else:
        high = read_number(words, low.end, breaks)
        bare_range = high is not None and _asyndetic(low, high)
        high = high if bare_range else None
    if high is not None and linked_by == "to" and _hundreds_left_out(words, low, high):
        high = replace(high, exact=high.exact * 100)
    if high is None or not low.exact < high.exact:
        return plain
    low = _as_many(words, low, high)
    if high.shape == "fraction" and low.shape == "whole" and linked_by != "to":
        return plain
    approximate = linked_by != "to" and low.end not in dashes
    return Figure(low.exact, high.exact, start, high.end, low, approximate, bare_range)


def _hundreds_left_out(words: Sequence[str], low: Number, high: Number) -> bool:
    """ "thirty-two hundred to thirty-four": hundreds too."""
    hundreds = words[low.end - 1] == "hundred" and low.exact >= 1000 and high.spoken and high.shape == "whole"
    return hundreds and words[high.end - 1] not in SCALES and low.exact < high.exact * 100 <= 2 * low.exact


def _as_many(words: Sequence[str], low: Number, high: Number) -> Number:
    """ "eleven to sixteen hundred", "two or three thousand": the scale is said once, for both ends."""
    scale = SCALES.get(words[high.end - 1], 1)
    said_once = scale in (100, 1000) and low.shape == high.shape == "whole" and words[low.end - 1] not in SCALES
    hundreds = scale == 1000 and 10 <= low.exact < 100  # "eighteen to two thousand"
    scale = 100 if hundreds and low.exact * scale >= high.exact else scale
    if not said_once or not high.exact / 4 <= low.exact * scale < high.exact:
        return low
    return replace(low, exact=low.exact * scale)


def _counted(words: Sequence[str], start: int, breaks: Container[int], low: Number, linked_by: str) -> bool:
    if not start or start in breaks:
        return False
    if words[start] == "one" and low.end == start + 1 and words[start - 1] in BEFORE_ONE:
        # "the front one to sixty five"
        return True
    if linked_by != "to":
        return False
    return words[start - 1] in COUNTED_BEFORE and low.exact <= 24 and low.shape == "whole"


def _asyndetic(low: Number, high: Number) -> bool:
    """ "two three turns", "ten twelve thou": neighbours said without "to"."""
    if not (low.spoken and high.spoken and low.shape == high.shape == "whole"):
        return False
    if low.exact < 10:
        return high.exact == low.exact + 1
    return low.exact < high.exact <= low.exact * Fraction(3, 2)


# "up to" bounds a figure after these; after anything else it goes with a verb ("warmed it up to ninety").
_BEFORE_UP_TO = word_set("is are be of takes take holds hold has have can anything use by for with and or only gives")
# "set over four thou", "rolled under": the word belongs to the verb before it.
_VERBS_WITH_OVER = word_set("set moved move pulled pull put rolled turned turn left handed came come")
_NEGATIONS = word_set("don't never not no without won't can't shouldn't mustn't nothing avoid")
_OPPOSITE = {"at_least": "at_most", "at_most": "at_least"}


def hedge_before(words: Sequence[str], start: int, breaks: Container[int] = ()) -> tuple[int, bool, str]:
    """(start with the hedges, approximate, bound) for a number at `start`.

    >>> hedge_before("never go above ten".split(), 3)
    (2, False, 'at_most')
    """
    approximate, bound = False, ""
    while start > 0 and start not in breaks:
        for length in (4, 3, 2, 1):
            found = HEDGES_BEFORE.get(tuple(words[start - length : start])) if start >= length else None
            if found and not any(index in breaks for index in range(start - length + 1, start)):
                opened = start - length
                phrase, before = words[opened:start], words[opened - 1] if opened and opened not in breaks else ""
                if phrase == ["up", "to"] and before and before not in _BEFORE_UP_TO:
                    return start, approximate, bound
                if phrase in (["over"], ["under"]) and before in _VERBS_WITH_OVER:
                    return start, approximate, bound
                new = found[1]
                if length == 1 and new and any(word in _NEGATIONS for word in words[max(0, opened - 3) : opened]):
                    new = _OPPOSITE[new]
                approximate, bound, start = approximate or found[0], bound or new, opened
                break
        else:
            return start, approximate, bound
    return start, approximate, bound


def hedge_after(words: Sequence[str], end: int, breaks: Container[int] = ()) -> tuple[int, bool, str]:
    """(end with the hedges, approximate, bound) for a figure that ends before `end`."""
    if end in breaks:
        return end, False, ""
    for length in (3, 2, 1):
        phrase = tuple(words[end : end + length])
        found = HEDGES_AFTER.get(phrase)
        if found and len(phrase) == length and not any(index in breaks for index in range(end + 1, end + length)):
            return end + length, *found
    return end, False, ""
