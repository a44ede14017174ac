"""Numbers by which parts are ordered, said or written: "six two oh four", "W X D four four one", "15 by 35 by 7"."""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass, replace

from pipeline.events.phrase import Phrase, Scan
from pipeline.events.reading import COMMA, SENTENCE
from pipeline.numbers import read_number
from pipeline.records import PartNumber, Quantity, Token

# What is ordered by a number of the makers' common series, by a size with a letter, and by three sizes.
_BEARINGS = frozenset(("bearing", "race", "bearings", "cone", "roller"))
_BELTS = frozenset(("belt", "belts", "vee belt", "v-belt"))
_SEALS = frozenset(("seal", "seals", "ring"))
# A bearing's series and bore, what makes it another bearing, and how shields are written.
# Letters before them are those of rollers, needles, tapers and inserts.
_BEARING = re.compile(
    r"(?:N|NU|NJ|NUP|NA|NK|NKI|RNA|HK|BK|AXK|AS|K|GE|UC|UCF|UCP|LM|L|M|HM|JL|LJ|MJ)?[1-7]\d{3,4}[A-Z]?|6\d{2}"
)
_TAIL = re.compile(r"(?:2?RS|2?ZZ?|C[2-5]|DDU?|LLU?|X|N|NR|K)")
_BELT = re.compile(r"(?:SP)?[ABCDEMZ]X?\d{2,4}")
# A letter or two with figures that is no thread, grade, fluid or driver: "JT33", "WXD441".
_CODE = re.compile(r"[A-Z]{1,5}\d{1,6}[A-Z]{0,2}")
_LONG_CODE = re.compile(r"(?=(?:.*\d){2})(?=.*[A-Z])[A-Z0-9]+(?:[-/][A-Z0-9]+)*")
_NO_CODE = re.compile(
    r"(?:M|DOT|SAE|ISO|GL|EP|API|AW|LM|W|NLGI|MT|ER|R|PAG|EN)\d+(?:W\d*)?|\d+(?:[VAWKTSHXDP]|TH|ST|ND|RD|MM|CC|HP|SAE)|\d+W\d+"
)
# The sizes of six-lobe drivers and of what they turn: "the T25 screws".
_TORX = re.compile(r"TX?(?:[1-9]|10|15|20|25|27|30|40|45|47|50|55|60|70|80|90|100)H?")
# How many bearings there are, before a series said in tens.
_COUNTS, _COUNTED = frozenset("23456789"), re.compile(r"6[0-4] (?:0 \d|0\d|1\d)")
_YEAR = re.compile(r"(?:19|20)\d\d")
_WRITTEN = re.compile(r"\d{4,5}")
_LETTERS = {"double": 2, "triple": 3, "treble": 3}
_ZERO = frozenset(("oh", "o", "zero", "nought", "naught"))
_UNITS = frozenset(
    ("mil", "mill", "millimetre", "millimetres", "millimeter", "millimeters", "inch", "inches", "thou", "newton",
     "newtons", "pound", "pounds", "foot", "psi", "bar", "degrees", "litres", "litre", "quid", "revs", "rpm", "miles",
     "volts", "cc")
)  # fmt: skip
_NO_PARTS = frozenset(
    ("number", "numbers", "dash", "slash", "one", "ones", "half", "quarter", "eighth", "sixteenth", "thou", "tenth")
)  # fmt: skip
# What it is read off is named where no part is, so that the number is not lost.
_READ_OFF, _LAST_OF_ALL = frozenset(("box", "bag", "packet", "label", "sticker", "tag")), 100.0
# So far from its part a number may be said, in words, so many
# words it may have, and so near its place is told.
_REACH, _LONGEST, _BESIDE = 24, 12, 5
_CALLED_WITHIN = 6
# Words, threads and what stands before a bearing's series: no letters of a number that is only said to be one.
_NO_LETTERS = frozenset("aimrwx")
_DASHES = ("dash", "slash", "stroke")
# A number of digits alone is one to order by from so many on, where it is said to be.
_LONG_DIGITS = 5


