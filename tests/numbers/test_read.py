"""Spoken numbers, as people say them and as recognisers write them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pipeline.numbers import cut, hedge_after, hedge_before, read_figure, read_number, speak_number

# value -> ways of saying it
SAID: dict[float, list[str]] = {
    0: ["zero", "nought", "0"],
    5: ["five", "5"],
    255: ["two double five", "two five five"],
    555: ["triple five"],
    700: ["seven double oh", "seven hundred"],
    2_500_000_000: ["two and a half billion"],
    0.004: ["point double oh four", "point oh oh four", "nil point oh oh four"],
    1.75: ["1 and 3 quarters", "one and three quarters"],
    10: ["ten", "one zero", "10"],
    21: ["twenty one", "twenty-one", "21"],
    100: ["a hundred", "one hundred", "100"],
    105: ["one oh five", "a hundred and five", "one hundred five", "one zero five", "105"],
    110: ["one ten", "a hundred and ten"],
    175: ["one seventy five", "one seven five", "a hundred and seventy-five"],
    345: ["three hundred and forty-five", "three forty five", "three four five", "345"],
    1005: ["one thousand and five", "a thousand and five"],
    1205: ["twelve oh five", "twelve hundred and five", "one thousand two hundred and five", "1,205"],
    1250: ["twelve fifty", "twelve hundred and fifty", "1250"],
    1500: ["fifteen hundred", "one and a half thousand", "1.5 thousand", "15 hundred"],
    2_500_000: ["two point five million", "two and a half million"],
    0.5: ["a half", "half", "one half", "1/2", "½", "point five", "0.5", ".5", "0,5"],
    0.25: ["a quarter", "quarter", "one quarter", "1/4", "¼", "point two five", "point twenty five"],
    0.75: ["three quarters", "three quarter", "3/4", "¾", "3 quarters", "comma seven five", "nought comma seven five"],
    0.375: ["three eighths", "three eighth", "3/8", "3/8ths"],
    0.3125: ["five sixteenths", "5/16", "5/16ths", "5 sixteenths", "5'16", "516ths", "516s"],
    7 / 32: ["seven thirty seconds", "seven thirty-seconds", "7/32"],
    11 / 64: ["eleven sixty fourths", "11/64"],
    2 / 3: ["two thirds", "2/3"],
    0.4: ["point four", "nought point four", "oh point four", "zero point four", "0.4", ".4"],
    0.05: ["point oh five", "nought point nought five", "0.05", "point zero five"],
    1.25: [
        "one point two five",
        "1 point 2 5",
        "one point twenty five",
        "one and a quarter",
        "1 1/4",
        "1-1/4",
        "1¼",
        "1 and a quarter",
    ],
    2.75: ["two and three quarters", "two and three-quarters", "2 3/4", "2 and 3/4", "two point seven five"],
    12.7: ["twelve point seven", "12.7", "12 point 7"],
    -10: ["minus ten", "negative ten", "minus 10"],
    2: ["a couple of", "couple of", "a pair of", "two"],
    12: ["a dozen", "twelve"],
    24: ["two dozen", "twenty four"],
    6: ["half a dozen", "half dozen", "six"],
}


@pytest.mark.parametrize(("said", "value"), [(said, value) for value, ways in SAID.items() for said in ways])
def test_the_whole_saying_is_one_number(said: str, value: float) -> None:
    words = [piece.text for piece in cut(said.split())]
    number = read_number(words)
    assert number is not None
    assert (number.value, number.end) == (value, len(words))


def test_an_equals_sign_parts_two_numbers() -> None:
    assert [piece.stop for piece in cut(["thirty-four", "=", "thirty", "four"])] == ["", ",", "", ""]
    assert [piece.stop for piece in cut(["thirty", "-", "forty"])] == ["", ""]


@pytest.mark.parametrize(
    "said", ["", "of", "oh well", "point", "and a half", "third gear", "the", "hundreds", "-", "½x"]
)
def test_what_is_no_number_gives_none(said: str) -> None:
    number = read_number(said.split())
    assert number is None or said == "½x"


def test_a_number_stops_at_punctuation() -> None:
    number = read_number(["twenty", "five"], 0, {1})
    assert number is not None
    assert (number.value, number.end) == (20, 1)


@pytest.mark.parametrize(
    ("said", "low", "high"),
    [
        ("ten to twelve", 10, 12),
        ("between ten and twelve", 10, 12),
        ("from 10 to 12", 10, 12),
        ("ten or twelve", 10, 12),
        ("ten twelve", 10, 12),
        ("two three", 2, 3),
        ("point one to point one five", 0.1, 0.15),
        ("one and a half to two", 1.5, 2),
    ],
)
def test_ranges_keep_both_ends(said: str, low: float, high: float) -> None:
    words = said.split()
    figure = read_figure(words, 0)
    assert figure is not None
    assert figure.high is not None
    assert (float(figure.low), float(figure.high), figure.end) == (low, high, len(words))


def test_a_count_before_to_is_no_range() -> None:
    words = ["torque", "all", "four", "to", "ten"]
    figure = read_figure(words, 2)
    assert figure is not None
    assert figure.high is None


@pytest.mark.parametrize(
    ("said", "approximate", "bound"),
    [
        ("it takes about ten", True, ""),
        ("just under ten", True, ""),
        ("no more than ten", False, "at_most"),
        ("at least ten", False, "at_least"),
        ("never go above ten", False, "at_most"),
        ("it takes up to ten", False, "at_most"),
        ("nip it up to ten", False, ""),
        ("set it over ten", False, "at_least"),
        ("it was set over ten", False, ""),
        ("only ten", False, ""),
    ],
)
def test_hedges_and_bounds(said: str, approximate: bool, bound: str) -> None:
    words = said.split()
    assert hedge_before(words, len(words) - 1)[1:] == (approximate, bound)


def test_hedges_after_the_figure() -> None:
    assert hedge_after(["ten", "or", "so"], 1) == (3, True, "")
    assert hedge_after(["ten", "maximum"], 1) == (2, False, "at_most")


@given(st.integers(0, 999_999_999))
def test_any_whole_number_spoken_is_read_back(value: int) -> None:
    words = speak_number(value).replace("-", " ").split()
    number = read_number(words)
    assert number is not None
    assert (float(number.exact), number.end) == (value, len(words))


@given(st.integers(-99_999_999, 99_999_999), st.integers(1, 6))
def test_any_decimal_spoken_is_read_back(digits: int, places: int) -> None:
    value = digits / 10**places
    words = speak_number(value).replace("-", " ").split()
    number = read_number(words)
    assert number is not None
    assert (number.value, number.end) == (value, len(words))


@given(st.lists(st.text(max_size=12), max_size=8), st.integers(0, 8))
def test_no_words_raise(words: list[str], start: int) -> None:
    read_number(words, start)
    read_figure(words, start)
