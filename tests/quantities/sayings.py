"""Scores the finder on whole sayings (figures_dev2.toml, figures_unseen2.toml): figures, and what each belongs to.

python -m tests.quantities.sayings figures_dev2.toml [--quiet]
"""

from __future__ import annotations

import sys
import tomllib
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

from pipeline.punctuation import punctuated
from pipeline.quantities import attach_quantities, find_quantities
from pipeline.records import Quantity, Settings
from pipeline.tokens import line_words, written_tokens
from pipeline.vocabulary import load_vocabulary, regular_plural
from tests.quantities.scoring import CORPUS, Key, Score, key_of, unpunctuated

VOCABULARY = load_vocabulary()
_PLACES = frozenset(
    "front rear back left right upper lower inner outer top bottom near off".split()  # noqa: SIM905
)


@dataclass(frozen=True)
class Saying:
    """A sentence with its figures in spoken order; `owners` is what each belongs to, as said."""

    text: str
    settings: Settings
    figures: tuple[Key, ...]
    owners: tuple[str, ...]


@dataclass(frozen=True)
class Attached:
    """Of the figures found right: those whose subject is the one said, and those that have one where none was said."""

    right: int
    all: int
    invented: int
    wrong: tuple[str, ...]

    def __str__(self) -> str:
        return f"{self.right / self.all:.3f} ({self.right} of {self.all}, {self.invented} where none was said)"


def read_sayings(name: str) -> list[Saying]:
    data = tomllib.loads((CORPUS / name).read_text(encoding="utf-8"))
    return [
        Saying(
            entry["text"],
            Settings(units=entry.get("units", "imperial")),
            tuple(_key(figure) for figure in entry["figures"]),
            tuple(figure["of"] for figure in entry["figures"]),
        )
        for entry in data["sentence"]
    ]


def _key(figure: dict[str, Any]) -> Key:
    high = figure.get("high")
    return figure["kind"], round(figure["value"], 6), None if high is None else round(float(high), 6), figure["unit"]


@cache
def _names() -> dict[str, str]:
    """Every spelling, singular or plural, without its spaces and hyphens -> the vocabulary's name."""
    names: dict[str, str] = {}
    for term in VOCABULARY.terms:
        for spelling in (*term.spellings, term.plural, *(regular_plural(other) for other in term.spellings)):
            names.setdefault(_joined(spelling), _joined(term.name))
    return names


def _joined(text: str) -> str:
    return "".join(char for char in text.lower() if char.isalnum())


def _name(text: str) -> str:
    """One name for one thing: the vocabulary's, else the words as said, singular; places in front do not count."""
    if _joined(text) in _names():
        return _names()[_joined(text)]
    words = text.lower().split()
    while len(words) > 1 and words[0] in _PLACES:
        words = words[1:]
    joined = _joined(" ".join(words))
    singular = joined[:-1] if joined.endswith("s") and not joined.endswith("ss") else joined
    return _names().get(joined) or _names().get(singular, singular)


def same_name(name: str, other: str) -> bool:
    """Whether two names are of one thing: by the vocabulary, singular, without a place in front."""
    return _name(name) == _name(other)


def find_in(text: str, settings: Settings) -> list[Quantity]:
    """The figures of a saying with their subjects, as `witnessmark extract` finds them, without counts of parts."""
    tokens = punctuated(written_tokens(line_words(text)), settings)
    found = attach_quantities(find_quantities(tokens, settings), tokens, VOCABULARY)
    return [qty for qty in found if qty.kind != "count"]


def score_sayings(sayings: Sequence[Saying], *, bare: bool = False) -> tuple[Score, Attached]:
    """Kind, value, range and unit all right; and the subject of those that are."""
    right = missed = invented = owned = nobodys = 0
    wrong: list[str] = []
    misplaced: list[str] = []
    for saying in sayings:
        text = unpunctuated(saying.text) if bare else saying.text
        quantities = find_in(text, saying.settings)
        expected, found = Counter(saying.figures), Counter(map(key_of, quantities))
        same = (expected & found).total()
        right, missed, invented = right + same, missed + len(saying.figures) - same, invented + found.total() - same
        if expected != found:
            lost, extra = sorted(map(str, expected - found)), sorted(map(str, found - expected))
            wrong.append(f"{text}\n    missed   {lost}\n    invented {extra}")
        for qty, owner in paired(quantities, saying):
            if same_name(qty.subject, owner):
                owned += 1
            else:
                nobodys += not owner
                misplaced.append(f"{text}\n    {qty.said!r}: {qty.subject!r}, not {owner!r}")
    score = Score(right, missed, invented, tuple(wrong))
    return score, Attached(owned, right, nobodys, tuple(misplaced))


def paired(quantities: Sequence[Quantity], saying: Saying) -> list[tuple[Quantity, str]]:
    """Every figure found right with the owner it should have; equal figures pair in spoken order."""
    left = list(zip(saying.figures, saying.owners, strict=True))
    pairs = []
    for qty in quantities:
        item = next((item for item in left if item[0] == key_of(qty)), None)
        if item is not None:
            left.remove(item)
            pairs.append((qty, item[1]))
    return pairs


def main(name: str, quiet: bool) -> None:
    """Prints both scores as written and unpunctuated, and the errors of the first unless `quiet`."""
    sayings = read_sayings(name)
    for bare in (False, True):
        score, attached = score_sayings(sayings, bare=bare)
        title = "without punctuation" if bare else "as written"
        print(f"{name}, {len(sayings)} sayings {title}: figures {score}; subjects {attached}")
        if not (bare or quiet):
            print("\n".join((*score.wrong, *attached.wrong)))


if __name__ == "__main__":
    # held-out sets give totals only
    main(sys.argv[1], "--quiet" in sys.argv or "unseen" in sys.argv[1])