@dataclass(frozen=True, slots=True)
class _Run:
    """Units `start`..`end` (half-open) read as one number."""

    start: int
    end: int
    number: str
    kind: str


def find_part_numbers(scan: Scan, tokens: Sequence[Token], quantities: Sequence[Quantity]) -> list[PartNumber]:
    """Every number of a part, with the part that it was said of."""
    taken = {word for qty in quantities if qty.kind in ("thread", "viscosity") or qty.unit_heard
             for word in range(qty.start_word, qty.end_word)}  # fmt: skip
    found = []
    at = 0
    while at < len(scan.text):
        run = _run_at(scan, tokens, at)
        part = _part_of(run, scan) if run else None
        if run is not None and run.kind == "belt" and part is None and _is_called(scan, at):
            part = _part_of(replace(run, kind="code"), scan)  # "on order, number B5114": of no belt
        if run is None or part is None:
            at += 1
            continue
        first, last = tokens[scan.units[run.start].token], tokens[scan.units[run.end - 1].token]
        if not taken.intersection(range(first.start_word, last.end_word)):
            said = " ".join(
                token.text for token in tokens[scan.units[run.start].token : scan.units[run.end - 1].token + 1]
            )
            side, position = _place(run, part, scan)
            # "and there's a new 6205": another than the one spoken of
            another = (
                run.kind == "bearing" and scan.text[run.start - 1] in ("new", "another") and part.end < run.start - 2
            )
            name = part.head if another else part.name
            span = (first.start_word, last.end_word, first.start_ms)
            found.append(PartNumber(name, side, position, run.number, said, *span))
        at = run.end
    return found


def without_codes(quantities: Sequence[Quantity], found: Sequence[PartNumber]) -> list[Quantity]:
    """The figures without those that are digits of a part's number: "number's T ninety, dash, one one four"."""
    codes = [
        (number.start_word, number.end_word) for number in found
        if number.number.isdigit() or (number.number[:1].isalpha() and "-" in number.number)
    ]  # fmt: skip
    return [qty for qty in quantities if not any(qty.start_word < end and start < qty.end_word for start, end in codes)]


def _is_told(scan: Scan, at: int) -> bool:
    """ "the seal's number is": what comes is a number to order by, even of digits alone."""
    before = scan.text[max(0, at - 2) : at]
    return len(before) == 2 and before[0] == "number" and before[1] in ("is", "'s")


def _run_at(scan: Scan, tokens: Sequence[Token], at: int) -> _Run | None:
    """The longest run of letters and figures that begins at a unit, if it is the number of a part."""
    whole = _WRITTEN.match(scan.text[at])
    if at and not scan.gap[at] and not whole and _piece(scan, tokens, at - 1, False):
        return None
    sizes = _sizes(scan, at)
    if sizes:
        return sizes
    pieces: list[str] = []
    end, told = at, _is_told(scan, at)
    while (
        end < len(scan.text)
        and end - at < _LONGEST
        and (end == at or not scan.gap[end] or _goes_on(scan, end, told and all(map(str.isdigit, pieces))))
    ):
        piece = _piece(scan, tokens, end, end > at)
        if not piece:
            break
        text, length = piece
        if pieces and _WRITTEN.match(text) and all(piece.isdigit() for piece in pieces):  # "two 6004s"
            return None
        pieces.append(text)
        end += length
    if end < len(scan.text) and scan.text[end] in _UNITS and not scan.gap[end]:
        return None
    if len(pieces) > 2 and pieces[0] in _COUNTS and _COUNTED.fullmatch(" ".join(pieces[1:])):
        pieces, at = pieces[1:], at + 1  # "two sixty two oh five bearings"
    joined = "".join(pieces)
    if told and joined.isdigit() and len(joined) >= _LONG_DIGITS and not _bearing(joined):
        return _Run(at, end, joined, "code")
    return _read(pieces, at, end)


