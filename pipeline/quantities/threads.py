"""Reads thread sizes: "M8", "m eight by one point two five", "5/16 UNF", "quarter BSP", "3/8-16", "2BA"."""

from __future__ import annotations

from fractions import Fraction
from functools import cache

from pipeline.numbers import read_number
from pipeline.quantities.inch_sizes import InchSize, inch_sizes
from pipeline.quantities.metric_threads import TIMES, plain, read_metric, thread
from pipeline.quantities.scan import Found, Scan, cue_words
from pipeline.quantities.standards import standard
from pipeline.quantities.unit_words import units_at

_LETTERS: dict[tuple[str, ...], str] = {
    ("u", "n", "f"): "UNF",
    ("u", "n", "c"): "UNC",
    ("b", "s", "f"): "BSF",
    ("b", "s", "w"): "BSW",
    ("b", "s", "p"): "BSP",
    ("b", "s", "c"): "BSC",
    ("n", "p", "t"): "NPT",
    ("c", "e", "i"): "CEI",
    ("british", "standard", "fine"): "BSF",
    ("british", "standard", "whitworth"): "BSW",
    ("british", "standard", "pipe"): "BSP",
    ("unified", "fine"): "UNF",
    ("unified", "coarse"): "UNC",
    ("national", "fine"): "UNF",
    ("national", "coarse"): "UNC",
    **{
        (name.lower(),): name
        for name in ("UNF", "UNC", "BSF", "BSW", "BSP", "BSPT", "BSPP", "BSC", "CEI", "NPT", "UNEF")
    },
    ("whitworth",): "BSW",
    ("whit",): "BSW",
    ("cycle", "thread"): "BSC",
}
_TPI = tuple(
    tuple(said.split())
    for said in ("t p i", "threads per inch", "threads an inch", "threads to the inch", "to the inch", "per inch")
)
# Threads to the inch of bicycles and instruments.
_FINE = frozenset({20, 24, 26, 28, 30, 32, 40})
_THREADED = frozenset({"thread", "threads", "threaded", "tap", "tapped", "shell", "bsa"})
_FORMS = frozenset({"whit", "whitworth", "acme", "form", "unified", "buttress"})
_LONG = frozenset({"inch", "inches", "foot", "feet", "long", "mm", "mil"})
_LEAST_TPI, _MOST_TPI = 3, 80


def read_thread(scan: Scan, index: int) -> list[Found] | None:
    """A thread size that begins at a piece, with the length of the bolt where one follows."""
    return read_metric(scan, index) or _inch(scan, index)


def _inch(scan: Scan, index: int) -> list[Found] | None:
    for size in inch_sizes(scan, index):
        suffix = series_at(scan, size.end)
        if suffix is not None:
            name, tpi, end = suffix
            text = f"{size.text}-{tpi} {name}" if tpi else f"{size.text} {name}"
            return [thread(size.value, "in", index, end, text, f"a {name} size")]
        pitched = _pitched(scan, size)
        if pitched is not None:
            tpi, end = pitched
            series = series_at(scan, end)
            if series is not None and not series[1]:
                text = f"{size.text}-{tpi} {series[0]}"
                return [thread(size.value, "in", index, series[2], text, f"a {series[0]} size")]
            why = f"a diameter with {tpi} threads to the inch"
            return [thread(size.value, "in", index, end, f"{size.text}-{tpi}", why)]
    return _by_its_decimals(scan, index) or _numbered(scan, index) or _ba(scan, index)


def _by_its_decimals(scan: Scan, index: int) -> list[Found] | None:
    """ "an English thread, one point three seven by twenty four": a diameter in decimals of an inch with its pitch."""
    size = read_number(scan.words, index, scan.breaks)
    if size is None or size.shape != "decimal" or size.exact >= 4 or size.exact.denominator <= 10:
        return None
    inch = size.end + (scan.at(size.end) == "inch")
    pitch = read_number(scan.words, inch + (scan.at(inch) in TIMES), scan.breaks)
    said = pitch_said(scan, pitch.end) if pitch is not None else 0
    if pitch is None or {size.end, inch} & scan.breaks or pitch.exact not in _FINE:
        return None
    if scan.at(inch) not in TIMES and not said:
        return None
    if not scan.sentence_words(index) & _THREADED or (not said and any(units_at(scan, pitch.end))):
        return None
    tpi = int(pitch.exact)
    text = f"{plain(size.exact)}-{tpi}"
    return [thread(size.exact, "in", index, said or pitch.end, text, f"a diameter with {tpi} threads to the inch")]


def series_at(scan: Scan, index: int) -> tuple[str, int, int] | None:
    """(series, threads per inch or 0, end) of an inch thread: "UNF", "20 UNC", "BSF, twenty TPI"."""
    start, tpi = index, 0
    if start in scan.breaks or start >= len(scan.words):
        return None
    number = read_number(scan.words, start, scan.breaks)
    if number is not None and number.shape == "whole" and 4 <= number.exact <= 80:
        tpi, start = int(number.exact), number.end + (1 if scan.at(number.end) == "tpi" else 0)
    for length in (3, 2, 1):
        letters = tuple(scan.words[start : start + length])
        if letters in _LETTERS:
            end = start + len(letters)
            following = read_number(scan.words, end, scan.breaks - {end})
            if not tpi and following is not None and pitch_said(scan, following.end):
                tpi, end = int(following.exact), pitch_said(scan, following.end)
            return _LETTERS[letters], tpi, end
    return None


