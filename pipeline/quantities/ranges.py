"""Two figures that are one range: "ten newton metres to twelve newton metres", "two turns, three maybe"."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from pipeline.quantities.carried import hedged_behind
from pipeline.quantities.scan import Found, Scan, changing

_MOST_TIMES_MIXED = 10
_ABOUT = frozenset({"temperature", "current", "speed", "length", "clearance"})
_ABOUT_LEADS = frozenset(
    {"to", "is", "at", "it's", "that's", "was", "about", "get", "got", "leave", "say", "maybe", "much"}
)
_JOINS = ("to", "through", "and")


def join_ranges(scan: Scan, figures: list[Found]) -> list[Found]:
    """ "ten newton metres to twelve newton metres" is one range; "and" joins after "between"."""
    joined: list[Found] = []
    for place, found in enumerate(figures):
        before = joined[-1] if joined else None
        listed = any(item.end == before.start for item in joined[-2:-1]) if before is not None else False
        listed = listed or any(item.start == found.end for item in figures[place + 1 : place + 2])
        if before is not None and (
            _one_range(scan, before, found)
            or _or_so_much(scan, before, found)
            or _or_else(scan, before, found)
            or (not listed and _round_about(scan, before, found))
        ):
            start = before.start - 1 if scan.at(before.start - 1) in ("between", "from") else before.start
            low, high = sorted((before.value, found.value))
            joined[-1] = replace(before, value=low, high=high, start=start, end=found.end)
        else:
            joined.append(found)
    return joined


def _or_so_much(scan: Scan, before: Found, found: Found) -> bool:
    """ "one newton metre, one and a half perhaps", "two turns, three maybe": the other end of a range, said behind."""
    same = (before.kind, before.unit) == (found.kind, found.unit) and found.start == before.end
    if not same or before.high is not None or found.high is not None or found.start in scan.sentences:
        return False
    hedge = hedged_behind(scan, found.end)
    closes = found.end + hedge in scan.breaks or scan.at(found.end + hedge) in ("", "and", "so", "but", "then", "no")
    near = before.value < found.value <= 2 * before.value
    return bool(hedge) and closes and near and before.kind not in ("count", "thread", "spanner", "viscosity", "ratio")


def _or_else(scan: Scan, before: Found, found: Found) -> bool:
    """ "point two deep, or point three": either, as nearly as it can be told."""
    same = (before.kind, before.unit) == (found.kind, found.unit) and before.kind in ("length", "clearance")
    between = scan.words[before.end : found.start]
    linked = len(between) == 2 and between[0] in ("deep", "wide", "thick", "long", "off", "out") and between[1] == "or"
    if not same or not linked or before.high is not None or found.high is not None:
        return False
    closes = found.end in scan.breaks or scan.at(found.end) in ("", "and", "so", "but", "maybe")
    return closes and before.value < found.value <= 2 * before.value


def _round_about(scan: Scan, before: Found, found: Found) -> bool:
    """ "I heated it to one-fifty, one-sixty", "that's an inch, inch and a quarter": two round figures, none meant
    exactly. Pressures and torques said so are of two cylinders or stages."""
    same = (before.kind, before.unit) == (found.kind, found.unit) and before.kind in _ABOUT
    if not same or before.high is not None or found.high is not None or found.start != before.end:
        return False
    if found.start not in scan.breaks or found.start in scan.sentences:
        return False
    close = before.value < found.value <= before.value * Fraction(4, 3)
    quarters = before.unit == "in" and before.value.denominator <= 4 and found.value.denominator <= 4
    tens = all(value.denominator == 1 and value % 5 == 0 for value in (before.value, found.value))
    next_one = before.kind == "temperature" and found.value - before.value == 1
    closes = found.end in scan.breaks or scan.at(found.end) in ("", "and", "so", "but", "just")
    led = before.start in scan.breaks or scan.at(before.start - 1) in _ABOUT_LEADS
    return close and (quarters or tens or next_one) and closes and led


def _one_range(scan: Scan, before: Found, found: Found) -> bool:
    if (before.kind, before.unit) != (found.kind, found.unit) or before.kind in (
        "count",
        "thread",
        "spanner",
        "viscosity",
    ):
        return False
    if before.high is not None or found.high is not None:
        return False
    if before.kind == "volume" and scan.at(found.end) == "of" and found.value > _MOST_TIMES_MIXED * before.value:
        return False  # "half a litre to twenty-five of petrol"
    if before.value >= found.value and not (found.value < before.value < 0):
        return False
    if found.head == before.end:
        return found.head in scan.dashes
    about = scan.at(before.end) == "and" and found.head == before.end + 2 and found.start == before.end + 1
    if about and scan.at(before.start - 1) == "between" and not {before.end, found.start, found.head} & scan.breaks:
        return True  # "between two litres and about seven litres"
    if found.head != before.end + 1 or before.end in scan.breaks or found.head in scan.breaks:
        return False
    link = scan.at(before.end)
    if changing(scan, before.start):
        return False
    return link in _JOINS and (link != "and" or scan.at(before.start - 1) == "between")