def _goes_on(scan: Scan, at: int, digits: bool) -> bool:
    """Whether a number goes on over a comma: "T ninety, dash, one one four"."""
    dashed = scan.text[at] in _DASHES or scan.text[at - 1] in _DASHES
    return scan.gap[at] < SENTENCE and (digits or dashed)


def _piece(scan: Scan, tokens: Sequence[Token], at: int, inside: bool) -> tuple[str, int] | None:
    """What one word or two say of a number, and how many they are."""
    word = scan.text[at]
    follows = scan.text[at + 1] if at + 1 < len(scan.text) and not scan.gap[at + 1] else ""
    if word in _LETTERS and follows:
        one = "0" if follows in _ZERO else follows.upper() if len(follows) == 1 and follows.isalpha() else ""
        return (one * _LETTERS[word], 2) if one else None
    if inside and word in ("double-oh", "double-o", "double-zero", "double-nought"):
        return "00", 1
    if word in _ZERO and inside:
        return "0", 1
    if word in _DASHES and inside and (follows or (at + 1 < len(scan.text) and scan.gap[at + 1] < SENTENCE)):
        return "-" if word == "dash" else "/", 1
    written = tokens[scan.units[at].token].text.strip(" .,;:?!()")
    if any(map(str.isdigit, word)):
        plain = re.sub(r"(?<=\d)'?s$", "", written) if written[-1:] == "s" else written
        return (plain.upper(), 1) if re.fullmatch(r"[A-Za-z0-9][A-Za-z0-9/-]*", plain) else None
    if len(word) == 1 and word.isalpha():
        letter = (inside and word not in "ai") or (word not in _NO_LETTERS and _is_called(scan, at))
        return (word.upper(), 1) if (written.isupper() and written != "I") or letter else None
    if word.isupper() or (written.isupper() and 1 < len(written) <= 3 and written.isalpha()):
        return written, 1
    number = read_number(scan.text[at : at + 2], 0, (1,)) if word not in ("a", "an") else None
    if number and number.spoken and number.exact.denominator == 1 and 0 <= number.exact < 100:
        second = read_number([word, follows], 0) if follows else None
        if second and second.end == 2 and word.endswith("ty") and second.exact % 10 > 0:
            return str(int(second.exact)), 2
        return str(int(number.exact)), 1
    return None


def _read(pieces: list[str], start: int, end: int) -> _Run | None:
    """What the pieces of a run are together."""
    joined = "".join(pieces).strip("-/")
    if sum(map(str.isdigit, joined)) < 2:
        return None
    # "sixty two oh five" is heard as sixty, two hundred and five, too
    bearing = _bearing("6" + pieces[1] if pieces[0] == "60" and len(pieces) == 2 and len(pieces[1]) == 3 else joined)
    if bearing:
        return _Run(start, end, bearing, "bearing")
    if _BELT.fullmatch(joined) and not _NO_CODE.fullmatch(joined):
        return _Run(start, end, joined, "belt")
    if _NO_CODE.fullmatch(joined) or _TORX.fullmatch(joined) or not any(map(str.isalpha, joined)):
        return None
    if _CODE.fullmatch(joined) or (len(joined) >= 5 and _LONG_CODE.fullmatch(joined)):
        return _Run(start, end, joined, "code")
    return None


def _bearing(joined: str) -> str:
    """ "63022RS" is "6302 2RS", "62042RS" is "6204 2RS"."""
    joined = joined.replace("RRS", "2RS").replace("-", "")
    for cut in range(len(joined), 2, -1):
        head, tail = joined[:cut], joined[cut:]
        if (
            _BEARING.fullmatch(head)
            and not _YEAR.fullmatch(head)
            and (not tail or re.fullmatch(f"(?:{_TAIL.pattern})+", tail))
        ):
            shielded = tail in ("RS", "Z", "ZZ") and len(head) == 5 and head[0] == "6" and head[-1] == "2"
            if shielded:  # "six three oh two two R S"
                head, tail = head[:-1], f"2{tail}"
            return head + ("" if tail in ("", "X") else " ") + tail
    return ""


