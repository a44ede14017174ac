"""The finder against the corpora that a mechanic can read and extend."""

from __future__ import annotations

import time

import pytest

from pipeline.records import Settings
from tests.quantities.scoring import found_in, read_corpus, score, unpunctuated

DEV_CASES, DEV_NEGATIVE = read_corpus("quantities.toml")
TEST_CASES, TEST_NEGATIVE = read_corpus("quantities_test.toml")


def test_the_corpora_are_large_enough() -> None:
    assert len(DEV_CASES) >= 600
    assert len(DEV_NEGATIVE) >= 190
    assert len(DEV_NEGATIVE) + len(TEST_NEGATIVE) >= 200
    assert len(TEST_CASES) >= 150
    assert not {case.say for case in DEV_CASES} & {case.say for case in TEST_CASES}


@pytest.mark.parametrize("bare", [False, True], ids=["punctuated", "unpunctuated"])
def test_every_saying_of_the_corpus_is_understood(bare: bool) -> None:
    found = score(DEV_CASES, bare=bare)
    assert not found.wrong, f"{found}\n" + "\n".join(found.wrong)


@pytest.mark.parametrize("bare", [False, True], ids=["punctuated", "unpunctuated"])
def test_held_out_sayings_are_understood(bare: bool) -> None:
    found = score(TEST_CASES, bare=bare)
    assert found.f1 >= 0.97, str(found)


@pytest.mark.parametrize("line", DEV_NEGATIVE + TEST_NEGATIVE)
def test_speech_without_a_figure_gives_none(line: str) -> None:
    assert not found_in(line)
    assert not found_in(unpunctuated(line))


def test_the_name_of_the_machine_is_no_figure() -> None:
    said = "the brannock 5 inch takes a 5 inch chuck"
    assert len(found_in(said)) == 2
    (qty,) = found_in(said, Settings(machine="Brannock 5-inch lathe"))
    assert (qty.value, qty.unit, qty.start_word) == (5, "in", 6)


def test_an_hour_of_speech_takes_about_a_second() -> None:
    """The limit allows for a slow and busy machine."""
    words = " ".join(case.say for case in DEV_CASES).split()
    hour = " ".join((words * 10)[:9_000])
    found_in(hour)
    start = time.process_time()
    found = found_in(hour)
    assert time.process_time() - start < 12
    assert len(found) > 1_000
