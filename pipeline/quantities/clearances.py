"""What says that a length is a clearance: a gap, play, float, slack."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from pipeline.quantities.reasons import is_lent
from pipeline.quantities.scan import Found, Scan, cue_words, nearest
from pipeline.quantities.units import to_si

# Longer than this is no gap, and no slack of a belt or chain.
_MOST_MM = 60.0
_SIZES_MM = (0.03, 0.1, 0.3, 0.6, 1.0, 2.0, 5.0, 12.0)
# A thing that is measured counts as so much further off than a word for the measure itself.
_THING_TOLL = 12
_FAR = 99
_NEAR = (1, 2, 3, 4, 5, 7, 9, 12, 16, 22, 30)
_LISTS = ("clearance", "clearance_things", "slack", "length", "length_things", "clearance_pairs", "length_pairs")
_MEMORY = 60
_MOVED = {("of", "up", "and", "down"), ("of", "side", "to", "side"), ("of", "in", "and", "out")}
_NAMED_BY = frozenset({"the", "it", "them", "that", "my", "each", "these", "those", "one", "a"})


def may_be_clearance(scan: Scan, found: Found) -> bool:
    """Whether a length may be a gap: small, and no feeler's, whose size is its thickness, no tolerance."""
    feeler = found.end not in scan.breaks and scan.at(found.end) in ("feeler", "feelers")
    tolerance = {scan.at(found.start), scan.at(found.start - 1)} & {"plus", "minus"}
    worn = scan.words[found.head - 2 : found.head] == ["worn", "to"]  # "worn to point seven five" is what is left
    return _small(found) and not feeler and not tolerance and not worn


def _small(found: Found) -> bool:
    return found.unit != "m" and abs(float(to_si(found.value, found.unit) or 0)) <= _MOST_MM


def clearance_evidence(scan: Scan, figures: Sequence[Found], place: int, before: Found | None) -> Iterator[str]:
    """What says that a length is a clearance or that it is none. `before`: the last length or clearance."""
    found = figures[place]
    size_mm = abs(float(to_si(found.value, found.unit) or 0))
    yield "bias"
    yield f"size {next((most for most in _SIZES_MM if size_mm <= most), 99)}"
    yield f"in {found.unit}"
    start, end = scan.sentence(found.start)
    after_last = max([start, *(other.end for other in figures[:place] if other.kind != "count")])
    before_next = min([end, *(other.start for other in figures[place + 1 :] if other.kind != "count")])
    windows = {
        "here": (after_last, before_next),
        "sentence": (start, end),
        "sentence before": scan.with_sentence_before(found.start),
        "sentence after": scan.with_sentence_after(found.start),
    }
    told = decided = False
    for name, window in windows.items():
        seen = {cues: _nearest(scan, found, cues, window) for cues in _LISTS}
        near = {cues: gap for cues, gap in seen.items() if gap < _FAR}
        if not near or told:
            continue
        measure = min(near.get("clearance", _FAR), near.get("clearance_things", _FAR) + _THING_TOLL)
        other = min(near.get("length", _FAR), near.get("length_things", _FAR) + _THING_TOLL)
        if not decided:
            decided = True
            measure = min(measure, near.get("clearance_pairs", _FAR))
            yield "first told: gap" if measure < min(other, near.get("length_pairs", _FAR)) else "first told: size"
        told = name in ("here", "sentence")
        closest = min(near, key=lambda cues: near[cues])
        yield f"{name}: {closest}"
        for cues, gap in near.items():
            yield f"{name}: {cues} {_step(gap)}" if name == "here" else f"{name}: has {cues}"
        gap = min((near[cues] for cues in _LISTS[:3] if cues in near), default=_FAR)
        size = min((near[cues] for cues in ("length", "length_pairs") if cues in near), default=_FAR)
        if min(gap, size) < _FAR:
            yield f"{name}: {'gap' if gap < size else 'size'} nearer"
    yield from _said_beside(scan, found)
    if before is not None and found.start - before.end <= _MEMORY:
        near_size = 0.25 <= size_mm / max(1e-9, float(to_si(before.value, before.unit) or 0)) <= 4
        alike = "alike" if before.unit == found.unit and near_size else "unlike"
        lent = " lent" if is_lent(found.why) else ""
        apart = "same sentence" if before.start >= start else "before"
        yield f"after a {before.kind} {alike}"
        yield f"after a {before.kind} {alike}, {apart}{lent}"
        if not told:
            yield f"after a {before.kind} {alike}, nothing said"


def _said_beside(scan: Scan, found: Found) -> Iterator[str]:
    """ "ten mil of slack", "a quarter inch gap": right behind the figure; and what stands right before."""
    start, end = scan.sentence(found.start)
    for place in range(start, end - 1):
        if scan.words[place] == "between" and scan.words[place + 1] in _NAMED_BY:
            yield "between things"
            break
    if {*scan.words[found.end : found.end + 3]} & {"side", "sides"}:
        yield "behind it a side"
    words = [] if found.end in scan.breaks else scan.words[found.end : found.end + 2]
    if words[:1] == ["of"]:
        words = words[1:]
        yield "of something"
    if tuple(scan.words[found.end : found.end + 4]) in _MOVED:
        yield "behind it clearance_said"
        yield "behind it clearance"
    if words:
        for cues in ("clearance_said", "clearance", "length", "length_things"):
            if words[0] in cue_words(cues):
                yield f"behind it {cues}"
        if words[0] in ("all", "from", "to", "between", "cold", "hot", "left", "clear", "over"):
            yield f"behind it {words[0]}"
    else:
        yield "before a stop"
    before = scan.at(found.start - 1) if found.start not in scan.breaks else ""
    if before in ("by", "within", "on", "at", "a", "the", "is", "set", "to", "with", "get", "it's"):
        yield f"behind {before}"


def _nearest(scan: Scan, found: Found, name: str, window: tuple[int, int]) -> int:
    if not name.endswith("_pairs"):
        return nearest(scan, found.start, found.end, cue_words(name), window)
    pairs = cue_words(name)
    best = _FAR
    for index in range(window[0], window[1] - 1):
        if f"{scan.plain[index]} {scan.words[index + 1]}" in pairs:
            if index + 1 < found.start:
                best = min(best, (found.start - index) * 2 + 1)
            elif index >= found.end:
                best = min(best, (index - found.end + 1) * 2)
    return best


def _step(gap: int) -> int:
    return next((bound for bound in _NEAR if gap <= 2 * bound), _FAR)
