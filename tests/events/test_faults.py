"""Faults that are told of a part: what was found, and what was not taken out."""

from __future__ import annotations

import pytest

from tests.events.scoring import events_of

# invented sentences; what is found of which part
FOUND = [
    ("The pulley was out of true.", "pulley", "out of true"),
    ("The lathe was a bit out of level.", "lathe", "a bit out of level"),
    ("The screw's good but the nut's had it.", "nut", "had it"),
    ("The coolant pump isn't working.", "coolant pump", "not working"),
    ("The switch doesn't work.", "switch", "doesn't work"),
]
NOT_FOUND = [
    "The nut has had its thread cleaned.",
    "If the fan isn't working, check the fuse.",
    "I've had the pump out.",
]


@pytest.mark.parametrize(("said", "part", "found"), FOUND)
def test_a_fault_is_found_and_nothing_removed(said: str, part: str, found: str) -> None:
    events = events_of(said)
    assert ("inspect", part, found) in [(event.action, event.part, event.found) for event in events]
    assert "remove" not in [event.action for event in events]


@pytest.mark.parametrize("said", NOT_FOUND)
def test_no_fault(said: str) -> None:
    assert "inspect" not in [event.action for event in events_of(said) if event.part != "fuse"]
