"""Reads metric thread sizes: "M8", "m eight by one point two five", "fourteen mil by one point two five"."""

from __future__ import annotations

from fractions import Fraction

from pipeline.numbers import Number, read_number
from pipeline.quantities.reasons import BOLT_LENGTH
from pipeline.quantities.scan import Found, Scan, cue_words
from pipeline.quantities.standards import standard

TIMES = ("x", "by", "times")
_MILLIMETRES = ("mm", "mil", "mill", "millimetre", "millimetres", "millimeter", "millimeters")
# What is done to them, where a recogniser leaves out the apostrophe of "'em".
_GIVEN = frozenset({"give", "gave", "giving", "do", "did", "done", "set", "torqued", "nipped", "got", "took", "put"})
_PLAIN = ("whole", "decimal")
_PREFIXES = (("m",), ("em",), ("metric",))


def read_metric(scan: Scan, index: int) -> list[Found] | None:
    """A metric thread that begins at a piece, with the length of the bolt where one follows."""
    return _metric(scan, index) or _millimetres_by_pitch(scan, index)


def _metric(scan: Scan, index: int) -> list[Found] | None:
    word = scan.at(index)
    if scan.pieces[index].joint.endswith(("'", "’")):
        # "packed 'em thirty percent"
        return None
    if scan.at(index - 1) in ("newton", "newtons"):
        # "22 Newton m2": a garbled metre
        return None
    if (word,) not in _PREFIXES or (not scan.joined(index + 1) and scan.at(index + 1)):
        return None
    if word == "em" and scan.at(index - 1) in _GIVEN | {"of"}:
        # "I gave em forty foot pound", "four of em two on each side"
        return None
    diameter = read_number(scan.words, index + 1, scan.breaks)
    shapes = ("whole", "decimal", "mixed") if diameter is not None and diameter.exact == Fraction(5, 2) else _PLAIN
    if diameter is None or diameter.shape not in shapes or not 1 <= diameter.exact <= 64:
        return None
    if word == "m" and _motorway(scan, index, diameter.end):
        return None
    if word == "metric" and scan.at(diameter.end) in ("tonne", "tonnes", "ton", "tons"):
        return None
    if word == "m" and scan.pieces[index + 1].joint != "" and scan.at(diameter.end) in ("m", "p"):
        return None
    text, end, extra = f"M{plain(diameter.exact)}", diameter.end, []
    for _ in range(2):
        following = read_number(scan.words, end + 1, scan.breaks) if scan.at(end) in TIMES else None
        if following is None or end in scan.breaks:
            break
        if following.exact <= 6 and following.exact < diameter.exact and (following.exact <= 4) and "x" not in text:
            text, end = f"{text}x{plain(following.exact)}", following.end
        else:
            stop = following.end + (1 if scan.at(following.end) in ("mm", "mil", "millimetres", "millimetre") else 0)
            extra.append(_length(following, stop))
            end = stop
            break
    if not extra and scan.at(end) in ("fine", "coarse") and scan.joined(end):
        end += 1
    head_end = extra[0].start - 1 if extra else end
    return [thread(diameter.exact, "mm", index, head_end, text, "a metric thread size"), *extra]


def _motorway(scan: Scan, index: int, end: int) -> bool:
    """ "she got ninety out of it on the M5", with nothing that is bolted talked of."""
    driven = scan.at(index - 1) == "the" and scan.at(index - 2) in ("on", "up", "down", "along", "off")
    closes = end in scan.breaks or end >= len(scan.words)
    talk = {*scan.plain[slice(*scan.with_sentence_before(index))]}
    return driven and closes and not scan.found and not talk & (cue_words("fastener_nouns") | cue_words("torque_led"))


def _millimetres_by_pitch(scan: Scan, index: int) -> list[Found] | None:
    """ "fourteen mil by one point two five": a size with a pitch that it has, and that is no whole number."""
    diameter = read_number(scan.words, index, scan.breaks)
    if diameter is not None and (cup := _of_a_cup(scan, diameter)) is not None:
        return [cup]
    if diameter is None or diameter.shape != "whole" or scan.at(diameter.end) not in _MILLIMETRES:
        return None
    entry = standard("threads")["metric"].get(plain(diameter.exact))
    link = diameter.end + 1
    pitch = (
        read_number(scan.words, link + 1, scan.breaks) if scan.at(link) in TIMES and link not in scan.breaks else None
    )
    if entry is None or pitch is None or pitch.exact.denominator == 1:
        return None
    if pitch.value not in (entry["coarse"], *entry["fine"]):
        return None
    text = f"M{plain(diameter.exact)}x{plain(pitch.exact)}"
    return [thread(diameter.exact, "mm", index, pitch.end, text, "a size in millimetres with its pitch")]


def _of_a_cup(scan: Scan, diameter: Number) -> Found | None:
    """ "the cups are thirty five by one": the thread of a bottom bracket."""
    link = diameter.end
    pitch = read_number(scan.words, link + 1, scan.breaks) if scan.at(link) in TIMES else None
    if pitch is None or link in scan.breaks or diameter.exact not in (35, 36, 34) or pitch.exact != 1:
        return None
    if not {*scan.plain[slice(*scan.with_sentence_before(diameter.start))]} & {"cup", "cups", "bracket", "shell"}:
        return None
    end = pitch.end + (scan.at(pitch.end) in _MILLIMETRES and pitch.end not in scan.breaks)
    text = f"M{plain(diameter.exact)}x1"
    return thread(diameter.exact, "mm", diameter.start, end, text, "the thread of a bottom bracket")


def _length(number: Number, end: int) -> Found:
    why = BOLT_LENGTH
    return Found("length", number.exact, None, "mm", number.start, end, number.start, why=why)


def thread(value: Fraction, unit: str, start: int, end: int, text: str, why: str) -> Found:
    """A thread over some pieces, `text` being how it is written."""
    return Found("thread", value, None, unit, start, end, start, thread=text, why=why)


def plain(value: Fraction) -> str:
    """A number as it is written: "8", "1.25"."""
    return f"{float(value):g}"
