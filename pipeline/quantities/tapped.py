"""Lengths that are diameters of threads by the words around them: "a six mil tap", "an inch by eight Whitworth"."""

from __future__ import annotations

from dataclasses import replace

from pipeline.numbers import read_number
from pipeline.quantities.convert import format_number, inches
from pipeline.quantities.scan import Found, Scan, cue_words
from pipeline.quantities.threads import pitch_said, series_at
from pipeline.quantities.units import to_si

_BOLTS = frozenset({"bolt", "bolts", "stud", "studs", "screw", "screws", "setscrew", "setscrews", "tap", "taps"})
_PIPED = frozenset({"thread", "threads", "tap", "plug", "nipple", "fitting", "fittings"})
_THREADS = frozenset({"thread", "threads"})
_NOT_BETWEEN = frozenset({"long", "deep", "length", "from", "in", "off", "short", "pitch", "of"})
_LEAST_MM, _MOST_MM, _MOST_NAMED_MM = 2, 40, 120
# Threads to the inch.
_PITCHES = range(4, 81)


def as_tapped(scan: Scan, found: Found) -> Found:
    """ "a six millimetre tap", "tapped it half inch", "a three eighths bolt": the thread that is meant."""
    following = "" if found.end in scan.breaks else scan.at(found.end)
    if found.kind != "length" or found.unit not in ("mm", "in") or found.high is not None:
        return found
    cut = following in ("tap", "taps", "die", "dies", "chaser") or (
        following in ("thread", "fine", "coarse") and scan.at(found.end + 1) in ("chaser", "thread", "threads", "tap")
    )
    named = (following in _THREADS and to_mm(found) <= _MOST_NAMED_MM) or (
        following in ("stud", "studs") and _closes(scan, found.end + 1) and is_thread(found)
    )
    cut = cut or named
    tapped = any(word in ("tapped", "retapped") for word in scan.words[max(0, found.start - 4) : found.start])
    closed = following in ("", "and", "so", "left", "right", "now", "by", "for", "because")
    if found.unit == "in" and following == "pipe" and scan.at(found.end + 1) in _PIPED:
        return as_thread(found, "a pipe's thread")
    if (end := _with_its_pitch(scan, found)) > found.end:
        return replace(as_thread(found, "before its pitch or the name of its thread"), end=end)
    if _said_of_a_thread(scan, found, following):
        return as_thread(found, "said of a thread")
    headed = scan.at(found.end + 1) in ("head", "heads") and found.end + 1 not in scan.breaks
    bolted = not headed and found.unit == "in" and found.value.denominator != 1 and following in _BOLTS
    if not cut and not (tapped and closed) and not bolted:
        return found
    return as_thread(found, f"before {following if cut or bolted else 'tapped'!r}")


def _with_its_pitch(scan: Scan, found: Found) -> int:
    """ "an inch and a half by eight Whitworth", "nine sixty-fourths at forty to the inch", "an inch Whit": its end."""
    place = found.end
    if found.unit != "in" or place in scan.sentences:
        return place
    if place not in scan.breaks and (series := series_at(scan, place)) is not None:
        return series[2]
    linked = place + (scan.at(place) in ("by", "x", "at"))
    pitch = read_number(scan.words, linked, scan.breaks - {linked})
    if pitch is None or pitch.exact not in _PITCHES:
        return place
    if said := pitch_said(scan, pitch.end):
        return said
    named = series_at(scan, pitch.end) if linked > place and pitch.end not in scan.breaks else None
    return place if named is None else named[2]


def _said_of_a_thread(scan: Scan, found: Found, following: str) -> bool:
    """ "the pedal thread is nine sixteenths", "thread's one and a quarter": no length of the thread."""
    said = scan.at(found.start - 1) in ("is", "was") and scan.plain[found.start - 2 : found.start - 1] == ["thread"]
    short = scan.at(found.start - 1) == "thread's"
    return (said or short) and found.start not in scan.breaks and following not in _NOT_BETWEEN | cue_words("length")


def as_thread(found: Found, why: str) -> Found:
    """The thread of such a diameter."""
    text = f"M{format_number(float(found.value))}" if found.unit == "mm" else f"{inches(float(found.value))} in"
    return replace(found, kind="thread", thread=text, why=why)


def _closes(scan: Scan, index: int) -> bool:
    """Whether a clause ends before a piece."""
    return index in scan.breaks or scan.at(index) in ("", "and", "so", "but")


def is_thread(found: Found) -> bool:
    """Whether a bolt may be of such a size."""
    return _LEAST_MM <= to_mm(found) <= _MOST_MM


def to_mm(found: Found) -> float:
    """A length in millimetres."""
    return float(to_si(found.value, found.unit) or 0)
