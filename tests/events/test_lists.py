"""What is only listed or told again, beside what sounds like it and was done."""

from __future__ import annotations

import pytest

from pipeline.quantities import find_quantities
from pipeline.records import Settings
from pipeline.tokens import line_words, written_tokens
from tests.events.scoring import events_of, finder


def _fitted(said: str) -> list[str]:
    return [event.part for event in events_of(said) if event.action in ("fit", "renew") and event.status == "done"]


@pytest.mark.parametrize(
    "said",
    [
        "So what have I got. Two new wheel bearings, three seals, new, and a pair of copper washers.",
        "Here's what's on the bench. One new inlet valve, I had that one machined. Two new springs. New collets.",
        "I've bought a new mainshaft, two baulk rings, four thrust washers and the gaskets.",
        "New float needle, new bowl gasket and a new diaphragm. I've got those here.",
        "It wobbles and it howls. So bearings, pulley, belt and a new spring.",
        "So it's either a new shaft or a sleeve.",
        "What it wants is new seals, a gasket and two bearings.",
    ],
)
def test_a_list_is_no_work(said: str) -> None:
    assert _fitted(said) == []


@pytest.mark.parametrize(
    ("said", "parts"),
    [
        ("So what have I got. Two new seals. Right, the left seal's in, and then the circlip.", ["seal", "circlip"]),
        ("Cover off. New gasket on. New seal. Cover goes back.", ["gasket", "seal", "cover"]),
        (
            "I've got the nut on and I've fitted a gasket, a washer and a circlip.",
            ["nut", "gasket", "washer", "circlip"],
        ),
    ],
)
def test_what_goes_on_is_work(said: str, parts: list[str]) -> None:
    assert set(parts) <= set(_fitted(said))


def _mentions(said: str) -> dict[str, tuple[str, int | None]]:
    tokens = written_tokens(line_words(said))
    found = finder().find(tokens, find_quantities(tokens, Settings()))
    return {mention.part: (mention.condition, mention.count) for mention in found.mentions}


def test_what_is_listed_is_shown_with_condition_and_count() -> None:
    said = (
        "So what have we got on the bench. Two new oil seals, two dust covers, new, four bushes, new, two damper rods "
        "which are original, and a seal kit for the caliper. Right, the spring."
    )
    shown = _mentions(said)
    assert shown["oil seal"] == ("new", 2)
    assert shown["dust cover"] == ("new", 2)
    assert shown["bush"] == ("new", 4)
    assert shown["damper rod"] == ("original", 2)
    assert "caliper" not in shown


@pytest.mark.parametrize(
    ("said", "part", "times"),
    [
        # a list of what is done afterwards, and of what was done just before
        (
            "Order of things. From the front it goes bearing, then the spacer, then the bull gear, then the collar. "
            "Spindle's going in now. Spacer's on. Bull gear's on. Now the collar, that's on.",
            "bull gear",
            1,
        ),
        (
            "New seal in, then the piston goes in, then the dust boot. So it was seal, piston, dust boot.",
            "dust boot",
            1,
        ),
        # back in the shop, then on
        ("Barrel's back. New piston, new rings, new pin and new circlips. The barrel's going on now.", "barrel", 1),
        ("Barrel's back. New piston, new rings, new pin and new circlips. The barrel's going on now.", "piston", 0),
        # one deed in two breaths, and two of that name
        ("The outer race goes in from this side. And that's dropped straight in.", "outer race", 1),
        ("I fitted the spacer and then I fitted another spacer behind it.", "spacer", 2),
        ("The pads are out. The pads go in with a dab of grease.", "pad", 1),
        # the part that is spoken of, and then what was done to it
        ("Then the front hub, I greased the front hub.", "hub", 0),
        ("Next the brake pads, I fitted new pads.", "brake pad", 1),
        ("Next the brake pads, I fitted new pads.", "pad", 0),
        ("Then the thrust washer, then the gear, I put the circlip on after that.", "thrust washer", 1),
    ],
)
def test_a_deed_is_told_once(said: str, part: str, times: int) -> None:
    assert _fitted(said).count(part) == times


@pytest.mark.parametrize(
    ("said", "status"),
    [
        ("The wipers go on after the table, with the plates and eight screws. I've only got six.", "planned"),
        ("The gear goes on after the spacer, with its key and eight screws.", "done"),
    ],
)
def test_what_goes_on_afterwards(said: str, status: str) -> None:
    assert {event.status for event in events_of(said) if event.part == "screw"} == {status}


@pytest.mark.parametrize(
    ("said", "other"),
    [
        ("Inlet valve next. Cylinder head on.", "inlet valve"),
        ("The disc's scored. Pads are out.", "disc"),
    ],
)
def test_a_word_of_one_part_tells_of_that_part(said: str, other: str) -> None:
    assert not [event for event in events_of(said) if event.part == other and event.action in ("fit", "remove")]


def test_a_verb_with_its_part_is_not_told_of_the_sentence_before() -> None:
    said = (
        "I've done that up to nine newton metres on the pinch bolt. The wheel spindle is in. I haven't torqued the "
        "spindle nut yet because the chain has still got to be adjusted."
    )
    assert [event.part for event in events_of(said) if event.status == "negated"] == ["spindle nut"]
