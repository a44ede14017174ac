"""The finder against the corpora that a mechanic can read and extend."""

from __future__ import annotations

import random
import time

import pytest

from pipeline.numbers.words import DENOMINATORS, NUMBER_WORDS
from pipeline.records import Settings
from pipeline.vocabulary import load_vocabulary
from tests.quantities.scoring import found_in, read_corpus, score, unpunctuated

_NUMBERS = NUMBER_WORDS | set(DENOMINATORS)
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


def plain_talk(count: int) -> list[str]:
    """Workshop talk without any figure, put together from everyday phrases and the vocabulary's terms."""
    opening = ["Right,", "Okay, so", "Now", "Well,", "And then", "For now", "Oh,", "To be fair,", "At that point", "So"]
    doing = [
        "I'm going to take the {} off",
        "the {} goes on the far end",
        "one of these holds the {}",
        "that's the {} done",
        "I won't overtighten the {}",
        "the {} ate the other one",
        "give the {} a turn by hand",
        "the {} is on its second life",
        "you can't get a bar on the {}",
        "I put my foot on the {}",
        "the {} cost me a few pounds",
        "it took a minute to free the {}",
        "the {} is a bit tight for my liking",
        "I had to go back for the {}",
        "there's a degree of wear in the {}",
        "every now and then the {} sticks",
        "we want the {} to seat square",
        "no one makes the {} any more",
        "the first {} was scrap",
        "half the time the {} just falls out",
        "the {} wants an ounce of grease",
        "I lost the {} in the grass",
    ]
    closing = [
        "and that's that.",
        "so far.",
        "as far as I can tell.",
        "before it gets dark.",
        "too.",
        "for the time being.",
        "again.",
    ]
    terms = [
        term.name
        for term in load_vocabulary().terms
        if term.kind == "part" and not _NUMBERS & set(term.name.replace("-", " ").split())
    ]
    chance = random.Random(175)
    return [
        f"{chance.choice(opening)} {chance.choice(doing).format(chance.choice(terms))} {chance.choice(closing)}"
        for _ in range(count)
    ]


def test_no_figure_is_invented_in_ten_thousand_sentences() -> None:
    lines = plain_talk(10_000)
    assert len(set(lines)) > 9_000
    invented = [(line, found_in(line)) for line in lines if found_in(line)]
    assert not invented, invented[:5]


def test_an_hour_of_speech_takes_about_a_second() -> None:
    """The limit allows for a slow and busy machine."""
    words = " ".join(case.say for case in DEV_CASES).split()
    hour = " ".join((words * 10)[:9_000])
    found_in(hour)
    start = time.process_time()
    found = found_in(hour)
    assert time.process_time() - start < 12
    assert len(found) > 1_000