def pitch_said(scan: Scan, index: int) -> int:
    """End of "TPI" or "threads per inch" at a piece, 0 where neither stands."""
    if index in scan.breaks:
        return 0
    if scan.at(index) == "tpi":
        return index + 1
    for said in _TPI:
        if tuple(scan.words[index : index + len(said)]) == said:
            return index + len(said)
    return 0


@cache
def _tpi() -> dict[str, frozenset[int]]:
    """Diameter in inches as text -> threads per inch of any inch series."""
    table = standard("threads")["inch"]
    return {size: frozenset(tpi for series in entry.values() for tpi in series) for size, entry in table.items()}


def _pitched(scan: Scan, size: InchSize) -> tuple[int, int] | None:
    """(threads per inch, end) for "1/4-20", "quarter twenty", "three eighths by sixteen"."""
    index = size.end
    if scan.at(index) in ("by", "x", "at") and index not in scan.breaks:
        index += 1
    number = read_number(scan.words, index, scan.breaks - {index})
    if number is not None and number.shape == "joined":
        # "three eighths sixteen thirty foot pounds": the first half of "sixteen thirty"
        halves = (read_number(scan.words, index, {*scan.breaks, place} - {index}) for place in (index + 2, index + 1))
        number = next((half for half in halves if half and half.exact in _tpi().get(size.text, ())), number)
    if number is not None and number.shape in ("fraction", "mixed") and number.exact > 1:
        # "quarter twenty, seven sixteenths wrench": no twenty and seven sixteenths
        whole = read_number(scan.words, index, {*scan.breaks, index + 1} - {index})
        number = whole if whole is not None and whole.exact in _tpi().get(size.text, ()) else number
    said = 0 if number is None else pitch_said(scan, number.end)
    if (index in scan.breaks and not said) or index in scan.sentences:
        return None
    if number is None or number.shape != "whole" or not _LEAST_TPI <= number.exact <= _MOST_TPI:
        return None
    if index > size.end and not said and scan.at(number.end) in _LONG:
        return None  # "an eighth inch by forty inches"
    if int(number.exact) not in _tpi().get(size.text, ()) and not said and not _of_a_form(scan, number.end):
        return None
    end = said or number.end
    plain = end == number.end and index == size.end and index not in scan.dashes
    before = scan.at(size.start - 1)
    named = before in ("a", "an", "the", "is", "are") or before.endswith("'s") or scan.at(size.start) in ("a", "the")
    measured = any(unit.alias.words != ("in",) for unit in units_at(scan, end))
    fastened = _fastener_near(scan, end) or (not measured and _fastener_before(scan, size.start))
    if plain and not fastened and (measured or not named):
        return None
    return int(number.exact), end


def _of_a_form(scan: Scan, index: int) -> bool:
    """ "inch and three eighths by eight, Whit form", "three quarters by eight acme": what the thread is cut to."""
    return bool({*scan.plain[index : index + 2]} & _FORMS)


def _fastener_near(scan: Scan, index: int) -> bool:
    return any(scan.at(place) in cue_words("fastener_nouns") for place in range(index, index + 3))


def _fastener_before(scan: Scan, index: int) -> bool:
    """ "the studs are five sixteenths eighteen"."""
    start = max(scan.sentence(index)[0], index - 14)
    return any(scan.plain[place] in cue_words("fastener_nouns") for place in range(start, index))


def _numbered(scan: Scan, index: int) -> list[Found] | None:
    """Machine screws by number: "10-32", "ten thirty two screw"."""
    numbered = standard("threads")["numbered"]
    first = read_number(scan.words, index, scan.breaks)
    if first is None:
        return None
    if first.shape == "joined" and 400 <= first.exact < 1300:
        gauge, tpi, end = int(first.exact) // 100, int(first.exact) % 100, first.end
    else:
        second = read_number(scan.words, first.end, scan.breaks) if first.end not in scan.breaks else None
        if second is None or first.shape != "whole" or second.shape != "whole":
            return None
        gauge, tpi, end = int(first.exact), int(second.exact), second.end
    entry = numbered.get(str(gauge))
    if entry is None or tpi not in entry["tpi"] or not _fastener_near(scan, end):
        return None
    diameter = Fraction(str(entry["diameter_in"]))
    return [thread(diameter, "in", index, end, f"{gauge}-{tpi}", f"machine screw number {gauge}")]


def _ba(scan: Scan, index: int) -> list[Found] | None:
    number = read_number(scan.words, index, scan.breaks)
    if number is None or number.shape != "whole" or number.exact > 16 or number.end in scan.breaks:
        return None
    letters = scan.words[number.end : number.end + 2]
    end = number.end + (1 if letters[:1] == ["ba"] else 2 if letters == ["b", "a"] else 0)
    if end == number.end:
        return None
    diameter = standard("threads")["ba_diameter_mm"].get(str(int(number.exact)))
    if diameter is None:
        return None
    text = f"{int(number.exact)}BA"
    return [thread(Fraction(str(diameter)), "mm", index, end, text, "a British Association size")]
