"""Which lengths are clearances: gaps, play, float, run-out. The words around them decide."""

from __future__ import annotations

from dataclasses import replace

from pipeline.quantities.scan import Found, Scan, cue_words, nearest
from pipeline.quantities.units import to_si

# Play above this is travel, set with a rule, and no clearance between parts.
_MOST_CLEARANCE_MM = 5.0
# Where it is called a gap or play right behind the figure, as of belts and chains.
_MOST_SAID_MM = 60.0
# A thing that is measured counts as so much further off than a word for the measure itself.
_THING_TOLL = 12
_FAR = 99


def mark_clearances(scan: Scan, figures: list[Found]) -> list[Found]:
    """The figures, with lengths made clearances where the nearest cue says so.

    Cues are looked for between the neighbouring figures, then in the sentence, then with the sentence before, then
    with the one after; the first stretch that has any decides.
    """
    return [
        replace(found, kind="clearance", why=found.why or "the words around it speak of a gap")
        if found.kind == "length" and _is_clearance(scan, figures, place)
        else found
        for place, found in enumerate(figures)
    ]


def _is_clearance(scan: Scan, figures: list[Found], place: int) -> bool:
    found = figures[place]
    if found.end not in scan.breaks and scan.at(found.end) in ("feeler", "feelers"):
        return False  # the thickness of the feeler
    if float(to_si(found.value, found.unit) or 0) <= _MOST_SAID_MM and _is_said(scan, found):
        return True
    size_mm = float(to_si(found.value, found.unit) or 0)
    if found.unit == "m" or size_mm > _MOST_SAID_MM:
        return False
    start, end = scan.sentence(found.start)
    after_last = max([start, *(other.end for other in figures[:place] if other.kind != "count")])
    before_next = min([end, *(other.start for other in figures[place + 1 :] if other.kind != "count")])
    if size_mm > _MOST_CLEARANCE_MM:
        # "chain slack is twenty five millimetres"
        window = (after_last, before_next)
        slack = nearest(scan, found.start, found.end, cue_words("slack"), window)
        return slack < _nearest(scan, found, "length", window)
    for window in (
        (after_last, before_next),
        (start, end),
        scan.with_sentence_before(found.start),
        scan.with_sentence_after(found.start),
    ):
        gap, size = _nearest(scan, found, "clearance", window), _nearest(scan, found, "length", window)
        if min(gap, size) < _FAR:
            return gap < size
    return False


def _is_said(scan: Scan, found: Found) -> bool:
    """ "ten mil of slack", "a quarter inch gap": right behind the figure, whatever else is talked of."""
    words = [] if found.end in scan.breaks else scan.words[found.end : found.end + 2]
    if words[:1] == ["of"]:
        words = words[1:]
    return words[:1] != [] and words[0] in cue_words("clearance_said")


def _nearest(scan: Scan, found: Found, name: str, window: tuple[int, int]) -> int:
    measure = nearest(scan, found.start, found.end, cue_words(name), window)
    thing = nearest(scan, found.start, found.end, cue_words(f"{name}_things"), window)
    return min(measure, thing + _THING_TOLL, _nearest_pair(scan, found, f"{name}_pairs", window))


def _nearest_pair(scan: Scan, found: Found, name: str, window: tuple[int, int]) -> int:
    """Distance to two words such as "out by", as `nearest` counts it."""
    pairs = cue_words(name)
    best = _FAR
    for index in range(window[0], window[1] - 1):
        if f"{scan.plain[index]} {scan.words[index + 1]}" in pairs:
            if index + 1 < found.start:
                best = min(best, (found.start - index) * 2 + 1)
            elif index >= found.end:
                best = min(best, (index - found.end + 1) * 2)
    return best
