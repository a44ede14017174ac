"""Numbers that only one trade would say so: the angle of a valve seat, the lift of a cam, a feeler, a spanner's jaw."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

from pipeline.quantities.carried import stands_alone
from pipeline.quantities.jaws import of_a_jaw
from pipeline.quantities.scan import Bare, Found, Scan

_MACHINE_OILS = frozenset({"way", "slideway", "spindle", "hydraulic", "compressor", "headstock"})
_ISO_GRADES = frozenset({10, 15, 22, 32, 46, 68, 100, 150, 220, 320, 460})
_FORK_GRADES, _GRADE_WITHIN = frozenset({5, 10, 15, 20, 30, 40, 50}), 14
_GRADED_BY = frozenset({"put", "had", "was", "were", "used", "tried", "run", "ran", "on", "to", "went", "from", "use"})
_SEATS, _SEAT_ANGLES = frozenset({"seat", "seats", "valve", "valves"}), frozenset({30, 44, 45, 46, 60, 70, 75})
_CUT = frozenset({"cut", "cuts", "cutting", "ground", "grind", "cutter", "lapped", "recut", "reground"})
_LIFTS = range(200, 800)
_SPARK = frozenset({"timing", "ignition", "advance", "spark", "distributor", "intake", "inlet", "exhaust", "cam"})
_DEAD_CENTRE = frozenset({"before", "after", "btdc", "atdc", "advanced", "retarded"})
_MOST_ADVANCE = 60
_ROOMS, _ROOM_WARM = frozenset({"room", "workshop", "garage", "shop", "fridge", "cellar"}), range(4, 36)
_ROOM_WITHIN = 4
_TRAVELS = range(60, 225, 5)
_INSTRUMENTS = frozenset({"mic", "mike", "mikes", "mics", "miked", "micrometer"})
_INSTRUMENT_WITHIN = 4
_LED_TO_HALF = frozenset({"like", "it's", "want", "wants", "about", "at", "only", "be", "than", "got", "to"})
_HALF_WITHIN = 16
_TURNED, _LEAST_TURNED = (
    frozenset({"turned", "blank", "diameter", "outside", "bored", "bore", "sleeve", "od", "housing"}),
    20,
)
# How near a whole number comes to a decimal that it is the nominal size of.
_NOMINAL, _NOMINAL_WITHIN = Fraction(1, 50), 24


def by_trade(scan: Scan, bare: Bare) -> Found | None:
    """The figure that a bare number is in its trade, or None."""
    if bare.high is not None:
        return None
    return (
        _of_a_seat(scan, bare)
        or _lifted(scan, bare)
        or _fired(scan, bare)
        or _of_a_feeler(scan, bare)
        or _in_a_room(scan, bare)
        or of_a_jaw(scan, bare)
        or _behind_a_thread(scan, bare)
        or _travels(scan, bare)
        or _square(scan, bare)
        or _miked(scan, bare)
        or _half_of_it(scan, bare)
        or _nominal(scan, bare)
        or _iso_grade(scan, bare)
        or _other_grade(scan, bare)
    )


def _iso_grade(scan: Scan, bare: Bare) -> Found | None:
    """ "way oil sixty eight in the oiler": the grade of a machine's oil (ISO 3448)."""
    named = scan.at(bare.start - 1) == "oil" and scan.at(bare.start - 2) in _MACHINE_OILS and scan.joined(bare.start)
    if not named or bare.value not in _ISO_GRADES:
        return None
    return scan.figure_of(bare, "viscosity", "", "right behind the name of a machine's oil: its grade, ISO VG")


def _other_grade(scan: Scan, bare: Bare) -> Found | None:
    """ "straight thirty. I put twenty in, it rides softer", "the last lot was thirty": of the oil just spoken of."""
    before = [found for found in scan.found if 0 <= bare.start - found.end <= _GRADE_WITHIN and found.kind != "count"]
    last = max(before, key=lambda found: found.end, default=None)
    if last is None or last.kind != "viscosity" or last.high is not None or bare.value not in _FORK_GRADES:
        return None
    led = {*scan.plain[max(0, bare.start - 3) : bare.start]}
    if not last.unit or led & {"in", "down", "about", "at"} or not led & _GRADED_BY:
        return None
    behind = scan.at(bare.end) in ("in", "weight", "before") and bare.end not in scan.breaks
    if not (behind or stands_alone(scan, bare)):
        return None
    return scan.figure_of(bare, "viscosity", last.unit, "another grade of the oil just before")


