"""Lengths that are something more definite: the jaw of a spanner, a clearance."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from pipeline.quantities.scan import Bare, Found, Scan, cue_words, nearest

_JAWS_MM = range(3, 66)


def spanner_after(scan: Scan, end: int) -> int:
    """Index after the spanner word that follows within a few words, or 0."""
    nouns, pairs, between = cue_words("spanner_nouns"), cue_words("spanner_pairs"), cue_words("spanner_between")
    index = end
    for _ in range(5):
        if index >= len(scan.words) or index in scan.breaks:
            return 0
        word = scan.words[index]
        pair = f"{word} {scan.at(index + 1)}"
        if pair in pairs:
            return index + 2
        if word in nouns:
            return 0 if scan.at(index - 1) in cue_words("drive_words") else index + 1
        if word not in between:
            return 0
        index += 1
    return 0


def as_spanner(scan: Scan, found: Found) -> Found:
    """A length before "spanner", "socket" or "Allen key" is the size of its jaw."""
    if found.kind != "length" or found.unit not in ("mm", "in"):
        return found
    end = spanner_after(scan, found.end)
    if not end or (scan.at(found.end) in ("and", "a") and found.kind == "length" and scan.at(found.end) == "a"):
        return found
    return replace(found, kind="spanner", why=f"before {scan.words[end - 1]!r}")


def bare_spanner(scan: Scan, bare: Bare) -> Found | None:
    """ "a 22 socket", "half inch AF", "a seven sixteenths spanner": the size alone."""
    if bare.high is not None:
        return None
    inch = bare.value.denominator != 1 and bare.shape in ("fraction", "mixed")
    end = bare.end
    if scan.at(end) == "af" or scan.words[end : end + 2] in (["a", "f"], ["across", "flats"]):
        unit = "in" if inch or bare.value <= 2 else "mm"
        stop = end + (1 if scan.at(end) == "af" else 2)
        return Found("spanner", bare.value, None, unit, bare.start, stop, bare.start, why="across flats")
    after = spanner_after(scan, end)
    if not after or end in scan.breaks:
        return None
    noun = scan.words[after - 1]
    if inch:
        return Found("spanner", bare.value, None, "in", bare.start, bare.end, bare.start, why=f"before {noun!r}")
    if bare.value.denominator not in (1, 2) or not 3 <= bare.value <= 65:
        return None
    if noun.endswith("s") and after == end + 1 and bare.value < 5:
        return None
    return Found("spanner", bare.value, None, "mm", bare.start, bare.end, bare.start, why=f"before {noun!r}")


def as_clearance(scan: Scan, found: Found, window: tuple[int, int]) -> Found:
    """A length whose nearest cue speaks of a gap, play or float is a clearance."""
    if found.kind != "length" or (found.unit == "m"):
        return found
    gap = nearest(scan, found.start, found.end, cue_words("clearance"), window)
    size = nearest(scan, found.start, found.end, cue_words("length"), window)
    if gap == 99 or size <= gap:
        return found
    return replace(found, kind="clearance", why=found.why or "the words around it speak of a gap")


def split_count(value: Fraction) -> tuple[Fraction, Fraction] | None:
    """ "two ten mil bolts" hears as 210: the count and the size, where the first figure is a single digit."""
    count, size = divmod(value, 100)
    return (Fraction(count), Fraction(size)) if 1 <= count <= 9 and 3 <= size <= 65 else None
