"""Angles that are added to a torque without their degrees: "forty newton metres plus ninety plus ninety"."""

from __future__ import annotations

from pipeline.quantities.reasons import UNSAID
from pipeline.quantities.scan import Bare, Found, Scan

# Words between the torque and the "plus": "twenty three newton metres on the clamp bolt plus ninety".
_MOST_LINKS, _TORQUE_WITHIN = 5, 20
# Degrees that a bolt is turned on by.
_ANGLES = frozenset({30, 45, 60, 75, 80, 85, 90, 100, 105, 110, 115, 120, 130, 135, 140, 150, 180, 210, 270, 360})


def before_more(scan: Scan, bare: Bare, lenders: list[Found]) -> Found | None:
    """ "a hundred newton metres plus ninety degrees, the front bolt seventy plus a hundred and eighty": the torque."""
    behind = next((item for item in scan.bare if item.start == bare.end + 1), None)
    if scan.at(bare.end) != "plus" or behind is None or behind.value not in _ANGLES or bare.high is not None:
        return None
    before = [item for item in lenders if 0 <= bare.start - item.end <= _TORQUE_WITHIN]
    torques = [item for item in before if item.kind == "torque"]
    if not torques or before[-1].kind != "angle" or bare.start - before[-1].end < 1:
        return None
    return torques[-1]


def turned_on(scan: Scan, bare: Bare, lenders: list[Found]) -> Found | None:
    """ "forty newton metres plus ninety plus ninety": what is added to a torque in such numbers is an angle."""
    link = bare.start - (scan.at(bare.start - 1) in ("another", "further"))
    link -= scan.at(link - 1) == "a"
    link -= 1
    if scan.at(link) != "plus" or link in scan.sentences or bare.high is not None or bare.shape == "decimal":
        return None
    behind = [item for item in lenders if item.end <= link + 1 and item.start < bare.start]
    last = max(behind, key=lambda item: item.end, default=None)
    before = last if last is not None and link - last.end <= _MOST_LINKS else None
    if any(link >= place > before.end for place in scan.sentences) if before is not None else True:
        return None
    angled = before is not None and before.kind in ("torque", "angle") and before.unit != "turn"
    if not angled or bare.value not in _ANGLES:
        return None
    closes = bare.end in scan.breaks or scan.at(bare.end) in ("", "plus", "and", "then", "on", "for")
    why = f"{UNSAID}; added to a torque, such a number is an angle"
    return Found("angle", bare.value, None, "deg", bare.start, bare.end, bare.start, why=why) if closes else None
