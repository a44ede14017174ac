"""What was left as it was, what work is done with, what went in and what was renewed, each with its opposite."""

from __future__ import annotations

import pytest

from tests.events.scoring import events_of


def told(said: str) -> list[tuple[str, str, str]]:
    return [(event.action, event.part, event.status) for event in events_of(said)]


@pytest.mark.parametrize(
    ("said", "event", "expected"),
    [
        ("I've left the clamp bolt slack until the bar's on.", ("tighten", "clamp bolt", "negated"), True),
        ("I've left the clamp bolt finger tight.", ("tighten", "clamp bolt", "negated"), False),
        ("I must tighten the axle nuts.", ("tighten", "axle nut", "planned"), True),
        ("You must tighten the axle nuts.", ("tighten", "axle nut", "planned"), False),
        ("I've clamped the brake hose.", ("tighten", "brake hose", "done"), False),
        ("I've clamped the bracket.", ("tighten", "bracket", "done"), True),
        ("The crankcase is tight.", ("tighten", "crankcase", "done"), False),
        ("The axle nut is tight.", ("test", "axle nut", "done"), False),
        ("Turn the flywheel round to the mark.", ("fit", "flywheel", "advised"), False),
        ("I blew the piston out with the airline.", ("remove", "piston", "done"), True),
        ("I blew the jets out with the airline.", ("clean", "jet", "done"), True),
        ("The regulator has failed. That's a new one going on.", ("fit", "regulator", "done"), True),
        ("The regulator is fine. If it fails a new one goes on.", ("fit", "regulator", "done"), False),
        ("The headlight bulb was blown. New one's in.", ("fit", "headlight bulb", "done"), True),
        ("The headlight bulb was blown. New one's on order.", ("fit", "headlight bulb", "done"), False),
        ("I've tightened all the bolts except the top one.", ("tighten", "bolt", "negated"), True),
        ("I've tightened all the bolts and the top one.", ("tighten", "bolt", "negated"), False),
        ("Everything's been tightened except for the axle nut.", ("tighten", "axle nut", "negated"), True),
        ("Everything's been tightened except for the axle nut.", ("tighten", "axle nut", "done"), False),
        ("Oil. Two litres of twenty fifty, mineral.", ("fill", "oil", "done"), True),
        ("Now the oil, through the side plug. That's taken one litre.", ("fill", "oil", "done"), True),
        ("Oil. It takes two litres.", ("fill", "oil", "done"), False),
        ("I drained the oil tank. She holds four and a half litres.", ("fill", "oil tank", "done"), False),
        ("Oil. It should be two litres.", ("fill", "oil", "done"), False),
    ],
)
def test_what_is_told_and_what_is_not(said: str, event: tuple[str, str, str], expected: bool) -> None:
    assert (event in told(said)) is expected


def test_a_tool_that_is_looked_for_is_not_fitted() -> None:
    assert told("Circlip on. Circlip pliers, where are you.") == [("fit", "circlip", "done")]


def test_what_a_part_goes_on_with_is_no_tool() -> None:
    (gear, *_) = events_of("Third gear slides on with its baulk ring.")
    assert (gear.part, gear.tool) == ("third gear", "")
    (nut, *_) = events_of("I've tightened the nut with the ring spanner.")
    assert nut.tool == "ring spanner"


@pytest.mark.parametrize(
    ("said", "to_come"),
    [
        ("When it does go in, it goes dust cap, then the rubber ring, then the shim, then the arm.", True),
        ("Once the arm goes back on, then it's the shim, then the dust cap, then the rubber ring.", True),
        ("When I fitted it, the dust cap went on first, then the shim, then the rubber ring.", False),
    ],
)
def test_an_order_for_when_it_goes_in_is_not_done_yet(said: str, to_come: bool) -> None:
    small = {"dust cap", "rubber ring", "shim"}
    statuses = [status for _, part, status in told(said) if part in small]
    assert {status == "planned" for status in statuses} == {to_come}
