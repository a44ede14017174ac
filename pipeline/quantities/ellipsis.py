"""Units said once for several figures: lists, pairs of places, stages."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from pipeline.quantities.counts import labelled
from pipeline.quantities.grades import torque_plus_angle
from pipeline.quantities.scan import Bare, Found, Scan, cue_words
from pipeline.quantities.units import IGNORED

_LINKS = frozenset({"and", "then", "or", "to", "by", "x", "finally", "plus", "now", "next", "followed"})
# Kinds whose unit one figure does not lend to another.
_ALONE = frozenset({"count", "thread", "ratio", IGNORED})
_NEAR = 14


def share_units(scan: Scan) -> list[Found]:
    """Figures for the bare numbers that take their unit from a neighbour; those numbers leave `scan.bare`."""
    shared: list[Found] = []
    figures = sorted(scan.found, key=lambda found: found.start)
    for found in figures:
        if found.kind not in _ALONE:
            shared.extend(_list_before(scan, found))
    for group in (figures, sorted([*figures, *shared], key=lambda found: found.start)):
        for bare in list(scan.bare):
            partner = _list_after(scan, bare, [*group, *shared]) or _placed_partner(scan, bare, group)
            if partner is not None:
                scan.bare.remove(bare)
                shared.append(_like(scan, bare, partner))
    return shared


def _like(scan: Scan, bare: Bare, found: Found) -> Found:
    return scan.hedged(
        replace(
            found,
            value=bare.value,
            high=bare.high,
            start=bare.start,
            head=bare.start,
            end=bare.end,
            approximate=False,
            bound="",
            why=f"takes its unit from {' '.join(scan.words[found.start : found.end])!r}",
        )
    )


def _list_before(scan: Scan, found: Found) -> list[Found]:
    """ "ten, then twenty, then twenty five newton metres": the figures before the one with the unit."""
    shared: list[Found] = []
    start = found.head
    while True:
        link = start
        while link > 0 and scan.words[link - 1] in _LINKS and link - 1 not in _sentence_starts(scan):
            link -= 1
        bare = next((item for item in scan.bare if item.end == link), None)
        if bare is None or (link == start and start not in scan.breaks) or labelled(scan, bare):
            return shared
        words = scan.words[link:start]
        if link in _sentence_starts(scan):
            return shared
        scan.bare.remove(bare)
        if "plus" in words and found.kind == "angle":
            return [*shared, replace(torque_plus_angle(scan, found, bare.value, bare.start), end=bare.end)]
        if not _alike(bare.value, found.value):
            return shared
        shared.append(_like(scan, bare, found))
        start = bare.start


def _sentence_starts(scan: Scan) -> set[int]:
    return set(scan.sentences)


def _alike(one: Fraction, other: Fraction) -> bool:
    return one > 0 and other > 0 and Fraction(1, 40) <= one / other <= 40


def _list_after(scan: Scan, bare: Bare, figures: list[Found]) -> Found | None:
    """ "ten newton metres, then twenty, then thirty": figures after the one with the unit, joined by "then"."""
    link, words = bare.start, []
    while link > 0 and scan.words[link - 1] in ("and", "then", "finally", "to"):
        link -= 1
        words.append(scan.words[link])
    if "then" not in words or labelled(scan, bare):
        return None
    if (
        bare.end < len(scan.words)
        and bare.end not in scan.breaks
        and scan.words[bare.end] not in (*_LINKS, "on", "for", "in")
    ):
        return None
    found = next((item for item in figures if item.end == link and item.kind not in _ALONE), None)
    return found if found is not None and _alike(bare.value, found.value) else None


def _place_after(scan: Scan, end: int) -> str:
    """The place that follows a figure: "on the rear", "inlet"; "" where none does."""
    links, places = cue_words("place_links"), cue_words("places")
    for index in range(end, min(end + 4, len(scan.words))):
        if index in scan.sentences and index > end:
            return ""
        word = scan.words[index]
        if word in places:
            return word
        if word not in links:
            return ""
    return ""


def _place_before(scan: Scan, start: int) -> str:
    links, places = cue_words("place_links"), cue_words("places")
    for index in range(start - 1, max(start - 4, -1), -1):
        if index + 1 in scan.sentences:
            return ""
        word = scan.words[index]
        if word in places:
            return word
        if word not in links:
            return ""
    return ""


def _placed_partner(scan: Scan, bare: Bare, figures: list[Found]) -> Found | None:
    """ "28 psi on the front and 32 on the rear": the figure of the other place."""
    if labelled(scan, bare):
        return None
    after, before = _place_after(scan, bare.end), _place_before(scan, bare.start)
    if not after and not before:
        return None
    for found in sorted(figures, key=lambda item: min(abs(item.start - bare.end), abs(bare.start - item.end))):
        gap = max(found.start - bare.end, bare.start - found.end)
        if gap > _NEAR or found.kind in _ALONE or found.kind == "spanner" or not _alike(bare.value, found.value):
            continue
        between = range(min(bare.end, found.end), max(bare.start, found.start))
        if any(place in scan.sentences for place in between):
            continue
        other_after, other_before = _place_after(scan, found.end), _place_before(scan, found.start)
        if (after and other_after and after != other_after) or (before and other_before and before != other_before):
            return found
    return None


def tyre_pair(scan: Scan, bare: Bare, figures: list[Found]) -> Found | None:
    """ "twenty eight on the front and thirty two on the rear", of tyres: nobody says the unit."""
    if not _place_after(scan, bare.end) and not _place_before(scan, bare.start):
        return None
    if not 12 <= bare.value <= 80 or labelled(scan, bare) or bare.value.denominator != 1:
        return None
    start, end = scan.sentence(bare.start)
    if not any(
        word in ("tyre", "tyres", "tire", "tires", "pressures") for word in scan.words[max(0, start - 12) : end]
    ):
        return None
    return scan.hedged(
        Found(
            "pressure",
            bare.value,
            bare.high,
            "psi",
            bare.start,
            bare.end,
            bare.start,
            why="a tyre pressure; no unit was said, taken as psi",
        )
    )
