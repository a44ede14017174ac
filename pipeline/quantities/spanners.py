"""Sizes of spanners: a length or a bare number that is the jaw of a tool."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from pipeline.numbers import read_number
from pipeline.numbers.words import NUMBER_WORDS
from pipeline.quantities.counts import is_plural
from pipeline.quantities.inch_sizes import parts_of_an_inch
from pipeline.quantities.scan import Bare, Found, Scan, cue_words
from pipeline.quantities.tapped import to_mm

# Tools with a jaw size and no torque of their own; a wrench may be a torque wrench.
_JAWS = frozenset({"socket", "sockets", "spanner", "spanners"})
_ACROSS = (("a", "f"), ("across", "flats"), ("across", "the", "flats"))
_HEXAGONS = frozenset({"nut", "nuts", "bolt", "bolts", "cone", "cones"})


def spanner_after(scan: Scan, end: int) -> int:
    """Index after the spanner word that follows within a few words, or 0."""
    nouns, pairs, between = cue_words("spanner_nouns"), cue_words("spanner_pairs"), cue_words("spanner_between")
    index = end
    for _ in range(5):
        if index >= len(scan.words) or index in scan.breaks:
            return 0
        word = scan.words[index]
        following = scan.at(index + 1) if index + 1 not in scan.breaks else ""
        pair = f"{word} {following}"
        if pair in pairs:
            return index + 2
        if word == "socket" and following in ("head", "heads"):
            return 0
        if word == "head" and following in ("bolt", "bolts", "stud", "studs", "gasket", "nut", "nuts"):
            return 0
        if word == "hex" and following not in nouns | between:
            return index + 1
        if word in nouns:
            return 0 if scan.at(index - 1) in cue_words("drive_words") else index + 1
        if word not in between:
            return 0
        index += 1
    return 0


def across_flats(scan: Scan, end: int) -> int:
    """Index after "AF" or "across flats" at a piece, or the piece itself."""
    if end in scan.breaks:
        return end
    if scan.at(end) == "af":
        return end + 1
    if scan.at(end) == "across" and (end + 1 in scan.breaks or scan.at(end + 1) in ("", "and", "so", "but")):
        # "big nuts, they're thirty two mil across"
        start = max(scan.sentence(end)[0], end - APPOSED_WITHIN - 4)
        return end + any(plain in _HEXAGONS for plain in scan.plain[start:end])
    for across in _ACROSS:
        if tuple(scan.words[end : end + len(across)]) == across:
            return end + len(across)
    return end


def read_flats(scan: Scan, index: int) -> list[Found] | None:
    """ "22 A/F", "seven sixteenths AF": a size with what it is measured across."""
    number = read_number(scan.words, index, scan.breaks)
    if number is None or across_flats(scan, number.end) == number.end:
        return None
    bare = Bare(number.exact, None, index, number.end, number.spoken, number.shape)
    found = bare_spanner(scan, bare)
    return [found] if found is not None else None


def as_spanner(scan: Scan, found: Found) -> Found:
    """A size before "spanner", "socket" or "Allen key" is that of a jaw; so is a Whitworth size."""
    if found.kind == "thread" and found.thread.endswith(("BSW", "BSF")):
        end = spanner_after(scan, found.end)
        if not end and scan.at(found.end) == "ring" and found.end not in scan.breaks:
            end = found.end + 1  # "a five-sixteenths Whit ring"
        return replace(found, kind="spanner", why=f"before {scan.words[end - 1]!r}") if end else found
    if (
        found.unit == "N·m"
        and scan.at(found.end) in _JAWS
        and scan.at(found.start - 1) in ("a", "an", "the", "my")
        and found.value.denominator == 1
        and 3 <= found.value <= 65
    ):
        return replace(found, kind="spanner", unit="mm", why=f"N·m before {scan.at(found.end)!r} is mm misheard")
    if found.kind != "length" or found.unit not in ("mm", "in") or found.high is not None:
        return found
    if found.why.startswith("'mil' of a hexagon key"):
        return replace(found, kind="spanner")
    flats = across_flats(scan, found.end)
    if flats != found.end:
        return replace(found, kind="spanner", end=flats, why="across flats")
    end = spanner_after(scan, found.end)
    if (
        tuple(scan.words[found.end : found.end + 2]) in (("on", "the"), ("for", "the"))
        and scan.at(found.end + 2) in _JAWS
    ):
        end = found.end + 3
    if end:
        return replace(found, kind="spanner", why=f"before {scan.words[end - 1]!r}")
    if (noun := _key_or_nut(scan, found)) != "":
        return replace(found, kind="spanner", why=f"before {noun!r}")
    noun = _spanner_before(scan, found) or _apposed(scan, found) or _undone_with(scan, found)
    return replace(found, kind="spanner", why=f"after {noun!r}") if noun else found


# Keys that are parts, and no tools.
_KEYED = frozenset(
    "woodruff flywheel keyway keyways crankshaft shaft feather sheared parallel gib chuck ignition".split()  # noqa: SIM905
)
_LEAST_NUT_MM = 7
# Rings that are parts, beside those that are spanners; and what a ring is put on.
_RINGED = frozenset({"piston", "pistons", "compression", "groove", "oil", "seal", "sealing", "o", "snap"})
_WANTED = frozenset({"want", "wants", "need", "needs", "take", "takes", "took", "use", "used", "get", "put", "with"})
_CAPPED = frozenset({"cap", "caps", "plug", "plugs", "bung", "union", "unions"})
_LEAST_RING = Fraction(1, 4)
_ENDS = frozenset({"", "and", "so", "but", "for", "on"})


def _key_or_nut(scan: Scan, found: Found) -> str:
    """ "a five mil key", "two seventeen millimetre nuts": the key or nut right behind a size, else ""."""
    words = [] if found.end in scan.breaks else scan.words[found.end : found.end + 2]
    if words[:1] in (["square"], ["lock"], ["hex"]):
        words = words[1:]
    if words[:1] in (["key"], ["keys"]) and to_mm(found) <= 24:
        start, end = scan.sentence(found.start)
        stock = words[1:2] in (["stock"], ["steel"], ["way"], ["blank"])
        return "" if stock or _KEYED & {*scan.plain[start:end]} else words[0]
    if words[:1] == ["ring"] and _is_ring_spanner(scan, found):
        return words[0]
    if words[:1] == ["ring"] and _is_jaw(found) and (found.end + 1 in scan.breaks or scan.at(found.end + 1) in _ENDS):
        nuts = {*scan.plain[max(scan.sentence(found.start)[0], found.start - APPOSED_WITHIN) : found.start]}
        return words[0] if nuts & (_HEXAGONS | {"locknut", "locknuts"}) else ""
    nut = words[:1] in (["nut"], ["nuts"], ["locknut"], ["locknuts"]) and scan.at(found.end) != "square"
    return words[0] if nut and _is_jaw(found) and found.value >= _LEAST_NUT_MM else ""


def _is_ring_spanner(scan: Scan, found: Found) -> bool:
    """ "you want an inch and an eighth ring for them": a size in parts of an inch that fits a fastener."""
    parts = found.unit == "in" and found.value.denominator in (2, 4, 8, 16, 32) and found.value >= _LEAST_RING
    start, end = scan.sentence(found.start)
    if not parts or {*scan.plain[start:end]} & _RINGED:
        return False
    fits = scan.at(found.end + 1) in ("on", "for") and found.end + 1 not in scan.breaks
    wanted = {*scan.plain[max(start, found.start - 3) : found.start]} & _WANTED
    return bool(wanted) and (fits or bool({*scan.plain[start:end]} & (_HEXAGONS | _CAPPED)))


def _spanner_before(scan: Scan, found: Found) -> str:
    """The word in "the plug socket, twenty one millimetre" and "the nut is thirteen millimetre"; else ""."""
    before = scan.at(found.start - 1)
    if found.start in scan.sentences or not 5 <= to_mm(found) <= 65:
        return ""
    if before in cue_words("spanner_nouns") and scan.at(found.start - 2) not in ("a", "torque"):
        return before if scan.at(found.end) not in ("long", "deep") else ""
    if before in ("a", "an"):
        before = scan.at(found.start - 2)
    if before not in ("is", "are", "was", "were", "it's", "they're"):
        return ""
    noun = next((word for word in reversed(scan.plain[max(0, found.start - 4) : found.start]) if word in _HEXAGONS), "")
    return noun if found.end in scan.breaks or scan.at(found.end) in ("and", "so", "", "on", "which") else ""


APPOSED_WITHIN = 8
_MOST_JAW_MM = 36


def _apposed(scan: Scan, found: Found) -> str:
    """The fastener in "I'm undoing the caliper bolts, thirteen mil, ...": a size thrown in between two commas."""
    closed = found.end in scan.breaks or found.end >= len(scan.words)
    opening = found.start - (scan.at(found.start - 1) in ("all", "both"))
    if not (closed and opening in scan.breaks and _is_jaw(found)):
        return ""
    start = max(scan.sentence(found.start)[0], found.start - APPOSED_WITHIN)
    if found.start in scan.sentences:
        return ""
    for place in range(found.start - 1, start - 1, -1):
        word = scan.plain[place]
        if word in _HEXAGONS | {"unions"}:
            return word
        if word[0].isdigit() or word in cue_words("length") | cue_words("clearance"):
            return ""
    return ""


def _undone_with(scan: Scan, found: Found) -> str:
    """ "I did those up with a ten mil": a tool that needs no name."""
    closed = found.end in scan.breaks or found.end >= len(scan.words) or scan.at(found.end) in ("and", "so", "but")
    if not (closed and _is_jaw(found) and scan.words[max(0, found.start - 2) : found.start] == ["with", "a"]):
        return ""
    start = scan.sentence(found.start)[0]
    return next((word for word in scan.plain[start : found.start] if word in cue_words("turned_with")), "")


def _is_jaw(found: Found) -> bool:
    return found.value.denominator == 1 and found.unit == "mm" and 5 <= found.value <= _MOST_JAW_MM


def bare_spanner(scan: Scan, bare: Bare) -> Found | None:
    """ "a 22 socket", "22 AF", "a seven sixteenths spanner": the size alone."""
    if bare.high is not None or bare.end in scan.breaks or scan.at(bare.end) == "moon":
        return None
    inch = bare.value.denominator != 1 and bare.shape in ("fraction", "mixed")
    flats = across_flats(scan, bare.end)
    if flats != bare.end and scan.at(flats - 1) == "across" and bare.value.denominator != 1 and bare.value > 3:
        return None  # "the flex is six and a half across"
    if flats != bare.end:
        unit = "in" if inch or bare.value <= 2 else "mm"
        return Found("spanner", bare.value, None, unit, bare.start, flats, bare.start, why="across flats")
    after = spanner_after(scan, bare.end)
    if not after:
        return None
    noun = scan.words[after - 1]
    if (parts := parts_of_an_inch(bare)) is not None:
        return Found("spanner", parts, None, "in", bare.start, bare.end, bare.start, why=f"before {noun!r}")
    if noun in ("allen", "hex") and bare.spoken and bare.value <= 12 and is_plural(scan.at(after)):
        # "four allen bolts"
        return None
    if scan.at(bare.start) == "one" and 100 <= bare.value <= 100 + _MOST_JAW_MM and bare.end - bare.start > 1:
        bare = replace(bare, value=bare.value - 100, start=bare.start + 1)  # "the plug is one nineteen spanner"
    if not inch and (bare.value.denominator not in (1, 2) or not 3 <= bare.value <= 65):
        return None
    # "four sockets" counts them, "ten and thirteen sockets" sizes them.
    before = scan.at(bare.start - 2) if scan.at(bare.start - 1) in ("and", "or") else scan.at(bare.start - 1)
    listed = before in NUMBER_WORDS or before[:1].isdigit() or not bare.spoken
    counted = noun.endswith("s") and after == bare.end + 1 and not (listed and bare.value > 6)
    if counted or noun in ("head", "heads", "headed"):
        return None
    unit = "in" if inch else "mm"
    return Found("spanner", bare.value, None, unit, bare.start, bare.end, bare.start, why=f"before {noun!r}")
