"""A plan that is carried out in the next breath is one deed; one for another day stays a plan."""

from __future__ import annotations

import pytest

from tests.events.scoring import events_of

# invented sentences; the one deed that each tells
ONE_DEED = [
    ("I'm going to slide the quill seal in. There, that's it in.", ("fit", "quill seal")),
    ("The wheel spindle, I'm going to drift that out with a brass bar. Right, it's out.", ("remove", "wheel spindle")),
    ("I'm gonna scrape the old gasket off with a razor blade okay that's scraped", ("remove", "gasket")),
    ("I'm going to wind the valve springs out evenly and they're out.", ("remove", "valve spring")),
    ("I'll crack the bleed screw. That's cracked.", ("slacken", "bleed screw")),
    ("Now the collar, I'm going to nip that up. Nipped.", ("tighten", "collar")),
    ("The cutter block, I'm gonna do those bolts up till they're flush okay flush", ("tighten", "bolt")),
    ("I'm going to put the right pedal on. The right pedal's on.", ("fit", "pedal")),
    ("I'm going to tighten the stem bolts. Six newton metres. That's tight.", ("torque", "stem bolt")),
    ("The thrust washer goes on. Washer's on.", ("fit", "thrust washer")),
]
STILL_PLANNED = [
    ("I'll do the gland nut up until it's tight, and the box is in the shed.", ("tighten", "gland nut")),
    ("I'm going to pull the flywheel when the tank's off.", ("remove", "flywheel")),
    ("I'll press the bush in tomorrow. Right, that's it.", ("fit", "bush")),
    ("I'm going to put the drive belt on, and the guard's on.", ("fit", "drive belt")),
    ("I'll knock the pin out. It's out of a tractor.", ("remove", "pin")),
]
# another of that name is another deed
TWO_DEEDS = [
    "The crank bearing goes in. The outer bearing's in.",
    "The thrust washer goes on. The other washer's on.",
]


@pytest.mark.parametrize(("said", "deed"), ONE_DEED)
def test_what_is_carried_out_at_once_is_done(said: str, deed: tuple[str, str]) -> None:
    assert [(event.action, event.part, event.status) for event in events_of(said)] == [(*deed, "done")]


@pytest.mark.parametrize(("said", "plan"), STILL_PLANNED)
def test_what_is_only_meant_stays_a_plan(said: str, plan: tuple[str, str]) -> None:
    assert (*plan, "planned") in [(event.action, event.part, event.status) for event in events_of(said)]


@pytest.mark.parametrize("said", TWO_DEEDS)
def test_another_of_that_name_is_told_too(said: str) -> None:
    assert [event.action for event in events_of(said)] == ["fit", "fit"]
