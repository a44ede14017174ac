"""What one word tells is not done and undone at once, and what two words tell is both."""

from __future__ import annotations

import pytest

from tests.events.scoring import events_of

OPPOSITE = [{"fit", "remove"}, {"tighten", "slacken"}, {"connect", "disconnect"}, {"fill", "drain"}]


@pytest.mark.parametrize(
    "said",
    ["Five bolts on the lower unit.", "Three screws on that cover.", "Four nuts on the flange, and two on the cap."],
)
def test_what_is_counted_does_not_come_off_and_go_on(said: str) -> None:
    actions = [{event.action for event in events_of(said) if event.part == name} for name in ("bolt", "screw", "nut")]
    assert not any(pair <= found for pair in OPPOSITE for found in actions)


def test_a_bare_name_tells_one_deed() -> None:
    told = [
        event
        for event in events_of("The two return springs with the hooks facing the plate.")
        if "spring" in event.part
    ]
    assert len(told) <= 1


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("I took the cover off and put the cover back on.", {"fit", "remove"}),
        ("I slackened the clamp bolt and tightened the clamp bolt again.", {"slacken", "tighten"}),
    ],
)
def test_two_words_tell_both(said: str, wanted: set[str]) -> None:
    assert wanted <= {event.action for event in events_of(said)}
