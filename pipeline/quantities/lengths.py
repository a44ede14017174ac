"""What a length is: a size, a clearance, the jaw of a spanner or a thread; learned weights add up what is said."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from pipeline.quantities.clearances import clearance_evidence, may_be_clearance
from pipeline.quantities.convert import format_number, inches
from pipeline.quantities.reasons import BOLT_LENGTH
from pipeline.quantities.scan import Found, Scan, cue_words, nearest
from pipeline.quantities.talk import stem, words_beside
from pipeline.quantities.weights import heaviest

_JAWS_MM = frozenset({7, 8, 10, 11, 12, 13, 14, 15, 16, 17, 18, 19, 21, 22, 24, 27, 30, 32, 36, 41, 46})
_KEYS_MM = frozenset({Fraction(3, 2), Fraction(2), Fraction(5, 2), *map(Fraction, (3, 4, 5, 6))})
_THREADS_MM = frozenset({3, 4, 5, 6, 8, 10, 12, 14, 16, 18, 20, 22, 24})
_FAR = 99
# The network is believed against the weights where it takes a number for a size or gap, and so surely for one of them.
_LEAST_READ, _SURE = 0.5, 0.9
_APPOSED_WITHIN = 7
_STEPS = (1, 2, 3, 5, 8, 12, 20)
_WHY = {
    "clearance": "the words around it speak of a gap",
    "spanner": "the words around it speak of a nut or bolt and its spanner",
    "thread": "the words around it speak of a thread",
}


@dataclass(frozen=True, slots=True)
class Meaning:
    """A kind that a length may be, with what speaks for it; a plain length is what remains, without any."""

    kind: str
    evidence: tuple[str, ...]


# Given what a length may be, "length" first: the index of what it is.
Judge = Callable[[Scan, Found, Sequence[Meaning]], int]


def by_weights(scan: Scan, found: Found, meanings: Sequence[Meaning]) -> int:
    """The meaning with the heaviest evidence."""
    del scan, found
    return heaviest((meaning.evidence for meaning in meanings), "length")


def mark_lengths(scan: Scan, figures: list[Found], judge: Judge = by_weights) -> list[Found]:
    """The figures, each length with the kind that the words around it give it."""
    marked: list[Found] = []
    for place, found in enumerate(figures):
        meanings = list(_meanings(scan, figures, place, marked)) if found.kind == "length" else []
        if _sits_off(scan, found):
            meanings = [meaning for meaning in meanings if meaning.kind == "clearance"]
            found = _as(found, "clearance") if meanings else found
        elif len(meanings) > 1:
            found = _as(found, _as_read(scan, found, meanings, meanings[judge(scan, found, meanings)].kind))
        marked.append(found)
    return marked


def _as_read(scan: Scan, found: Found, meanings: Sequence[Meaning], kind: str) -> str:
    """The kind, a length or a clearance as the network reads it where it is sure which of the two it is."""
    if scan.kinds is None or kind not in ("length", "clearance") or "clearance" not in {each.kind for each in meanings}:
        return kind
    if scan.at(found.end) == "of" and found.end not in scan.breaks:
        return kind  # "six thou of interference" names it
    kinds = scan.kinds.of(*scan.tokens(found.head, found.end))
    both = kinds["length"] + kinds["clearance"]
    other = "length" if kind == "clearance" else "clearance"
    return other if both >= _LEAST_READ and kinds[other] >= _SURE * both else kind


def _sits_off(scan: Scan, found: Found) -> bool:
    """ "the blocks sit an eighth off the rim", "the pickup stands three eighths off the bottom": a gap."""
    off = scan.words[found.end : found.end + 2] == ["off", "the"] and not scan.breaks & {found.end, found.end + 1}
    return found.kind == "length" and off and scan.at(found.start - 1) in ("sit", "sits", "sat", "stand", "stands")


def _as(found: Found, kind: str) -> Found:
    if kind == "length":
        return found
    thread = ""
    if kind == "thread":
        value = float(found.value)
        thread = f"M{format_number(value)}" if found.unit == "mm" else f"{inches(value)} in"
    return replace(found, kind=kind, thread=thread, why=found.why or _WHY[kind])


def _meanings(scan: Scan, figures: list[Found], place: int, marked: list[Found]) -> Iterator[Meaning]:
    found = figures[place]
    beside = [*words_beside(scan, found.start, found.end)]
    yield Meaning("length", ())

    def read(kind: str) -> Iterator[str]:
        if scan.kinds is not None:
            yield from scan.kinds.rather(*scan.tokens(found.head, found.end), kind, "length")

    if may_be_clearance(scan, found):
        before = next((item for item in reversed(marked) if item.kind in ("length", "clearance")), None)
        names = clearance_evidence(scan, figures, place, before)
        yield Meaning("clearance", (*names, *(f"clearance {name}" for name in beside), *read("clearance")))
    by = bool(marked) and marked[-1].kind == "thread" and scan.words[marked[-1].end : found.start] == ["by"]
    if by or found.why == BOLT_LENGTH:
        return  # "M6 by 20", "M6x20": how long the bolt is
    if (scan.at(found.end) in ("long", "deep") and found.end not in scan.breaks) or scan.at(
        found.start - 1
    ) == "length":
        return
    for kind, size in (("spanner", _jaw(found)), ("thread", _bolt(found))):
        if size:
            names = _fastened(scan, found, kind, size, marked)
            yield Meaning(kind, (*names, *(f"{kind} {name}" for name in beside), *read(kind)))


def _jaw(found: Found) -> str:
    """How usual a length is as the jaw of a spanner or the size of a hexagon key, "" where it is none."""
    if found.high is not None or found.times != 1:
        return ""
    if found.unit == "in":
        fraction = found.value.denominator in (2, 4, 8, 16, 32) and Fraction(1, 8) <= found.value <= 3
        return "an inch" if found.value == 1 else "inches" if fraction else ""
    if found.unit != "mm":
        return ""
    if found.value in _JAWS_MM:
        return "usual"
    return "key" if found.value in _KEYS_MM else "odd" if found.value.denominator == 1 and found.value <= 60 else ""


def _bolt(found: Found) -> str:
    """How usual a length is as the diameter of a thread, "" where it is none."""
    if found.high is not None or found.times != 1:
        return ""
    if found.unit == "in":
        return (
            "inches"
            if (found.value.denominator in (4, 8, 16) and found.value <= 2) or found.value.denominator == 2
            else ""
        )
    return "usual" if found.unit == "mm" and found.value in _THREADS_MM else ""


def _fastened(scan: Scan, found: Found, kind: str, size: str, marked: list[Found]) -> Iterator[str]:
    yield kind
    yield f"{kind} {size}"
    yield f"{kind} in {found.unit} {size}"
    opens, closes = found.start in scan.breaks, found.end in scan.breaks or found.end >= len(scan.words)
    yield f"{kind} {'behind' if opens else 'without'} a stop, {'before' if closes else 'without'} one"
    if opens and closes:
        within = range(max(scan.sentence(found.start)[0], found.start - _APPOSED_WITHIN), found.start)
        noun = next((scan.plain[at] for at in reversed(within) if scan.plain[at] in cue_words("fastener_nouns")), "")
        if noun:
            yield f"{kind} thrown in behind a fastener"
            yield f"{kind} thrown in behind {stem(noun)}"
    own, wide = scan.sentence(found.start), scan.with_sentence_before(found.start)
    for cues in ("fastener_nouns", "spanner_nouns", "turned_with", "length", "length_things"):
        gap = nearest(scan, found.start, found.end, cue_words(cues), own)
        if gap < _FAR:
            yield f"{kind}: {cues} {next((step for step in _STEPS if gap <= 2 * step), _FAR)}"
        elif nearest(scan, found.start, found.end, cue_words(cues), wide) < _FAR:
            yield f"{kind}: {cues} in the sentence before"
        else:
            yield f"{kind}: no {cues}"
    last = next((item for item in reversed(marked) if item.kind != "count"), None)
    if last is not None and found.start - last.end <= 30:
        yield f"{kind} after a {last.kind}"
