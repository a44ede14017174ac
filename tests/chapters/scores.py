"""How well found boundaries agree with a person's: F1 within a tolerance, Pk and WindowDiff."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass


def matched(found_ms: Sequence[int], gold_ms: Sequence[int], within_ms: int = 10_000) -> int:
    """Greatest number of pairs of a found and a gold boundary, each used once, no further apart than `within_ms`."""
    found, gold = sorted(found_ms), sorted(gold_ms)
    pairs = at = 0
    for boundary in gold:
        # The earliest found boundary still in reach leaves most for the later ones.
        while at < len(found) and found[at] < boundary - within_ms:
            at += 1
        if at < len(found) and found[at] <= boundary + within_ms:
            pairs += 1
            at += 1
    return pairs


def f1(pairs: int, found: int, gold: int) -> float:
    """Harmonic mean of precision and recall; 1 where there was nothing to find and nothing was found."""
    return 2 * pairs / (found + gold) if found + gold else 1.0


def window(gold: str) -> int:
    """Half the mean length of a gold segment (Beeferman, Berger and Lafferty, Machine Learning 34, 1999)."""
    return max(2, round(len(gold) / (2 * (gold.count("1") + 1))))


def pk(gold: str, found: str, k: int) -> float:
    """Pk: share of pairs k units apart that one division puts together and the other apart.

    Divisions are strings with "1" where a boundary follows the unit (Beeferman, Berger and Lafferty 1999).
    """
    wrong = sum(("1" in gold[at : at + k]) != ("1" in found[at : at + k]) for at in range(len(gold) - k + 1))
    return wrong / (len(gold) - k + 1)


def window_diff(gold: str, found: str, k: int) -> float:
    """WindowDiff: share of windows of k units in which the numbers of boundaries differ (Pevzner and Hearst 2002)."""
    wrong = sum(gold[at : at + k].count("1") != found[at : at + k].count("1") for at in range(len(gold) - k + 1))
    return wrong / (len(gold) - k + 1)


def as_units(starts_ms: Sequence[int], duration_ms: int, step_ms: int = 1000) -> str:
    """Boundaries as a string of one figure a second."""
    marks = {round(start / step_ms) - 1 for start in starts_ms}
    return "".join("1" if at in marks else "0" for at in range(duration_ms // step_ms))


@dataclass(frozen=True)
class Agreement:
    """Sums over recordings; prints as the measures with their counts."""

    pairs: int = 0
    found: int = 0
    gold: int = 0
    pks: tuple[float, ...] = ()
    window_diffs: tuple[float, ...] = ()

    def __add__(self, other: Agreement) -> Agreement:
        return Agreement(
            self.pairs + other.pairs,
            self.found + other.found,
            self.gold + other.gold,
            self.pks + other.pks,
            self.window_diffs + other.window_diffs,
        )

    @property
    def f1(self) -> float:
        return f1(self.pairs, self.found, self.gold)

    @property
    def pk(self) -> float:
        return sum(self.pks) / len(self.pks)

    def __str__(self) -> str:
        spread = sum(self.window_diffs) / len(self.window_diffs)
        return (
            f"F1 {self.f1:.3f} ({self.pairs} right of {self.found} found, {self.gold} wanted, "
            f"{len(self.pks)} recordings) Pk {self.pk:.3f} WindowDiff {spread:.3f}"
        )


def agreement(found_ms: Sequence[int], gold_ms: Sequence[int], duration_ms: int) -> Agreement:
    """Agreement on one recording. Boundaries exclude the start of the recording."""
    gold, found = as_units(gold_ms, duration_ms), as_units(found_ms, duration_ms)
    k = window(gold)
    pairs = matched(found_ms, gold_ms)
    return Agreement(pairs, len(found_ms), len(gold_ms), (pk(gold, found, k),), (window_diff(gold, found, k),))