def _of_a_seat(scan: Scan, bare: Bare) -> Found | None:
    """ "cut the seats at forty-five": degrees."""
    start = scan.sentence(bare.start)[0]
    said = {*scan.plain[start : bare.start]}
    led = scan.at(bare.start - 1) in ("at", "to") and bare.value in _SEAT_ANGLES and stands_alone(scan, bare)
    if not led or not said & _SEATS or not said & _CUT:
        return None
    return scan.figure_of(bare, "angle", "deg", "the angle of a valve seat; no unit was said, taken as degrees")


def _lifted(scan: Scan, bare: Bare) -> Found | None:
    """ "the cam's got four forty lift on the intake, four sixty-five on the exhaust": thousandths of an inch."""
    if bare.value not in _LIFTS:
        return None
    start, end = scan.sentence(bare.start)
    cam = {*scan.plain[start:end]} & {"cam", "camshaft", "cams"}
    lifts = [place for place in range(start, end) if scan.plain[place] == "lift"]
    if not cam or not any(place - bare.end in range(2) or 0 <= bare.start - place < _HALF_WITHIN for place in lifts):
        return None
    if any(found.unit in ("mm", "deg") and start <= found.start < bare.start for found in scan.found):
        return None
    return scan.figure_of(bare, "length", "thou", "the lift of a cam; no unit was said, and so many can only be thou")


def _fired(scan: Scan, bare: Bare) -> Found | None:
    """ "timing's at six before", "it opens at eight before instead of ten": degrees of the crank."""
    dead_centre = scan.at(bare.end) in _DEAD_CENTRE and bare.end not in scan.breaks
    told = {*scan.plain[slice(*scan.with_sentence_before(bare.start))]} & _SPARK
    led = scan.at(bare.start - 1) in ("at", "is", "to", "about", "was", "it's")
    closes = bare.end + 1 in scan.breaks or scan.at(bare.end + 1) in ("", "with", "and", "instead", "top", "at", "so")
    if not dead_centre or not told or not led or not closes or not 0 < bare.value <= _MOST_ADVANCE:
        return None
    return scan.figure_of(bare, "angle", "deg", "so far from dead centre; no unit was said, taken as degrees")


def _of_a_feeler(scan: Scan, bare: Bare) -> Found | None:
    """ "a point four feeler", "a twelve feeler": with a point in millimetres, else in thousandths."""
    if bare.end in scan.breaks or scan.at(bare.end) not in ("feeler", "feelers"):
        return None
    if bare.value.denominator == 1 and (scan.at(bare.start - 1) not in ("a", "an") or not 1 < bare.value <= 40):
        return None
    unit = "thou" if bare.value.denominator == 1 else "mm" if bare.value <= 2 else ""
    return scan.figure_of(bare, "length", unit, f"a feeler; no unit was said, taken as {unit}") if unit else None


def _in_a_room(scan: Scan, bare: Bare) -> Found | None:
    """ "the measuring room is at twenty": how warm it is."""
    said = scan.plain[max(scan.sentence(bare.start)[0], bare.start - _ROOM_WITHIN) : bare.start]
    led = scan.at(bare.start - 1) == "at" and stands_alone(scan, bare) and bare.value in _ROOM_WARM
    if not led or not {*said} & _ROOMS or scan.settings.units == "us":
        return None
    return scan.figure_of(bare, "temperature", "°C", "how warm a room is; no unit was said, taken as °C")


def _behind_a_thread(scan: Scan, bare: Bare) -> Found | None:
    """ "the bolts are M6, thirty long", "M6, length eighteen": millimetres."""
    named = scan.at(bare.start - 1) == "length"
    if not named and (scan.at(bare.end) not in ("long", "deep") or bare.end in scan.breaks):
        return None
    start = bare.start - named
    metric = any(found.thread.startswith("M") and found.unit == "mm" and found.end == start for found in scan.found)
    if not metric:
        return None
    return scan.figure_of(bare, "length", "mm", "how long a metric bolt is; no unit was said, taken as millimetres")


