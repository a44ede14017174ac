"""Voltages of batteries, their unit unsaid: "it's still only eleven point nine"."""

from __future__ import annotations

from fractions import Fraction

from pipeline.quantities.scan import Bare, Found, Scan, cue_words

# Of a battery of 12 or 24 volts, flat or on charge.
_VOLTS = ((Fraction(21, 2), Fraction(15)), (Fraction(22), Fraction(30)))
_ALTERNATOR_WITHIN = 8
_NO_VOLTS = frozenset({"specific", "gravity", "hydrometer", "gap"})


def of_a_battery(scan: Scan, bare: Bare) -> Found | None:
    """ "charged it six hours at two amps and it's still only 11.9": the amps before it lend no unit."""
    tenths = bare.shape == "decimal" and bare.high is None and 100 % bare.value.denominator == 0
    if not tenths or not any(low <= bare.value <= high for low, high in _VOLTS):
        return None
    talk = {*scan.plain[slice(*scan.with_sentence_before(bare.start))]}
    own = scan.sentence_words(bare.start)
    if not talk & cue_words("batteries") or own & (_NO_VOLTS | cue_words("measured_with") - {"measure", "measured"}):
        return None
    charging = "alternator" in scan.plain[max(0, bare.start - _ALTERNATOR_WITHIN) : bare.start]
    sized = not charging and any(found.kind in ("length", "clearance", "spanner") for found in scan.found[-3:])
    return None if sized else scan.figure_of(bare, "voltage", "V", "beside a battery; no unit was said, taken as volts")
