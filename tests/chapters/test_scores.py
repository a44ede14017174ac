"""The measures themselves, against published worked examples."""

from __future__ import annotations

import pytest

from tests.chapters.scores import agreement, matched, pk, window, window_diff

# Worked examples in the documentation of NLTK's metrics (nltk.metrics.segmentation): Pk of 100 x "1 after every fourth"
# against shifted and empty divisions, and WindowDiff of three strings with k = 3.
PERIODIC = "0100" * 100


def test_pk_of_a_division_with_itself_and_with_none() -> None:
    assert pk(PERIODIC, "1" * 400, 2) == pytest.approx(0.50, abs=0.005)
    assert pk(PERIODIC, "0" * 400, 2) == pytest.approx(0.50, abs=0.005)
    assert pk(PERIODIC, PERIODIC, 2) == 0.0


@pytest.mark.parametrize(
    ("gold", "found", "expected"),
    [
        ("000100000010", "000100000010", 0.0),
        ("000100000010", "000010000100", 0.30),
        ("000010000100", "100000010000", 0.80),
    ],
)
def test_window_diff_worked_examples(gold: str, found: str, expected: float) -> None:
    assert window_diff(gold, found, 3) == pytest.approx(expected, abs=0.005)


def test_window_is_half_the_mean_segment() -> None:
    assert window("000100000010") == 2
    assert window("0" * 39 + "1" + "0" * 40) == 20


def test_each_boundary_is_matched_once_and_within_ten_seconds() -> None:
    assert matched([10_000, 12_000], [11_000]) == 1
    assert matched([21_000], [11_000]) == 1
    assert matched([21_001], [11_000]) == 0
    # Greedy matching of the nearest would give 20 to 15 and lose a pair.
    assert matched([20_000, 29_000], [15_000, 21_000]) == 2
    result = agreement([60_000], [61_000, 120_000], 180_000)
    assert (result.pairs, result.found, result.gold) == (1, 1, 2)
    assert result.f1 == pytest.approx(2 / 3)
