"""Spanners and hexagons named by their size alone: "four eights hold it", "off with the seventeens"."""

from __future__ import annotations

from fractions import Fraction

from pipeline.numbers.words import ONES, TEENS, TENS
from pipeline.quantities.scan import Bare, Found, Scan, cue_words

_LATELY = 24
_MOST_MM = 46
_PIPES = frozenset({"pipes", "unions"})
# Sizes that are one word, and the ones of "twenty fours".
SIZES = {"twelves": 12, **{f"{word}s": value for word, value in (ONES | TEENS).items() if value >= 7}}
_UNITS = {f"{word}s": value for word, value in ONES.items() if value > 1}


def read_plural_size(scan: Scan, index: int) -> list[Found] | None:
    """A size in the plural as the jaw of a spanner, with the number of them as a bare one; None where none is meant."""
    word, start = scan.at(index), index
    value = SIZES.get(word, 0)
    if word in TENS and scan.at(index + 1) in _UNITS and index + 1 not in scan.breaks:
        value, index = TENS[word] + _UNITS[scan.at(index + 1)], index + 1
    if scan.at(start - 1) == "figure":
        return None  # "in figure eights"
    torx = {scan.at(start - 1), scan.at(index + 1)} & {"torx"}
    if not value or value > _MOST_MM or scan.at(index + 1) == "of" or torx:
        return None
    near = scan.found[-1] if scan.found else None
    if near is not None and start - near.end <= _LATELY and near.kind in ("length", "clearance"):
        # "twenty two thou, so that's a ten and two fives"
        return None
    window = scan.plain[scan.with_sentence_before(start)[0] : scan.sentence(start)[1]]
    held = scan.words[max(0, start - 3) : start - 1] == ["held", "by"]
    if not ({*window} & (cue_words("spanner_asked") | _PIPES) or held):
        return None
    count = ONES.get(scan.at(start - 1), 0) if start not in scan.breaks else 0
    if count > 1:
        scan.bare = [bare for bare in scan.bare if bare.end != start]
        scan.bare.append(Bare(Fraction(count), None, start - 1, start, True, "whole"))
    why = "a size in the plural, with nuts or bolts talked of"
    return [Found("spanner", Fraction(value), None, "mm", start, index + 1, start, why=why)]
