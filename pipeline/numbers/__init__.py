"""Spoken and written numbers, without units. Pure: words in, values out."""

from pipeline.numbers.confuse import CLOSE_WORDS, Reading, confusions, slip
from pipeline.numbers.figure import Figure, hedge_after, hedge_before, read_figure
from pipeline.numbers.number import Number, count_decimals
from pipeline.numbers.pieces import Piece, cut
from pipeline.numbers.read import read_number
from pipeline.numbers.speak import speak_number

__all__ = [
    "CLOSE_WORDS",
    "Figure",
    "Number",
    "Piece",
    "Reading",
    "confusions",
    "count_decimals",
    "cut",
    "hedge_after",
    "hedge_before",
    "read_figure",
    "read_number",
    "slip",
    "speak_number",
]
