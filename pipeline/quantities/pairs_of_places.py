"""Figures of two places, the unit said once or not at all: "28 psi on the front and 32 on the rear"."""

from __future__ import annotations

from pipeline.quantities.counts import labelled
from pipeline.quantities.lent import LEND_NONE, alike
from pipeline.quantities.scan import Bare, Found, Scan, cue_words

_NEAR = 14


def place_after(scan: Scan, end: int) -> str:
    """The place that follows a figure: "on the rear", "inlet"; "" where none does."""
    links, places = cue_words("place_links"), cue_words("places")
    for index in range(end, min(end + 4, len(scan.words))):
        word = scan.words[index]
        if index in scan.sentences or word not in links | places:
            return ""
        if word in places:
            return word
    return ""


def _place_before(scan: Scan, start: int) -> str:
    links, places = cue_words("place_links"), cue_words("places")
    for index in range(start - 1, max(start - 4, -1), -1):
        word = scan.words[index]
        if index + 1 in scan.sentences or word not in links | places:
            return ""
        if word in places:
            return word
    return ""


def placed(scan: Scan, bare: Bare, lenders: list[Found]) -> Found | None:
    """ "28 psi on the front and 32 on the rear": the figure of the other place."""
    after, before = place_after(scan, bare.end), _place_before(scan, bare.start)
    if not after and not before:
        return None
    for found in sorted(lenders, key=lambda item: max(item.start - bare.end, bare.start - item.end)):
        gap = max(found.start - bare.end, bare.start - found.end)
        if gap > _NEAR or found.kind in LEND_NONE or found.kind == "spanner" or not alike(bare.value, found):
            continue
        between = range(min(bare.end, found.end), max(bare.start, found.start) + 1)
        if any(place in scan.sentences for place in between):
            continue
        inside = next((word for word in scan.words[found.start : found.end] if word in cue_words("places")), "")
        other_after, other_before = inside or place_after(scan, found.end), _place_before(scan, found.start)
        if (after and other_after and after != other_after) or (before and other_before and before != other_before):
            return found
    return None


def tyre_pair(scan: Scan, bare: Bare) -> Found | None:
    """ "twenty eight on the front and thirty two on the rear", of tyres: nobody says the unit."""
    all_round = scan.at(bare.end) == "all" and scan.at(bare.end + 1) in ("round", "around")
    if not all_round and not place_after(scan, bare.end) and not _place_before(scan, bare.start):
        return None
    if not 12 <= bare.value <= 80 or labelled(scan, bare) or bare.value.denominator != 1:
        return None
    start, end = scan.sentence(bare.start)
    if not any(word in cue_words("tyre_words") for word in scan.plain[max(0, start - 12) : end]):
        return None
    why = "a tyre pressure; no unit was said, taken as psi"
    return scan.hedged(Found("pressure", bare.value, bare.high, "psi", bare.start, bare.end, bare.start, why=why))
