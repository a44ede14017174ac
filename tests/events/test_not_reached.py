"""A torque that was only wanted was not done, and a plain spanner shows none."""

from __future__ import annotations

import pytest

from tests.events.scoring import events_of, unpunctuated
from tests.loose_ends.scoring import loose_ends_of

WANTED = [
    ("The hub nut. It's 290 newton metres. I haven't got a wrench that goes that far.", "hub nut"),
    ("The flywheel nut wants 180 newton metres and my wrench only goes to 100.", "flywheel nut"),
    ("The pulley bolt should be 200 newton metres, but I don't have a torque wrench that big.", "pulley bolt"),
    ("The head bolts are meant to be 60 newton metres. I'll borrow a torque wrench on Friday.", "head bolt"),
    ("I've done the axle nut up. It's 220 newton metres but my torque wrench doesn't go that high.", "axle nut"),
]


def _torqued(said: str) -> set[str]:
    return {event.part for event in events_of(said) if event.action == "torque" and event.status in ("done", "past")}


@pytest.mark.parametrize(("said", "part"), WANTED)
def test_what_was_not_reached_was_not_done(said: str, part: str) -> None:
    assert part not in _torqued(said)
    assert part in [end.part for end in loose_ends_of(said) if not end.closed_by], "and it is open"


@pytest.mark.parametrize(("said", "part"), WANTED[:3])
def test_nor_where_no_punctuation_was_heard(said: str, part: str) -> None:
    assert part not in _torqued(unpunctuated(said))


@pytest.mark.parametrize(
    ("said", "part"),
    [
        ("I torqued the hub nut to 200 newton metres, I haven't got a wrench that goes further.", "hub nut"),
        ("The hub nut's on. 290 newton metres, with a multiplier because my wrench doesn't go that far.", "hub nut"),
        ("Crank nut done up to 90 newton metres, I borrowed a wrench because mine only goes to 60.", "crank nut"),
        ("The caliper bolts are on, thirty five newton metres.", "caliper bolt"),
        ("Sump plug, 25 newton metres. I haven't got a new washer for it.", "sump plug"),
    ],
)
def test_what_was_reached_was_done(said: str, part: str) -> None:
    assert part in _torqued(said)


@pytest.mark.parametrize(
    "said",
    [
        "The lock nuts are done up. Just with the spanner, thirteen and fifteen.",
        "Treadle bolts done up with the spanner, ten and twelve.",
        "I've done the gland nut up with the big spanner, nineteen and twenty two.",
    ],
)
def test_a_plain_spanner_shows_no_torque(said: str) -> None:
    assert not _torqued(said)
    assert any(event.action == "tighten" for event in events_of(said))


def test_a_figure_said_with_a_spanner_is_one() -> None:
    said = "Tightened the cylinder nuts with a ring spanner to about twenty newton metres."
    assert _torqued(said) == {"cylinder nut"}
