"""Words that stand for several units: the words around them decide."""

from __future__ import annotations

from functools import cache
from itertools import takewhile

from pipeline.numbers.words import NUMBER_WORDS
from pipeline.quantities.mils import came_out, graded, of_a_key, poured, suspended, taken
from pipeline.quantities.prices import sold
from pipeline.quantities.refrigerants import refrigerant_unit
from pipeline.quantities.scan import Scan, cue_words, nearest
from pipeline.quantities.units import unit_table

_NOT_READINGS = ("said", "otherwise", "american", "written", "written_otherwise", "american_mm")
CHOICE = "choice "
_MEMORY = 40
# A shop that works in thou does so for long.
_TENTHS_MEMORY = 200
_CLOSE = 8
_LATEST = 4
_SURE, _SURER = 0.6, 0.8
# Choice -> reading -> the kinds of figure that the reader network knows it by.
_KINDS: dict[str, dict[str, tuple[str, ...]]] = {
    "degrees": {"temperature": ("temperature",), "deg": ("angle",)},
    "pounds": {"psi": ("pressure",), "lbf·ft": ("torque",), "lb": ("mass",), "money": ("",)},
    "mil": {"mL": ("volume",), "mm": ("length", "clearance", "spanner", "thread")},
}
_PARTS_OF_AN_INCH = frozenset({4, 8, 16, 32, 64})
# What gets warm as it runs, and how a heat moves; and what moves through an angle.
_RISEN = frozenset({"rose", "rises", "risen", "climbs", "climbed", "creeps", "crept", "hit", "hits", "reached", "up"})
_WARMED = frozenset(
    {
        "housing",
        "bearing",
        "bearings",
        "motor",
        "gearbox",
        "headstock",
        "cap",
        "barrel",
        "case",
        "box",
        "spindle",
        "head",
        "pump",
    }
)
_SWUNG = frozenset(
    {
        "lever",
        "timing",
        "advance",
        "arm",
        "turn",
        "turned",
        "tighten",
        "bolt",
        "bolts",
        "angle",
        "protractor",
        "table",
        "swings",
        "slide",
    }
)
_FORCES = ("torque", "pressure", "air", "boost", "force", "pull", "preload", "compression", "tension")


# Unit of the last length -> what tenths are of.
_OF_TENTHS = {
    "thou": "tenth of a thou",
    "in": "tenth of a thou",
    "mm": "tenth of a millimetre",
    "µm": "tenth of a millimetre",
}


@cache
def _readings(name: str) -> tuple[tuple[str, frozenset[str]], ...]:
    choice = unit_table().choices[name]
    return tuple((target, frozenset(cues)) for target, cues in choice.items() if target not in _NOT_READINGS)


def _earlier(scan: Scan, start: int, name: str) -> str:
    """The reading that the last figure of the last forty words settles: a volume before makes "mil" one too."""
    targets = {target for target, _ in _readings(name)}
    memory, named = (_TENTHS_MEMORY, _OF_TENTHS) if name == "tenths" else (_MEMORY, {unit: unit for unit in targets})
    lately = takewhile(lambda found: start - found.end <= memory, reversed(scan.found))
    return next((named[found.unit] for found in lately if found.unit in named), "")


def _in_a_tyre(scan: Scan, end: int) -> bool:
    """ "ten pounds in the left rear", "twelve pounds up front"."""
    behind = scan.words[end : end + 4] if end not in scan.breaks else []
    return behind[:1] in (["in"], ["on"], ["up"]) and bool({*behind} & {"front", "rear", "rears", "fronts"})


def _rises(scan: Scan, start: int, end: int) -> bool:
    """ "the housing went up from thirty-one degrees to fifty-four and stayed": what runs gets warm."""
    first, last = scan.sentence(start)
    before, behind = scan.plain[first:start], scan.plain[end:last]
    moved = {*before[-4:]} & _RISEN or ({*before} & {"went", "goes", "gone"} and {*before[-2:]} & {"from", "to"})
    stays = bool({*behind} & {"stayed", "stays", "settled", "settles", "steadied", "held"})
    warms = bool({*before} & _WARMED)
    return bool(moved) and (warms or stays) and not {*before, *behind} & _SWUNG


def _own_words(scan: Scan, start: int, end: int, sentence: tuple[int, int]) -> tuple[int, int]:
    """The words around a figure up to the figures beside it: "the valve's 44 mil, and 60 mil of sealant"."""
    first = max((found.end for found in scan.found[-2:] if found.end <= start), default=0)
    numbers = (place for place in range(end, sentence[1]) if scan.words[place][0].isdigit() or _opens(scan, place))
    return max(first, sentence[0]), next(numbers, sentence[1])


def _opens(scan: Scan, place: int) -> bool:
    return scan.words[place] in NUMBER_WORDS and scan.words[place] != "one"


def _read(scan: Scan, name: str, start: int, end: int, target: str) -> str:
    """What the reader network takes a figure for, where it is sure: surer where a cue word says another; else ""."""
    if scan.kinds is None or name not in _KINDS or end - start >= len(scan.words) - 1:
        return ""  # nothing, or a cue word only, tells what a lone figure is
    kinds = scan.kinds.of(*scan.tokens(start, end))
    named = {unit: sum(kinds[kind] for kind in read_as) for unit, read_as in _KINDS[name].items()}
    read = max(named, key=lambda unit: named[unit])
    return read if named[read] >= (_SURE if not target else _SURER) and read != target else ""


