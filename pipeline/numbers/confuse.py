"""Which other numbers a spoken number is taken for.

The pairs of words are those within one phone of each other in the CMU Pronouncing Dictionary, stress left out:
every teen with its -ty, eight with eighty, seven with seventy. No other pair of number words is as close. To
these come what a recogniser drops or adds whole: "point", "a hundred and".
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pipeline.numbers.read import read_number
from pipeline.numbers.speak import speak_number
from pipeline.numbers.words import ONES, POINTS, TEENS, TENS, ZEROS

_PAIRS = (
    ("thirteen", "thirty"),
    ("fourteen", "forty"),
    ("fifteen", "fifty"),
    ("sixteen", "sixty"),
    ("seventeen", "seventy"),
    ("eighteen", "eighty"),
    ("nineteen", "ninety"),
    ("eight", "eighty"),
    ("seven", "seventy"),
)
CLOSE_WORDS: dict[str, tuple[str, ...]] = {}
for _one, _other in _PAIRS:
    CLOSE_WORDS[_one] = (*CLOSE_WORDS.get(_one, ()), _other)
    CLOSE_WORDS[_other] = (*CLOSE_WORDS.get(_other, ()), _one)


@dataclass(frozen=True, slots=True)
class Reading:
    """A wording that sounds much like another, with the number it stands for and what differs."""

    words: tuple[str, ...]
    value: float
    why: str


def slip(value: float) -> tuple[float, ...]:
    """Numbers that differ from `value` by one teen/ty (or eight/eighty) slip.

    >>> slip(15), slip(50), slip(12), slip(118)
    ((50.0,), (15.0,), (), (180.0,))
    """
    return tuple(
        reading.value for reading in confusions(speak_number(value).replace("-", " ").split(), words_only=True)
    )


def confusions(words: Sequence[str], *, words_only: bool = False) -> list[Reading]:
    """Other readings of the words of one number; numbers written in figures are spoken first.

    With `words_only` only one word is exchanged for a close one; else "point" and "a hundred and" come and go too.

    >>> [reading.value for reading in confusions(["fifteen"])]
    [50.0, 115.0]
    >>> [reading.value for reading in confusions("two point five".split())]
    [25.0, 102.5]
    """
    spoken = _spoken(words)
    original = read_number(spoken)
    if original is None or original.end != len(spoken):
        return []
    found: dict[float, Reading] = {}
    for wording, why in _wordings(spoken, words_only):
        number = read_number(wording)
        if number is not None and number.end == len(wording) and number.exact != original.exact:
            found.setdefault(number.value, Reading(tuple(wording), number.value, why))
    return list(found.values())


def _spoken(words: Sequence[str]) -> list[str]:
    number = read_number(words)
    if number is not None and not number.spoken and number.shape in ("whole", "decimal"):
        return speak_number(number.value).replace("-", " ").split()
    return [word for word in " ".join(words).lower().replace("-", " ").split() if word]


def _wordings(spoken: list[str], words_only: bool) -> list[tuple[list[str], str]]:
    wordings: list[tuple[list[str], str]] = []
    for place, word in enumerate(spoken):
        for other in CLOSE_WORDS.get(word, ()):
            follows = spoken[place + 1] if place + 1 < len(spoken) else ""
            if other in TENS or follows not in ONES:
                wordings.append(([*spoken[:place], other, *spoken[place + 1 :]], f"{other!r} for {word!r}"))
    if words_only:
        return wordings
    for place, word in enumerate(spoken):
        if word in POINTS:
            before = [] if place and spoken[place - 1] in ZEROS else spoken[:place]
            after = spoken[place + 1 :]
            digits = "".join(str(ONES.get(item, 0)) for item in after) if all(map(_is_digit, after)) else ""
            whole = read_number(before) if before else None
            if digits:
                joined = float(f"{int(whole.value) if whole else 0}{digits}")
                wordings.append((speak_number(joined).replace("-", " ").split(), "'point' added"))
        if word == "hundred":
            rest = [item for item in spoken[place + 1 :] if item != "and"]
            if rest:
                wordings.append((rest, "'hundred and' added"))
    if not any(word in POINTS for word in spoken):
        wordings.extend(_with_point(spoken))
    if "hundred" not in spoken and "thousand" not in spoken and spoken[0] in ONES | TEENS | TENS:
        wordings.append((["a", "hundred", "and", *spoken], "'a hundred and' lost"))
    return wordings


def _with_point(spoken: list[str]) -> list[tuple[list[str], str]]:
    """Wordings with a "point" that may have been lost: before the last digit of a number below a hundred."""
    if len(spoken) == 2 and (spoken[0] in TENS or spoken[0] in TEENS or spoken[0] in ONES) and spoken[1] in ONES:
        return [([spoken[0], "point", spoken[1]], "'point' lost")]
    return []


def _is_digit(word: str) -> bool:
    return word in ONES or word in ZEROS
