"""What the numbers of a text are figures of, for the reader network. No part of the installed package."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from figure_texts import FIGURE_SETS, NEAR, TIMES_OF_LENT, attached_sayings

from pipeline.quantities.finder import figure_numbers
from pipeline.quantities.scan import Bare, Found
from pipeline.reader.reading import FIGURES
from pipeline.records import Settings
from pipeline.tokens import line_words, written_tokens
from tests.quantities.sayings import Saying, read_sayings
from tests.quantities.scoring import read_corpus

SPEAKERS, FOLDS = 20, 5
Owners = tuple[str, ...] | None
Gold = tuple[str, float, int, Owners]
Row = tuple[int, int, str, Owners, int]


def figure_rows(words: Sequence[str], units: str, gold: Sequence[Gold]) -> list[Row]:
    """(first word, end word, kind, owners, index of the gold figure) of each number.

    Of a number that is no figure of the build the kind is "" and the index -1.

    `gold`: kind, value, first word (-1 where unknown) and names of the owner of the figures, () where it has none and
    None where nobody says. Where a figure could not be found among the numbers, those that it might be are left out.
    """
    tokens = written_tokens(line_words(" ".join(words)))
    assert len(tokens) == len(words)
    numbers = figure_numbers(tokens, Settings(units="us" if units == "us" else "imperial"))
    found: dict[int, int] = {}
    lost = False
    for index, (kind, value, at, _) in enumerate(gold):
        if kind not in FIGURES:
            continue
        rest = [place for place in range(len(numbers)) if place not in found]
        same = [place for place in rest if _is(numbers[place][2], value)]
        near = [place for place in rest if at >= 0 and abs(numbers[place][0] - at) <= NEAR]
        fitting = [place for place in same if at < 0 or place in near] or near
        pairs = [place for place in rest if place + 1 in rest and _with_tenths(numbers[place : place + 2], value)]
        if not same and pairs:
            place = min(pairs, key=lambda place: abs(numbers[place][0] - max(at, 0)))
            found[place] = found[place + 1] = index
        elif fitting:
            found[min(fitting, key=lambda place: abs(numbers[place][0] - max(at, 0)))] = index
        else:
            lost = lost or at < 0
    rows: list[Row] = []
    for place, (start, end, _) in enumerate(numbers):
        if place in found:
            kind, _, _, owners = gold[found[place]]
            rows.append((start, end, kind, owners, found[place]))
        elif not lost:
            rows.append((start, end, "", None, -1))
    return rows


def _with_tenths(pair: Sequence[tuple[int, int, Found | Bare]], value: float) -> bool:
    """ "twelve nine" for 12.9: two numbers side by side."""
    (_, end, first), (start, _, second) = pair
    return start == end and 0 < second.value < 10 and abs(float(first.value + second.value / 10) - value) < 0.0015


def _is(number: Found | Bare, value: float) -> bool:
    """Whether a number is this value, as it was said or in a unit that another figure lends it."""
    times = number.times if isinstance(number, Found) else 1
    plain = float(number.value / times)
    return abs(float(number.value)) == abs(value) or any(
        abs(plain * more - value) < 0.0015 * max(1.0, abs(value)) for more in TIMES_OF_LENT
    )


def sayings() -> Iterator[tuple[str, Saying]]:
    """All sayings to develop on, each with a name that begins with its fold; a speaker's stand in one fold."""
    cases, negative = read_corpus("quantities.toml")
    short = [Saying(case.say, Settings(), case.expect, ()) for case in cases]
    short += [Saying(line, Settings(), (), ()) for line in negative]
    sets = {name: read_sayings(name) for name in FIGURE_SETS} | {"attached": attached_sayings(), "corpus": short}
    for name, found in sets.items():
        for number, saying in enumerate(found):
            yield f"say{number // SPEAKERS % FOLDS}_{name.removesuffix('.toml')}_{number}", saying
