"""Cuts words as recognisers write them into the pieces that numbers and units are read from."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace

_VULGAR = "½¼¾⅓⅔⅛⅜⅝⅞"
_PIECE = re.compile(
    rf"""
    \d{{1,3}}(?:,\d{{3}})+(?:\.\d+)?      # 1,000 and 1,000.5
    | \d+/(?:2|3|4|5|6|8|10|12|16|32|64|100|128|1000)(?!\d)  # 3/8; "30/35" and "24/7" are two figures
    | [1357]['’](?:8|16|32|64)(?![\d/])    # 5'16 and 5'8: how recognisers write five sixteenths, five eighths
    | \d*[{_VULGAR}]                      # ½ and 2½
    | \d+(?:[.,]\d+)?                     # 25, 2.5 and 2,5
    | (?<!\d)\.\d+                        # .4
    | [^\W\d_]+(?:['’][^\W\d_]+)*         # words
    | ''|[°º%"”″£$€:×+²³~]                # signs that mean something
    """,
    re.VERBOSE,
)
_SAME = str.maketrans({"’": "'", "º": "°", "”": '"', "″": '"', "×": "x", "²": "2", "³": "3", "µ": "μ"})
_STOPS = ".!?…,;:)]"
_QUOTES = frozenset('"”″')
_INCHED = frozenset("0123456789" + _VULGAR)


@dataclass(frozen=True, slots=True)
class Piece:
    """A number, word or sign.

    `text` is lower-case, `raw` as written; `token` is the index of the word it was cut from. `joint` is what
    stands between it and the piece before: " " (another word), "" (glued), or the characters in between ("-",
    "/", ".", " - " for a dash that stands alone). `stop` is the punctuation after it: "." (also ! ? …), "," (also
    ; : and brackets) or "".
    """

    text: str
    raw: str
    token: int
    joint: str
    stop: str


# Signs between two numbers that are no part of either.
_EQUALS = frozenset("=≈→")


def cut(words: Iterable[str]) -> tuple[Piece, ...]:
    """Pieces of a sequence of words.

    >>> [piece.text for piece in cut(["M8x1.25,", "twenty-five", "10W-40", "3/8\\"", "90°"])]
    ['m', '8', 'x', '1.25', 'twenty', 'five', '10', 'w', '40', '3/8', '"', '90', '°']
    """
    pieces: list[Piece] = []
    quoted = dashed = False
    for token, word in enumerate(words):
        end = 0
        first = len(pieces)
        if word.startswith(("(", "[")) and pieces:
            pieces[-1] = replace(pieces[-1], stop=pieces[-1].stop or ",")
        for match in _PIECE.finditer(word):
            between = word[end : match.start()]
            joint = between if end else " " + between
            if dashed and not end:
                joint = " - "
            raw = match[0]
            if raw in _QUOTES:
                # After a figure the mark means inches, unless it closes a quotation.
                if quoted or not (end and end == match.start() and word[end - 1] in _INCHED):
                    quoted = not quoted and match.start() == 0
                    continue
            elif word[: match.start()].endswith("“"):
                quoted = True
            pieces.append(Piece(raw.translate(_SAME).lower(), raw, token, joint, ""))
            end = match.end()
            dashed = False
        if len(pieces) > first:
            stop = _stop(word[end:] + (pieces[-1].raw if pieces[-1].raw == ":" else ""))
            if stop:
                pieces[-1] = replace(pieces[-1], stop=stop)
        elif word == "-":
            # "8 - 10" as three words
            dashed = True
            continue
        elif pieces and word in _EQUALS:
            pieces[-1] = replace(pieces[-1], stop=pieces[-1].stop or ",")
        elif pieces and _stop(word):
            pieces[-1] = replace(pieces[-1], stop=pieces[-1].stop or _stop(word))
    return tuple(pieces)


def _stop(tail: str) -> str:
    marks = [mark for mark in tail if mark in _STOPS]
    if not marks:
        return "," if "—" in tail or "–" in tail else ""
    return "." if any(mark in ".!?…" for mark in marks) else ","
