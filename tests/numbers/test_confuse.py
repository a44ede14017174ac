"""Which numbers sound alike, held against published pronunciations."""

from __future__ import annotations

import pytest

from pipeline.numbers import CLOSE_WORDS, confusions, read_number, slip, speak_number
from pipeline.numbers.words import ONES, TEENS, TENS

# Pronunciations of the number words in the CMU Pronouncing Dictionary (all of them, stress marks left out).
CMU = {
    "one": "W AH N",
    "two": "T UW",
    "three": "TH R IY",
    "four": "F AO R",
    "five": "F AY V",
    "six": "S IH K S",
    "seven": "S EH V AH N",
    "eight": "EY T",
    "nine": "N AY N",
    "ten": "T EH N",
    "eleven": "IH L EH V AH N",
    "twelve": "T W EH L V",
    "thirteen": "TH ER T IY N",
    "fourteen": "F AO R T IY N",
    "fifteen": "F IH F T IY N",
    "sixteen": "S IH K S T IY N",
    "seventeen": "S EH V AH N T IY N",
    "eighteen": "EY T IY N",
    "nineteen": "N AY N T IY N",
    "twenty": "T W EH N T IY / T W EH N IY",
    "thirty": "TH ER T IY",
    "forty": "F AO R T IY",
    "fifty": "F IH F T IY",
    "sixty": "S IH K S T IY",
    "seventy": "S EH V AH N T IY / S EH V AH N IY",
    "eighty": "EY T IY",
    "ninety": "N AY N T IY",
}


def phone_distance(one: str, other: str) -> int:
    if "/" in one + other:
        return min(phone_distance(left, right) for left in one.split(" / ") for right in other.split(" / "))
    row = list(range(len(other.split()) + 1))
    for left in one.split():
        previous, row[0] = row[0], row[0] + 1
        for place, right in enumerate(other.split(), 1):
            previous, row[place] = row[place], min(previous + (left != right), row[place] + 1, row[place - 1] + 1)
    return row[-1]


def test_close_words_are_those_within_one_phone() -> None:
    assert set(CMU) == {*ONES, *TEENS, *TENS} - {"fourty"}
    close = {
        frozenset((one, other))
        for one in CMU
        for other in CMU
        if one < other and phone_distance(CMU[one], CMU[other]) <= 1
    }
    assert {frozenset((one, other)) for one, others in CLOSE_WORDS.items() for other in others} == close


@pytest.mark.parametrize(
    ("said", "rivals"),
    [
        ("fifteen", {50}),
        ("fifty", {15}),
        ("15", {50}),
        ("eighteen", {80}),
        ("eighty", {18, 8}),
        ("twelve", set()),
        ("a hundred and fifteen", {150, 15}),
        ("two point five", {25}),
        ("twenty five", {20.5}),
        ("point eight", {8}),
        ("one thirty", {113}),
    ],
)
def test_other_readings(said: str, rivals: set[float]) -> None:
    found = {reading.value for reading in confusions(said.split())}
    assert rivals <= found


def test_fifteen_milligrams_heard_as_fifty() -> None:
    """ISMP Medication Safety Alert, 24 January 2001: a spoken 15 mg was heard as 50 mg."""
    assert slip(15) == (50,)
    assert slip(50) == (15,)


def test_every_reading_is_a_number_of_its_own_words() -> None:
    for value in range(1, 1000):
        for reading in confusions(speak_number(value).replace("-", " ").split()):
            number = read_number(list(reading.words))
            assert number is not None
            assert number.value == reading.value != value
            assert reading.why
