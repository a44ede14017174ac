"""Reads the corpora of figures and scores the finder on them: kind, value, range and unit all right, or wrong."""

from __future__ import annotations

import re
import tomllib
from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from pipeline.quantities import find_quantities
from pipeline.records import Quantity, Settings
from pipeline.tokens import line_words, written_tokens

CORPUS = Path(__file__).parent.parent / "corpus"

Key = tuple[str, float, float | None, str]


@dataclass(frozen=True)
class Case:
    say: str
    expect: tuple[Key, ...]


@dataclass(frozen=True)
class Score:
    right: int
    missed: int
    invented: int
    wrong: tuple[str, ...]

    @property
    def f1(self) -> float:
        return 2 * self.right / (2 * self.right + self.missed + self.invented)

    def __str__(self) -> str:
        return f"F1 {self.f1:.3f} (right {self.right}, missed {self.missed}, invented {self.invented})"


def read_key(text: str) -> Key:
    """ "torque 10..12 N·m" -> ("torque", 10.0, 12.0, "N·m")."""
    kind, amount, *unit = text.split()
    low, _, high = amount.partition("..")
    name = "" if kind == "percentage" else " ".join(unit)
    return kind, float(low), float(high) if high else None, name


def read_corpus(name: str) -> tuple[list[Case], list[str]]:
    data = tomllib.loads((CORPUS / name).read_text(encoding="utf-8"))
    cases = [
        Case(say, tuple(read_key(text) for text in entry["expect"]))
        for entry in data["figures"]
        for say in entry["say"]
    ]
    return cases, [say for entry in data["negative"] for say in entry["say"]]


def key_of(qty: Quantity) -> Key:
    return qty.kind, round(qty.value, 6), None if qty.high is None else round(qty.high, 6), qty.unit


def found_in(line: str, settings: Settings | None = None) -> list[Quantity]:
    return find_quantities(written_tokens(line_words(line)), settings or Settings())


def unpunctuated(line: str) -> str:
    """The line as an automatic caption writes it: no capitals but in units, no punctuation but inside figures."""
    words = (re.sub(r"[,;:!?…—]+(?!\d)|\.+(?!\d)", "", word) for word in line.split())
    return " ".join(word if re.search(r"\d|^[°VACFL]$", word) else word.lower() for word in words if word)


def score(cases: Iterable[Case], *, bare: bool = False) -> Score:
    right = missed = invented = 0
    wrong: list[str] = []
    for case in cases:
        line = unpunctuated(case.say) if bare else case.say
        expected = Counter((kind, round(low, 6), high, unit) for kind, low, high, unit in case.expect)
        found = Counter(key_of(qty) for qty in found_in(line))
        same = sum((expected & found).values())
        right += same
        missed += expected.total() - same
        invented += found.total() - same
        if expected != found:
            wrong.append(f"{line}\n    expected {sorted(map(str, expected))}\n    found    {sorted(map(str, found))}")
    return Score(right, missed, invented, tuple(wrong))