def _sizes(scan: Scan, at: int) -> _Run | None:
    """ "fifteen by thirty-five by seven": what a seal is ordered by."""
    numbers: list[str] = []
    end = at
    while len(numbers) < 3:
        number = read_number(
            scan.text, end, [spot for spot in range(end + 1, min(end + 6, len(scan.text))) if scan.gap[spot]]
        )
        if number is None:
            return None
        numbers.append(f"{number.value:g}")
        end = number.end
        if len(numbers) < 3:
            if end >= len(scan.text) or scan.text[end] != "by" or scan.gap[end]:
                return None
            end += 1
    return _Run(at, end, "x".join(numbers), "sizes")


def _is_called(scan: Scan, at: int) -> bool:
    """ "the number scratched on it is | k b one two two", "number | b five one one four"."""
    before = range(max(0, at - _CALLED_WITHIN), at)
    return "number" in scan.text[before.start : at] and not any(scan.gap[spot] >= SENTENCE for spot in before[1:])


def _part_of(run: _Run, scan: Scan) -> Phrase | None:
    """The part that a number is of: one of its sort, or for a maker's own number any, nearest to it."""
    heads = {"bearing": _BEARINGS, "belt": _BELTS, "sizes": _SEALS | _BEARINGS}.get(run.kind)
    starts = [phrase.start for phrase in scan.phrases]
    low = bisect_left(starts, run.start - _REACH)
    one = scan.ending.get(run.start - 1) or scan.ending.get(run.start - 2)  # "the rear one is a"
    several = one is not None and one.is_pronoun and one.head in ("one", "ones")
    best: tuple[float, Phrase] | None = None
    for phrase in scan.phrases[low : bisect_left(starts, run.end + _REACH)]:
        if not phrase.is_part or phrase.weak or phrase.kind in ("fluid", "tool") or phrase.head in _NO_PARTS:
            continue
        if heads is not None and phrase.head not in heads and heads.isdisjoint(phrase.name.split()[-1:]):
            continue
        if several and not phrase.plural:
            continue
        far = _distance(run, phrase, scan, run.kind == "code")
        if far is not None and phrase.head in _READ_OFF:
            far += _LAST_OF_ALL
        if far is not None and (best is None or far < best[0]):
            best = far, phrase
    return best[1] if best else None


def _place(run: _Run, part: Phrase, scan: Scan) -> tuple[str, str]:
    """The part's side and position, or those said beside its number: "the rear one is a", "for the front"."""
    if part.side or part.position:
        return part.side, part.position
    for phrase in scan.phrases_in(run.start - _BESIDE, run.end + _BESIDE - 1):
        behind = phrase.start >= run.end
        if phrase.is_part or any(scan.gap[min(phrase.end, run.end) : max(phrase.start, run.start) + 1]):
            continue
        if behind and scan.text[phrase.start - 1] not in ("for", "at", "on"):
            continue
        if phrase.side or phrase.position:
            return phrase.side, phrase.position
    return "", ""


def _distance(run: _Run, phrase: Phrase, scan: Scan, near: bool) -> float | None:
    """How far the number is from the part, in words; what stands behind it counts only in its own sentence."""
    if phrase.start >= run.end:
        between = range(run.end, phrase.start + 1)
        if any(scan.gap[spot] >= COMMA for spot in between):
            return None
        told = scan.text[run.end] in ("is", "are", "was", "'s")  # "WX 4471 is the water pump"
        return len(between) - 0.5 if len(between) <= (4 if told else 2) else None  # "a 6204 bearing"
    if phrase.end > run.start:  # "W X D" was taken for the part itself
        return None if near else 0.0
    between = range(phrase.end, run.start + 1)
    stops = sum(scan.gap[spot] >= SENTENCE for spot in between)
    if stops > (1 if near else 2):
        return None
    return len(between) + 6.0 * stops
