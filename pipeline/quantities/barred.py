"""Which figure may not lend its unit to which number, because of what is talked of there."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Mapping, Sequence
from fractions import Fraction

from pipeline.numbers import read_number
from pipeline.numbers.words import word_set
from pipeline.quantities.lent import lent_unit
from pipeline.quantities.scan import Bare, Found, Scan, cue_words

# No two torques of one job are that far apart.
_MOST_TIMES_TORQUE = 25
_MOST_TIMES_PERCENT = 3
_MOST_TIMES_ELECTRIC = 4
_MOST_TIMES_DRIVEN = 20
_LATELY = 25
_TIMES = frozenset({"by", "x"})
_OF_THE_SPARK = frozenset({"timing", "advance", "dwell", "degrees", "volts", "charging"})
_ELECTRIC = frozenset({"voltage", "current", "resistance"})
_INCHES = frozenset({"thou", "in"})
# What is a few millimetres thick or a fraction of one, wherever millimetres are said at all.
_THIN = word_set(
    "circlip circlips thick thickness thicknesses thinner thicker disc discs lining linings band pad pads gap gaps "
    "inlet intake exhaust tappet tappets clearance clearances"
)
_MOST_THIN_MM = 12
# What a figure right behind these words is, whatever stood before.
_ASKS = {
    **dict.fromkeys(("gap", "gaps", "clearance", "clearances", "thickness", "diameter", "backlash"), "length"),
    **dict.fromkeys(("travel", "play", "freeplay", "slack", "endfloat", "sag", "runout", "free-play"), "length"),
    **dict.fromkeys(("pressure", "pressures", "compression"), "pressure"),
    **dict.fromkeys(("water", "coolant", "temperature"), "temperature"),
    "resistance": "resistance",
    "voltage": "voltage",
    "torque": "torque",
}
_ASKED_WITHIN = 3
# "The hub nut's a thirty two mil, and it's a hundred and seventy five to go back on": no size.
_REFITTED = ("to", "go", "back")
# What is said behind a number of things that were done, and how soon.
_LEFT, _LEFT_WITHIN = frozenset({"where's", "where", "lot", "left", "last", "more", "missing"}), 5
_FELL = word_set("sank sunk dropped drops fell fallen came went down rose climbed lost")
_ACROSS, _SIGNS = frozenset({"thick", "wide", "across", "diameter"}), frozenset({"plus", "minus"})
_VERB_WITHIN, _MOST_TURNS = 7, 6
_EACH = frozenset({("at", "each"), ("on", "each"), ("in", "each"), ("of", "them"), ("a", "side")})
_BE = word_set("is was are were of at be to it's that's about around roughly only now nearly")


def barred(scan: Scan, bare: Bare, found: Found, lenders: Sequence[Found]) -> bool:
    """Whether a figure's unit makes no sense for a number.

    Seven newton metres lend nothing to 360, a share in per cent nothing to a number of another sentence far from it,
    thou nothing to the decimal of a circlip, and no figure to a number right behind a word that asks for another kind.
    """
    if is_an_area(scan, bare):
        return True
    if found.kind == "volume" and (scan.at(bare.end) in _TIMES or scan.at(bare.start - 1) in _TIMES):
        return True  # "fifty by twenty five box"
    if found.unit == "rpm" and lent_unit(bare, found)[1] > 1 and _of_another_kind(scan, bare, lenders):
        return True
    if found.kind != "torque" and tuple(scan.words[bare.end : bare.end + 3]) == _REFITTED:
        return True
    times = bare.value * found.times / found.value if found.value else 0
    apart = bisect_right(scan.sentences, bare.start) != bisect_right(scan.sentences, found.start)
    if found.kind == "torque" and not may_be_torque(scan, bare, {"torque": found}):
        return True
    if found.kind == "percentage" and apart and not 1 <= times * _MOST_TIMES_PERCENT <= _MOST_TIMES_PERCENT**2:
        return True
    if found.kind in _ELECTRIC and not 1 <= times * _MOST_TIMES_ELECTRIC <= _MOST_TIMES_ELECTRIC**2:
        between = (other for other in lenders if found.end <= other.start and other.end <= bare.start)
        if any(other.kind in _ELECTRIC - {found.kind} for other in between):
            return True
    if found.unit in ("mph", "km/h") and times > _MOST_TIMES_DRIVEN:
        return True  # "she turned fifty-two hundred at thirty-eight mile an hour"
    if found.times < 1 and found.kind in ("length", "clearance") and _sized(scan, bare):
        return True  # "the keyway is fourteen wide, and the key two hundredths tight"
    if found.unit == "in" and _is_how_long(scan, bare, found, lenders):
        return True
    if _no_such_unit(scan, bare, found):
        return True
    return _is_thin(scan, bare, found, apart) or asks_for_another(scan, bare, found.kind)


def _sized(scan: Scan, bare: Bare) -> bool:
    """Whether a number is how wide, deep or thick something is."""
    whole = bare.value.denominator == 1 and bare.value >= 2
    return whole and scan.at(bare.end) in _ACROSS | {"long", "deep", "high"} and bare.end not in scan.breaks


def _is_how_long(scan: Scan, bare: Bare, found: Found, lenders: Sequence[Found]) -> bool:
    """ "low by six thou? The bar's eight inches long, and it's six": what is measured is in thou, the bar is not."""
    long = found.end <= bare.start and scan.at(found.end) == "long" and found.end not in scan.breaks
    if not long or bare.shape in ("fraction", "mixed"):
        return False
    before = [other for other in lenders if 0 <= found.start - other.end <= _LATELY and other.unit == "thou"]
    return bool(before) and Fraction(1, 4) <= bare.value / (before[-1].value or 1) <= 4


def _of_another_kind(scan: Scan, bare: Bare, lenders: Sequence[Found]) -> bool:
    """ "timing is at twenty eight", "fourteen volts at three thousand revs, before it was eleven": no hundreds of revs,
    where the timing or a figure of that size is spoken of."""
    if {*scan.plain[scan.sentence(bare.start)[0] : bare.start]} & _OF_THE_SPARK:
        return True
    return any(
        0 <= bare.start - other.end <= _LATELY
        and other.kind in _ELECTRIC | {"temperature", "pressure"}
        and other.value
        and Fraction(2, 3) <= bare.value / other.value <= Fraction(3, 2)
        for other in lenders
    )


def _no_such_unit(scan: Scan, bare: Bare, found: Found) -> bool:
    """ "in ten minutes, and the room is at twenty": what stands behind "at" lasts no time; what is "two point four
    thick" is no metres; what a nut is nipped up to is a torque; a tolerance lends nothing to what has no sign."""
    before, behind = scan.at(bare.start - 1), scan.at(bare.end)
    words = scan.plain[max(scan.sentence(bare.start)[0], bare.start - _VERB_WITHIN) : bare.start]
    if found.kind == "duration":
        return before in ("at", "shift", "move") or (before == "to" and bool({*words} & _FELL))
    if found.kind in ("teeth", "grit", "count", "percentage"):
        return behind in _ACROSS | {"long", "deep", "high"} and bare.end not in scan.breaks
    if found.unit in ("m", "cm"):
        return behind in _ACROSS and bare.end not in scan.breaks
    if found.unit == "turn" and found.start > bare.start:
        return bare.value > _MOST_TURNS * found.value  # "it has a locknut, nineteen, and one turn in on the screw"
    if found.kind == "angle" and before == "to" and {*words} & cue_words("torque_verbs"):
        return bool({*words} & cue_words("fastener_nouns"))
    signed = found.start > bare.start and {scan.at(found.start), scan.at(found.start - 1)} & _SIGNS
    return found.unit == "µm" and bool(signed) and not {before, scan.at(bare.start)} & _SIGNS


