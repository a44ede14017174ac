"""What the learned weights may decide, what they may not, and that a person can read them."""

from __future__ import annotations

import json

import pytest

from pipeline.events import EventFinder
from pipeline.events.judge import WEIGHTS, RulesOnly
from pipeline.reader.reading import STATUSES
from pipeline.tokens import line_words, written_tokens
from tests.events.scoring import events_of, finder_vocabulary


def test_weights_are_readable_and_complete() -> None:
    data = json.loads(WEIGHTS.read_text(encoding="utf-8"))
    assert {"part", "referent", "status", "threshold"} == set(data)
    weights = [*data["part"].values(), *data["referent"].values()]
    assert weights and all(abs(weight) < 6 for weight in weights), "no single sign decides alone"
    assert {status for row in data["status"].values() for status in row} <= set(STATUSES)


@pytest.mark.parametrize(
    "said",
    [
        "Should I fit the bracket?",
        "I wish I'd fitted the bracket.",
        "If it leaks, fit a bracket.",
        "Never fit the bracket.",
    ],
)
def test_what_the_rules_rule_out_stays_out(said: str) -> None:
    assert events_of(said) == ()


def test_told_without_a_verb_of_its_own() -> None:
    """Only the weights believe in what goes with a part; the rules alone do not see the hand tight nuts."""
    said = "The manifold is back on with a new gasket, and the nuts are just run on with my fingers."
    found = {(event.action, event.part, event.status) for event in events_of(said)}
    assert ("fit", "gasket", "done") in found
    assert ("tighten", "nut", "provisional") in found
    alone = EventFinder(finder_vocabulary(), RulesOnly()).find(written_tokens(line_words(said))).events
    assert ("tighten", "nut", "provisional") not in {(event.action, event.part, event.status) for event in alone}
    assert {event.part for event in events_of("The manifold is back on with a lot of swearing.")} == {"manifold"}


def test_a_pronoun_agrees_in_number_and_prefers_what_is_near() -> None:
    def last(said: str) -> tuple[str, str]:
        event = events_of(said)[-1]
        return event.action, event.part

    assert last("I took the drum off. Two springs were weak. I cleaned it.") == ("clean", "drum")
    assert last("I took the drum off. Two springs were weak. I cleaned them.") == ("clean", "spring")
    assert last("I took the drum off. I cleaned the backplate and painted it.") == ("coat", "backplate")
