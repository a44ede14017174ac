"""Numbers by which parts are ordered, and figures that are none."""

from __future__ import annotations

import pytest

from pipeline.events import find_events, find_part_numbers, finder_of
from pipeline.quantities import find_quantities
from pipeline.records import Settings, Token
from pipeline.vocabulary import load_vocabulary

VOCABULARY = load_vocabulary()


def _tokens(said: str) -> tuple[Token, ...]:
    return tuple(Token(word, at, at + 1, at * 300, at * 300 + 250) for at, word in enumerate(said.split()))


def _numbers(said: str) -> list[str]:
    tokens = _tokens(said)
    quantities = find_quantities(tokens, Settings())
    found = find_part_numbers(finder_of(VOCABULARY).read(tokens), tokens, quantities)
    return [" ".join(filter(None, (one.position, one.part, one.number))) for one in found]


@pytest.mark.parametrize(
    ("said", "number"),
    [
        ("New wheel bearings, six two oh three two R S, both sides.", "wheel bearing 6203 2RS"),
        ("The bearing is a 6005, sealed.", "bearing 6005"),
        ("New thermostat, number's T ninety, dash, one one four, and a new gasket.", "thermostat T90-114"),
        ("The oil seal, number is thirty three, forty six ten and it's in.", "oil seal 334610"),
        ("Two spindle bearings, new, the front one is a 32010 X.", "front spindle bearing 32010X"),
        ("I greased the bearings. W X 4 4 7 1 is the water pump.", "water pump WX4471"),
        ("The main bearing is an N J 2 oh 5.", "main bearing NJ205"),
        ("I fitted a sixty three oh five bearing.", "bearing 6305"),
        ("I fitted two sixty two oh five bearings in the drum.", "bearing 6205"),
        ("Two new 60 304 bearings on the fan shaft.", "bearing 6304"),
        ("The bearing's a 60205.", "bearing 60205"),
        ("The gearbox bearings, they're 6204 C3s.", "gearbox bearing 6204 C3"),
        ("The pads are W K B two two seven.", "pad WKB227"),
        ("The belt's an A thirty-five, and it squeals.", "belt A35"),
        ("Oil seal, twenty by forty by eight, double lip.", "oil seal 20x40x8"),
        ("A new sight glass, part number D9 dash 0631.", "sight glass D9-0631"),
        ("so the cross slide nut is on order number b five one one four", "cross slide nut B5114"),
        ("a new axle the number scratched on it is k b one two two", "axle KB122"),
        ("New wheel cylinder. Number off the box is C M four four one seven, stroke L.", "wheel cylinder CM4417/L"),
        ("New key here, three-sixteenths, part number D K zero two seven.", "key DK027"),
    ],
)
def test_the_number_of_a_part_is_kept_with_it(said: str, number: str) -> None:
    assert _numbers(said) == [number]


@pytest.mark.parametrize(
    "said",
    [
        "The bearings say made in nineteen seventy two on them.",
        "The bearing took twenty newton metres and fifty five mil of grease.",
        "The bolts are M10 by one, and the brake fluid is DOT 4.",
        "New bearing. Four of them, and then six more.",
        "The seal is on the bench. It was twenty quid.",
        "The belt guard has a thirty inch belt.",
        "The cover's on with T25 screws.",
        "The disc screws take a T 30.",
        "There are 60 205 gram weights on the bearing.",
        "the axle is b and the cup is four five",
        "It's a 125 engine and the gearbox takes SAE 30.",
    ],
)
def test_years_figures_threads_and_grades_are_no_numbers_of_parts(said: str) -> None:
    assert _numbers(said) == []


def test_what_is_said_of_a_key_for_a_gear_is_not_said_of_the_gear() -> None:
    found = find_events(_tokens("The key for the bull gear is new, and the spindle is original."), (), VOCABULARY)
    assert {mention.part: mention.condition for mention in found.mentions} == {"spindle": "original"}
    alone = find_events(_tokens("The gears. The bull gear is original."), (), VOCABULARY)
    assert ("bull gear", "original") in [(mention.part, mention.condition) for mention in alone.mentions]
