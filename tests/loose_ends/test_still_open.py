"""What is still open in so many words, and which part waits."""

from __future__ import annotations

import pytest

from tests.loose_ends.scoring import loose_ends_of
from tests.loose_ends.test_undone import open_in


@pytest.mark.parametrize(
    ("said", "kind", "part"),
    [
        ("I've the gearbox level plug out to see what came past that seal, and it's still out.", "not_closed",
         "gearbox level plug"),
        ("And both these caps on the left cover are still open.", "not_closed", "cap"),
        ("The clip's a two dollar part and I haven't got one.", "waiting", "clip"),
        ("I drained the gearbox oil this morning.", "not_closed", "gearbox oil"),
        ("I've let the gearbox oil out.", "not_closed", "gearbox oil"),
        ("New front brake cable, that's routed. The rear one I've cut too short, so I've ordered another.",
         "waiting", "brake cable"),
    ],
)  # fmt: skip
def test_is_open(said: str, kind: str, part: str) -> None:
    assert (kind, part) in {(end[0], end[1]) for end in open_in(said)}


@pytest.mark.parametrize(
    ("said", "part"),
    [
        (
            "I had the gearbox level plug out, and it was still out on Tuesday, but it's back in now.",
            "gearbox level plug",
        ),
        ("If the caps are still open you can see the mark.", "cap"),
        ("The clip's a two dollar part and I've got a boxful.", "clip"),
        (
            "I drained the gearbox oil. Then pump, pump, pump. So what have I used, six hundred and sixty.",
            "gearbox oil",
        ),
        ("The gearbox was over the line, so I've let some out.", "gearbox"),
        ("The gearbox was over the line, so I drained a bit off.", "gearbox"),
        ("New front brake cable, that's routed. The rear one I've cut too short, so I've ordered another.",
         "front brake cable"),
    ],
)  # fmt: skip
def test_is_not_open(said: str, part: str) -> None:
    assert part not in {end[1] for end in open_in(said)}


def test_a_cover_that_is_open_is_put_on_and_not_filled() -> None:
    ends = [end for end in loose_ends_of("The port side cover's off, so port's open.") if end.kind == "not_closed"]
    assert not [end for end in ends if end.action == "fill"]
