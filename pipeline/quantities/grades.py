"""Reads grades and proportions: "10W-40", "SAE 30", "20/50 oil", "P400", "fifty to one", "40 plus 90 degrees"."""

from __future__ import annotations

from fractions import Fraction

from pipeline.numbers import Number, read_number
from pipeline.quantities.ratios import of_an_axle
from pipeline.quantities.scan import Bare, Found, Scan, cue_words
from pipeline.quantities.standards import is_multigrade, standard
from pipeline.quantities.unit_words import read_as, units_at

_W = (("w",), ("dub",), ("double", "u"), ("doubleyou",), ("winter",), ("weight",), ("dubya",), ("wt",))
_GRADED_WITHIN = 20
_GRADE_WITHIN = 5
# "ten thirty" may be the time of day.
_LEAST_NO_HOUR = 15
_OF_DAY = frozenset({"at", "by", "till", "until", "past", "about", "around", "before", "after", "since"})
_HOTTEST = 250
# Grits of honing stones.
_STONES = frozenset({80, 100, 120, 150, 180, 220, 240, 280, 320, 400, 500, 600, 800, 1000, 1200, 2000, 3000})
# What oil is poured into, and when another grade of it is.
_FILLED = frozenset({"sump", "filler", "engine", "crankcase", "gearbox", "box", "diff", "axle", "motor", "gearcase"})
_SEASONS = frozenset({"winter", "summer", "cold", "heat", "winters", "summers", "frost"})
_ABRASIVES = frozenset({"paper", "grit", "wet", "emery", "grade"})
_WET_AND_DRY = ("wet", "and", "dry")
# Millilitres, said as "mil".
_LEAST_POURED = 50
_SAE = (("sae",), ("s", "a", "e"), ("straight",), ("ep",), ("e", "p"), ("monograde",), ("hypoid",), ("hypoy",))


def read_grade(scan: Scan, index: int) -> list[Found] | None:
    """A viscosity, grit or ratio that begins at a piece."""
    for read in (_iso_grade, _viscosity, _grit, _ratio):
        found = read(scan, index)
        if found is not None:
            return [found]
    return None


def _after(scan: Scan, index: int, phrases: tuple[tuple[str, ...], ...]) -> int:
    """End of one of the phrases at a piece, or the piece itself."""
    for phrase in phrases:
        end = index + len(phrase)
        if tuple(scan.words[index:end]) == phrase and not any(place in scan.breaks for place in range(index, end)):
            return end
    return index


def _viscosity(scan: Scan, index: int) -> Found | None:
    start = index
    prefixed = False
    for phrase in _SAE:
        if tuple(scan.words[index : index + len(phrase)]) == phrase:
            start, prefixed = index + len(phrase), True
    if prefixed and scan.at(start) in ("grade", "weight"):
        start += 1
    low = read_number(scan.words, start, scan.breaks if start != index else scan.breaks - {start})
    if low is None or low.shape not in ("whole", "joined", "fraction", "decimal"):
        return None
    multigrade = _multigrade(scan, low) if low.shape == "whole" else None
    if multigrade is None:
        multigrade = _unlettered(scan, index, low)
    if multigrade is not None:
        cold, hot, end = multigrade
        return Found("viscosity", Fraction(cold), Fraction(hot), "SAE", index, end, index, why="a multigrade oil")
    if prefixed and low.shape == "whole":
        grades = standard("fluids")
        known = {*grades["sae_j300"]["grades"], *grades["sae_j306"]["grades"]}
        word = scan.at(index)
        if word in ("sae", "s") or (
            (int(low.exact) in known and (_oil_near(scan, index, low.end) or _poured(scan, index)))
            or (word == "straight" and low.exact in _STRAIGHT and _talk_of_oil(scan, index))
            or word in ("ep", "e")
        ):
            weight = scan.at(low.end) == "weight"
            end, unit = low.end + weight, "wt" if weight and word == "straight" else "SAE"
            return Found("viscosity", low.exact, None, unit, index, end, index, why="an SAE grade")
    return None


def more_oil(scan: Scan, bare: Bare, lenders: list[Found]) -> Found | None:
    """ "a straight thirty, and twenty in the winter": the grade just before, for another season or place."""
    if bare.value not in _STRAIGHT or bare.high is not None or scan.at(bare.end) != "in" or bare.end in scan.breaks:
        return None
    before = [found for found in lenders if 0 <= bare.start - found.end <= _GRADED_WITHIN]
    last = max(before, key=lambda found: found.end, default=None)
    if last is None or last.kind != "viscosity" or last.high is not None or last.start < scan.sentence(bare.start)[0]:
        return None
    led = scan.at(bare.start - 1) in ("and", "or", "but", "a", "straight", "to", "then", "with")
    return last if led and {*scan.words[bare.end + 1 : bare.end + 3]} & (_FILLED | _SEASONS) else None


# Single grades, as fork oils and old engines have.
_STRAIGHT = frozenset({5, 10, 15, 20, 30, 40, 50, 60, 90, 140})


