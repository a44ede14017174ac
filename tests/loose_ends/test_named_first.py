"""What is named first and then left is open; what the speaker only says of it is not."""

from __future__ import annotations

import pytest

from tests.loose_ends.scoring import loose_ends_of
from tests.loose_ends.test_undone import open_in


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("Front hub is done. Back hub I've yet to do.", "hub"),
        ("The chime strike I still need to watch.", "chime strike"),
        ("The governor linkage I haven't looked at yet.", "governor linkage"),
        ("The brake shoe I haven't done.", "brake shoe"),
        ("The drive chain I've still to tension.", "drive chain"),
        ("That's the wheels. The mudguards and rack aren't on.", "mudguard"),
        ("That's the wheels. The mudguards and rack aren't on.", "rack"),
    ],
)
def test_what_opens_the_sentence_is_what_is_left(said: str, wanted: str) -> None:
    assert wanted in [part for _, part, _, _ in open_in(said)]


@pytest.mark.parametrize(
    "said",
    [
        "The brake shoe I've done.",
        "The lamp I don't need to touch.",
        "The saddle I like.",
        "The gearbox I haven't needed for years.",
        "The horn I have to say is loud.",
        "The mudguards weren't on when I got it.",
    ],
)
def test_what_is_only_said_of_it_is_none(said: str) -> None:
    assert open_in(said) == []


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("I'm out of gear oil until Monday, it's on order.", "fill"),
        ("I'm out of clips until Monday, they're on order.", "fit"),
    ],
)
def test_oil_that_is_waited_for_is_filled(said: str, wanted: str) -> None:
    assert {end.action for end in loose_ends_of(said) if end.kind == "waiting"} == {wanted}
