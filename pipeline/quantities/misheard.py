"""Units written as everyday words: "twelve hour backlash" can only be twelve thou.

The words as heard stay the evidence; every figure read this way gets a finding.
"""

from __future__ import annotations

from functools import cache

from pipeline.numbers import Figure
from pipeline.quantities.scan import Scan
from pipeline.quantities.units import figures_data

# Stands in the `why` of every figure that was read this way.
CAN_ONLY_BE = "can only be"
_LINKS = frozenset({"of", "end", "valve", "tappet", "on", "the"})
_MEASURED = frozenset({"at", "is", "was", "to", "of", "be", "are", "were", "it's", "gap", "about"})


@cache
def _heard() -> dict[str, tuple[str, frozenset[str], int, int]]:
    """Heard word -> (unit, words that must stand beside it, within how many words, largest value)."""
    table = {}
    for unit, entry in figures_data("heard").items():
        if unit != "source":
            rule = (unit, frozenset(entry["beside"]), entry["within_words"], entry["most"])
            table.update(dict.fromkeys(entry["heard"], rule))
    return table


def misheard_unit(scan: Scan, figure: Figure) -> tuple[str, int, str] | None:
    """(unit, end, why) where the word after a figure is a unit misheard; None where it is not."""
    place = figure.end
    if scan.at(place) in ("th", "nd", "rd", "st") and place not in scan.breaks:
        place += 1
    rule = _heard().get(scan.at(place)) if place not in scan.breaks else None
    if rule is None or not 0 < figure.low <= rule[3]:
        return None
    unit, beside, within, _ = rule
    cue = _right_after(scan, place + 1, beside) or _before(scan, figure.start, beside, within)
    if not cue:
        return None
    return unit, place + 1, f"{scan.words[place]!r} beside {cue!r} {CAN_ONLY_BE} {unit}"


def _right_after(scan: Scan, index: int, beside: frozenset[str]) -> str:
    """ "two now inlet", "twelve hour of backlash"."""
    for place in range(index, min(index + 3, len(scan.words))):
        if place in scan.breaks or (scan.words[place] not in beside and scan.words[place] not in _LINKS):
            return ""
        if scan.words[place] in beside:
            return scan.words[place]
    return ""


def _before(scan: Scan, index: int, beside: frozenset[str], within: int) -> str:
    """ "the gap came out at twelve now": only where the figure is said to be the measure."""
    if scan.at(index - 1) not in _MEASURED:
        return ""
    start = max(scan.sentence(index)[0], index - within)
    return next((scan.plain[place] for place in range(index - 1, start - 1, -1) if scan.plain[place] in beside), "")