def _travels(scan: Scan, bare: Bare) -> Found | None:
    """ "travel was at one-sixty", "the fork's a hundred forty travel": millimetres, the world over."""
    said = scan.plain[max(scan.sentence(bare.start)[0], bare.start - _ROOM_WITHIN) : bare.start]
    behind = scan.at(bare.end) == "travel" and bare.end not in scan.breaks
    verb = any(pair[1] == "travel" and pair[0] in ("i", "we", "you", "they", "to") for pair in pairwise(said))
    named = "travel" in said and not verb and stands_alone(scan, bare)
    if bare.value not in _TRAVELS or not (behind or named):
        return None
    return scan.figure_of(bare, "length", "mm", "how far a fork travels; no unit was said, taken as millimetres")


def _square(scan: Scan, bare: Bare) -> Found | None:
    """ "the key's quarter square": bar or key steel, so much of an inch each way."""
    told = scan.at(bare.end) == "square" and bare.end not in scan.breaks and bare.shape in ("fraction", "mixed")
    if not told or bare.value.denominator not in (4, 8, 16) or bare.value > 3:
        return None
    return scan.figure_of(bare, "length", "in", "square stock; no unit was said, and such fractions are of an inch")


def _miked(scan: Scan, bare: Bare) -> Found | None:
    """ "the mic says one seven five oh three", "they mike four oh two six": inches, digit by digit."""
    digits = bare.end - bare.start
    said = {*scan.plain[max(scan.sentence(bare.start)[0], bare.start - _INSTRUMENT_WITHIN) : bare.start]}
    if bare.shape != "joined" or digits not in (4, 5) or len(str(int(bare.value))) != digits or not said & _INSTRUMENTS:
        return None
    inches = replace(bare, value=bare.value / 10 ** (digits - 1), shape="decimal", places=digits - 1)
    return scan.figure_of(inches, "length", "in", "read from a micrometer, digit by digit; taken as inches")


def _half_of_it(scan: Scan, bare: Bare) -> Found | None:
    """ "there's two thou between them, and I like half": half of the unit of the length just before."""
    alone = bare.end == bare.start + 1 and scan.at(bare.start) == "half" and scan.at(bare.start - 1) in _LED_TO_HALF
    closes = bare.end in scan.breaks or scan.at(bare.end) in ("", "now")
    if not alone or not closes or bare.start in scan.breaks:
        return None
    before = [found for found in scan.found if 0 <= bare.start - found.end <= _HALF_WITHIN]
    if not before or before[-1].kind not in ("length", "clearance") or before[-1].unit not in ("thou", "mm"):
        return None
    last = before[-1]
    found = scan.figure_of(bare, "length", last.unit, f"half of one of {' '.join(scan.words[last.start : last.end])!r}")
    return replace(found, value=found.value * last.times, times=last.times)


def _nominal(scan: Scan, bare: Bare) -> Found | None:
    """ "I set it in the ring at fifty-two, so the bore is 51.96", "cleans up at 7.93; drawing said eight": the
    size that a decimal comes near is in its unit, whatever tenths or hundredths stand between."""
    small = any(found.times < 1 and abs(found.start - bare.start) <= _NOMINAL_WITHIN for found in scan.found)
    turned = (
        bool({*scan.plain[slice(*scan.with_sentence_before(bare.start))]} & _TURNED) and bare.value >= _LEAST_TURNED
    )
    if (
        not (small or turned)
        or bare.value.denominator != 1
        or not bare.spoken
        or not stands_alone(scan, bare)
        or bare.value < 3
    ):
        return None
    sizes: list[Found | Bare] = [*scan.found, *scan.bare]
    for item in sizes:
        size = item.kind == "length" and item.times == 1 if isinstance(item, Found) else item.shape == "decimal"
        near = abs(item.start - bare.start) <= _NOMINAL_WITHIN and item.value.denominator in (10, 20, 25, 50, 100, 200)
        written = item.value.denominator > 1 and not (isinstance(item, Found) and item.unit != "mm")
        if not small and not written:
            continue
        if size and near and 0 < abs(item.value - bare.value) <= _NOMINAL * bare.value:
            unit = item.unit if isinstance(item, Found) else "mm"
            return scan.figure_of(bare, "length", unit, f"near another size; no unit was said, taken as {unit}")
    return None
