"""What "mil" stands for by what is done with so much: fluid that came out, the stroke of a fork, a hexagon key."""

from __future__ import annotations

from pipeline.numbers import hedge_before, read_number
from pipeline.quantities.scan import Scan, cue_words
from pipeline.quantities.standards import is_multigrade

_LEAST_POURED = 100
_MOST_KEY, _KEY_WITHIN, _LEAST_PRESSED = 60, 9, 10
_HELD_BY_KEYS = frozenset({"collar", "lockring", "mounts", "cap", "clamp", "lever", "stem"})
_TORQUE_UNITS = frozenset({"newton", "inch", "foot", "nm", "pounds"})
# Pins and shafts are no thousandths thick: "the wrist pin's sixteen mil".
_ROUND = frozenset(
    {"pin", "pins", "axle", "axles", "shaft", "spindle", "journal", "stanchion", "rotor", "tube", "bore"}
)
_SPRUNG = frozenset({"fork", "forks", "shock", "shocks", "dropper", "stanchion", "stanchions"})
_LINKS = frozenset({"of", "in", "into", "from", "per", "a", "each", "for", "to", "and", "the"})


def came_out(scan: Scan, start: int, end: int) -> bool:
    """ "two hundred mil came out", "I got nine hundred mil out": a fluid that was drained."""
    following = scan.words[end : end + 2]
    flowed = (
        bool(following) and following[0] in ("came", "ran", "poured", "dribbled") and "out" in scan.words[end : end + 3]
    )
    first = hedge_before(scan.words, start, scan.breaks)[0]
    got = following[:1] == ["out"] and scan.at(first - 1) in ("got", "had", "drained", "get")
    return end not in scan.breaks and (flowed or got)


def graded(scan: Scan, index: int) -> bool:
    """ "ninety weight", "ten thirty": a grade of oil at a piece."""
    number = read_number(scan.words, index, scan.breaks)
    if number is None:
        return False
    cold, hot = divmod(int(number.exact), 100)
    multigrade = number.shape == "joined" and is_multigrade("sae_j300", cold, hot)
    return multigrade or scan.at(number.end) in ("weight", "wt", "w")


# What is said of a size behind "of", where no fluid is.
_SIZED = frozenset({"it", "that", "this", "them", "travel", "thread", "movement", "wear", "lift", "clear"})


def poured(scan: Scan, start: int, end: int) -> bool:
    """ "six hundred mil of SAE thirty": so much of something is a fluid, if nothing that is measured."""
    number = read_number(scan.words, start, scan.breaks)
    named = scan.plain[end + 1 : end + 3]
    sized = cue_words("length") | cue_words("length_things") | cue_words("clearance") | _SIZED
    return number is not None and number.exact >= _LEAST_POURED and scan.at(end) == "of" and not {*named} & sized


def suspended(scan: Scan, end: int) -> bool:
    """ "a hundred and sixty mil air fork", "a hundred mil of travel": how far it goes, not what it holds."""
    named = scan.words[end : end + 3]
    heads = [place for place, word in enumerate(named) if word in _SPRUNG]
    if end in scan.breaks or not heads or {*named[: heads[0]]} & _LINKS:
        return False
    return not {*scan.words[end + heads[0] + 1 : end + heads[0] + 3]} & cue_words("fluid_heads")


def taken(scan: Scan, start: int, end: int) -> bool:
    """ "It only takes about forty mil." with nothing behind it: a fluid."""
    first = hedge_before(scan.words, start, scan.breaks)[0]
    closed = end in scan.breaks or scan.at(end) in (
        "",
        "all",
        "total",
        "altogether",
        "from",
        "and",
        "to",
        "per",
        "a",
        "each",
        "so",
        "in",
    )
    if "off" in scan.words[end : end + 4]:
        return False  # "took a mil and a half off the skirt"
    return closed and scan.at(first - 1) in ("takes", "took", "holds", "held") and first not in scan.breaks


def of_a_key(scan: Scan, start: int, end: int) -> str:
    """ "lever bolts are four mils", "with a four mil", "the seals are thirty five mil": metric to an American too, who
    speaks of so many thousandths for gaps. "hexagon key", "seal", or "" for none."""
    number = read_number(scan.words, start, scan.breaks)
    if number is None or number.exact.denominator > 2 or not 1 < number.exact <= _MOST_KEY:
        return ""
    if number.exact >= _LEAST_PRESSED and scan.at(end) in _ROUND and end not in scan.breaks:
        return "pin or shaft"  # "a nineteen mil axle"
    article = scan.at(start - 1) in ("a", "an") and start not in scan.breaks
    first = max(scan.sentence(start)[0], start - _KEY_WITHIN)
    said = {*scan.plain[first:start]}
    is_one = scan.at(start - 1 - article) in ("is", "are", "those", "takes") or scan.at(start - 1).endswith("'s")
    if said & cue_words("clearance") or not (is_one or article):
        return ""
    if is_one and number.exact >= _LEAST_PRESSED and said & {"seal", "seals", "bearing", "bearings"}:
        return "seal"
    link = start - 1 - article
    thing = scan.plain[link if scan.at(link).endswith("'s") else link - 1] if link >= 0 else ""
    is_it = scan.at(link) in ("is", "was", "are") or scan.at(link).endswith("'s")
    if is_it and number.exact >= _LEAST_PRESSED and thing in _ROUND:
        return "pin or shaft"
    torque = bool({*scan.words[end : end + _KEY_WITHIN]} & _TORQUE_UNITS) or any(
        found.kind == "torque" and 0 <= start - found.end <= 2 * _KEY_WITHIN for found in scan.found[-2:]
    )
    return "hexagon key" if torque and said & (cue_words("fastener_nouns") | _HELD_BY_KEYS) else ""
