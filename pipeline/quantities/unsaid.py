"""Figures whose unit nobody says, because the talk leaves only one: "baked at one eighty", "the mike says 47"."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

from pipeline.quantities.batteries import of_a_battery
from pipeline.quantities.by_custom import by_custom
from pipeline.quantities.by_job import by_job
from pipeline.quantities.by_measure import by_measure
from pipeline.quantities.by_trade import by_trade
from pipeline.quantities.carried import stands_alone
from pipeline.quantities.cogs import of_a_chain, of_a_gear
from pipeline.quantities.counts import labelled
from pipeline.quantities.jaws import before_its_torque, held_with, of_cones, put_right_jaw
from pipeline.quantities.machines import of_a_cylinder, settled
from pipeline.quantities.propellers import of_a_propeller, turned_over
from pipeline.quantities.ratios import axle_ratio
from pipeline.quantities.reasons import LENT
from pipeline.quantities.refrigerants import on_a_side
from pipeline.quantities.round_sizes import by_each_other
from pipeline.quantities.said_of import below_zero, by_its_talk
from pipeline.quantities.scan import Bare, Found, Scan, cue_words
from pipeline.quantities.usual_units import heat_unit, torque_unit

_NEAR = 8
_AND_OF = 7
_MOST_TURNS = 6
_MIXTURE = frozenset({"idle", "pilot", "mixture", "air", "fuel", "slow", "speed", "running"})
_LEAST_HEAT, _MOST_HEAT = 30, 1300
_MOST_INCHES = 96
_OVERSIZES = frozenset({10, 20, 30, 40, 50, 60, 80})
_POINTED = frozenset({"the", "these", "those", "them", "it", "my", "us", "each"})


def unsaid_unit(scan: Scan, bare: Bare) -> Found | None:
    """The figure that a bare number is by what it is said of, or None."""
    if (jaw := put_right_jaw(scan, bare)) is not None or labelled(scan, bare):
        return jaw
    return (
        before_its_torque(scan, bare)
        or held_with(scan, bare)
        or of_cones(scan, bare)
        or below_zero(scan, bare)
        or _refitted(scan, bare)
        or _bored(scan, bare)
        or _poured(scan, bare)
        or _baked(scan, bare)
        or _soaked(scan, bare)
        or _resisting(scan, bare)
        or _gapped(scan, bare)
        or _screwed_out(scan, bare)
        or _of_a_mixture_screw(scan, bare)
        or _on_the_gauge(scan, bare)
        or settled(scan, bare)
        or by_measure(scan, bare)
        or by_custom(scan, bare)
        or by_its_talk(scan, bare)
        or by_trade(scan, bare)
        or by_job(scan, bare)
        or on_a_side(scan, bare)
        or _of_stock(scan, bare)
        or by_each_other(scan, bare)
        or of_a_battery(scan, bare)
        or of_a_chain(scan, bare)
        or of_a_gear(scan, bare)
        or of_a_cylinder(scan, bare)
        or axle_ratio(scan, bare)
        or of_a_propeller(scan, bare)
        or turned_over(scan, bare)
    )


def _cue_before(scan: Scan, bare: Bare, name: str) -> bool:
    start = max(scan.sentence(bare.start)[0], bare.start - _NEAR)
    return any(plain in cue_words(name) for plain in scan.plain[start : bare.start])


def _led(scan: Scan, bare: Bare) -> bool:
    return stands_alone(scan, bare) and scan.joined(bare.start) and scan.at(bare.start - 1) in cue_words("led_by")


def _refitted(scan: Scan, bare: Bare) -> Found | None:
    """ "the hub nut's a hundred and seventy five to go back on": a torque."""
    fastened = scan.sentence_words(bare.start) & (cue_words("fastener_nouns"))
    back = tuple(scan.words[bare.end : bare.end + 3]) == ("to", "go", "back") and bare.end not in scan.breaks
    if not back or not fastened or not 2 <= bare.value <= 600 or bare.value.denominator != 1:
        return None
    unit = torque_unit(scan, bare)
    return scan.figure_of(bare, "torque", unit, f"what a fastener gets; no unit was said, taken as {unit}")


def _bored(scan: Scan, bare: Bare) -> Found | None:
    """ "bored forty over", "the mains are ten under": thousandths of an inch."""
    sized = bare.value in _OVERSIZES and scan.at(bare.end) in ("over", "under") and bare.end not in scan.breaks
    closes = bare.end + 1 in scan.breaks or scan.at(bare.end + 1) in (
        "",
        "and",
        "so",
        "now",
        "on",
        "pistons",
        "bearings",
    )
    if not sized or not closes or bare.high is not None:
        return None
    start, end = scan.sentence(bare.start)
    if not {*scan.plain[start:end]} & cue_words("bored_words"):
        return None
    return scan.figure_of(bare, "length", "thou", "an oversize or undersize; no unit was said, taken as thousandths")


def _baked(scan: Scan, bare: Bare) -> Found | None:
    """ "the oven at one eighty", "the thermostat opened at sixty"."""
    if not 40 <= bare.value <= 400 or not _led(scan, bare) or not _cue_before(scan, bare, "heating"):
        return None
    if any(found.kind == "pressure" and 0 <= bare.start - found.end <= _NEAR for found in scan.found):
        return None  # "opening pressure is one twenty-three bar. Ours opens at ninety"
    unit = heat_unit(scan)
    return scan.figure_of(bare, "temperature", unit, f"a heat; no unit was said, taken as {unit}")


def _soaked(scan: Scan, bare: Bare) -> Found | None:
    """ "ten minutes at a hundred", "temper at two hundred for two hours": a heat right beside a time."""
    if bare.high is not None or not _LEAST_HEAT <= bare.value <= _MOST_HEAT or bare.value.denominator != 1:
        return None
    if scan.at(bare.start - 1) not in ("at", "to") or bare.start in scan.breaks:
        return None
    inside = next((bare.start - back for back in (2, 3, 4) if scan.at(bare.start - back) == "in"), bare.start - 1)
    links = {bare.start - 1, inside}  # "twenty minutes in the booth at sixty"
    behind = scan.at(bare.end) == "for" and any(
        found.head == bare.end + 1 for found in scan.found if _takes_time(found)
    )
    timed = behind or any(found.end in links for found in scan.found if _takes_time(found))
    talk = scan.sentence_words(bare.start)
    if not timed or talk & cue_words("turning") or (not 40 <= bare.value <= 400 and not talk & cue_words("heating")):
        return None
    unit = heat_unit(scan)
    return scan.figure_of(bare, "temperature", unit, f"a heat for so long; no unit was said, taken as {unit}")


def _takes_time(found: Found) -> bool:
    return found.kind == "duration" and found.unit in ("min", "h")


def _resisting(scan: Scan, bare: Bare) -> Found | None:
    """ "about two hundred ohms at ninety five", "ten k at twenty five": the warmth at which a sender is measured."""
    measured = any(found.unit == "Ω" and found.end == bare.start - 1 for found in scan.found[-4:])
    if not measured or scan.at(bare.start - 1) != "at" or not 0 < bare.value <= 150 or bare.high is not None:
        return None
    unit = heat_unit(scan)
    return scan.figure_of(bare, "temperature", unit, f"the warmth of a sender; no unit was said, taken as {unit}")


def _gapped(scan: Scan, bare: Bare) -> Found | None:
    """ "gapped at nought point six": a decimal of that size is in millimetres."""
    if bare.value.denominator == 1 or not 0.2 <= bare.value <= 2 or bare.shape != "decimal":
        return None
    if not _led(scan, bare) or not _cue_before(scan, bare, "gapping"):
        return None
    return scan.figure_of(bare, "length", "mm", "a gap; no unit was said, and of this size it is in millimetres")


def _screwed_out(scan: Scan, bare: Bare) -> Found | None:
    """ "the air screw's out one and three quarters", "low screw, one and a quarter out": turns of a mixture screw."""
    before, behind = scan.at(bare.start - 1), "" if bare.end in scan.breaks else scan.at(bare.end)
    if before == "out" and scan.at(bare.start - 2).endswith("ed"):
        return None  # "and I drilled out four"
    if behind == "back":
        behind = scan.at(bare.end + 1)
    if scan.words[bare.end : bare.end + 2] == ["out", "of"]:
        return None  # "lost two out of the eight"
    if behind != "out" and not (before == "out" and stands_alone(scan, bare)):
        return None
    if bare.value > _MOST_TURNS or bare.value.denominator not in (1, 2, 4, 8):
        return None
    start, end = scan.sentence(bare.start)
    if not {*scan.plain[start:end]} & cue_words("turned_out"):
        return None
    return scan.figure_of(bare, "angle", "turn", "how far a screw is out; no unit was said, taken as turns")


def _of_a_mixture_screw(scan: Scan, bare: Bare) -> Found | None:
    """ "idle screws: the manual says one and a half plus or minus a quarter": such screws are set in turns."""
    if bare.shape not in ("fraction", "mixed") or not 0 < bare.value <= _MOST_TURNS or bare.value.denominator > 8:
        return None
    first, end = scan.with_sentence_before(bare.start)[0], scan.sentence(bare.start)[1]
    said = scan.plain[first:end]
    if not any(one in _MIXTURE and other in ("screw", "screws") for one, other in pairwise(said)):
        return None
    if not stands_alone(scan, bare) and scan.at(bare.end) not in ("plus", "give"):
        return None
    return scan.figure_of(bare, "angle", "turn", "how far a mixture screw is out; no unit was said, taken as turns")


def _on_the_gauge(scan: Scan, bare: Bare) -> Found | None:
    """ "with a micrometer, and it's three point four": what such an instrument reads is a length."""
    if not 1 < bare.value <= 300 or 1000 % bare.value.denominator or bare.value.denominator > 100:
        return None  # with so many decimals it may be in inches
    inches = bare.places >= 3  # "one point one three oh"
    if inches or not stands_alone(scan, bare) or not _cue_before(scan, bare, "instruments"):
        return None
    if scan.at(bare.start - 1) not in ("it's", "that's", "says", "reads", "said", "read", "is", "was"):
        return None
    return scan.figure_of(bare, "length", "mm", "read from a gauge; no unit was said, taken as millimetres")


def _of_stock(scan: Scan, bare: Bare) -> Found | None:
    """ "the stock's six by ten": to an American inches, where no millimetres were said."""
    ahead, behind = scan.at(bare.end) in ("by", "x"), scan.at(bare.start - 1) in ("by", "x")
    american = scan.settings.units == "us" and not any(found.unit == "mm" for found in scan.found)
    if not american or not (ahead or behind) or bare.high is not None or not 0 < bare.value <= _MOST_INCHES:
        return None
    if not scan.sentence_words(bare.start) & cue_words("stock"):
        return None
    return scan.figure_of(bare, "length", "in", "a piece of stock; no unit was said, taken as inches")


def _poured(scan: Scan, bare: Bare) -> Found | None:
    """ "filled with a hundred and fifty of ten weight": hundreds of a fluid are millilitres."""
    if bare.end in scan.breaks or scan.at(bare.end) != "of" or labelled(scan, bare) or bare.value.denominator != 1:
        return None
    before = [found for found in scan.found if 0 <= bare.start - found.end <= _AND_OF and found.unit]
    joined = scan.at(bare.start - 1) in ("and", "to", "then", "plus", "with")
    if joined and before and before[-1].kind in ("volume", "mass") and scan.at(bare.end + 1) not in _POINTED:
        # "three pints of that and six of water"
        last = before[-1]
        found = scan.figure_of(bare, last.kind, last.unit, f"{LENT} from the {last.kind} before")
        return replace(found, value=found.value * last.times, times=last.times)
    named = scan.words[bare.end + 1 : bare.end + 5]
    oily = any(word in cue_words("oil_words") or word in ("fluid", "coolant", "weight", "antifreeze") for word in named)
    if not oily or not 50 <= bare.value <= 1500:
        return None
    why = "no unit was said; hundreds of a fluid are taken as millilitres"
    return scan.hedged(Found("volume", bare.value, bare.high, "mL", bare.start, bare.end, bare.start, why=why))
