"""What is denied, needed, left out or short is open; work by hand, advice and what was found so are not."""

from __future__ import annotations

import pytest

from tests.loose_ends.scoring import loose_ends_of


def open_in(said: str) -> list[tuple[str, str, str, str]]:
    return [
        (end.kind, end.part, end.side, end.position) for end in loose_ends_of(said)
        if not end.closed_by and end.kind != "no_figure"
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("The stop lamp switch is not connected.", ("not_closed", "stop lamp switch", "", "")),
        ("The horn's in, but it isn't wired yet.", ("not_closed", "horn", "", "")),
        ("The main fuse isn't in.", ("not_closed", "main fuse", "", "")),
        ("There's a nail in there for now, and that nail's coming back out.", ("provisional", "nail", "", "")),
        ("Drain plug's out and the tray is under it.", ("not_closed", "drain plug", "", "")),
        ("The chain guard I've left off.", ("not_closed", "chain guard", "", "")),
        ("The side panel's not going back on until I've ridden it.", ("not_closed", "side panel", "", "")),
        ("I've greased it. I must get the rear wheel nuts torqued.", ("promised", "wheel nut", "", "rear")),
        ("The brake shoes are touching, they want setting up.", ("promised", "brake shoe", "", "")),
        ("I've torqued all the wheel nuts except the rear left.", ("loose", "wheel nut", "left", "rear")),
        ("I've greased all the bushes apart from the lower one.", ("promised", "bush", "", "lower")),
        ("I'm not fitting the mudguard yet, I don't need it until Friday.", ("not_closed", "mudguard", "", "")),
        ("The carburettor's just on with two nuts.", ("loose", "nut", "", "")),
        ("Six screws hold it. I've only got four so two more are coming.", ("waiting", "screw", "", "")),
    ],
)
def test_is_open(said: str, wanted: tuple[str, str, str, str]) -> None:
    assert wanted in open_in(said)


def test_a_job_is_open_once_by_the_full_name_of_its_part() -> None:
    said = "The kickstand spring is broken. One side. I removed both springs and I will fit two new."
    assert [part for _, part, _, _ in open_in(said)] == ["kickstand spring"]
    apart = "The fork spring I'll fit tomorrow. I've had my tea. The other springs I'll fit on Friday."
    assert len(open_in(apart)) == 2, "jobs told apart are two"


@pytest.mark.parametrize(
    "said",
    [
        "The stop lamp switch was not connected, so I've connected it.",
        "The lever is not connected to the shaft at all on this model.",
        "If the horn isn't connected you won't hear a thing.",
        "The drain plug's out. The drain plug's back in with a new washer.",
        "I've taken the spark plug out.",
        "I'm not fitting the chain guard, it's scrap.",
        "I'm not fitting a chain guard, she never had one.",
        "I'm not refitting the chain case, she doesn't need one.",
        "I'm not putting the old bracket back, we won't be needing it.",
        "You need to torque the wheel nuts again.",
        "I need to bleed the pump. I've bled the pump.",
        "The clamp goes on all models except the front wheel drive.",
        "It's on with four bolts.",
        "Now the barrel is going on, I'm squeezing the rings with my fingers.",
        "The stud is screwing in with my fingers.",
        "The freewheel is just spun on by hand and it does itself up.",
        "Do the adjuster nut up to three newton metres, which is basically hand tight.",
        "Drain your carburettor in the autumn.",
        "Some grease on the bolts so I can get them out next time.",
        "I'll tap the bearing until I see it come through.",
        "There was a wire hanging out of the switch.",
    ],
)
def test_is_not_open(said: str) -> None:
    assert open_in(said) == []


@pytest.mark.parametrize("part", ["oil seal", "fuel filter", "water pump", "oil tank"])
def test_a_part_with_a_fluid_in_its_name_is_fitted_later_and_not_filled(part: str) -> None:
    found = [(end.kind, end.action, end.part) for end in loose_ends_of(f"I've not fitted the {part} yet.")]
    assert found == [("promised", "fit", part)]


def test_what_holds_a_fluid_is_filled() -> None:
    ends = loose_ends_of("The oil filter isn't on yet and there's no oil in the engine.")
    assert ("not_closed", "fill", "engine") in [(end.kind, end.action, end.part) for end in ends]
