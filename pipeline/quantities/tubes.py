"""Diameters of a bicycle's tubes, said without their point: "the seatpost's twenty seven two"."""

from __future__ import annotations

from fractions import Fraction

from pipeline.numbers import Figure
from pipeline.numbers.words import ONES
from pipeline.quantities.scan import Found, Scan, cue_words

# Tenths of a millimetre of seatposts, bars, steerers and the clamps on them.
_TENTHS_MM = frozenset({222, 238, 254, 258, 260, 264, 266, 268, 272, 286, 298, 309, 316, 318, 319, 338, 349, 364, 386})


def read_tube(scan: Scan, figure: Figure) -> Found | None:
    """The diameter that a whole number and the digit behind it are, where a tube of a bicycle is talked of."""
    tenths = ONES.get(scan.at(figure.end), 0) if figure.end not in scan.breaks else 0
    if not tenths or not figure.number.spoken or figure.high is not None or figure.low * 10 + tenths not in _TENTHS_MM:
        return None
    if not scan.sentence_words(figure.start) & cue_words("tubes"):
        return None
    why = "a diameter of tube, said without its point"
    value = figure.low + Fraction(tenths, 10)
    return Found("length", value, None, "mm", figure.start, figure.end + 1, figure.start, why=why)
