"""What a machine tool is set to, whatever figure stands before: "reamed at two fifty", "the compound's at thirty"."""

from __future__ import annotations

from pipeline.quantities.carried import stands_alone
from pipeline.quantities.scan import Bare, Found, Scan, cue_words

_SLIDES, _SLIDE_WITHIN = frozenset({"compound", "topslide"}), 6
_STEEP = (25, 60)
_LEAST_RPM, _MOST_RPM = 100, 12_000
_RUN = frozenset({"run", "runs", "running", "ran", "spin", "spun", "spinning", "turning"})
_HARDENED = frozenset({"harden", "hardened", "hardening", "temper", "tempered", "anneal", "annealed"})
_A_TURN = frozenset({"rev", "revolution", "tooth", "flute"})
_MOST_FED_MM = 2
_SIDES = frozenset({"left", "right", "front", "rear", "top", "bottom"})
# Beside these "compression" is of a spring, a joint or a ratio.
_NO_PRESSURE = frozenset(
    {"spring", "springs", "ratio", "fitting", "fittings", "joint", "joints", "damping", "clicks", "nut", "olive"}
)


def settled(scan: Scan, bare: Bare) -> Found | None:
    """The setting of a machine tool that a number is, or None."""
    return _swivelled(scan, bare) or _spun(scan, bare) or _fed(scan, bare)


def of_a_cylinder(scan: Scan, bare: Bare) -> Found | None:
    """ "compression's one thirty five left, one forty two right", "top pot one fifteen": pounds to the square inch."""
    talk = {*scan.plain[slice(*scan.with_sentence_before(bare.start))]}
    if "compression" not in talk or talk & _NO_PRESSURE or bare.high is not None or bare.value.denominator != 1:
        return None
    behind = "" if bare.end in scan.breaks else scan.at(bare.end)
    if not 60 <= bare.value <= 260 or not (stands_alone(scan, bare) or behind in _SIDES | {"on", "wet", "dry"}):
        return None
    bars = any(found.unit in ("bar", "kPa") for found in scan.found)
    why = "the compression of a cylinder; no unit was said, taken as psi"
    return None if bars else scan.figure_of(bare, "pressure", "psi", why)


def _swivelled(scan: Scan, bare: Bare) -> Found | None:
    """ "the compound's at twenty nine and a half", "the topslide over to thirty": degrees for a thread or a taper."""
    led = scan.at(bare.start - 1) in ("at", "to") and stands_alone(scan, bare) and bare.high is None
    if not led or not _STEEP[0] <= bare.value <= _STEEP[1] or bare.value.denominator > 2:
        return None
    if not {*scan.plain[max(scan.sentence(bare.start)[0], bare.start - _SLIDE_WITHIN) : bare.start]} & _SLIDES:
        return None
    return scan.figure_of(bare, "angle", "deg", "how a slide is set over; no unit was said, taken as degrees")


def _spun(scan: Scan, bare: Bare) -> Found | None:
    """ "the reamer at two fifty", "that end mill, and I run it about two thousand": what a cutter turns at."""
    round_number = bare.value.denominator == 1 and bare.value % 5 == 0 and bare.high is None
    if not round_number or not _LEAST_RPM <= bare.value <= _MOST_RPM or not stands_alone(scan, bare):
        return None
    before = scan.at(bare.start - 1)
    if before not in ("at", "about", "around") or bare.start in scan.breaks:
        return None
    tools = cue_words("spun")
    led = scan.plain[max(0, bare.start - 4) : bare.start - 1]
    held = scan.sentence_words(bare.start) & tools
    if scan.sentence_words(bare.start) & _HARDENED:
        return None
    if led[-1:] and led[-1] in tools and before == "at":
        held = frozenset(led)
    elif not {*led} & _RUN:
        return None
    why = "what a cutter turns at; no unit was said, taken as rpm"
    return scan.figure_of(bare, "speed", "rpm", why) if held else None


def _fed(scan: Scan, bare: Bare) -> Found | None:
    """ "feeding point one two a rev": how far a cutter is fed."""
    each = scan.at(bare.end) in ("a", "per") and scan.at(bare.end + 1) in _A_TURN
    if not each or bare.shape != "decimal" or bare.value >= _MOST_FED_MM:
        return None
    unit = "in" if scan.settings.units == "us" else "mm"
    return scan.figure_of(bare, "length", unit, f"a feed; no unit was said, taken as {unit}")
