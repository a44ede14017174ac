"""Numbers that custom gives a unit or a kind: a size with its fit, a ratio, turns counted."""

from __future__ import annotations

from dataclasses import replace

from pipeline.numbers.words import NUMBER_WORDS, ONES, word_set
from pipeline.quantities.carried import stands_alone
from pipeline.quantities.scan import Bare, Found, Scan

# Those that are no thread (M6), no grit (P400) and no class (E5).
_FITS = frozenset({"f", "g", "h", "j", "js", "k", "n"})
_FIT_GRADES = range(5, 14)
_MOST_FITTED_MM = 500
_MOST_RATIO = 20
_RATIO_WITHIN = 4
_TURNS = (2, 80)
_TILTED = frozenset({"mitre", "miter", "protractor", "bevel", "tilt", "tilted", "tilting", "angles"})
_TILT_LEADS = frozenset(
    {"to", "at", "on", "says", "said", "reads", "read", "it's", "is", "was", "cutting", "and", "angles"}
)
_GEARS = frozenset({"gear", "gears", "box", "pinion", "grinder", "hole"})
_TILTED_WITHIN, _LEAST_TILT, _MOST_TILT = 12, 5, 90
_TOOLS = frozenset({"drill", "reamer", "endmill", "cutter"})
_TOOL_PAIRS = frozenset({("hole", "saw"), ("end", "mill"), ("slot", "drill"), ("twist", "drill"), ("ball", "nose")})
_MOST_TOOL_MM = 120
# Speeds of motors at 50 and 60 hertz, under load.
_MOTORS = frozenset({940, 950, 960, 1140, 1400, 1420, 1425, 1430, 1440, 1450, 1725, 1750, 2800, 2850, 2880, 3450})
_FUSES = frozenset({1, 2, 3, 5, 10, 13, 15, 16, 20, 25, 30, 32, 35, 40, 45, 50, 60, 63, 80, 100, 125, 150, 200, 250})
# Thou between valves and their rockers, points, and the electrodes of a plug.
_LASH = range(4, 46)
_LASH_LEADS = frozenset(
    {"at", "is", "are", "to", "got", "of", "and", "it's", "'em", "them", "gap", "gaps", "clearances", "lash"}
)
_VALVES = frozenset({"inlet", "exhaust", "intake", "inlets", "exhausts", "intakes"})
_MOST_LASH = 30
_OF_OTHER_TALK = word_set(
    "manifold manifolds bolts nuts studs springs spring torque seat seats guide guides cam lift lobe lobes "
    "duration degrees port ports opens closes side rocker valves teeth cylinders"
)
_NEAR = 40
# Pressures of hydraulics, injectors and washers, in round numbers of psi.
_LEAST_PSI, _MOST_PSI = 700, 5000
# What a pressure gauge stands on, and what opens at its pressure.
_PUMPED = frozenset(
    "pump pumps unloader hydraulic hydraulics relief washer lance ram rams steering injector injectors".split()  # noqa: SIM905
)
_POPS = frozenset({"pop", "pops", "popped", "popping", "cracks", "lifts", "blows", "opens"})
_POPPED = frozenset({"relief", "injector", "injectors", "nozzle", "nozzles"})
_TURNING = frozenset({"rpm", "revs", "idle", "tickover", "engine", "spindle", "governor"})


def by_custom(scan: Scan, bare: Bare) -> Found | None:
    """The figure that a bare number is by custom, or None."""
    if bare.high is not None:
        plated = replace(bare, value=bare.value * 100 + bare.high, high=None) if bare.value < 100 else bare
        return _on_a_motor(scan, plated)  # "fourteen twenty"
    return (
        _fitted(scan, bare)
        or _geared(scan, bare)
        or _turns_counted(scan, bare)
        or _chamfered(scan, bare)
        or _tilted(scan, bare)
        or _of_a_tool(scan, bare)
        or _on_a_motor(scan, bare)
        or _of_a_fuse(scan, bare)
        or _lash(scan, bare)
        or _hydraulic(scan, bare)
    )


