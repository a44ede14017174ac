"""The spanner of a nut that needs no name: "the nut is a twenty-two, and forty-five newton metres", "the plug's a
nineteen"."""

from __future__ import annotations

from fractions import Fraction

from pipeline.quantities.carried import stands_alone
from pipeline.quantities.scan import Bare, Found, Scan
from pipeline.quantities.spanners import APPOSED_WITHIN

# Those that are no round torque.
_JAWS_MM = frozenset({13, 14, 16, 17, 18, 19, 21, 22, 24, 27, 32, 36})
_ALL_JAWS_MM = _JAWS_MM | {8, 10, 11, 12, 15, 30}
_SAID_JAWS_MM = _ALL_JAWS_MM | {34}
_KEYS_MM = frozenset({Fraction(3, 2), Fraction(5, 2)})
_LEAST_IN, _MOST_IN = Fraction(7, 16), Fraction(3, 2)
_NUTS = frozenset({"nut", "nuts", "locknut", "locknuts", "bolt", "bolts", "screw", "screws", "stud", "studs"})
# "drain bolt seventeen, twenty-four newton metres": right behind a single one.
_ONE_OF_NUTS = frozenset({"nut", "locknut", "bolt"})
_LED = frozenset({"is", "are", "was", "were", "it's", "they're", "a", "all", "both"})
_HELD = frozenset(
    {"hold", "held", "holding", "holds", "undo", "undid", "undone", "crack", "cracked", "loosen", "loosened"}
)
_LINKS = frozenset({"and", "at", "then", "only", "just"})
_WITHIN = 2
# Small jaws that may be torques: spanners only where others were named just before.
_SMALL_JAWS_MM, _NAMED_WITHIN = frozenset({7, 8, 10, 11, 12}), 30
_TOOLS_SAID = frozenset({"head", "spanner", "spanners", "socket", "sockets", "allen"})
_SMALL_HEXAGONS = frozenset({"nipple", "nipples", "nut", "bolt", "screw", "plug", "union"})
_HEXAGONS = frozenset(
    {"nut", "nuts", "bolt", "bolts", "plug", "plugs", "union", "unions", "locknut", "locknuts", "pipes", "screw"}
)
_HEXAGON_WITHIN, _TORQUE_WITHIN = 7, 3
_BE = frozenset({"is", "are", "was", "were", "it's", "they're", "that's"})
# What is turned with a spanner, and takes one: "the fixed cup takes a thirty-six".
_TAKES = frozenset({"takes", "take", "took", "wants", "needs"})
_TURNED = _HEXAGONS | {
    "cup",
    "cups",
    "lockring",
    "ring",
    "cap",
    "collar",
    "freewheel",
    "headset",
    "fitting",
    "gland",
    "nuts",
}
_NO = frozenset({"no", "nope", "nah", "sorry"})
_PUT_RIGHT_LEADS = frozenset({"with", "is", "takes", "needs", "wants", "it's", "they're", "use", "used"})
# Hubs have cones and their locknuts; thin spanners of these sizes fit both.
_CONES, _CONES_MM = frozenset({"cone", "cones"}), range(13, 25)
_OF_CONES = _CONES | {"locknut", "locknuts", "front", "rear", "left", "right", "drive"}
_CONES_WITHIN, _REACH = 4, 14


def jaw_of_a_nut(scan: Scan, start: int, value: Fraction, shape: str) -> bool:
    """Whether a number right behind a nut or bolt is the size of its spanner."""
    inch = shape in ("fraction", "mixed") and value.denominator in (8, 16, 32) and _LEAST_IN <= value <= _MOST_IN
    if not inch and value not in _JAWS_MM:
        return False
    first = max(scan.sentence(start)[0], start - APPOSED_WITHIN)
    before = scan.plain[first:start]
    if not {*before} & _NUTS:
        return False
    of_one = before[-1] in _ONE_OF_NUTS and not inch
    stopped = start in scan.breaks or scan.at(start - 1).endswith("'s") or of_one
    return before[-1] in _LED or (before[-1] in _NUTS and stopped)


def before_its_torque(scan: Scan, bare: Bare) -> Found | None:
    """The spanner that a number is between its nut and what that is tightened to, or None."""
    if bare.high is not None or not (jaw_of_a_nut(scan, bare.start, bare.value, bare.shape) or _small_jaw(scan, bare)):
        return None
    torques = {found.start for found in scan.found if found.kind == "torque"}
    place = bare.end
    while place not in torques and place - bare.end < _WITHIN and scan.at(place) in _LINKS:
        place += 1
    if place not in torques or "then" in scan.words[bare.end : place]:
        return None
    unit = "in" if bare.value.denominator > 1 else "mm"
    why = "the spanner of a nut, before its torque; no unit was said"
    return scan.figure_of(bare, "spanner", unit, why)


def _small_jaw(scan: Scan, bare: Bare) -> bool:
    """ "caliper bolts are twelve head ... the bleed nipple is eight and only six newton metres"."""
    start = max(0, bare.start - _NAMED_WITHIN)
    is_one = scan.at(bare.start - 1) in ("is", "are") and scan.at(bare.start - 2) in _SMALL_HEXAGONS
    linked = scan.words[bare.end : bare.end + 1] == ["and"]
    return is_one and linked and bare.value in _SMALL_JAWS_MM and bool({*scan.plain[start : bare.start]} & _TOOLS_SAID)


