"""Figures with a unit that are still no figures of the build: distances, engine sizes, drives, idioms."""

from __future__ import annotations

from pipeline.quantities.scan import Found, Scan, cue_words

# So probably no figure of the build a time is left out.
_NONE = 0.3
_MOST_LITRES = 9
_FAR = (("down", "the", "road"), ("up", "the", "road"), ("away",), ("from", "here"), ("from", "home"), ("that", "way"))


def not_of_the_build(scan: Scan, found: Found, unit_start: int) -> bool:
    """Whether the words after the figure, or the machine's own name, make it something else."""
    end = found.end
    following = scan.at(end) if end not in scan.breaks else ""
    if found.kind == "percentage":
        return found.value == 100 and following not in cue_words("after_hundred_percent")
    if found.kind == "duration" and (_spent_elsewhere(scan, found) or _of_a_life(scan, end)):
        return True
    if found.kind == "mass" and (_of_a_person(scan, found) or _of_a_rate(scan, end)):
        return True
    if found.kind == "angle" and scan.at(found.start - 1) in ("latitude", "longitude", "parallel"):
        return True
    if found.kind == "length":
        if following == "pitch" and scan.at(end + 1) not in ("circle", "diameter"):
            return True
        if following in cue_words("drive_words") or (following == "square" and scan.at(end + 1) == "drive"):
            return True
        if found.unit == "m" and any(tuple(scan.words[end : end + len(far)]) == far for far in _FAR):
            return True
        if found.unit == "in" and (following in ("lathe", "model") or _names_a_model(scan, found, unit_start)):
            return True
    if found.kind == "volume" and scan.at(end - 1) in ("cc", "c"):
        # "It's a fifty cc, it seized": the size of an engine.
        sized = scan.at(found.start - 1) in ("a", "an", "the", "this", "that", "my") and following != "of"
        if following in cue_words("engine_nouns") or (sized and following in ("", "it", "and", "so", "that", "which")):
            return True
    if found.kind == "volume" and _of_an_engine(scan, found, following):
        return True
    return any(found.start <= place < found.end for place in scan.names)


def _of_an_engine(scan: Scan, found: Found, following: str) -> bool:
    """ "a two litre diesel", "two point five litre turbo", "the ute with the three litre": the size of an engine."""
    if scan.at(found.end - 1) not in ("litre", "liter") or found.high is not None or not 0 < found.value < _MOST_LITRES:
        return False
    pointed = scan.at(found.start - 1) in ("a", "an", "the", "this", "that", "my", "his", "her", "old")
    if following in cue_words("engine_sized") or (pointed and following in cue_words("engine_fuels")):
        return True
    alone = following in ("", "and", "so", "in") and scan.at(found.start - 1) in ("the", "my", "that")
    return alone and found.value > 1 and bool(scan.sentence_words(found.start) & cue_words("vehicles"))


def _spent_elsewhere(scan: Scan, found: Found) -> bool:
    """ "three days in the mail", "an hour of film": time of no part, as the reader network takes it."""
    return scan.kinds is not None and scan.kinds.of(*scan.tokens(found.head, found.end))[""] >= _NONE


def _of_a_life(scan: Scan, end: int) -> bool:
    """ "four hours of my Saturday", "two minutes of your time"."""
    return scan.at(end) == "of" and scan.at(end + 1) in ("my", "your", "his", "her", "our", "their")


def _of_a_person(scan: Scan, found: Found) -> bool:
    """ "I'm seventy eight kilos": for whom the sag is set."""
    before = tuple(scan.words[max(0, found.head - 2) : found.head])
    return before[-1:] in (("i'm",), ("im",)) or before in (("i", "weigh"), ("i", "am"), ("he", "weighs"))


def _of_a_rate(scan: Scan, end: int) -> bool:
    """ "sixty five pounds an inch": how stiff a spring is."""
    return scan.words[end : end + 2] in (["an", "inch"], ["per", "inch"], ["per", "mil"]) and end not in scan.breaks


def _names_a_model(scan: Scan, found: Found, unit_start: int) -> bool:
    """ "the Brannock 5-inch has one": a whole size joined by a hyphen with no noun after it."""
    if unit_start not in scan.dashes or scan.at(found.end - 1) != "inch" or found.value.denominator != 1:
        return False
    if scan.at(found.start - 1) in ("a", "an"):
        return False
    return found.end in scan.breaks or scan.at(found.end) in cue_words("verbs_after_name")
