"""Propellers and what turns them: "a nineteen pitch prop" is so many inches, "she turned fifty-two hundred" revs."""

from __future__ import annotations

from pipeline.quantities.carried import stands_alone
from pipeline.quantities.scan import Bare, Found, Scan

_PROPS = frozenset({"prop", "props", "propeller", "propellers"})
_PITCHES, _DIAMETERS = range(5, 33), range(6, 26)
_ON_PROPS = frozenset({"shaft", "shafts", "nut", "seal", "seals", "hub", "flange", "bearing", "bolts", "key"})
_WITHIN, _TURNED_WITHIN = 24, 5
_TURNED = frozenset(
    {"turned", "turns", "turn", "turning", "revs", "revved", "pulls", "pulled", "spins", "spun", "ran", "hit"}
)
_LEAST_RPM, _MOST_RPM = 1000, 15_000
_BEHIND = frozenset({"", "at", "with", "and", "on", "out", "so", "but", "flat", "now", "wide", "before", "instead"})


def of_a_propeller(scan: Scan, bare: Bare) -> Found | None:
    """The pitch, or another one of the kind, that a number is, or None."""
    if bare.high is not None or bare.value.denominator != 1 or bare.value not in _PITCHES:
        return None
    pitched = scan.at(bare.end) in ("pitch", "inch") and scan.at(bare.end + 1) in _PROPS | {"wheel"}
    pitched = pitched and bare.end not in scan.breaks
    if not pitched and not _another(scan, bare):
        return None
    return scan.figure_of(bare, "length", "in", "the pitch of a propeller; no unit was said, taken as inches")


def of_two_by(scan: Scan, bare: Bare) -> Found | None:
    """ "the prop's an eleven and a half by thirteen": its diameter and its pitch, whatever unit stands nearby."""
    first, second = scan.at(bare.end) == "by", scan.at(bare.start - 1) == "by" and scan.joined(bare.start)
    if (not first and not second) or bare.high is not None or bare.value.denominator > 4:
        return None
    if not _DIAMETERS.start <= bare.value <= _PITCHES.stop or (first and {bare.end, bare.end + 1} & scan.breaks):
        return None
    first_word = max(scan.sentence(bare.start)[0], bare.start - 2 * _TURNED_WITHIN)
    if not any(scan.plain[at] in _PROPS and scan.at(at + 1) not in _ON_PROPS for at in range(first_word, bare.start)):
        return None
    if second and scan.at(bare.end) in ("by", "x"):
        return None  # of a seal, by its three measures
    if second and bare.start - 1 not in {*(item.end for item in scan.bare), *(item.end for item in scan.found)}:
        return None
    return scan.figure_of(bare, "length", "in", "the size of a propeller; no unit was said, taken as inches")


def _another(scan: Scan, bare: Bare) -> bool:
    """ "with a nineteen pitch prop. Dropped to a seventeen": another one, or one by its pitch alone."""
    led = scan.at(bare.start - 1) in ("a", "an", "the") and scan.joined(bare.start)
    if not led or not (stands_alone(scan, bare) or scan.at(bare.end) in _BEHIND):
        return False
    before = scan.words[max(0, bare.start - _WITHIN) : bare.start]
    near = scan.words[bare.end : bare.end + _TURNED_WITHIN]
    at = next((place for place, word in enumerate(before) if word == "pitch"), -1)
    pitched = 0 <= at < len(before) - 1 and before[at + 1] in _PROPS | {"wheel"}
    return pitched and not {*near} & {"spanner", "socket", "wrench", "tooth", "spline", "hole"}


def turned_over(scan: Scan, bare: Bare) -> Found | None:
    """ "she turned fifty-two hundred at thirty-eight mile an hour": revs, whatever speed stands beside it."""
    fits = _LEAST_RPM <= bare.value <= _MOST_RPM and bare.value.denominator == 1 and bare.value % 50 == 0
    closes = bare.end in scan.breaks or scan.at(bare.end) in _BEHIND
    if not fits or bare.high is not None or not closes:
        return None
    before = scan.plain[max(scan.sentence(bare.start)[0], bare.start - _TURNED_WITHIN) : bare.start]
    if not {*before} & _TURNED or {*before} & {"over", "miles", "for"} or not scan.joined(bare.start):
        return None
    if any(found.kind == "pressure" and abs(found.start - bare.start) <= _WITHIN for found in scan.found):
        return None
    return scan.figure_of(bare, "speed", "rpm", "what an engine turns; no unit was said, taken as rpm")