def held_with(scan: Scan, bare: Bare) -> Found | None:
    """ "you hold the flat with a thirteen": a spanner that needs no name."""
    led = scan.words[max(0, bare.start - 2) : bare.start] in (["with", "a"], ["with", "the"])
    closes = bare.end in scan.breaks or scan.at(bare.end) in ("", "and", "so", "while", "then")
    if not (led and closes) or bare.high is not None or bare.value not in _ALL_JAWS_MM:
        return None
    if not scan.sentence_words(bare.start) & _HELD:
        return None
    return scan.figure_of(bare, "spanner", "mm", "what a nut is held or turned with; no unit was said")


def of_a_jaw(scan: Scan, bare: Bare) -> Found | None:
    """ "the plug in it's a nineteen", "the nuts are seventeen, and twenty newton metres", "a one and a half key"."""
    key = scan.at(bare.end) in ("key", "keys") and bare.end not in scan.breaks and bare.value in _KEYS_MM
    if key:
        return scan.figure_of(bare, "spanner", "mm", "a hexagon key; no unit was said, taken as millimetres")
    article = scan.at(bare.start - 1) in ("a", "an")
    link = bare.start - 1 - article
    if bare.value not in _SAID_JAWS_MM or bare.start in scan.breaks or not stands_alone(scan, bare):
        return None
    first = max(scan.sentence(bare.start)[0], bare.start - _HEXAGON_WITHIN)
    nuts = [place for place in range(first, bare.start) if scan.plain[place] in _HEXAGONS]
    taken = scan.at(link) in _TAKES and article and bare.value in _JAWS_MM
    if taken:
        nuts = [place for place in range(first, bare.start) if scan.plain[place] in _TURNED]
    is_one = taken or scan.at(link) in _BE or scan.at(link).endswith("'s")
    if not nuts or not is_one or any(nuts[-1] < found.end <= bare.start for found in scan.found):
        return None
    torques = [found.start for found in scan.found if found.kind == "torque" and found.why == ""]
    follows = any(0 <= start - bare.end <= _TORQUE_WITHIN for start in torques)
    linked = scan.at(bare.end) in ("and", "at") or bare.end in scan.breaks
    if not article and not (follows and linked):
        return None
    return scan.figure_of(bare, "spanner", "mm", "the jaw for a nut or bolt; no unit was said, taken as millimetres")


def put_right_jaw(scan: Scan, bare: Bare) -> Found | None:
    """ "the carrier bolts, with an eighteen. No, seventeen.": either of two spanners, the second the one that fits."""
    if bare.value not in _ALL_JAWS_MM or bare.high is not None:
        return None
    start = bare.start - (scan.at(bare.start - 1) in ("a", "an"))
    before = next((item for item in scan.bare if item.end == start - 1), None) if scan.at(start - 1) in _NO else None
    if before is None:
        behind = bare.end + 1 + (scan.at(bare.end + 1) in ("a", "an")) if scan.at(bare.end) in _NO else 0
        after = next((item for item in scan.bare if item.start == behind), None) if behind else None
        if after is None or after.value not in _ALL_JAWS_MM:
            return None
        before = bare
    led = scan.plain[max(0, before.start - _CONES_WITHIN) : before.start]
    one = {"a", "an"} & {*led} and ({*led} & _PUT_RIGHT_LEADS or _is_of_a_hexagon(scan, before))
    talk = {*scan.plain[slice(*scan.with_sentence_before(before.start))]}
    if before.value not in _ALL_JAWS_MM or not one or not talk & (_TURNED | _HEXAGONS | _NUTS):
        return None
    return scan.figure_of(bare, "spanner", "mm", "the jaw for a nut or bolt; no unit was said, taken as millimetres")


def _is_of_a_hexagon(scan: Scan, bare: Bare) -> bool:
    """ "the pinch bolt's a ten"."""
    return scan.at(bare.start - 2).endswith("'s") and scan.plain[bare.start - 2] in _TURNED | _NUTS


def of_cones(scan: Scan, bare: Bare) -> Found | None:
    """ "front cones are thirteen, the locknut's sixteen, rear cones fifteen, and seventeen on the locknut"."""
    if bare.value not in _CONES_MM or bare.high is not None or bare.start in scan.dashes:
        return None
    lately = scan.plain[max(0, bare.start - 2 * _REACH) : bare.end + _CONES_WITHIN]
    if not {*lately} & _CONES or {*lately} & {"tooth", "teeth", "spoke", "spokes", "balls"}:
        return None
    if scan.at(bare.start - 1) == "to":
        return None  # "the locknut goes to seventeen"
    before = {*scan.plain[max(0, bare.start - _CONES_WITHIN) : bare.start]} & _OF_CONES
    behind = scan.words[bare.end : bare.end + 2] == ["on", "the"] and scan.at(bare.end + 2) in _OF_CONES
    if not (behind and bare.end not in scan.breaks) and not (before and stands_alone(scan, bare)):
        return None
    return scan.figure_of(bare, "spanner", "mm", "the jaw for a cone or its locknut; no unit was said")
