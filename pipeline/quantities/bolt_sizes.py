"""Sizes that are of a bolt and not of its head: "the nuts are five sixteenths", "half inch, coarse, so a three-quarter
wrench"."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from pipeline.quantities.scan import Found, Scan, cue_words
from pipeline.quantities.spanners import APPOSED_WITHIN, across_flats, spanner_after
from pipeline.quantities.tapped import as_thread, is_thread, to_mm

_FASTENERS = frozenset({"bolt", "bolts", "nut", "nuts", "screw", "screws", "setscrew", "setscrews", "stud", "studs"})
# A hexagon so small is on no bolt that a spanner is used on: that of a quarter inch bolt is seven sixteenths.
_NO_HEADS = frozenset({Fraction(1, 4), Fraction(5, 16), Fraction(3, 8)})
_LED = frozenset({"is", "are", "was", "were", "they're", "it's", "at", "all", "them's", "theyre"})
_SERIES = frozenset({"coarse", "fine", "whit", "whitworth", "thread"})
# How much wider a hexagon is than its thread.
_LEAST_TIMES, _MOST_TIMES = Fraction(13, 10), Fraction(9, 4)
_TOOL_WITHIN = 9
# Screws with a small hexagon, or turned by a key.
_SMALL = frozenset(
    "hose clip clips clamp clamps jubilee worm jam grub allen key hex socket adjuster bleed bleeder".split()  # noqa: SIM905
)


def with_threads(scan: Scan, figures: Sequence[Found]) -> list[Found]:
    """The figures, each size that can only be the bolt's own as its thread."""
    return [
        as_thread(found, "the size of a bolt, not of its head")
        if _of_the_bolt(scan, figures, place)
        else replace(found, kind="spanner", thread="", why="the size of a head")
        if found.kind == "thread" and _of_a_head(scan, found)
        else found
        for place, found in enumerate(figures)
    ]


def _of_a_head(scan: Scan, found: Found) -> bool:
    """ "fifteen-sixteenths bolt heads"."""
    headed = scan.at(found.end) in _FASTENERS and scan.at(found.end + 1) in ("head", "heads")
    return headed and not scan.breaks & {found.end, found.end + 1} and found.unit == "in"


def _of_the_bolt(scan: Scan, figures: Sequence[Found], place: int) -> bool:
    found = figures[place]
    if found.kind not in ("length", "spanner") or found.unit not in ("in", "mm") or found.high is not None:
        return False
    if not is_thread(found) or spanner_after(scan, found.end) or _across(scan, found):
        return False
    following = scan.at(found.end)
    if following == "ring" and found.kind == "spanner" and found.end not in scan.breaks:
        return False
    if following in ("stud", "studs") and found.end not in scan.breaks and found.unit == "in":
        return True
    if not _said_of_fasteners(scan, found):
        return False
    if found.unit == "in" and following in _SERIES and found.end not in scan.sentences:
        return True
    if found.unit == "in" and found.value in _NO_HEADS and not scan.sentence_words(found.start) & _SMALL:
        return True
    return _with_its_spanner(scan, found, figures[place + 1 : place + 2])


def _across(scan: Scan, found: Found) -> bool:
    """ "half inch AF", "five-eighths on the wrench", "a half inch head"."""
    if across_flats(scan, found.end) != found.end or scan.at(found.end - 1) in ("af", "flats"):
        return True
    behind = {*scan.words[found.end : found.end + 3]}
    before = {*scan.plain[max(0, found.start - 3) : found.start]}
    return bool((behind | before) & (cue_words("spanner_nouns") - {"head", "heads"})) or bool(
        {*scan.words[found.end : found.end + 2]} & {"head", "heads", "headed"}
    )


def _said_of_fasteners(scan: Scan, found: Found) -> bool:
    """Whether bolts are named right before a size, or a size is thrown in behind them."""
    first = max(scan.sentence(found.start)[0], found.start - APPOSED_WITHIN)
    before = scan.plain[first : found.start]
    near = next((at for at in range(len(before) - 1, -1, -1) if before[at] in _FASTENERS), None)
    if near is None:
        return False
    between = before[near + 1 :]
    short = scan.words[first + near].endswith("'s")
    return short or not between or between[-1] in _LED | {"a"} or found.start in scan.breaks


def _with_its_spanner(scan: Scan, found: Found, following: Sequence[Found]) -> bool:
    """ "coupling bolts are sixteen mil with a twenty-four spanner"."""
    for tool in following:
        between = tool.start - found.end
        named = spanner_after(scan, tool.end) or scan.at(tool.end - 1) in cue_words("spanner_nouns")
        if tool.kind != "spanner" or not named or between > _TOOL_WITHIN:
            continue
        if found.start < scan.sentence(tool.start)[0] or {*scan.words[found.end : tool.start]} & {"or", "and", "then"}:
            continue
        if _LEAST_TIMES <= Fraction(to_mm(tool)) / Fraction(to_mm(found)) <= _MOST_TIMES:
            return True
    return False
