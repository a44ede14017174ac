"""What is said of a running engine: thousands of turns are its speed, and inches of vacuum are no length."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from pipeline.numbers.words import word_set
from pipeline.quantities.scan import Found, Scan

_TACHOS = {("tach",), ("tacho",), ("tachometer",), ("rev",), ("revcounter",)}
_SAYS = frozenset({"says", "said", "reads", "read", "shows", "showed", "at", "is"})
_MOST_THOUSANDS = 30
_MACHINES = word_set(
    "saw saws chainsaw bike motorcycle scooter engine mower strimmer single twin quad moped kart two-stroke four- "
    "stroke machine"
)
_LEAST_REVS = 300
_WOUND = frozenset("wire wires wound wind winding windings coil coils copper secondary primary per".split())  # noqa: SIM905
_PIPED = frozenset("hose hoses line lines pipe pipes tube tubing port ports fitting nipple cap caps".split())  # noqa: SIM905
_LEAST_VACUUM, _MOST_VACUUM = 2, 30


def revs_on_the_tach(scan: Scan) -> None:
    """ "max is thirteen five on the tach": thousands and hundreds of turns a minute, out of `scan.bare`."""
    for last in list(scan.bare):
        behind = tuple(scan.words[last.end : last.end + 3])
        first = next((bare for bare in scan.bare if bare.end == last.start and last.start not in scan.breaks), None)
        start = last.start if first is None else first.start
        said = (scan.at(start - 2),) in _TACHOS and scan.at(start - 1) in _SAYS and start not in scan.breaks
        shown = said and first is not None and last.value < 10
        if (not shown and (behind[:2] != ("on", "the") or behind[2:] not in _TACHOS)) or last.high is not None:
            continue
        tenths = first is not None and last.value in range(1, 10) and first.value in range(1, 20) and first.spoken
        value, start = last.value, last.start
        if tenths and first is not None:
            value, start = first.value + last.value / 10, first.start
            scan.bare.remove(first)
        scan.bare.remove(last)
        times = 1000 if value < _MOST_THOUSANDS else 1
        why = "read on a rev counter; no unit was said"
        scan.found.append(scan.hedged(Found("speed", value * times, None, "rpm", start, last.end, start, why=why)))


def of_engines(scan: Scan, figures: Sequence[Found]) -> list[Found]:
    """The figures, "at 1,500 turns" as a speed, without "the gauges pulled nine inches" of vacuum."""
    return [_as_revs(scan, found) for found in figures if not (_vacuum(scan, found) or _swept(scan, found))]


def _swept(scan: Scan, found: Found) -> bool:
    """ "this is the fifty-five cc saw": how large its engine is."""
    behind = scan.at(found.end) if found.end not in scan.breaks else ""
    return found.unit == "mL" and scan.at(found.end - 1) == "cc" and behind in _MACHINES


def _as_revs(scan: Scan, found: Found) -> Found:
    fast = found.kind == "angle" and found.unit == "turn" and found.value >= _LEAST_REVS
    if not fast or scan.sentence_words(found.start) & _WOUND:
        return found
    return replace(found, kind="speed", unit="rpm", times=Fraction(1), why=found.why or "so many turns are of a minute")


def _vacuum(scan: Scan, found: Found) -> bool:
    if found.kind not in ("length", "clearance") or found.unit != "in" or found.value.denominator > 2:
        return False
    talk = scan.sentence_words(found.start)
    return "vacuum" in talk and not talk & _PIPED and _LEAST_VACUUM <= found.value <= _MOST_VACUUM
