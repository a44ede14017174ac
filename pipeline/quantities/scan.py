"""The sentence as the readers see it: pieces, breaks, and what was found so far."""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import cache

from pipeline.numbers import Piece, hedge_after, hedge_before
from pipeline.quantities.read_kinds import ReadKinds
from pipeline.quantities.units import figures_data
from pipeline.records import Settings

_REACH = 14
_CHANGED_WITHIN = 7
_APOSTROPHES = ("'", "’", "‘")


@dataclass(frozen=True, slots=True)
class Found:
    """A figure over pieces `start` to `end`; `head` is where its number begins, after any "about".

    `times` is the factor by which the spoken number was taken into `unit` ("milliamps"). `heard` is what was heard
    for the unit where that is no unit, `sure` whether it can mean nothing else.
    """

    kind: str
    value: Fraction
    high: Fraction | None
    unit: str
    start: int
    end: int
    head: int
    approximate: bool = False
    bound: str = ""
    thread: str = ""
    declared: bool = True
    rivals: tuple[Fraction, ...] = ()
    times: Fraction = Fraction(1)
    why: str = ""
    heard: str = ""
    sure: bool = True


@dataclass(frozen=True, slots=True)
class Bare:
    """A number without a unit, kept for lists, pairs and counts; `places` are the decimals that were said."""

    value: Fraction
    high: Fraction | None
    start: int
    end: int
    spoken: bool
    shape: str
    places: int = 0


@dataclass(frozen=True, slots=True)
class Declared:
    """A unit of a kind that was given once for all that follows, over pieces `start` to `end`."""

    kind: str
    unit: str
    start: int
    end: int


@dataclass(slots=True)
class Scan:
    """Pieces of a whole recording with what the readers found in them.

    `breaks`: indexes with punctuation before them; `dashes`: with a dash before them; `sentences`: that open one.
    `plain`: the words without a possessive 's. `names`: indexes inside the machine's own name. `codes`: tokens that are
    dates or part numbers. `asking`: kind -> places of the words that ask for such a figure, once somebody needs them.
    `kinds`: what the reader network takes the numbers for, where it is asked. `declared`: units given once for all.
    """

    pieces: tuple[Piece, ...]
    words: list[str]
    breaks: frozenset[int]
    dashes: frozenset[int]
    sentences: list[int]
    plain: list[str]
    names: frozenset[int]
    codes: frozenset[int]
    settings: Settings
    found: list[Found] = field(default_factory=list)
    bare: list[Bare] = field(default_factory=list)
    asking: dict[str, list[int]] = field(default_factory=dict)
    kinds: ReadKinds | None = None
    declared: list[Declared] = field(default_factory=list)

    def declaration(self, kind: str, index: int) -> Declared | None:
        """The unit of a kind that was last given for all that follows before a piece, or later in its sentence."""
        if not self.declared:
            return None
        end = self.sentence(index)[1]
        return next((told for told in reversed(self.declared) if told.kind == kind and told.start < end), None)

    def tokens(self, start: int, end: int) -> tuple[int, int]:
        """First and end token of some pieces."""
        return self.pieces[start].token, self.pieces[end - 1].token + 1

    def at(self, index: int) -> str:
        """Word at an index, "" outside."""
        return self.words[index] if 0 <= index < len(self.words) else ""

    def joined(self, index: int) -> bool:
        """Whether no punctuation stands before the piece."""
        return 0 < index < len(self.words) and index not in self.breaks

    def in_code(self, index: int) -> bool:
        """Whether a figure is part of a word with letters before it ("B747", "OAO-1") or of a chain ("3-4-1")."""
        piece = self.pieces[index]
        if not piece.text[0].isdigit():
            return False
        if piece.token in self.codes or (piece.joint.strip() in _APOSTROPHES and len(piece.text) == 2):
            return True  # "that'd be '09"
        if piece.joint.startswith(" ") or not index:
            return False
        before = self.words[index - 1]
        return before.isalpha() and before != "x"

    def sentence(self, index: int) -> tuple[int, int]:
        """Start and end of the sentence around a piece, at most 14 pieces either way."""
        place = bisect_right(self.sentences, index)
        start = self.sentences[place - 1] if place else 0
        end = self.sentences[place] if place < len(self.sentences) else len(self.words)
        return max(start, index - _REACH), min(end, index + _REACH)

    def with_sentence_before(self, index: int) -> tuple[int, int]:
        """The sentence around a piece with the one before it, at most 28 pieces back."""
        start, end = self.sentence(index)
        place = bisect_right(self.sentences, index)
        before = self.sentences[place - 2] if place > 1 else 0
        return max(min(start, before), index - 2 * _REACH), end

    def with_sentence_after(self, index: int) -> tuple[int, int]:
        """The sentence around a piece with the next one, at most 28 pieces on."""
        start, end = self.sentence(index)
        place = bisect_right(self.sentences, index)
        after = self.sentences[place + 1] if place + 1 < len(self.sentences) else len(self.words)
        return start, min(max(end, after), index + 2 * _REACH)

    def sentence_words(self, index: int) -> frozenset[str]:
        """The plain words of the sentence around a piece."""
        return frozenset(self.plain[slice(*self.sentence(index))])

    def figure_of(self, bare: Bare, kind: str, unit: str, why: str) -> Found:
        """The figure that a number without a unit is, with its hedges."""
        return self.hedged(Found(kind, bare.value, bare.high, unit, bare.start, bare.end, bare.start, why=why))

    def hedged(self, found: Found) -> Found:
        """The figure with the hedges and bounds on either side of it."""
        start, approximate, bound = hedge_before(self.words, found.start, self.breaks)
        end, about_after, bound_after = hedge_after(self.words, found.end, self.breaks)
        # "plus" before another figure is a further stage, not "or more".
        if self.at(end - 1) == "plus":
            end, about_after, bound_after = found.end, False, ""
        return replace(
            found,
            start=start,
            end=end,
            approximate=found.approximate or approximate or about_after,
            bound=found.bound or bound or bound_after,
        )


@cache
def cue_words(name: str) -> frozenset[str]:
    """One of the lists of vocab/figures/context.toml."""
    return frozenset(figures_data("context")[name])


def nearest(scan: Scan, start: int, end: int, cues: frozenset[str], window: tuple[int, int]) -> int:
    """Distance in words from the span to the nearest cue inside the window; 99 where there is none.

    Words after the figure count as a little nearer than words as far before it.
    """
    best = 99
    for index in range(window[0], window[1]):
        if scan.plain[index] in cues and not start <= index < end:
            distance = (start - index) * 2 + 1 if index < start else (index - end + 1) * 2
            best = min(best, distance)
    return best


def changing(scan: Scan, start: int) -> bool:
    """ "stretched from thirty one to thirty three", "the difference between eighteen and thirty": two, no range.

    `start` is where the first figure begins, or the "from" or "between" before it.
    """
    link = start if scan.at(start) in ("from", "between") else start - 1
    if scan.at(link) == "between":
        return "difference" in scan.words[max(0, link - 2) : link]
    verbs = {*scan.words[max(scan.sentence(start)[0], link - _CHANGED_WITHIN) : link]}
    return scan.at(link) == "from" and bool(verbs & cue_words("changing"))
