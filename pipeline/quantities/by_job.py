"""Numbers that one job gives their unit: plugs that are gapped, a rotor's thickness, the advance all told, and drills
named by parts of an inch."""

from __future__ import annotations

from dataclasses import replace

from pipeline.quantities.carried import stands_alone
from pipeline.quantities.inch_sizes import parts_of_an_inch
from pipeline.quantities.scan import Bare, Found, Scan

_GAPPED, _GAPS = frozenset({"gapped", "regapped", "gap"}), range(10, 81)
_SPARKED = frozenset({"plug", "plugs", "points", "electrode", "gapped", "regapped"})
_FINE_MM, _NEAR = 3, 24
_ASKED_WITHIN, _LEAST_TEETH = 12, 5
_THICKNESS, _ROTORS = frozenset({"thickness", "discard", "minimum"}), frozenset({"rotor", "rotors", "disc", "discs"})
_ROTOR_THOU = range(200, 1600)
_TIMED, _ALL_TOLD = (
    frozenset({"timing", "advance", "ignition", "spark"}),
    frozenset({"total", "full", "max", "maximum"}),
)
_MOST_ADVANCE = 60
_DRILLS = frozenset({"drill", "drilled", "drilling", "drills", "bit", "bits", "reamer", "pilot"})


def by_job(scan: Scan, bare: Bare) -> Found | None:
    """The figure that a bare number is in its job, or None."""
    if bare.high is not None or bare.value <= 0:
        return None
    return (
        _teeth_asked(scan, bare)
        or _gapped(scan, bare)
        or _rotor(scan, bare)
        or _advance(scan, bare)
        or _numbered_drill(scan, bare)
    )


def _teeth_asked(scan: Scan, bare: Bare) -> Found | None:
    """ "How many teeth on the belt? A hundred and forty-one." """
    before = scan.words[max(0, bare.start - _ASKED_WITHIN) : bare.start]
    asked = any(before[at : at + 3] == ["how", "many", "teeth"] for at in range(len(before)))
    if not asked or bare.start not in scan.sentences or bare.value.denominator != 1 or bare.value < _LEAST_TEETH:
        return None
    if bare.end not in scan.breaks and bare.end < len(scan.words):
        return None
    return scan.figure_of(bare, "teeth", "", "how many teeth was asked")


def _gapped(scan: Scan, bare: Bare) -> Found | None:
    """ "plugs are gapped at thirty five": so many can only be thousandths of an inch."""
    led = scan.at(bare.start - 1) in ("at", "to") and scan.plain[bare.start - 2] in _GAPPED and scan.joined(bare.start)
    if not led or bare.value not in _GAPS or not (stands_alone(scan, bare) or bare.end in scan.breaks):
        return None
    talk = {*scan.plain[slice(*scan.with_sentence_before(bare.start))]}
    fine = (found for found in scan.found if found.unit == "mm" and found.value < _FINE_MM)
    if not talk & _SPARKED or any(abs(found.start - bare.start) <= _NEAR for found in fine):
        return None
    return scan.figure_of(bare, "clearance", "thou", "the gap of plugs or points; so many can only be thou")


def _rotor(scan: Scan, bare: Bare) -> Found | None:
    """ "rotor thickness is nine eighty and discard is nine forty": to an American thousandths of an inch."""
    said = {*scan.plain[slice(*scan.with_sentence_before(bare.start))]}
    told = scan.settings.units == "us" and bool(said & _THICKNESS) and bool(said & _ROTORS)
    if not told or bare.shape != "joined" or bare.value not in _ROTOR_THOU or not scan.joined(bare.start):
        return None
    return scan.figure_of(bare, "length", "thou", "how thick a rotor is; no unit was said, taken as thou")


def _advance(scan: Scan, bare: Bare) -> Found | None:
    """ "timing's at ten before, thirty four total": degrees of the crank."""
    told = scan.at(bare.end) in _ALL_TOLD and bare.end not in scan.breaks and bare.value.denominator <= 2
    talk = {*scan.plain[slice(*scan.with_sentence_before(bare.start))]}
    if not told or bare.value > _MOST_ADVANCE or not talk & _TIMED or talk & {"foot", "newton", "psi"}:
        return None
    return scan.figure_of(bare, "angle", "deg", "the advance all told; no unit was said, taken as degrees")


def _numbered_drill(scan: Scan, bare: Bare) -> Found | None:
    """ "drilled it with a five sixty-four, then a seven thirty-two": how Americans call 5/64 and 7/32 of an inch."""
    led = scan.at(bare.start - 1) in ("a", "an") and scan.joined(bare.start)
    if not led or not scan.sentence_words(bare.start) & _DRILLS or (parts := parts_of_an_inch(bare)) is None:
        return None
    size = replace(bare, value=parts, shape="fraction")
    return scan.figure_of(size, "length", "in", "a drill by its part of an inch")
