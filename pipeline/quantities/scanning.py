"""Cuts the words of a recording into pieces, and marks where numbers must not run on."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from itertools import pairwise

from pipeline.numbers import Piece, cut
from pipeline.numbers.figure import BEFORE_ONE
from pipeline.numbers.words import NUMBER_WORDS, ONES, TEENS, TENS, ZEROS
from pipeline.quantities.scan import Scan, cue_words
from pipeline.quantities.units import figures_data, unit_table
from pipeline.records import Settings, Token

_REACH = 14
_SAID_TWICE = frozenset({*TEENS, *TENS})
_TORQUE_UNITS = frozenset({"newton", "newtons", "foot", "inch", "nm", "pounds"})
_COGS, _COGS_WITHIN = frozenset({"chainring", "chainrings", "sprocket", "sprockets", "cogs", "teeth"}), 8
_WHOLES = frozenset({*ONES, *TEENS, *TENS})
# Numbers that may stand before a shortened "is"; "one's" and "half's" are of things.
_SHORTENED = frozenset({*ONES, *TEENS, *TENS, "hundred", "thousand"} - {"one"})
# Dates, part numbers and telephone numbers: three or more figures in a chain.
_CODE = re.compile(r"\W*(?:\d+(?:-\d+){2,}|\d+(?:\.\d+){2,}|\d+(?:/\d+){2,})\W*")


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
        if word == "one" and words[at + 1 : at + 2] and words[at + 1] in ZEROS and words[at + 2 : at + 3] == ["point"]:
            found.add(at + 1)  # "the left one zero point two five"
        again = word in _SAID_TWICE and words[at + 1 : at + 2] == [word] and at + 2 < len(words)
        if again and words[at + 2] in unit_table().aliases:
            found.add(at + 1)  # "this is fourteen fourteen newton metres"
        if word in TENS and {*words[max(0, at - _COGS_WITHIN) : at]} & _COGS and _falls(words[at : at + 4]):
            found.add(at + 2)  # "the chainrings are forty-eight thirty-six and twenty-six"
        asked = word == "or" and words[at + 1 : at + 2] in (["a"], ["an"]) and at + 3 < len(words)
        if asked and words[at + 2] in ONES and words[at + 2] != "one" and words[at + 3] in _SAID_TWICE:
            found.add(at + 3)  # "is that a five or an eight, eighty"
        if word == "out" and words[at + 1 : at + 2] == ["of"]:
            last = at + 3 if words[at + 2 : at + 3] == ["the"] else at + 2
            if last < len(words) and words[last] in ONES and words[last] != "one":
                found.add(last + 1)
    return found


def _falls(words: Sequence[str]) -> bool:
    """Whether two numbers of tens and ones stand side by side, the larger first: no years and no range."""
    if len(words) < 4 or words[2] not in TENS or not {words[1], words[3]} <= ONES.keys():
        return False
    return TENS[words[0]] + ONES[words[1]] > TENS[words[2]] + ONES[words[3]]


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
