"""What the speech model should have written of a piece: what it wrote, with the words that were said. Not installed.

The model's own stretches, times and way of writing figures are kept, so that nothing is taught but words.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from rapidfuzz.distance import Levenshtein
from whisper_tokens import FIRST_TIME

from pipeline.numbers import read_number

# A piece with more wrong words than this was not understood, or was cut in a way that nothing can be said of.
MOST_WRONG = 0.6
# So many words in a row without anything heard for them: the model skipped, and where they belong cannot be told.
MOST_UNHEARD = 6
_MARKS = ".,;:?!\"'()-"


@dataclass(frozen=True)
class Target:
    """`tokens` to be learned; `wrong`: words written otherwise than said; `words`: words said."""

    tokens: list[int]
    wrong: int
    words: int


def plain(word: str) -> str:
    return "".join(char for char in word.lower() if char.isalnum() or char in ".'").strip(".'")


def _value(words: Sequence[str]) -> Any:
    """What a number is worth if the words are one number, else None."""
    bare = [piece for word in words for piece in word.lower().strip(_MARKS).replace("-", " ").split()]
    found = read_number(bare) if bare else None
    return found.exact if found is not None and found.start == 0 and found.end == len(bare) else None


def in_figures(said: Sequence[tuple[str, float]]) -> list[tuple[str, float]]:
    """Numbers from ten up and decimals in figures, as the model writes them; smaller ones and fractions in words.

    >>> in_figures([("about", 0.0), ("twenty-five", 0.3), ("thou,", 0.8)])
    [('about', 0.0), ('25', 0.3), ('thou,', 0.8)]
    """
    pieces = [
        (piece, number, part == 0)
        for number, (word, _) in enumerate(said)
        for part, piece in enumerate(word.lower().strip(_MARKS).split("-"))
    ]
    bare = [piece for piece, _, _ in pieces]
    breaks = {place + 1 for place, (_, number, _) in enumerate(pieces) if said[number][0][-1] in ",.;:?!"}
    out: list[tuple[str, float]] = []
    at = 0
    while at < len(pieces):
        number = pieces[at][1]
        found = read_number(bare, at, breaks) if pieces[at][2] else None
        whole = found is not None and (found.end == len(pieces) or pieces[found.end][2])
        if found is not None and whole and found.spoken and (found.exact >= 10 or found.shape == "decimal"):
            text = f"{float(found.exact):.10g}"
            last = said[pieces[found.end - 1][1]][0]
            if found.shape in ("whole", "joined", "decimal") and abs(float(text) - found.exact) < 1e-9:
                out.append((text + last[len(last.rstrip(_MARKS)) :], said[number][1]))
                at = found.end
                continue
        out.append(said[number])
        at = next((place for place in range(at, len(pieces)) if pieces[place][1] > number), len(pieces))
    return out


def stretches(tokens: Sequence[int]) -> list[tuple[int | None, list[int], int | None]]:
    """(time it begins, text tokens, time it ends) of what was heard; a time may be missing at the end."""
    found: list[tuple[int | None, list[int], int | None]] = []
    begins: int | None = None
    text: list[int] = []
    for token in tokens:
        if token < FIRST_TIME:
            text.append(token)
        elif text:
            found.append((begins, text, token))
            begins, text = None, []
        else:
            begins = token
    if text or begins is not None:
        found.append((begins, text, None))
    return found


def target(
    tokens: Sequence[int],
    said: Sequence[tuple[str, float]],
    decode: Callable[[list[int]], str],
    encode: Callable[[str], list[int]],
) -> Target | None:
    """`said`: words of the piece with the second at which each begins. None where the piece is better left out."""
    found = stretches(tokens)
    said = in_figures(said)
    heard = [(word, place) for place, (_, text, _) in enumerate(found) for word in decode(text).split()]
    if not heard or not said:
        return None
    last_s = max((token - FIRST_TIME) * 0.02 for token in tokens if token >= FIRST_TIME) if tokens else 0.0
    placed: list[list[str]] = [[] for _ in found]
    wrong = taken = unheard = 0
    opcodes = Levenshtein.opcodes([plain(word) for word, _ in said], [plain(word) for word, _ in heard])
    for op in opcodes:
        words = [word for word, _ in said[op.src_start : op.src_end]]
        there = heard[op.dest_start : op.dest_end]
        if op.tag == "insert":
            wrong += len(there)
            continue
        if op.tag == "delete":
            # the end of the piece, which the model leaves for the next one
            words = [word for word, second in said[op.src_start : op.src_end] if second < last_s - 0.3 or taken == 0]
            if op.src_end == len(said) and len(words) < 2:
                words = []
            unheard = max(unheard, len(words))
            place = heard[min(op.dest_start, len(heard)) - 1][1] if op.dest_start else 0
            placed[place] += words
            wrong, taken = wrong + len(words), taken + len(words)
            continue
        taken += len(words)
        if op.tag == "replace":
            value = _value(words)
            if value is not None and value == _value([word for word, _ in there]):
                words = [word for word, _ in there]
            else:
                wrong += max(len(words), len(there))
        for number, word in enumerate(words):
            placed[there[number * len(there) // len(words)][1]].append(word)
    if not taken or wrong > MOST_WRONG * taken or unheard > MOST_UNHEARD:
        return None
    out: list[int] = []
    for (begins, text, ends), words in zip(found, placed, strict=True):
        if begins is not None and (words or not text):
            out.append(begins)
        if words:
            out += encode(" " + " ".join(words))
            if ends is not None:
                out.append(ends)
    return Target(out, wrong, taken)
