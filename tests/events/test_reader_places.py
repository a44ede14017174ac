"""Sides, positions and conditions: what the reader says is weighed against what the rules chose."""

import numpy as np
import pytest

from pipeline.events.reader_places import LIMITS, ReaderPlaces, attribute_words
from pipeline.events.rules import load_rules
from pipeline.reader.reading import VERB_PLACE, Floats, Reading
from tests.events.scoring import events_of

WORDS = ["the", "left", "caliper", "is", "on", "and", "the", "right", "pads", "are", "worn"]


class Pairs:
    """Scores by the place of the attribute word; half from the verb, half from the part."""

    def __init__(self, scores: dict[int, float]) -> None:
        self._scores = scores

    def score(self, role: int, first: int, second: int) -> float:
        """The same from the verb and from the part."""
        assert role >= VERB_PLACE
        return self._scores[second] / 2

    def around(self, role: int, first: int, low: int, high: int) -> Floats:
        """Nothing here asks for parts."""
        raise AssertionError((first, low, high))


def chosen(scores: dict[int, float], ruled: str) -> str:
    nothing = np.zeros((len(WORDS), 1), np.float32)
    places = ReaderPlaces(WORDS, load_rules(), Reading(nothing, nothing, nothing, nothing, Pairs(scores)))
    return places.choose("side", 4, 2, ruled)


def test_the_words_that_can_tell_are_found_with_their_values() -> None:
    found = attribute_words(["left", "caliper,", "rear", "pads", "worn."], load_rules())
    assert [(at, what, value) for at, _, what, value in found] == [
        (0, "side", "left"), (2, "position", "rear"), (4, "condition", "worn"),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("left", "right", "ruled", "expected"),
    [
        (3.0, -5.0, "", "left"),
        (-1.0, -5.0, "", ""),
        (3.0, -5.0, "left", "left"),
        (-5.0, 4.0, "left", "right"),
        (3.0, 3.5, "left", "left"),
        (-20.0, -20.0, "left", ""),
    ],
)
def test_the_rules_are_overruled_only_by_much(left: float, right: float, ruled: str, expected: str) -> None:
    drop, add, lead = LIMITS["side"]
    assert drop < 0 < add < 3 and 0.5 < lead < 9
    assert chosen({1: left, 7: right}, ruled) == expected


def test_a_plain_sentence_keeps_sides_apart() -> None:
    found = {
        (event.part, event.side) for event in events_of("I fitted the left fork seal and I removed the right caliper.")
    }
    assert found == {("fork seal", "left"), ("caliper", "right")}