def _talk_of_oil(scan: Scan, index: int) -> bool:
    """ "Fork oil, now. Six ounces of, what's it say, straight thirty.": a volume, or oil named not long before."""
    start, end = scan.with_sentence_before(index)
    poured = any(found.kind == "volume" and start <= found.start for found in scan.found)
    named = {*scan.plain[start:end]} & {"oil", "oils", "sump", "gearbox", "fork", "forks"}
    return (poured or bool(named)) and not {*scan.plain[start:end]} & {"cut", "edge", "ruler", "length", "straightedge"}


# ISO 3448 viscosity grades of the oils of machines.
_ISO_GRADES = frozenset({10, 15, 22, 32, 46, 68, 100, 150, 220, 320, 460})
_LEAST_ALONE = 22
_MACHINE_OILS = ("hydraulic", "way", "slideway", "spindle", "iso", "vg", "turbine", "slide", "compressor")


def _iso_grade(scan: Scan, index: int) -> Found | None:
    """ "ISO VG 32", "sixty eight way oil", "hydraulic thirty two", "filled with thirty two oil"."""
    number = read_number(scan.words, index, scan.breaks)
    if number is None or number.shape != "whole" or number.exact not in _ISO_GRADES:
        return None
    # "eighteen litres of thirty two"
    poured = number.exact >= _LEAST_ALONE and _behind_volume(scan, index, ("of",))
    if number.end in scan.breaks and not poured:
        return None
    end = number.end + (scan.at(number.end) == "grade" and number.end not in scan.breaks)
    poured = poured and (end in scan.breaks or not any(units_at(scan, end)))
    named = scan.at(index - 1) in ("iso", "vg") or (
        scan.at(index - 1) == "hydraulic" and scan.at(end) in ("", "and", "in")
    )
    before_oil = scan.at(end) in _MACHINE_OILS and scan.at(end + 1) in ("oil", "oils", "fluid", "grade")
    only_machines = number.exact in (22, 32, 46, 68) and scan.at(end) == "oil"
    if not (named or before_oil or only_machines or poured):
        return None
    return Found("viscosity", number.exact, None, "", index, end, index, why="a viscosity grade of ISO 3448")


def _multigrade(scan: Scan, low: Number) -> tuple[int, int, int] | None:
    """(cold grade, hot grade, end) of "10W-40" with its W spoken or written."""
    end = _after(scan, low.end, _W)
    if end == low.end or low.exact > 90:
        return None
    if end in scan.breaks:
        return None
    hot = read_number(scan.words, end, scan.breaks)
    if hot is not None and hot.exact > _HOTTEST and hot.spoken:
        # "ten w forty thirty three litres"
        hot = read_number(scan.words[: end + 1], end, scan.breaks)
    if hot is None or hot.shape != "whole" or not 8 <= hot.exact <= _HOTTEST:
        return None
    if scan.at(end - 1) in ("weight", "wt") and hot.exact <= low.exact:
        # "thirty weight fifteen ounces"
        return None
    return int(low.exact), int(hot.exact), hot.end


def _unlettered(scan: Scan, index: int, low: Number) -> tuple[int, int, int] | None:
    """ "20/50", "twenty fifty oil": real grades only, and only beside talk of oil."""
    if low.shape == "joined" or (not low.spoken and low.shape == "whole" and 1000 <= low.exact < 10_000):
        cold, hot, end = int(low.exact) // 100, int(low.exact) % 100, low.end
    elif low.shape == "whole" and low.end not in scan.breaks:
        second = read_number(scan.words, low.end, scan.breaks)
        if second is None or second.shape not in ("whole", "joined"):
            return None
        cold, hot, end = int(low.exact), int(second.exact), second.end
    else:
        return None
    for table in ("sae_j300", "sae_j306"):
        graded = is_multigrade(table, cold, hot) and hot > cold
        if graded and (
            _oil_near(scan, index, end)
            or _poured(scan, index)
            or _only_a_grade(scan, index, cold, end)
            or _goes_in(scan, end)
            or read_as(scan, index, end, "viscosity")
        ):
            return cold, hot, end
    return None


def _goes_in(scan: Scan, end: int) -> bool:
    """ "that's ten-forty going in", "it's twenty fifty in the sump": no time of day."""
    if end in scan.breaks:
        return False
    going = scan.at(end) in ("going", "goes", "went") and scan.at(end + 1) == "in" and end + 1 not in scan.breaks
    return going or (scan.at(end) == "in" and bool({*scan.words[end + 1 : end + 3]} & _FILLED))


