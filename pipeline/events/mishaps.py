"""Words of deeds for what is none: what is switched on and off, was dropped on the floor, is on charge or has come."""

from __future__ import annotations

from pipeline.events.clauses import sentence_around
from pipeline.events.phrase import Phrase, Scan
from pipeline.events.rules import Rules

_ON_OFF = frozenset(("on", "off"))
_LAID, _ARTICLES, _LAID_WITHIN = frozenset(("in", "into")), frozenset(("the", "a", "some", "my", "an", "old")), 10
_BE = frozenset(("is", "'s", "are"))
_NO = frozenset(("no", "so", "actually", "sorry", "oh", "wait", "well"))
_CLOSES = frozenset(("and", "then", "but", "so", "full", "fully", "again"))
_LEADS = frozenset(("and", "then", "so", "okay", "right", "now"))
_MOVES = frozenset(("on", "off", "out", "in", "down", "up"))
# "have come today", "have come in the post": no word of where from on the machine stands behind.
_HAVE = frozenset(("have", "has", "'s", "'ve"))
_HERE = frozenset(("today", "yesterday", "and", "so", "but", "now", "this", "at", "by", "finally"))
_INTO = frozenset(("in", "into", "on", "onto", "over", "through", "off", "out", "from", "down", "back"))


def switched(scan: Scan, rules: Rules) -> frozenset[int]:
    """Units of "ignition off, fuel tap off": turned, not taken off. A tap among parts that come off is one of them."""
    found: set[int] = set()
    always, mostly = rules.words["switched"], rules.words["switched_alone"]
    for at in range(1, len(scan.text)):
        if scan.text[at] not in _ON_OFF or scan.gap[at]:
            continue
        name = _name_before(scan, at - (scan.text[at - 1] in _BE))
        closes = at + 1 >= len(scan.text) or scan.gap[at + 1] > 0 or scan.text[at + 1] in _CLOSES
        if not name or not closes:
            continue
        said = " ".join(name)
        if said in always or (said in mostly and _alone(scan, at, always | mostly)):
            found.update(range(at - len(name) - (scan.text[at - 1] in _BE), at + 1))
    return frozenset(found | _charging(scan))


def _name_before(scan: Scan, at: int) -> list[str]:
    """The words between the last break and a unit, none where an article or a verb is among them."""
    first = at
    while first and not scan.gap[first] and scan.text[first - 1] not in _LEADS and at - first < 4:
        first -= 1
    return scan.text[first:at]


def _alone(scan: Scan, at: int, names: frozenset[str]) -> bool:
    """Whether everything else in the sentence that is on or off is switched too, and no fastener is named."""
    start, end = sentence_around(scan, at)
    if any(part.kind == "fastener" for part in scan.phrases_in(start, end)):
        return False
    return all(
        " ".join(_name_before(scan, place)) in names for place in range(start + 1, end) if scan.text[place] in _MOVES
    )


def arrived(scan: Scan) -> frozenset[int]:
    """Units of "the shoes have come", "the seals have arrived": they are here, and nothing came off."""
    found: set[int] = set()
    for part in scan.phrases:
        at = part.end
        if not part.is_part or at >= len(scan.text) or scan.text[at] not in _HAVE:
            continue
        come = scan.text[at + 1 : at + 2] in (["come"], ["arrived"])
        closes = at + 2 >= len(scan.text) or scan.gap[at + 2] > 0 or scan.text[at + 2] in _HERE
        if come and closes:
            found.update(range(part.start, at + 2))
    return frozenset(found)


def _charging(scan: Scan) -> set[int]:
    """ "the battery's on charge": nothing is connected by that."""
    found: set[int] = set()
    for part in scan.phrases:
        at = part.end + (scan.text[part.end : part.end + 1] in (["is"], ["'s"]))
        words = scan.text[at : at + 3]
        if part.is_part and (words[:2] == ["on", "charge"] or words == ["on", "the", "charger"]):
            found.update(range(part.start, at + 2))
    return found


def laid_away(scan: Scan, rules: Rules) -> frozenset[int]:
    """Units of "I put the gears in diesel", "the head's in the corner": nothing is fitted there."""
    found: set[int] = set()
    for at in range(1, len(scan.text) - 1):
        if scan.text[at] not in _LAID or any(scan.gap[at : at + 2]):
            continue
        place = at + 1 + (scan.text[at + 1] in _ARTICLES)
        place = _past_adjective(scan, rules, place)
        hit = rules.cues["laid_in"].at(scan.text, place)
        if hit is None:
            continue
        first = at
        while first and at - first < _LAID_WITHIN and not scan.gap[first] and scan.text[first - 1] not in _LEADS:
            first -= 1
        found.update(range(first, at + 1))
    return frozenset(found)


def _past_adjective(scan: Scan, rules: Rules, at: int) -> int:
    """ "the old biscuit tin": one word may stand before what holds it."""
    return at + (rules.cues["laid_in"].at(scan.text, at) is None and bool(rules.cues["laid_in"].at(scan.text, at + 1)))


def scrapped(scan: Scan, rules: Rules) -> frozenset[int]:
    """Units of "no, scrub that": nothing is scrubbed."""
    return frozenset(unit for at in _taken_back(scan, rules) for unit in range(at, min(len(scan.text), at + 2)))


def _taken_back(scan: Scan, rules: Rules) -> list[int]:
    cue = rules.cues["scrapped"]
    return [
        at for at in range(1, len(scan.text))
        if (hit := cue.at(scan.text, at)) and (hit[0] >= len(scan.text) or scan.gap[hit[0]])
        and (scan.gap[at] or scan.text[at - 1] in _NO)
    ]  # fmt: skip


def dropped(scan: Scan, rules: Rules) -> frozenset[int]:
    """Units of "I dropped the fuse and trod on it": it fell, and nobody took it off."""
    found: set[int] = set()
    for at, (end, readings) in scan.verbs.items():
        if not any(reading.lemma == "drop" and reading.tags & {"past", "pp"} for reading in readings):
            continue
        part = next((part for part in scan.phrases_in(at + 1, max(end, at + 1) + 3) if part.is_part), None)
        if part is not None and _fell(scan, rules, part):
            found.update(range(at, part.end + 1))
    return frozenset(found)


def chased_up(scan: Scan) -> frozenset[int]:
    """Units of "I'll chase another one up": it is asked for, and nothing is cut."""
    found: set[int] = set()
    for at, (end, readings) in scan.verbs.items():
        chases = any(reading.lemma in ("chase", "chase up") for reading in readings)
        if chases and "up" in scan.text[end - 1 : end + 4]:
            found.update(range(at, end + 1))
    return frozenset(found)


def locked(scan: Scan, rules: Rules) -> frozenset[int]:
    """Units of "I lock the crank with the pin": it is kept from turning, and not tightened."""
    found: set[int] = set()
    for at, (end, readings) in scan.verbs.items():
        part = scan.starting.get(end)
        locks = any(reading.lemma == "lock" for reading in readings)
        if locks and part is not None and part.head in rules.words["turning"]:
            found.update(range(at, part.end))
    return frozenset(found)


def _fell(scan: Scan, rules: Rules, part: Phrase) -> bool:
    if part.head in rules.words["lowered"] or any(scan.gap[part.start : part.end]):
        return False
    _, end = sentence_around(scan, part.start)
    if any(rules.cues["mishap"].at(scan.text, place) for place in range(part.end, end)):
        return True
    after = scan.text[part.end] if part.end < end else ""
    return part.kind in ("fastener", "tool") and after not in _INTO
