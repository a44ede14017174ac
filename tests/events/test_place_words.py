"""Words of side and position: where they say where a part is, and where they say something else."""

from __future__ import annotations

import pytest

from pipeline.events.place_words import exception, tells_place
from pipeline.tokens import bare
from tests.events.scoring import events_of


@pytest.mark.parametrize(
    ("said", "word", "expected"),
    [
        ("New pads in. Right, the springs.", "right", False),
        ("Right so the springs.", "right", False),
        ("Right rear, that's clean.", "right", True),
        ("The right caliper.", "right", True),
        ("Dirt right at the bottom of the bore.", "right", False),
        ("The one on the right at the back.", "right", True),
        ("Left one off at four, right at five.", "right", True),
        ("Make sure it's the right way up.", "right", False),
        ("I haven't got the right bolts for it.", "right", False),
        ("I haven't fitted the right bolt.", "right", True),
        ("Clip. Put that back on.", "back", False),
        ("Then back an eighth of a turn.", "back", False),
        ("The back wheel.", "back", True),
        ("I've left it off.", "left", False),
        ("What's left is the tank.", "left", False),
        ("The left caliper.", "left", True),
        ("It slides in from the left.", "left", False),
        ("I took it from the left caliper.", "left", True),
        ("It drops out of the bottom.", "bottom", False),
        ("The bolt at the bottom.", "bottom", True),
    ],
)
def test_a_word_tells_a_place_or_something_else(said: str, word: str, expected: bool) -> None:
    words = [bare(piece) for piece in said.split()]
    breaks = [True, *(piece[-1] in ".,;" for piece in said.split())]
    at = words.index(word)
    assert tells_place(words, breaks, at, at + 1) is expected


@pytest.mark.parametrize(
    ("said", "at", "end"),
    [
        ("all except the top one", 1, 2), ("all of them apart from the last", 3, 5), ("everything bar the hose", 1, 2),
        ("everything but the hose", 0, 2), ("on the breaker bar the socket", 3, 3), ("it part way", 1, 1),
    ],
)  # fmt: skip
def test_words_that_leave_something_out(said: str, at: int, end: int) -> None:
    assert exception(said.split(), at) == end


@pytest.mark.parametrize(
    ("said", "part", "side", "position"),
    [
        ("Fuel pipe next. Put that back on.", "fuel pipe", "", ""),
        ("I've put the back wheel in.", "wheel", "", "rear"),
        ("The shaft slides in from the left.", "shaft", "", ""),
        ("I've fitted the shaft on the left.", "shaft", "left", ""),
        ("The wheel is in, and the speedo drive is on the left.", "wheel", "", ""),
        ("I've fitted the non drive cup.", "cup", "non-drive side", ""),
    ],
)
def test_a_direction_is_no_side(said: str, part: str, side: str, position: str) -> None:
    told = next(event for event in events_of(said) if event.part == part)
    assert (told.side, told.position) == (side, position)