def _only_a_grade(scan: Scan, index: int, cold: int, end: int) -> bool:
    """ "two pints, eighty ninety": no time of day, no number of something, and behind a volume."""
    before = scan.found[-1] if scan.found else None
    if before is None or any(units_at(scan, end)):
        return False
    if before.unit == "mm" and before.end == index - 1 and scan.at(index - 1) == "of":
        # "seven hundred and fifty mil of ten thirty"
        return before.value >= _LEAST_POURED
    if before.kind != "volume":
        return False
    sentence = scan.sentence(index)
    alone = (index, end) == sentence or (index == sentence[0] and end in scan.breaks)
    if alone and index - before.end <= _GRADED_WITHIN and scan.at(end) not in _OF_DAY:
        # "It takes one point one litres. Ten-forty, whatever's open."
        return True
    if index - before.end <= _GRADE_WITHIN and cold >= _LEAST_NO_HOUR:
        return True
    named = scan.sentence_words(index) & cue_words("oil_words")
    return bool(named) and _apart(scan, index, end)


def _apart(scan: Scan, start: int, end: int) -> bool:
    """Whether a number stands between commas and no time of day is told."""
    closed = end in scan.breaks or end >= len(scan.words)
    return start in scan.breaks and closed and start not in scan.sentences


def _poured(scan: Scan, index: int) -> bool:
    """ "a pint of twenty fifty": what follows a volume and "of" is a fluid."""
    graded = [found for found in scan.found[-3:] if found.kind == "viscosity" and index - found.end <= _GRADED_WITHIN]
    if graded and scan.at(index - 1) not in _OF_DAY:
        return True
    return _behind_volume(scan, index, ("of", "on"))


def _behind_volume(scan: Scan, index: int, links: tuple[str, ...]) -> bool:
    """Whether a volume ends right before one of the linking words before a piece."""
    last = scan.found[-1] if scan.found else None
    return last is not None and last.kind == "volume" and last.end == index - 1 and scan.at(index - 1) in links


def _oil_near(scan: Scan, start: int, end: int) -> bool:
    oils = cue_words("oil_words")
    return any(scan.at(place) in oils for place in (*range(end, end + 4), *range(start - 3, start)))


def _grit(scan: Scan, index: int) -> Found | None:
    """ "P400", "280 stones"; "400 wet and dry" is an ordinary unit."""
    if scan.at(index) == "p" and index + 1 < len(scan.pieces) and scan.pieces[index + 1].joint == "":
        number = read_number(scan.words, index + 1, scan.breaks)
        if number is not None and 24 <= number.exact <= 5000 and number.shape == "whole":
            end = number.end + (1 if scan.at(number.end) == "grit" else 0)
            return Found("grit", number.exact, None, "", index, end, index, why="a P grade of abrasive")
    if scan.at(index) == "thousand" and scan.at(index + 1) in _ABRASIVES and scan.joined(index + 1):
        before = read_number(scan.words, index - 1, scan.breaks) if index else None
        if before is None:  # "with thousand paper", said without its one
            end = index + 1 + _abrasive(scan, index + 1)
            return Found("grit", Fraction(1000), None, "", index, end, index, why="the grit of an abrasive paper")
    number = read_number(scan.words, index, scan.breaks)
    if number is None or number.exact not in _STONES or scan.at(number.end) not in ("stone", "stones"):
        return None
    if number.end in scan.breaks or number.shape == "fraction":
        return None
    return Found("grit", number.exact, None, "", index, number.end, index, why="the grit of a stone")


def _abrasive(scan: Scan, index: int) -> int:
    """How many words name the abrasive at a piece."""
    return len(_WET_AND_DRY) if tuple(scan.words[index : index + 3]) == _WET_AND_DRY else 1


def _ratio(scan: Scan, index: int) -> Found | None:
    first = read_number(scan.words, index, scan.breaks)
    if first is None or first.end >= len(scan.words) or first.exact <= 0:
        return None
    joint = scan.pieces[first.end].joint
    colon = scan.at(first.end) == ":"
    if not colon and scan.at(first.end) != "to":
        return None
    second = read_number(scan.words, first.end + 1, scan.breaks if not colon else scan.breaks - {first.end + 1})
    if (
        second is None
        or second.exact <= 0
        or (1 not in (first.exact, second.exact) and not _ratio_near(scan, second.end))
    ):
        return None
    if colon and (joint.strip() or scan.pieces[first.end + 1].joint or scan.at(second.end) in ("am", "pm")):
        return None
    if colon and len(scan.at(first.end + 1)) == 2 and second.exact >= 10 and first.exact != 1:
        return None
    measured = any(unit.alias.words != ("in",) or not second.spoken for unit in units_at(scan, second.end))
    if first.exact < 1 or measured:
        return None
    if not colon and first.exact == 1 and not _ratio_near(scan, second.end):
        return None
    if not colon and second.spoken != first.spoken and first.shape != "decimal":
        return None
    value = max(first.exact / second.exact, second.exact / first.exact)
    if of_an_axle(scan, index, first.shape, value) and second.exact == 1:
        value /= 100  # "three fifty five to one"
    return Found("ratio", value, None, "", index, second.end, index, why="one part to so many")


def _ratio_near(scan: Scan, end: int) -> bool:
    return any(scan.at(place) in cue_words("ratio_words") for place in (*range(end, end + 3), *range(end - 9, end - 2)))
