"""Which part is left open where several could be, and what is open where none is named."""

from __future__ import annotations

import pytest

from pipeline.loose_ends import close_loose_ends
from pipeline.records import LooseEnd
from tests.loose_ends.scoring import loose_ends_of
from tests.loose_ends.test_closing import EVENT


def named(said: str) -> list[tuple[str, str]]:
    return [(end.kind, end.part) for end in loose_ends_of(said) if not end.closed_by]


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        (
            "I won't do the stem nut up yet because the top yoke has to line up with the forks.",
            [("loose", "stem nut")],
        ),
        (
            "I haven't torqued the axle nut yet because the chain has still got to be adjusted.",
            [("loose", "axle nut"), ("promised", "chain")],
        ),
        ("Still to do. The gear lever and the horn.", [("promised", "gear lever"), ("promised", "horn")]),
        (
            "I've fitted the plug. What have I still got to do. Bleed the rear brake. Set the preload.",
            [("promised", "rear brake"), ("promised", "preload")],
        ),
        ("Don't forget to put the rubber cover back. I've not done that.", [("promised", "rubber cover")]),
        ("I've fitted the belt. They've been ordered.", [("waiting", "belt")]),
    ],
)
def test_what_is_meant(said: str, wanted: list[tuple[str, str]]) -> None:
    assert named(said) == wanted


def test_what_nobody_can_name_is_closed_by_nothing() -> None:
    end = LooseEnd("promised", "", "I'll do that later", 1_000)
    assert close_loose_ends([end], [EVENT], "day-3") == [end]
