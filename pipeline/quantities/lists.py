"""The figures of a list whose unit is said behind the last: "ten, then twenty, then twenty five newton metres"."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from pipeline.quantities.beside_microns import size_beside_microns
from pipeline.quantities.counts import labelled
from pipeline.quantities.jaws import before_its_torque
from pipeline.quantities.lent import alike
from pipeline.quantities.likened import is_pronoun, like, read_as_another
from pipeline.quantities.scan import Bare, Found, Scan, cue_words
from pipeline.quantities.unsaid import unsaid_unit
from pipeline.quantities.usual_units import torque_unit

_LIST_WORDS = frozenset({"and", "then", "or", "by", "x", "finally", "plus", "next", "a", "first"})
_NEAR = 14
# No screw in a list is turned so many times as far as the next.
_MOST_TURNS = 6
_SIZES = frozenset({"length", "clearance", "spanner"})


def list_before(scan: Scan, found: Found) -> list[Found]:
    """ "ten, then twenty, then twenty five newton metres": the figures before the one with the unit."""
    shared: list[Found] = []
    start, first = found.head, found.value
    while True:
        link = start
        turned = found.unit == "deg" and scan.at(link - 1) == "turn" and link not in scan.sentences
        link -= turned
        while link > 0 and scan.words[link - 1] in _LIST_WORDS and link not in scan.sentences:
            link -= 1
        words = scan.words[link:start]
        words = words[:-1] if turned else words
        bare = next((item for item in scan.bare if item.end == link), None)
        if (
            bare is None
            or link in scan.sentences
            or start in scan.sentences
            or labelled(scan, bare)
            or is_pronoun(scan, bare)
            or read_as_another(scan, bare, found.kind)
            or (found.kind == "torque" and before_its_torque(scan, bare) is not None)
            or scan.at(bare.start - 1) in ("all", "both", "other", "those")
            or (found.kind not in _SIZES and (unsaid_unit(scan, bare) or scan.at(bare.start - 1) in ("by", "x")))
            or (found.unit == "deg" and {*words} & {"by", "x"})
        ):
            return shared
        slash = scan.pieces[start].joint == "/"
        linked = slash or start in scan.breaks or link in scan.breaks or any(word != "a" for word in words)
        if not linked and not (shared and bare.value < first):
            return shared
        if found.unit == "turn" and bare.value > _MOST_TURNS * found.value:
            return shared  # "a locknut seventeen and one turn out"
        if bare.value == 1 and not words:
            return shared  # "one two and a half mil spacer"
        if "and" in words and found.unit == "thou" and _inches_with_thou(scan, bare, found):
            scan.bare.remove(bare)
            return [*shared, like(scan, bare, replace(found, unit="in", times=Fraction(1)))]
        if ("a" in words and found.kind != "spanner") or ("plus" in words and found.kind != "angle"):
            return shared
        # "by 2035, eighty percent": a comma alone joins only figures of one size.
        if not words and not shared and not alike(bare.value, found, 4):
            return shared
        if found.unit == "deg" and "then" in words and _tightened(scan, bare):
            scan.bare.remove(bare)
            return [*shared, _torque_before_angle(scan, found, bare)]
        if "plus" in words and found.kind == "angle":
            scan.bare.remove(bare)
            return [*shared, _torque_before_angle(scan, found, bare)]
        parts = _run_together(bare, first) or [bare]
        if found.unit == "µm" and size_beside_microns(scan, bare, [found]) is not None:
            return shared
        if not all(alike(part.value, found) for part in parts):
            return shared
        scan.bare.remove(bare)
        shared.extend(like(scan, part, found) for part in parts)
        start, first = bare.start, bare.value


def _tightened(scan: Scan, bare: Bare) -> bool:
    """ "head bolts, first thirty five, then sixty degrees": what is tightened so far before it is turned on."""
    talk = {*scan.plain[scan.sentence(bare.start)[0] : bare.start]}
    torque = any(found.kind == "torque" and 0 <= bare.start - found.end <= _NEAR for found in scan.found)
    return torque or bool({"first"} & talk and talk & cue_words("fastener_nouns"))


def _inches_with_thou(scan: Scan, bare: Bare, found: Found) -> bool:
    """ "the drum's nine inch, and it's nine and forty thou": inches and thousandths over them."""
    exact = bare.places > 1 and bare.value >= 1
    if exact and scan.at(found.end) in ("over", "under", "oversize", "undersize", "up", "down"):
        return True  # "one point two five and two thou under"
    inches = [item for item in scan.found if item.unit == "in" and 0 <= bare.start - item.end <= 2 * _NEAR]
    return bool(inches) and inches[-1].value == bare.value != found.value


def _torque_before_angle(scan: Scan, found: Found, bare: Bare) -> Found:
    """The torque of "40 plus 90 degrees", whose unit nobody says, or only with the stage before it."""
    before = [item for item in scan.found if item.kind == "torque" and 0 <= bare.start - item.end <= _NEAR]
    if before and alike(bare.value, before[-1], 10):
        return like(scan, bare, before[-1])
    unit = torque_unit(scan)
    why = f"a torque before an angle; no unit was said, taken as {unit}"
    torque = Found("torque", bare.value, bare.high, unit, bare.start, bare.end, bare.start, why=why)
    return scan.hedged(torque)


def _run_together(bare: Bare, following: Fraction) -> list[Bare]:
    """ "ten twenty and thirty" hears as 1020: two figures where they rise towards the next one."""
    low, high = divmod(bare.value, 100)
    if bare.shape != "joined" or not 10 <= low < high < following or not bare.spoken:
        return []
    middle = bare.end - (1 if high % 10 == 0 or high < 20 else 2)
    return [
        Bare(Fraction(high), None, middle, bare.end, True, "whole"),
        Bare(Fraction(low), None, bare.start, middle, True, "whole"),
    ]