def _fitted(scan: Scan, bare: Bare) -> Found | None:
    """ "the bore wants to be thirty-five H7", "the shaft's thirty-five, k6": a size with its ISO fit."""
    grade = scan.at(bare.end + 1)
    number = ONES.get(grade) or (int(grade) if grade.isdecimal() and len(grade) < 3 else 0)
    if scan.at(bare.end) not in _FITS or number not in _FIT_GRADES or not 1 <= bare.value <= _MOST_FITTED_MM:
        return None
    return scan.figure_of(bare, "length", "mm", "a size with its fit; no unit was said, and fits are of millimetres")


def _geared(scan: Scan, bare: Bare) -> Found | None:
    """ "the diff ratio's 4.3": so many to one."""
    before = scan.plain[max(scan.sentence(bare.start)[0], bare.start - _RATIO_WITHIN) : bare.start]
    if bare.shape != "decimal" or not 1 < bare.value <= _MOST_RATIO or not {*before} & {"ratio", "ratios"}:
        return None
    return scan.figure_of(bare, "ratio", "", "a ratio; so many to one") if stands_alone(scan, bare) else None


def _turns_counted(scan: Scan, bare: Bare) -> Found | None:
    """ "Count the turns as it comes off. I got twenty-two and a half." """
    if not _TURNS[0] <= bare.value <= _TURNS[1] or bare.value.denominator > 4 or not stands_alone(scan, bare):
        return None
    first = scan.with_sentence_before(bare.start)[0]
    before = scan.plain[first : bare.start]
    counted = [
        place
        for place, word in enumerate(before[:-1])
        if word in ("count", "counted", "counting") or before[place : place + 3] == ["how", "many", "turns"]
    ]
    turns = counted and {*before[counted[-1] : counted[-1] + 4]} & {"turns", "revolutions"}
    if not turns:
        return None
    if any(
        found.start >= first + counted[-1] and found.kind != "count" for found in scan.found if found.end <= bare.start
    ):
        return None
    return scan.figure_of(bare, "angle", "turn", "turns that were counted")


def _tilted(scan: Scan, bare: Bare) -> Found | None:
    """ "tilt it to forty-five", "the protractor says thirty": degrees."""
    first = max(scan.sentence(bare.start)[0], bare.start - _TILTED_WITHIN)
    before = scan.plain[first : bare.start]
    if not {*before} & _TILTED or not _LEAST_TILT <= bare.value <= _MOST_TILT or not stands_alone(scan, bare):
        return None
    led = bare.start in scan.breaks or scan.at(bare.start - 1) in _TILT_LEADS
    if bare.value.denominator not in (1, 2, 5, 10) or not led or {*before} & _GEARS:
        return None
    return scan.figure_of(bare, "angle", "deg", "how far something is tilted; no unit was said, taken as degrees")


def _chamfered(scan: Scan, bare: Bare) -> Found | None:
    """ "edges break point two by forty-five": a chamfer's angle."""
    edges = scan.sentence_words(bare.start) & {"chamfer", "chamfers", "chamfered", "edge", "edges", "corner", "corners"}
    if bare.value not in (30, 45, 60) or scan.at(bare.start - 1) not in ("by", "x") or not edges:
        return None
    return scan.figure_of(bare, "angle", "deg", "a chamfer; no unit was said, taken as degrees")


def _of_a_tool(scan: Scan, bare: Bare) -> Found | None:
    """ "with the forty two hole saw", "a six and a half drill"."""
    if bare.end in scan.breaks or scan.at(bare.start - 1) not in ("a", "an", "the", "my", "with"):
        return None
    tool = scan.at(bare.end) in _TOOLS or (scan.at(bare.end), scan.at(bare.end + 1)) in _TOOL_PAIRS
    if not tool or bare.shape == "fraction" or not 1 <= bare.value <= _MOST_TOOL_MM:
        return None
    return scan.figure_of(bare, "length", "mm", "what a cutting tool measures; no unit was said, taken as millimetres")


def _on_a_motor(scan: Scan, bare: Bare) -> Found | None:
    """ "a three-quarter horse motor, fourteen-forty": what its plate says."""
    if bare.value not in _MOTORS or not scan.sentence_words(bare.start) & {"motor", "motors", "horse", "horsepower"}:
        return None
    following = scan.at(bare.end) if bare.end not in scan.breaks else ""
    if following in ("litres", "watts", "watt", "hours"):
        return None
    return scan.figure_of(bare, "speed", "rpm", "what a motor's plate says; no unit was said, taken as rpm")


