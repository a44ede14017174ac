"""Public suites of quantities and numbers, by other authors: what of them is read as they want it."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from tests.quantities.public_suites import Tally, numbers_in, read_suites, score_numbers, score_quantities, total

LEAST_F1 = 0.90


@pytest.mark.parametrize("score", [score_quantities, score_numbers], ids=["quantities", "numbers"])
def test_public_suites_are_read(score: Callable[[], dict[str, Tally]]) -> None:
    tallies = score()
    for name, tally in tallies.items():
        print(f"{name}: {tally}")
    whole = total(tallies)
    print(f"all: {whole}")
    assert whole.f1 >= LEAST_F1, str(whole)


@pytest.mark.parametrize("name", ["public_quantities.json", "public_numbers.json"])
def test_every_suite_says_where_it_is_from(name: str) -> None:
    suites, cases = read_suites(name)
    assert {case["suite"] for case in cases} == set(suites)
    for suite, head in suites.items():
        assert head["source"] and head["commit"] and head["licence"], suite
        assert head["cases"] == sum(case["suite"] == suite for case in cases)


def test_a_case_that_is_read_otherwise_is_counted() -> None:
    tally = Tally()
    tally.compare("two or three", [2.0, 3.0], [2.0, 4.0])
    assert (tally.right, tally.missed, tally.extra) == (1, 1, 1)
    assert numbers_in("minus five and 1,000") == [-5.0, 1000.0]