def is_an_area(scan: Scan, bare: Bare) -> bool:
    """A wire of "one point five square"."""
    return scan.at(bare.end) == "square" and bare.end not in scan.breaks


# Tools that show no torque, what tells that one was meant, and what stands between sizes.
_PLAIN_TOOLS = frozenset({"spanner", "spanners"})
_TORQUE_SAID = frozenset({"torque", "torqued", "torquing", "newton", "newtons", "pounds", "foot", "inch"})
_BETWEEN_SIZES = frozenset({"and", "or", "a", "an", "it's", "they're", "the"})


def may_be_torque(scan: Scan, bare: Bare, said: Mapping[str, Found]) -> bool:
    """Whether a number can be a torque beside the one said last, and not how many were done."""
    torque = said.get("torque")
    times = bare.value * torque.times / torque.value if torque is not None and torque.value else Fraction(1)
    likely = Fraction(1, _MOST_TIMES_TORQUE) <= times <= _MOST_TIMES_TORQUE
    return likely and not _counts_them(scan, bare) and not _sizes_a_spanner(scan, bare)


def _sizes_a_spanner(scan: Scan, bare: Bare) -> bool:
    """ "Just with the spanner, thirteen and fifteen": a plain spanner shows no torque, its size stands behind it."""
    start = scan.sentence(bare.start)[0]
    tools = [at for at in range(start, bare.start) if scan.plain[at] in _PLAIN_TOOLS]
    if not tools or {*scan.plain[slice(*scan.with_sentence_before(bare.start))]} & _TORQUE_SAID:
        return False
    between = range(tools[-1] + 1, bare.start)
    return all(scan.plain[at] in _BETWEEN_SIZES or read_number(scan.words, at, scan.breaks) for at in between)


def _counts_them(scan: Scan, bare: Bare) -> bool:
    """ "Eight newton metres, criss-cross. Five. Where's the sixth one.": how many are done."""
    if scan.at(bare.start - 1) == "there's" and tuple(scan.words[bare.end : bare.end + 2]) in _EACH:
        return True  # "seven newton metres, and there's two at each joint"
    behind = scan.words[bare.end : bare.end + _LEFT_WITHIN]
    led = behind[:1] in (["where's"], ["where"], ["that's"], ["one"], ["two"], ["and"], ["last"])
    led = led and behind[1:2] != ["then"]  # "the upper one's sixty, and then a little more"
    return bare.end in scan.breaks and led and bool({*behind} & _LEFT)


def _is_thin(scan: Scan, bare: Bare, found: Found, apart: bool) -> bool:
    """ "three thicknesses, one point six, one point six five": millimetres behind thou of something else."""
    if found.unit not in _INCHES or not apart or bare.shape != "decimal" or scan.settings.units == "us":
        return False
    coarse = 100 % bare.value.denominator == 0 and bare.value <= _MOST_THIN_MM
    return coarse and bool({*scan.plain[slice(*scan.with_sentence_before(bare.start))]} & _THIN)


def asks_for_another(scan: Scan, bare: Bare, kind: str) -> bool:
    """ "gap's point six": a word right before the number asks for another kind of figure."""
    start = bare.start
    while bare.start - start < _ASKED_WITHIN and scan.at(start - 1) in _BE and start not in scan.breaks:
        start -= 1
    asked = _ASKS.get(scan.plain[start - 1], "") if start and start not in scan.breaks else ""
    return bool(asked) and kind.replace("clearance", "length") != asked
