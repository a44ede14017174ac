"""Units that nobody says, by what a number is said of: water that gets to ninety, a starter that draws three hundred,
what is done up to seventeen, what is below nothing."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

from pipeline.quantities.carried import stands_alone
from pipeline.quantities.reasons import LENT
from pipeline.quantities.scan import Bare, Found, Scan
from pipeline.quantities.usual_units import heat_unit, torque_unit

_NEAR = 8
_TILTED = frozenset({"camber", "cambers", "caster", "castor"})
_MOST_TILT = 12
_ANTIFREEZE = frozenset({"antifreeze", "coolant", "glycol", "refractometer"})
_MIKES = frozenset({"mikes", "miked", "mics", "mic'd", "micd"})
_MIKED = (100, 9999)
# What gets hot -> least and most of it in degrees Celsius.
_HEATED = {"water": (40, 130), "coolant": (40, 130), "exhaust": (200, 950), "metal": (90, 750)}
_HEAT_LEADS = frozenset(
    "is was got gets at to up reached hit hits went goes came comes reads says about around sits sat past never".split()  # noqa: SIM905
)
_HEAT_WITHIN = 4
_DRAWN = frozenset({"draw", "draws", "drew", "drawing"})
_DRAWERS = frozenset({"starter", "motor", "fan", "pump", "heater", "winch", "glow", "plugs", "coil"})
_MOST_DRAWN = 900
_PLAYED = frozenset({"endplay", "backlash", "lash", "feeler", "feelers", "sideplay"})
_PLAYED_PAIRS = frozenset({("end", "play"), ("side", "play")})
_PLAY_LEADS = frozenset(
    {"got", "at", "is", "it's", "she's", "was", "to", "from", "like", "has", "had", "have", "wants"}
)
_THOU, _PLAY_WITHIN = (2, 80), 40
_DONE = frozenset({"do", "does", "did", "done", "doing"})
_THEM = frozenset({"it", "them", "em", "'em", "these", "those", "that", "this", "both"})
_TORQUE = (4, 300)


def below_zero(scan: Scan, bare: Bare) -> Found | None:
    """ "it's minus twenty out there": only temperatures are below nothing; a camber, and a vacuum that was one."""
    said = bare.spoken or scan.at(bare.start) in ("minus", "negative")
    if not -45 <= bare.value < 0 or not said or bare.high is not None:
        return None
    if abs(bare.value) <= _MOST_TILT and _TILTED & {*scan.plain[slice(*scan.with_sentence_before(bare.start))]}:
        return scan.figure_of(bare, "angle", "deg", "a camber; no unit was said, taken as degrees")
    before = next((found for found in reversed(scan.found) if found.end <= bare.start), None)
    sucked = before is not None and before.kind == "pressure" and before.value < 0
    if before is not None and sucked and abs(bare.value) < 2 * abs(before.value):
        return scan.figure_of(bare, "pressure", before.unit, f"{LENT} from the {before.kind} before")
    frozen = scan.at(bare.end + 1) == "minus" and _ANTIFREEZE & scan.sentence_words(bare.start)
    alone = stands_alone(scan, bare) or scan.at(bare.end) in ("on", "at", "with", "for", "before", "wi")
    if not (alone or frozen):
        return None
    if any(0 <= bare.start - found.end <= _NEAR and found.kind in ("length", "angle") for found in scan.found):
        # "an inch and a half, minus a thou, minus three"
        return None
    unit = heat_unit(scan)
    return scan.figure_of(bare, "temperature", unit, f"below zero; no unit was said, taken as {unit}")


def by_its_talk(scan: Scan, bare: Bare) -> Found | None:
    """The figure that a bare number is by what it is said of, or None."""
    if bare.value <= 0:
        return None
    if (played := _played(scan, bare)) is not None or not stands_alone(scan, bare):
        return played
    return _miked(scan, bare) or _heated(scan, bare) or _drawn(scan, bare) or _done_up(scan, bare)


def _miked(scan: Scan, bare: Bare) -> Found | None:
    """ "it mikes at eight hundred seventy-four": to an American thousandths of an inch."""
    told = {*scan.words[max(0, bare.start - 3) : bare.start]} & _MIKES
    sized = bare.value.denominator == 1 and bare.high is None and _MIKED[0] <= bare.value <= _MIKED[1]
    if scan.settings.units != "us" or not told or not sized or not scan.joined(bare.start):
        return None
    return scan.figure_of(bare, "length", "thou", "read from a micrometer; no unit was said, taken as thou")


def _heated(scan: Scan, bare: Bare) -> Found | None:
    """ "water got to one ninety-five", "the coolant's at ninety-six"."""
    american = scan.settings.units == "us"
    if bare.start in scan.breaks:
        return None
    at = bare.start - 1
    while bare.start - at <= _HEAT_WITHIN and scan.at(at) in _HEAT_LEADS and at not in scan.breaks:
        at -= 1
    led = at < bare.start - 1 or scan.at(at).endswith("'s")
    if not led or at < 0 or scan.plain[at] not in _HEATED:
        return None
    least, most = (Fraction(9, 5) * degrees + 32 if american else degrees for degrees in _HEATED[scan.plain[at]])
    if not least <= bare.value <= most:
        return None
    unit = heat_unit(scan)
    return scan.figure_of(bare, "temperature", unit, f"the heat of water; no unit was said, taken as {unit}")


def _drawn(scan: Scan, bare: Bare) -> Found | None:
    """ "the starter draws three hundred and ten": amps."""
    verb = {*scan.plain[max(0, bare.start - 2) : bare.start]} & _DRAWN
    if not verb or not scan.joined(bare.start) or bare.value > _MOST_DRAWN:
        return None
    if not scan.sentence_words(bare.start) & _DRAWERS:
        return None
    return scan.figure_of(bare, "current", "A", "what a motor draws; no unit was said, taken as amps")


def _played(scan: Scan, bare: Bare) -> Found | None:
    """ "endplay, and we went from nineteen to eight": to an American whole thousandths."""
    last = bare.value if bare.high is None else bare.high
    sized = bare.value.denominator == 1 and _THOU[0] <= bare.value and last <= _THOU[1]
    closes = stands_alone(scan, bare) or scan.at(bare.end) == "to"
    before = scan.at(bare.start - 1)
    led = before in _PLAY_LEADS or before.endswith("'s") or (bare.high is not None and bare.start in scan.breaks)
    if scan.settings.units != "us" or not (sized and closes and led):
        return None
    said = scan.plain[slice(*scan.with_sentence_before(bare.start))]
    told = {*said} & _PLAYED or any(pair in _PLAYED_PAIRS for pair in pairwise(said))
    metric = (found for found in scan.found if found.unit in ("mm", "µm", "in"))
    if not told or any(abs(found.start - bare.start) <= _PLAY_WITHIN for found in metric):
        return None
    return scan.figure_of(bare, "clearance", "thou", "play; no unit was said, taken as thou")


def _done_up(scan: Scan, bare: Bare) -> Found | None:
    """ "I do them up to seventeen": a torque."""
    words = scan.words[max(0, bare.start - 4) : bare.start]
    done = words[-2:] == ["up", "to"] and len(words) == 4 and words[0] in _DONE and words[1] in _THEM
    if (
        not done
        or bare.start in scan.breaks
        or not _TORQUE[0] <= bare.value <= _TORQUE[1]
        or bare.value.denominator > 2
    ):
        return None
    unit = torque_unit(scan, bare)
    return scan.figure_of(bare, "torque", unit, f"what it is done up to; no unit was said, taken as {unit}")
