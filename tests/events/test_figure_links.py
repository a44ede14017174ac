"""Figures go with the event they were said with, also across a clause, and a torque makes a torquing."""

from __future__ import annotations

import pytest

from pipeline.events import finder_of
from pipeline.quantities import attach_quantities, find_quantities
from pipeline.records import Settings
from pipeline.tokens import line_words, written_tokens
from pipeline.vocabulary import load_vocabulary

VOCABULARY = load_vocabulary()


def told(said: str) -> set[tuple[str, str, str]]:
    """(action, part, figures) of each event that has figures."""
    tokens = written_tokens(line_words(said))
    quantities = attach_quantities(find_quantities(tokens, Settings()), tokens, VOCABULARY)
    shown = {qty.id: f"{qty.value:g} {qty.unit}" for qty in quantities}
    events = finder_of(VOCABULARY).find(tokens, quantities).events
    return {(e.action, e.part, ", ".join(shown[key] for key in e.quantities)) for e in events if e.quantities}


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