def choose(scan: Scan, name: str, start: int, unit_start: int, end: int, written: bool) -> tuple[str, str]:
    """(unit name or "" for none, why) for an ambiguous unit word.

    The figure begins at piece `start`, its unit at `unit_start`. Cues in the sentence before count where the
    sentence itself has none.
    """
    choice = unit_table().choices[name]
    otherwise = choice.get("written_otherwise", "") if written else choice["otherwise"]
    american = scan.settings.units == "us" or scan.settings.spelling == "american"
    if american and "american" in choice:
        otherwise = choice["american"]
    if name == "mil" and american and (metric := of_a_key(scan, start, end)):
        return "mm", f"'mil' of a {metric} is taken as mm"
    if name == "mil" and came_out(scan, start, end):
        return "mL", "'mil' that came out of something is taken as mL"
    if name == "mil" and taken(scan, start, end):
        return "mL", "'mil' that something takes is taken as mL"
    fluid = nearest(scan, start, end, dict(_readings("mil"))["mL"], scan.with_sentence_before(start)) < 99
    inserted = scan.at(end + 2) in ("in", "showing", "left", "sticking") and not fluid
    cut_off = bool(scan.sentence_words(start) & cue_words("cut_off")) and not fluid
    if (
        name == "mil"
        and scan.at(end) == "of"
        and scan.at(end + 1) in ("it", "that", "this")
        and not (inserted or cut_off)
    ):
        return "mL", "'mil' of it is taken as mL"
    if name == "mil" and suspended(scan, end):
        return "mm", "'mil' of a fork is taken as mm"
    if name == "mil" and poured(scan, start, end):
        return "mL", "so many 'mil' of something are taken as mL"
    if name in ("ounces", "mil") and scan.at(end) == "of" and graded(scan, end + 1):
        target = "fl_oz" if name == "ounces" else "mL"
        return target, f"{scan.at(unit_start)!r} of an oil with its weight is taken as {target}"
    own = scan.sentence(start)
    if name == "tenths" and any(bare.value.denominator > 1000 for bare in scan.bare[-_LATEST:]):
        return "tenth of a thou", "tenths beside a size with four decimals"
    if name == "tenths" and any(
        bare.shape in ("fraction", "mixed") and bare.value.denominator in _PARTS_OF_AN_INCH and bare.start >= own[0]
        for bare in scan.bare[-_LATEST:]
    ):
        return "tenth of a thou", "tenths beside a size in parts of an inch"
    if name == "pounds" and sold(scan, end):
        return "money", "what something costs"
    if name == "ounces" and any(found.kind == "viscosity" and found.start >= own[0] for found in scan.found[-_LATEST:]):
        return "fl_oz", "ounces beside the grade of an oil are a volume"
    if name == "pounds" and scan.at(end) == "cap" and end not in scan.breaks:
        return "psi", "'pound' before a cap is the pressure that it opens at"
    if name in ("pounds", "ounces") and (unit := refrigerant_unit(scan, name, start, end)):
        return unit, f"{scan.at(unit_start)!r} taken as {unit}, as is said of refrigerants"
    forces = any(word in _FORCES for word in scan.words[end + 1 : end + 4])
    of_something = scan.at(end) == "of" and end not in scan.breaks and not forces
    if name == "pounds" and of_something:
        # "ten pounds of mud", as against "of torque" and "of pressure"
        return "lb", "'pounds' of something is a weight"
    distance, target = 99, ""
    of_what = (end, min(end + 4, own[1])) if scan.at(end) == "of" else (end, end)
    for window in (of_what, _own_words(scan, start, end, own), own, scan.with_sentence_before(start)):
        distances = [(nearest(scan, start, end, cues, window), target) for target, cues in _readings(name)]
        distance, target = min(distances, key=lambda pair: pair[0], default=(99, ""))
        if distance < 99:
            break
    said = " ".join(scan.words[unit_start:end])
    expected = target or (otherwise if name == "pounds" else "")  # "30 lb" is a weight unless there is good reason
    if name == "degrees" and (target != "temperature" or distance == 99) and _rises(scan, start, end):
        return "temperature", f"{said!r} taken as temperature, as it rises and stays"
    if read := _read(scan, name, start, end, expected):
        read = choice.get("american", read) if american and name == "mil" and read == "mm" else read
        return read, f"{said!r} taken as {read}, as all the words around it are read"
    if distance == 99 and name == "pounds" and _in_a_tyre(scan, end):
        return "psi", "'pounds' in the front or the rear are of a tyre"
    if distance == 99:
        earlier = _earlier(scan, start, name)
        if earlier:
            return earlier, f"{said!r} taken as {earlier}, as just before"
        return otherwise, f"{said!r} taken as {otherwise}, the usual meaning here" if otherwise else ""
    kept = frozenset(choice.get("american_mm", []))
    if american and kept and target == "mm" and nearest(scan, start, end, kept, (end, own[1])) > _CLOSE:
        return otherwise, f"{said!r} taken as {otherwise}, the usual meaning here"
    return target, f"{said!r} taken as {target} from the words around it"