def _of_a_fuse(scan: Scan, bare: Bare) -> Found | None:
    """ "the trim fuse is a twenty", "the breaker's an eighty": amps."""
    led = scan.at(bare.start - 1) in ("a", "an") and scan.joined(bare.start)
    said = scan.plain[max(scan.sentence(bare.start)[0], bare.start - 4) : bare.start]
    of_one = {*said} & {"fuse", "breaker"} and scan.at(bare.end) in ("", "and", "so", "but", "not", "in", "now", "or")
    if not led or bare.value not in _FUSES or not (of_one or (said and bare.end in scan.breaks and {*said} & {"fuse"})):
        return None
    return scan.figure_of(bare, "current", "A", "a fuse; no unit was said, taken as amps")


def _lash(scan: Scan, bare: Bare) -> Found | None:
    """ "valve clearances are sixteen inlet and eighteen exhaust", "the points at fifteen": no millimetres so many."""
    pointed = scan.at(bare.start - 1) == "points" and scan.at(bare.start - 2) not in NUMBER_WORDS
    of_both = _of_either_valve(scan, bare)
    led = scan.at(bare.start - 1) in _LASH_LEADS or scan.at(bare.end) in _VALVES or pointed or of_both
    if not led or bare.value.denominator != 1 or bare.value not in _LASH or not stands_alone(scan, bare):
        return None
    around = scan.sentence_words(bare.start)
    lately = {*scan.plain[slice(*scan.with_sentence_before(bare.start))]}
    if around & _VALVES and lately & {"valve", "valves", "tappet", "tappets"} and lately & {"cold", "hot", "clearance"}:
        around |= {"lash"}  # "Valves, cold. The intake I like at four."
    told = (
        pointed
        or of_both
        or around & {"lash", "tappet", "tappets"}
        or (
            around & {"clearance", "clearances", "gap", "gaps"}
            and around & {"valve", "valves", "points", "plug", "plugs"}
        )
    )
    metric = any(found.unit in ("mm", "µm") and abs(found.start - bare.start) <= _NEAR for found in scan.found)
    if not told or metric:
        return None
    return scan.figure_of(bare, "clearance", "thou", "a gap of valves, points or plugs; so many can only be thou")


def _of_either_valve(scan: Scan, bare: Bare) -> bool:
    """ "I had seven on the intake and twelve on the exhaust": gaps, where nothing else is talked of."""
    behind = scan.words[bare.end : bare.end + 3] if bare.end not in scan.breaks else []
    placed = behind[:1] in (["on"], ["for"]) and {*behind[1:3]} & _VALVES
    around = scan.sentence_words(bare.start)
    both = around & {"inlet", "inlets", "intake", "intakes"} and around & {"exhaust", "exhausts"}
    others = (found for found in scan.found if found.kind not in ("length", "clearance", "count", "duration"))
    if any(abs(found.start - bare.start) <= _NEAR for found in others):
        return False
    return bool(placed and both and bare.value <= _MOST_LASH) and not around & _OF_OTHER_TALK


def _hydraulic(scan: Scan, bare: Bare) -> Found | None:
    """ "pressure's twenty-eight hundred with the trigger pulled", "nitrogen was at 900": psi."""
    usual = _LEAST_PSI <= bare.value <= _MOST_PSI and bare.value % 50 == 0
    if not usual or not stands_alone(scan, bare):
        return None
    own = scan.sentence(bare.start)
    lately = {*scan.plain[slice(*scan.with_sentence_before(bare.start))]}
    asked = bool({"pressure", "nitrogen", "accumulator"} & {*scan.plain[own[0] : bare.start]})
    gauged = bool(lately & {"gauge", "gauges"} and lately & _PUMPED)
    popped = bool({*scan.plain[own[0] : bare.start]} & _POPS and lately & _POPPED)
    if (gauged or popped) and not lately & (_TURNING | {"tach", "tacho", "bar"}):
        asked = True
    if not asked or {*scan.plain[slice(*own)]} & _TURNING:
        return None
    return scan.figure_of(bare, "pressure", "psi", "a high pressure; no unit was said, and in so many it is in psi")
