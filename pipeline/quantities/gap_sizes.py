"""Lengths that leave no doubt whether they are a gap, whatever the weights say of them: play, squish, runout, stretch;
and gaps so large that they can only be in thou."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

from pipeline.quantities.reasons import LENT, UNSAID
from pipeline.quantities.scan import Found, Scan, cue_words
from pipeline.quantities.tapped import to_mm

# Beside one of each a gap is set in thou or in parts of a millimetre.
_SET_GAPS = frozenset({"gap", "gaps", "gapped", "gapping", "lash", "clearance", "clearances"})
_OF_THESE = frozenset(
    {"plug", "plugs", "points", "valve", "valves", "ring", "rings", "tappet", "tappets", "intake", "exhaust"}
)
_LEAST_THOU, _MOST_THOU = 5, 120
_FINE_MM = 4
# Said anywhere near, also behind: "four for the inlet and six for the exhaust, thou I mean".
_THOUSANDTHS, _THOU_WITHIN = frozenset({"thou", "thousandths"}), 40
_INLETS, _EXHAUSTS = frozenset({"inlet", "inlets", "intake", "intakes"}), frozenset({"exhaust", "exhausts"})
_WHY_THOU = "a gap of plugs, points, valves or rings; so many can only be thou"
# What moves: so much is its play.
_MOVED = (("in", "and", "out"), ("up", "and", "down"), ("end", "to", "end"))
_MOST_MOVED_MM, _MOST_PLAY_MM, _MOST_FREE_MM = 3, 150, 60
_NO_GAP = frozenset(
    "runout run-out warped warp bowed wobble buckle buckled true travel thick stroke lift eccentric".split()  # noqa: SIM905
)
_GAUGED = frozenset({"plastigauge", "plastigage", "plasti-gauge"})
_TO_SQUISH = frozenset(
    "with solder the is was at came comes come down out up to it's now measured measures of 's be".split()  # noqa: SIM905
) | frozenset("piston head edge by hang on i did it and i'd like love want get".split())  # noqa: SIM905
# What a gap is called where it is what is spoken of: "clearance on the drive plate is an eighth of an inch".
_GAPS = frozenset({"clearance", "clearances", "backlash", "lash", "endfloat", "endplay", "freeplay", "squish"})
_TO_A_GAP = frozenset({"on", "at", "of", "between", "for", "in", "under", "to", "behind"})
_IS, _SAID_WITHIN = (
    frozenset({"is", "was", "should", "be", "are", "were", "'s", "about", "around", "maybe", "only", "now"}),
    8,
)
_LIGHT_UNDER = frozenset({"under", "between", "through", "behind", "round", "past"})
_LEFT_WITHIN = 30
_SHIMS = frozenset({"shim", "shims", "washer", "washers", "spacer", "spacers", "gasket", "packer"})
_CARBURETTOR = frozenset(
    {
        "jet",
        "jets",
        "gasket",
        "needle",
        "carb",
        "carbs",
        "carburettor",
        "carburetor",
        "bowl",
        "bowls",
        "clip",
        "tang",
        "petrol",
    }
)
_LEVERS = frozenset({"pedal", "lever"})
_WHY = {"clearance": "the words around it speak of a gap", "length": ""}


def with_gaps(scan: Scan, figures: Sequence[Found]) -> list[Found]:
    """The figures, each length or clearance with the kind that is sure, and too many millimetres as thou."""
    marked: list[Found] = []
    for found in figures:
        if found.kind in ("length", "clearance"):
            kind = _sure_kind(scan, found)
            if kind and kind != found.kind:
                found = replace(found, kind=kind, why=found.why or _WHY[kind])
            if _in_thou(scan, found, marked):
                found = replace(found, kind="clearance", unit="thou", times=Fraction(1), why=_WHY_THOU)
        marked.append(found)
    return marked


def _sure_kind(scan: Scan, found: Found) -> str:
    size_mm = to_mm(found)
    behind = [] if found.end in scan.breaks else scan.words[found.end : found.end + 3]
    if behind[:1] == ["of"] and size_mm <= _MOST_PLAY_MM:
        named = behind[2:3] if behind[1:2] == ["free"] else behind[1:2]
        if {*named} & cue_words("slack"):
            return "clearance"
    own = {*scan.plain[slice(*scan.sentence(found.start))]}
    lately = {*scan.plain[slice(*scan.with_sentence_before(found.start))]}
    if size_mm <= _MOST_MOVED_MM and not lately & cue_words("clearance"):
        if lately & {"runout", "run-out"}:
            return "length"
        if lately & {"stretch", "stretched"} and lately & {"bolt", "bolts"}:
            return "length"
    if _told_as_gap(scan, found) and size_mm <= _MOST_PLAY_MM:
        return "clearance"
    if _left_of_play(scan, found):
        return "clearance"
    if _said_of_a_shim(scan, found):
        return "length"
    if "float" in own and lately & _CARBURETTOR and not lately & (cue_words("clearance") - {"float"}):
        return "length"  # "set the float at eleven sixteenths, gasket off"
    if _when_new(scan, found) and not own & (cue_words("clearance") - {"rock"}):
        return "length"
    gap = _gauged(scan, found, lately) or _squish(scan, found) or _moved(scan, found) or _lit(scan, found, lately)
    if gap and size_mm <= _MOST_MOVED_MM and not own & _NO_GAP:
        return "clearance"
    before = scan.words[max(scan.sentence(found.start)[0], found.start - 4) : found.start]
    leading = any(pair == ("at", "the") for pair in pairwise(before)) and {*before} & _LEVERS
    at_a_lever = leading or (behind[:2] in (["at", "the"], ["on", "the"]) and {*behind[2:3]} & _LEVERS)
    if at_a_lever and size_mm <= _MOST_FREE_MM and not own & _NO_GAP:
        return "clearance"
    return ""


def _told_as_gap(scan: Scan, found: Found) -> bool:
    """ "clearance at the arm should be three sixteenths": the sentence opens with the gap and tells how large it is."""
    first = max(scan.sentence(found.start)[0], found.start - _SAID_WITHIN)
    said = scan.plain[first : found.start]
    if any(first <= other.start < found.start for other in scan.found) or not said or said[-1] not in _IS:
        return False
    names = [at for at, word in enumerate(said[:-1]) if word in _GAPS and said[at + 1] in _TO_A_GAP]
    opens = [at for at in names if first + at in (*scan.sentences, 0) or first + at in scan.breaks]
    return bool(opens) and not scan.breaks & {*range(first + opens[-1] + 1, found.start + 1)}


def _left_of_play(scan: Scan, found: Found) -> bool:
    """ "forty thou of end play. I shimmed it with thirty. Leaves ten.": what is left of the play."""
    if scan.at(found.head - 1) not in ("leaves", "leaving", "left") or found.head in scan.breaks:
        return False
    start = max(0, found.start - _LEFT_WITHIN)
    return bool({*scan.plain[start : found.start]} & cue_words("slack")) or any(
        " ".join(pair) in cue_words("clearance_pairs") for pair in pairwise(scan.plain[start : found.start])
    )


def _said_of_a_shim(scan: Scan, found: Found) -> bool:
    """ "end float is six thou, shim's twenty": how thick it is."""
    at = found.start - 1
    if scan.plain[at : at + 1] in (["is"], ["was"], ["are"]):
        at -= 1
    told = at < found.start - 1 or scan.at(at).endswith("'s")
    return told and at >= 0 and found.start not in scan.breaks and scan.plain[at] in _SHIMS


def _when_new(scan: Scan, found: Found) -> bool:
    """ "down to a sixteenth, and there's three eighths when it's new": how thick it is."""
    behind = [] if found.end in scan.breaks else scan.words[found.end : found.end + 4]
    return behind[:1] == ["when"] and "new" in behind


def _lit(scan: Scan, found: Found, lately: set[str]) -> bool:
    """ "the light under the reed is half a millimetre": what light shines through."""
    start = scan.with_sentence_before(found.start)[0]
    said = scan.plain[start : found.start]
    seen = any(pair[0] == "light" and pair[1] in _LIGHT_UNDER for pair in pairwise(said))
    return seen and not lately & {"shim", "shims", "feeler", "washer"}


def _gauged(scan: Scan, found: Found, lately: set[str]) -> bool:
    """ "the plastigauge says two thou"."""
    if lately & _GAUGED:
        return True
    start = scan.with_sentence_before(found.start)[0]
    return ("plastic", "gauge") in pairwise(scan.plain[start : found.start])


def _squish(scan: Scan, found: Found) -> bool:
    """ "squish with solder came out one point three": what is said of it is a gap."""
    at = found.start - 1
    first = scan.sentence(found.start)[0]
    while at > first:
        before = next((other for other in scan.found if other.end == at + 1 and other.kind == found.kind), None)
        if before is None and scan.plain[at] not in _TO_SQUISH:
            break
        at = before.start - 1 if before is not None else at - 1
    return at >= first and scan.plain[at] in ("squish", "squash", "quench")


def _moved(scan: Scan, found: Found) -> bool:
    """ "the limit for in and out is nine hundredths"."""
    first = scan.sentence(found.start)[0]
    before = scan.plain[first : found.start]
    return any(tuple(before[at : at + 3]) in _MOVED for at in range(len(before) - 2))


def _in_thou(scan: Scan, found: Found, marked: Sequence[Found]) -> bool:
    """Whether a whole number of millimetres that nobody said is a gap of plugs, valves or rings."""
    lately = {*scan.plain[slice(*scan.with_sentence_before(found.start))]}
    named = bool({*scan.plain[max(0, found.start - _THOU_WITHIN) : found.end + _THOU_WITHIN]} & _THOUSANDTHS)
    both = found.kind == "clearance" and bool(lately & _INLETS) and bool(lately & _EXHAUSTS)
    least = 2 if named else _LEAST_THOU - both
    whole = found.value.denominator == 1 and least <= found.value <= _MOST_THOU
    if found.unit != "mm" or found.times != 1 or not whole or not found.why.startswith((UNSAID, LENT)):
        return False
    before = next((item for item in reversed(marked) if item.kind == "clearance"), None)
    if before is not None and before.unit == "thou" and before.why == _WHY_THOU:
        return True
    fine = any(item.unit in ("mm", "µm") and item.value < _FINE_MM for item in scan.found)
    told = both or (found.kind == "clearance" and named) or bool(lately & _SET_GAPS)
    return told and bool(lately & _OF_THESE) and not fine
