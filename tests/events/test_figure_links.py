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
