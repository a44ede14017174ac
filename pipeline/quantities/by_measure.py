"""Lengths whose unit nobody says: a level down from a rim, so much of stroke, what a chamfer is wide, and a size with
two decimals beside one with three."""

from __future__ import annotations

from fractions import Fraction

from pipeline.numbers.words import word_set
from pipeline.quantities.propellers import of_two_by
from pipeline.quantities.scan import Bare, Found, Scan

_RIMS = word_set("rim top lip neck brim edge flange face gasket shoulder")
_FROM_IT = frozenset({("down", "from"), ("up", "from"), ("back", "from"), ("in", "from")})
_LEVEL_MM = range(3, 400)
_MOVED = word_set("stroke travel throw")
_MOST_MOVED_MM = 3000
_CHAMFERS = frozenset({30, 45, 60})
_MOST_CHAMFER_MM = 10
_MOST_IN, _ALIKE, _THOU_WITHIN = 10, Fraction(3, 100), 24


def by_measure(scan: Scan, bare: Bare) -> Found | None:
    """The length that a bare number is by what is measured, or None."""
    if bare.value <= 0:
        return None
    return (
        _below_a_rim(scan, bare)
        or _of_stroke(scan, bare)
        or _of_a_chamfer(scan, bare)
        or _beside_three_places(scan, bare)
        or of_two_by(scan, bare)
    )


def _inches_said(scan: Scan, bare: Bare) -> bool:
    start, end = scan.with_sentence_before(bare.start)
    return any(found.unit in ("in", "thou") and start <= found.start < end for found in scan.found)


def _below_a_rim(scan: Scan, bare: Bare) -> Found | None:
    """ "the oil has to be a hundred and ten down from the rim": how far a level or a part stands from an edge."""
    behind = scan.words[bare.end : bare.end + 4] if bare.end not in scan.breaks else []
    at = 1 if behind[:1] == ["below"] else 2 if tuple(behind[:2]) in _FROM_IT else 0
    edged = at and behind[at : at + 1] == ["the"] and {*behind[at + 1 : at + 2]} & _RIMS
    if not edged or bare.value not in _LEVEL_MM or scan.settings.units == "us" or _inches_said(scan, bare):
        return None
    return scan.figure_of(bare, "length", "mm", "how far from an edge; no unit was said, taken as millimetres")


def _of_stroke(scan: Scan, bare: Bare) -> Found | None:
    """ "a sixty-three bore and six hundred of stroke": how far something moves."""
    moved = scan.at(bare.end) == "of" and scan.at(bare.end + 1) in _MOVED and bare.end not in scan.breaks
    whole = bare.value.denominator == 1 and 2 <= bare.value <= _MOST_MOVED_MM
    if not moved or not whole or scan.settings.units == "us" or _inches_said(scan, bare):
        return None
    return scan.figure_of(bare, "length", "mm", "how far it moves; no unit was said, taken as millimetres")


def _of_a_chamfer(scan: Scan, bare: Bare) -> Found | None:
    """ "chamfer on both ends, one by forty-five degrees": how wide it is."""
    angled = any(
        found.unit == "deg" and found.head == bare.end + 1 and found.value in _CHAMFERS for found in scan.found
    )
    if not angled or scan.at(bare.end) not in ("by", "x") or bare.value > _MOST_CHAMFER_MM:
        return None
    parts = bare.shape in ("fraction", "mixed") and (scan.settings.units == "us" or bare.value.denominator > 4)
    unit = "in" if parts or (scan.settings.units == "us" and bare.value < 1) else "mm"
    return scan.figure_of(bare, "length", unit, f"how wide a chamfer is; no unit was said, taken as {unit}")


def _beside_three_places(scan: Scan, bare: Bare) -> Found | None:
    """ "two point four four at the top and two point four three eight at the bottom, so two thou of wear": inches,
    where thousandths are spoken of and the other size has so many decimals that it is in inches."""
    if bare.shape != "decimal" or 100 % bare.value.denominator or bare.high is not None or bare.value > _MOST_IN:
        return None
    start, end = scan.sentence(bare.start)[0], bare.end + _THOU_WITHIN
    inside = [found for found in scan.found if start <= found.start < end]
    thousandths = any(found.unit in ("thou", "in") for found in inside)
    if not thousandths or any(found.unit in ("mm", "µm", "cm") for found in inside):
        return None
    finer = (item.value for item in scan.bare if start <= item.start < end and 100 % item.value.denominator)
    sizes = [*finer, *(item.value for item in inside if item.unit == "in")]
    if not any(0 < abs(size - bare.value) <= _ALIKE * size for size in sizes):
        return None
    return scan.figure_of(bare, "length", "in", "beside a size in inches that it comes near; taken as inches")
