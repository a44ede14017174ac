"""Which one, and what is hung on: "the twenty-first of June", "the thirty first week", "load tested with the two
thousand". Neither is a figure of the build, unless the load's unit has been said."""

from __future__ import annotations

from itertools import pairwise

from pipeline.numbers.words import TENS, word_set
from pipeline.quantities.scan import Bare, Scan

_ORDINALS = word_set("first second third fourth fifth sixth seventh eighth ninth")
# What is counted so where no hyphen tells it: "the twenty first of June", "our thirty second week".
_ORDERED = word_set("of week weeks weekend day days month year time century birthday episode video instalment part")
_POINTED = word_set("the this that our my his her its their on a by till until since from for")
_LOADED = frozenset({("load", "tested"), ("load", "test"), ("test", "load"), ("proof", "tested"), ("proof", "load")})
_LIFTS = word_set("hoist hoists crane cranes winch davit gantry block shackle sling slings hook jib trolley")
_TESTED = word_set("test tested tests testing")
_HUNG = word_set("with at to on")
_LEAST_LOAD = 50
_TURNING = word_set("rev revs rpm rev/min speed turns spun idle tach tacho")


def is_ordinal(scan: Scan, bare: Bare) -> bool:
    """The tens of "twenty-first": the ordinal behind them is one word with them, or the thing so counted follows."""
    if bare.value not in TENS.values() or bare.high is not None or scan.at(bare.end) not in _ORDINALS:
        return False
    if scan.at(bare.end - 1) not in TENS or bare.end in scan.breaks:
        return False
    if scan.pieces[bare.end].token == scan.pieces[bare.end - 1].token:
        return True  # "twenty-first"
    led = scan.at(bare.start - 1) in _POINTED and scan.joined(bare.start)
    return led and scan.joined(bare.end + 1) and scan.at(bare.end + 1) in _ORDERED


def of_a_load(scan: Scan, bare: Bare) -> bool:
    """ "we load tested it with the two thousand": what hung on it, in a unit that nobody says."""
    pointed = scan.at(bare.start - 1) == "the" and scan.at(bare.start - 2) in _HUNG and scan.joined(bare.start)
    led = pointed or (scan.at(bare.start - 1) in _HUNG and scan.joined(bare.start))
    if not led or bare.high is not None or bare.value.denominator != 1 or bare.value < _LEAST_LOAD:
        return False
    before = scan.plain[scan.with_sentence_before(bare.start)[0] : bare.start]
    named = any((first, second) in _LOADED for first, second in pairwise(before))
    lifted = pointed and not _TESTED.isdisjoint(before) and not _LIFTS.isdisjoint(before)
    return (named or lifted) and not scan.sentence_words(bare.start) & _TURNING


def loads(scan: Scan) -> None:
    """Takes such loads out of `scan.bare`; where a weight was said before, they are of its unit."""
    kept = []
    for bare in scan.bare:
        if not of_a_load(scan, bare):
            kept.append(bare)
            continue
        weights = [found for found in scan.found if found.kind == "mass" and found.end <= bare.start]
        last = max(weights, key=lambda found: found.end, default=None)
        start = scan.with_sentence_before(bare.start)[0]
        if last is not None and last.start >= start and last.unit:
            why = "the load of a test; the unit of the weight just before"
            scan.found.append(scan.figure_of(bare, "mass", last.unit, why))
    scan.bare = kept
