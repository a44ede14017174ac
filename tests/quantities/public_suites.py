"""Scores figures and numbers on test cases of public suites (public_quantities.json, public_numbers.json).

python -m tests.quantities.public_suites [quantities | numbers]

The suites are quantulum3, Recognizers-Text, the inverse text normalization of NeMo, duckling and text2num. Kept are
their cases in units that they and this program both know; what was left out, and why, stands in the head of the files.
A figure is right with its value, both ends of a range, and a unit of the same dimension: 0.002 kg is 2 g. Where a
suite labels one dimension only (`labels`), figures of others are not held against us. Settings are those of a Briton,
since "ounces" and "pounds" are masses in the suites; a gallon is a gallon whichever country's.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

from pipeline.numbers import cut, read_number
from pipeline.punctuation import punctuated
from pipeline.quantities import find_quantities
from pipeline.quantities.units import unit_named
from pipeline.records import Settings
from pipeline.tokens import line_words, written_tokens
from tests.quantities.scoring import CORPUS

SETTINGS = Settings(units="imperial")
# Unit here -> (names in the suites, in small letters, how many of ours one of theirs is).
_NAMES: dict[str, tuple[str, float]] = {
    "m": ("metre meter m", 1), "cm": ("centimetre centimeter cm", 1), "mm": ("millimetre millimeter mm", 1),
    "µm": ("micrometre μm µm", 1), "in": ("inch in", 1), "L": ("litre liter l", 1),
    "mL": ("millilitre milliliter ml cc cubic_centimetre", 1), "gal_imp": ("gallon", 1), "g": ("gram g", 1),
    "kg": ("kilogram kg", 1), "lb": ("pound pound-mass", 1), "oz": ("ounce oz", 1),
    "°C": ("c celsius degree_celsius °c", 1), "°F": ("f fahrenheit degree_fahrenheit °f", 1), "V": ("volt v", 1),
    "A": ("ampere", 1), "Ω": ("ohm", 1), "%": ("percentage %", 1), "mph": ("mph mile_per_hour", 1),
    "km/h": ("kilometre_per_hour kilometer_per_hour km/h", 1), "s": ("second", 1), "min": ("minute", 1),
    "h": ("hour h", 1), "d": ("day", 1), "turn": ("turn", 1),
}  # fmt: skip
_MULTIPLES = {
    "hectolitre": ("L", 100.0), "kl": ("L", 1000.0), "centilitre": ("mL", 10.0), "decimeter": ("cm", 10.0),
    "milligram": ("g", 0.001), "mv": ("V", 0.001), "tonne": ("kg", 1000.0), "metric ton": ("kg", 1000.0),
}  # fmt: skip
_THEIRS = {
    name.replace("_", " "): (unit, times) for unit, (names, times) in _NAMES.items() for name in names.split()
} | _MULTIPLES
# Value in the base of its dimension; a temperature as it was said, so that a Celsius is no Fahrenheit.
Amount = tuple[str, float, float | None]


@dataclass
class Tally:
    """What was right of a suite, and the cases where something was not."""

    right: int = 0
    missed: int = 0
    extra: int = 0
    wrong: list[str] = field(default_factory=list)

    @property
    def f1(self) -> float:
        """The harmonic mean of precision and recall."""
        return 2 * self.right / max(1, 2 * self.right + self.missed + self.extra)

    def __str__(self) -> str:
        return f"F1 {self.f1:.3f} (right {self.right}, missed {self.missed}, extra {self.extra})"

    def add(self, other: Tally) -> None:
        """Adds what another suite gave."""
        self.right, self.missed, self.extra = (
            self.right + other.right,
            self.missed + other.missed,
            self.extra + other.extra,
        )

    def compare(self, text: str, wanted: list[Any], found: list[Any]) -> None:
        """Counts the figures of one case."""
        left = list(found)
        missed = [one for one in wanted if not _take(left, one)]
        self.right += len(wanted) - len(missed)
        self.missed += len(missed)
        self.extra += len(left)
        if missed or left:
            self.wrong.append(f"{text[:110]!r}: missed {missed}, extra {left}")


def _take(left: list[Any], wanted: Any) -> bool:
    for place, one in enumerate(left):
        if _same(one, wanted):
            del left[place]
            return True
    return False


def _same(one: Any, other: Any) -> bool:
    if isinstance(one, tuple):
        return len(one) == len(other) and all(_same(*pair) for pair in zip(one, other, strict=True))
    if isinstance(one, float) and isinstance(other, float):
        return abs(one - other) <= 1e-6 * max(1e-3, abs(other))
    return bool(one == other)


def read_suites(name: str) -> tuple[dict[str, Any], list[dict[str, Any]]]:
    """(heads by suite, cases) of a file of the corpus."""
    data = json.loads((CORPUS / name).read_text(encoding="utf-8"))
    return data["suites"], data["cases"]


def _amount(unit: str, value: float, high: float | None) -> Amount:
    """An amount in the base of its dimension."""
    if unit == "%":
        return unit, value, high
    if unit.startswith("gal"):
        return "gal", value, high
    entry = unit_named(unit)
    if not entry.si or entry.kind == "temperature":
        return unit, value, high
    factor = float(entry.factor)
    return entry.si, value * factor, None if high is None else high * factor


def _wanted(case: dict[str, Any]) -> Iterator[Amount]:
    for figure in case["figures"]:
        unit, times = _THEIRS[figure["unit"].lower()]
        value = figure["value"]
        low, high = value if isinstance(value, list) else (value, None)
        yield _amount(unit, low * times, None if high is None else high * times)


def _found(text: str, labels: list[str]) -> Iterator[Amount]:
    tokens = punctuated(written_tokens(line_words(text)), SETTINGS)
    for qty in find_quantities(tokens, SETTINGS):
        unit = "%" if qty.kind == "percentage" else qty.unit
        kind = qty.kind if qty.kind != "clearance" else "length"
        if not unit or (labels and kind not in labels):
            continue
        yield _amount(unit, qty.value, qty.high)


def score_quantities() -> dict[str, Tally]:
    """A tally for each suite of quantities."""
    suites, cases = read_suites("public_quantities.json")
    tallies = {name: Tally() for name in suites}
    for case in cases:
        labels = suites[case["suite"]].get("labels", [])
        tallies[case["suite"]].compare(case["text"], list(_wanted(case)), list(_found(case["text"], labels)))
    return tallies


def numbers_in(text: str) -> list[float]:
    """Every number of a text, in order, as `pipeline.numbers` reads them."""
    pieces = cut(text.split())
    words = [piece.text for piece in pieces]
    breaks = {place for place in range(1, len(pieces)) if pieces[place - 1].stop}
    found, place = [], 0
    while place < len(words):
        number = read_number(words, place, breaks)
        if number is None:
            place += 1
            continue
        # A minus sign is no word: quantities/measures.py looks at it.
        joint = pieces[place].joint
        minus = joint.strip() in ("-", "−") and joint[:1] == " "
        found.append(float(-number.exact if minus else number.exact))
        place = number.end
    return found


def score_numbers() -> dict[str, Tally]:
    """A tally for each suite of numbers."""
    suites, cases = read_suites("public_numbers.json")
    tallies = {name: Tally() for name in suites}
    for case in cases:
        wanted = [float(value) for value in case["values"]]
        tallies[case["suite"]].compare(case["text"], wanted, numbers_in(case["text"]))
    return tallies


def total(tallies: dict[str, Tally]) -> Tally:
    """All suites together."""
    whole = Tally()
    for tally in tallies.values():
        whole.add(tally)
    return whole


def main() -> None:
    """Prints the tallies, and what was wrong."""
    asked = sys.argv[1:] or ["quantities", "numbers"]
    for name in asked:
        tallies = score_quantities() if name == "quantities" else score_numbers()
        for suite, tally in tallies.items():
            print(f"{suite}: {tally}")
            for line in tally.wrong:
                print(f"    {line}")
        print(f"all {name}: {total(tallies)}")


if __name__ == "__main__":
    main()
