"""The sentence as the readers see it: pieces, breaks, and what was found so far."""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import cache
from itertools import pairwise

from pipeline.numbers import Piece, cut, hedge_after, hedge_before
from pipeline.numbers.figure import BEFORE_ONE
from pipeline.numbers.words import NUMBER_WORDS, ONES, TEENS, TENS
from pipeline.quantities.read_kinds import ReadKinds
from pipeline.quantities.units import figures_data, unit_table
from pipeline.records import Settings, Token

_REACH = 14
_CHANGED_WITHIN = 7
_SAID_TWICE = frozenset({*TEENS, *TENS})
_TORQUE_UNITS = frozenset({"newton", "newtons", "foot", "inch", "nm", "pounds"})
_WHOLES = frozenset({*ONES, *TEENS, *TENS})
# Numbers that may stand before a shortened "is"; "one's" and "half's" are of things.
_SHORTENED = frozenset({*ONES, *TEENS, *TENS, "hundred", "thousand"} - {"one"})
# Dates, part numbers and telephone numbers: three or more figures in a chain.
_CODE = re.compile(r"\W*(?:\d+(?:-\d+){2,}|\d+(?:\.\d+){2,}|\d+(?:/\d+){2,})\W*")


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
        if piece.token in self.codes:
            return True
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


def scan_tokens(tokens: Sequence[Token], settings: Settings) -> Scan:
    """Cuts tokens into pieces and marks where numbers must not run on."""
    pieces = _without_doubtful_stops(cut(token.text for token in tokens))
    breaks = {index for index, piece in enumerate(pieces) if index and pieces[index - 1].stop}
    sentences = [index for index, piece in enumerate(pieces) if index and pieces[index - 1].stop == "."]
    dashes = {index for index, piece in enumerate(pieces) if piece.joint.strip() in ("-", "–", "—")}
    breaks |= {index for index in dashes if pieces[index].joint in ("—", "–") and not pieces[index].text[0].isdigit()}
    words = [piece.text for piece in pieces]
    breaks |= _run_together(words) | _ones_before_points(words) | _jaws_before_torques(words)
    for index, word in enumerate(words):
        halved = word == "half's" and words[max(0, index - 2) : index] == ["and", "a"]
        if halved or (word.removesuffix("'s") in _SHORTENED and word.endswith("'s")):
            # "forty-five's the book figure", "four and a half's the limit": no unit follows
            words[index] = word.removesuffix("'s")
            breaks.add(index + 1)
    return Scan(
        pieces,
        words,
        frozenset(breaks),
        frozenset(dashes),
        sentences,
        [word.removesuffix("'s") for word in words],
        _name_places(words, settings.machine),
        frozenset(place for place, token in enumerate(tokens) if _CODE.fullmatch(token.text)),
        settings,
    )


def _run_together(words: Sequence[str]) -> set[int]:
    """Where one number ends and another begins although nothing was written between them: "it's twenty two twenty two
    foot pounds" is said twice, and "four out of the five, twenty newton metres" are no 520."""
    found = set()
    for at, word in enumerate(words):
        if word in TENS and words[at : at + 2] == words[at + 2 : at + 4] and words[at + 1] in ONES:
            found.add(at + 2)
        if word in ("first", "other") and words[at + 1 : at + 2] == ["one"] and words[at + 2 : at + 3] != ["hundred"]:
            found.add(at + 2)  # "leave the first one twenty minutes"
        again = word in _SAID_TWICE and words[at + 1 : at + 2] == [word] and at + 2 < len(words)
        if again and words[at + 2] in unit_table().aliases:
            found.add(at + 1)  # "this is fourteen fourteen newton metres"
        asked = word == "or" and words[at + 1 : at + 2] in (["a"], ["an"]) and at + 3 < len(words)
        if asked and words[at + 2] in ONES and words[at + 2] != "one" and words[at + 3] in _SAID_TWICE:
            found.add(at + 3)  # "is that a five or an eight, eighty"
        if word == "out" and words[at + 1 : at + 2] == ["of"]:
            last = at + 3 if words[at + 2 : at + 3] == ["the"] else at + 2
            if last < len(words) and words[last] in ONES and words[last] != "one":
                found.add(last + 1)
    return found


