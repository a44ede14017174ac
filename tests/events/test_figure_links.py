"""Figures go with the event they were said with, also across a clause, and a torque makes a torquing."""

from __future__ import annotations

import pytest

from pipeline.events import finder_of
from pipeline.quantities import attach_quantities, find_quantities
from pipeline.records import Event, Settings
from pipeline.tokens import line_words, written_tokens
from pipeline.vocabulary import load_vocabulary

VOCABULARY = load_vocabulary()


def found(said: str) -> list[tuple[Event, str]]:
    """The events, each with its figures."""
    tokens = written_tokens(line_words(said))
    quantities = attach_quantities(find_quantities(tokens, Settings()), tokens, VOCABULARY)
    shown = {qty.id: f"{qty.value:g} {qty.unit}" for qty in quantities}
    events = finder_of(VOCABULARY).find(tokens, quantities).events
    return [(event, ", ".join(shown[key] for key in event.quantities)) for event in events]


def told(said: str) -> set[tuple[str, str, str]]:
    """(action, part, figures) of each event that has figures."""
    return {(event.action, event.part, shown) for event, shown in found(said) if shown}


def placed(said: str) -> set[tuple[str, str]]:
    """(position, figures) of each event."""
    return {(event.position, shown) for event, shown in found(said)}


@pytest.mark.parametrize(
    ("said", "event"),
    [
        ("I've torqued the cylinder head nuts to 22 newton metres.", ("torque", "cylinder head nut", "22 N·m")),
        ("The drain plug is back in, and that's tight, 25 newton metres.", ("torque", "drain plug", "25 N·m")),
        ("I filled the gearbox with 600 cc of gear oil.", ("fill", "gearbox", "600 mL")),
        ("I set the tappets to four thou with a feeler gauge.", ("adjust", "tappet", "4 thou")),
        ("The clutch nut came off with a 24 mm socket.", ("remove", "clutch nut", "24 mm")),
    ],
)
def test_a_figure_goes_with_its_event(said: str, event: tuple[str, str, str]) -> None:
    assert event in told(said)


def test_a_figure_of_a_spanner_makes_no_torque() -> None:
    assert ("tighten", "drain plug", "19 mm") in told("I tightened the drain plug with a 19 mm spanner.")


def test_a_torque_of_another_part_is_told_of_that_part() -> None:
    said = "The clamp bolts get ninety newton metres, and the drain plug, that's a new one, twenty newton metres."
    figures = {(part, shown) for _, part, shown in told(said)}
    assert ("clamp bolt", "90 N·m") in figures
    assert not any("," in shown for _, shown in figures)


def test_a_torque_goes_to_the_fastener_it_belongs_to() -> None:
    said = (
        "Yoke bolts first, twenty five newton metres. Both sides. Then the top caps go on, thirty. Then I can do the "
        "stem nut, and that goes to seventy newton metres."
    )
    figures = {shown: part for _, part, shown in told(said)}
    assert "top cap" in figures["30 N·m"]
    assert figures["70 N·m"] == "stem nut"


def test_no_torque_is_of_a_part_named_only_later() -> None:
    said = "The head's on. Torque it in three goes, twenty newton metres, then thirty, then forty. Side bolts next."
    assert not any(part == "side bolt" for _, part, _ in told(said))
    assert ("torque", "head", "20 N·m, 30 N·m, 40 N·m") in told(said)


def test_a_torque_is_not_of_the_hose_beside_the_bolts() -> None:
    said = "The caliper bolts are on, and the hose is clipped. Forty newton metres."
    assert {part for action, part, _ in told(said) if action == "torque"} == {"caliper bolt"}
    assert not any(event.action == "torque" and event.part == "hose" for event, _ in found(said))


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        (
            "Now the carrier bolts go in. Eleven newton metres. Sorry, that's the pump bolts. These are sixteen.",
            {("carrier bolt", "16 N·m"), ("pump bolt", "11 N·m")},
        ),
        (
            "Carrier bolts, eleven newton metres. Now the pump bolts. These get nine newton metres.",
            {("carrier bolt", "11 N·m"), ("pump bolt", "9 N·m")},
        ),
    ],
)
def test_the_owner_of_a_torque_is_corrected(said: str, expected: set[tuple[str, str]]) -> None:
    assert {(part, shown) for _, part, shown in told(said)} == expected


def test_all_parts_of_a_list_have_its_torque() -> None:
    said = "I torqued the caliper bolts and the carrier bolts to forty newton metres."
    assert {(part, shown) for _, part, shown in told(said)} == {("caliper bolt", "40 N·m"), ("carrier bolt", "40 N·m")}


def test_a_verb_says_of_what_a_torque_is() -> None:
    said = "The bearing cap is on with four cap screws, they're M8, and those are torqued to 25 newton metres."
    assert ("torque", "cap screw", "8 mm, 25 N·m") in told(said)


def test_what_is_wanted_goes_with_what_was_found() -> None:
    assert ("measure", "spring", "41 mm, 39 mm") in told(
        "I measured the springs at forty one millimetres, and the limit's thirty nine."
    )


@pytest.mark.parametrize(
    ("said", "places"),
    [
        (
            "I pumped up the tyres, thirty psi in the front and thirty four in the rear.",
            {("front", "30 psi"), ("rear", "34 psi")},
        ),
        (
            "The tappets I've set to four thou on the inlet and six on the exhaust.",
            {("inlet", "4 thou"), ("exhaust", "6 thou")},
        ),
        ("I've torqued the head nuts to 10 and then 22 newton metres.", {("", "10 N·m, 22 N·m")}),
    ],
)
def test_figures_of_two_places_are_two_events(said: str, places: set[tuple[str, str]]) -> None:
    assert {(place, shown) for place, shown in placed(said) if shown} == places


def test_a_figure_that_is_said_to_be_of_another_part_is_not_of_this_one() -> None:
    said = "Then the nut. Two ten newton metres is the old steel hub. Two hundred and forty five newton metres."
    assert not [event for event, shown in found(said) if event.part == "nut" and "210" in shown]
    assert ("torque", "nut", "210 N·m") in told("The nut, and two hundred and ten newton metres is the figure.")