def _jaws_before_torques(words: list[str]) -> set[int]:
    """ "its nut's a fifteen, forty newton metres": no fifteen hundred and forty."""
    found = set()
    for at in range(1, len(words) - 3):
        if words[at] not in ("a", "an") or not words[at - 1].endswith(("nut's", "bolt's", "plug's", "screw's")):
            continue
        size = at + 1 + (words[at + 1] in TEENS)
        size += 2 if words[at + 1] in TENS and words[at + 2] in ONES else 0
        rest = words[size : size + 6] if size > at + 1 else []
        if rest and (rest[0] in NUMBER_WORDS or rest[0] == "a") and {*rest} & _TORQUE_UNITS:
            found.add(size)
    return found


def _ones_before_points(words: list[str]) -> set[int]:
    """ "the top one point three, the bottom one point five": a ring each, where a part of one was said just before."""
    found = set()
    for at in range(2, len(words) - 1):
        thing = words[at] == "one" and words[at - 1] in BEFORE_ONE - {"this", "that", "the"}
        if thing and words[at - 2] == "the" and words[at + 1] == "point":
            before = words[max(0, at - _REACH) : at - 2]
            parts = [place for place, word in enumerate(before) if word == "point"]
            if parts and before[parts[-1] - 1 : parts[-1]] not in ([one] for one in _WHOLES):
                found.add(at + 1)
    return found


def _without_doubtful_stops(pieces: tuple[Piece, ...]) -> tuple[Piece, ...]:
    """The pieces without stops between a number and its unit in small letters: restored, not heard ("to 30. nm")."""
    return tuple(
        replace(piece, stop="")
        if piece.stop
        and _is_number(piece)
        and ((following.raw.islower() and following.text in _unit_openers()) or _hundred_and(pieces, place))
        else piece
        for place, (piece, following) in enumerate(zip(pieces, (*pieces[1:], *pieces[-1:]), strict=True))
    )


def _hundred_and(pieces: tuple[Piece, ...], place: int) -> bool:
    """ "a hundred, and twelve pounds": recognisers write a comma inside the number."""
    rest = [piece.text for piece in pieces[place + 1 : place + 4]]
    return (
        pieces[place].text == "hundred"
        and pieces[place].stop == ","
        and len(rest) == 3
        and rest[0] == "and"
        and (rest[1] in NUMBER_WORDS or rest[1].isdigit())
        and rest[2] in _unit_openers()
    )


@cache
def _unit_openers() -> frozenset[str]:
    """First words of units, also as misheard, that open no clause."""
    heard = (phrase for entry in figures_data("heard")["units"].values() for phrase in entry.get("surely", ()))
    openers = {*unit_table().aliases, *(phrase.split()[0] for phrase in heard)}
    return frozenset(word for word in openers if len(word) > 1 and word.isalpha()) - cue_words("open_clauses")


def _is_number(piece: Piece) -> bool:
    return piece.text[0].isdigit() or piece.text in NUMBER_WORDS


def _name_places(words: list[str], machine: str) -> frozenset[int]:
    """Where the machine's own name is spoken: "Brannock 5-inch", but not every "5 inch"."""
    name = [piece.text for piece in cut(machine.split())]
    proper = {word for word in name if not word[0].isdigit() and word not in NUMBER_WORDS | set(unit_table().aliases)}
    pairs = set(pairwise(name))
    places: set[int] = set()
    run: list[int] = []
    for index in range(1, len(words) + 1):
        if index < len(words) and (words[index - 1], words[index]) in pairs:
            run += [index - 1, index]
            continue
        if any(words[place] in proper for place in run):
            places.update(run)
        run = []
    return frozenset(places)


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
