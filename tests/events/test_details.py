"""Attributes, pointing words, lists, orders and notes, each with what should and what should not be read."""

from __future__ import annotations

from typing import Any

import pytest

from pipeline.records import Event
from pipeline.tokens import line_words, written_tokens
from tests.events.scoring import events_of, finder


def only(said: str) -> Event:
    (event,) = events_of(said)
    return event


@pytest.mark.parametrize(
    ("said", "field", "value"),
    [
        ("I've tightened the nut with a 22 socket.", "tool", "22 socket"),
        ("I've tightened the nut using the peg spanner.", "tool", "peg spanner"),
        ("I've tightened the nut with some difficulty.", "tool", ""),
        ("I've filled the gearbox with fork oil.", "fluid", "fork oil"),
        ("I've drained the oil from the gearbox.", "part", "gearbox"),
        ("I've drained the oil from the gearbox.", "fluid", "oil"),
        ("The bracket's on, held by two M6 bolts.", "fastening", "two m6 bolts"),
        (
            "I've fitted the bracket because you cannot reach it with the tank on.",
            "reason",
            "because you cannot reach it with the tank on",
        ),
        (
            "I haven't fitted the M8 nut because the chain isn't on, I'll do that tomorrow.",
            "reason",
            "because the chain isn't on",
        ),
        ("I've fitted the bracket and that's that.", "reason", ""),
        ("The shim goes back exactly as it was.", "reason", ""),
        ("I fitted new rings the same way up as they came out.", "reason", ""),
        ("I fitted a new pin as the old one was bent.", "reason", "as the old one was bent"),
        ("I've greased the seal, not with copper grease, because that swells it.", "reason", ""),
        ("You need to fit the spacer, only on the early frames.", "applicability", "only on the early frames"),
        ("I've fitted the left footrest.", "side", "left"),
        ("I've fitted the footrest on the left hand side.", "side", "left"),
        ("I've fitted the nearside footrest.", "side", "near side"),
        ("Right, I've fitted the footrest.", "side", ""),
        ("The footrest I've fitted, the rest is left.", "side", ""),
        ("I've fitted the two lower clamp bolts.", "position", "lower"),
        ("I've fitted the two lower clamp bolts.", "count", 2),
        ("I removed twenty-two screws.", "count", 22),
        ("I fitted thirty six new spokes.", "count", 36),
        ("I pressed in a new sixty two oh five bearing.", "count", None),
        ("I torqued the nuts to twenty-two newton metres.", "count", None),
        ("I've fitted the two lower clamp bolts.", "part", "clamp bolt"),
        ("I've fitted the back wheel.", "position", "rear"),
        ("I've put the wheel back.", "position", ""),
        ("I've fitted a brand new seal.", "condition", "new"),
        ("I've replaced the seal with a new one.", "condition", "new"),
        ("I've refitted the original seal.", "condition", "original"),
        ("I've removed the worn seal.", "condition", "worn"),
        ("The seal was worn so I've renewed it.", "condition", ""),
        ("I'm reusing the bolts.", "condition", "reused"),
        ("I've fitted the zinc plated spacer.", "finish", "zinc plated"),
        ("I've enamelled the tank gloss grey.", "finish", "enamelled gloss grey"),
        ("The tank has been powder coated in satin black.", "finish", "powder coated satin black"),
        ("I've fitted the chromed mudguard.", "finish", "chromed"),
    ],
)
def test_detail(said: str, field: str, value: Any) -> None:
    found = getattr(events_of(said)[0], field)
    assert found.startswith(value) and bool(found) == bool(value) if isinstance(value, str) else found == value, said


@pytest.mark.parametrize(
    ("said", "parts"),
    [
        ("That's the clutch basket, I've fitted that.", ["clutch basket"]),
        ("I took the head off and cleaned it.", ["head", "head"]),
        ("I've put the piston in the barrel with a ring compressor and oiled it.", ["piston", "piston"]),
        ("These are the studs, I've fitted them.", ["stud"]),
        ("I've fitted the seal, the spacer and the circlip.", ["seal", "spacer", "circlip"]),
        ("I've fitted the seal and the spacer has been cleaned.", ["seal", "spacer"]),
        ("I cleaned and painted the chain guard.", ["chain guard", "chain guard"]),
        ("The chain guard I've painted.", ["chain guard"]),
        ("I've fitted that thingummy.", ["thingummy"]),
    ],
)
def test_what_words_point_at(said: str, parts: list[str]) -> None:
    assert [event.part for event in events_of(said)] == parts


def test_said_order_is_numbered() -> None:
    steps = [
        (event.part, event.sequence, event.step)
        for event in events_of("Shim first, then the thrust washer, then the gear.")
    ]
    assert steps == [("shim", 1, 1), ("thrust washer", 1, 2), ("gear", 1, 3)]
    listed = events_of("Thrust washer on, then the prop, spacer, castle nut, and the split pin.")
    names = [event.part for event in sorted(listed, key=lambda event: event.step)]
    assert names == ["thrust washer", "prop", "spacer", "castle nut", "split pin"]
    together = events_of(
        "From the front it goes bearing, then the spacer, then the bull gear with its key, then the collar."
    )
    assert sorted([(event.part, event.step) for event in together], key=lambda step: step[1]) == [
        ("bearing", 1), ("spacer", 2), ("bull gear", 3), ("key", 3), ("collar", 4)
    ]  # fmt: skip
    plain = events_of("I've fitted the shim. The gear has been cleaned.")
    assert [event.sequence for event in plain] == [0, 0]
    for said in (
        "I've torqued the caps to thirty, then I've torqued the stem nut to seventy, then I torqued the clamp to ten.",
        "Key on, washer on and the nut on. I had my tea. Cover's on.",
        "The gear's on, the second hand cover's on, and then I had a cup of tea.",
    ):
        assert {event.sequence for event in events_of(said)} == {0}, "one after the other, and in no order"


@pytest.mark.parametrize("other", ["original", "refurbished"])
def test_each_of_two_parts_has_its_own_condition(other: str) -> None:
    said = f"The brake shoes are {other}, and the brake cam is new. Then I fitted the shoes and the cam."
    found = finder().find(written_tokens(line_words(said))).events
    assert {event.condition for event in found if event.part == "brake cam"} == {"new"}


def test_how_much_of_a_fluid_is_no_part_of_its_name() -> None:
    for said in ("I used a smear of grease on the gasket.", "I used a smear grease on the gasket."):
        (event,) = finder().find(written_tokens(line_words(said))).events
        assert (event.action, event.part, event.fluid) == ("lubricate", "gasket", "grease")


@pytest.mark.parametrize(
    ("said", "parts"),
    [
        ("The circlips are fitted. You never use old snap rings, never.", {"circlip"}),
        ("I've fitted the drain plug, so don't overtighten the filler plug.", {"drain plug"}),
        ("Never open the upper door, and I've fitted the new belt.", {"belt"}),
    ],
)
def test_what_must_never_be_done_was_not_done(said: str, parts: set[str]) -> None:
    found = finder().find(written_tokens(line_words(said))).events
    assert {event.part for event in found if event.action in ("fit", "tighten", "dismantle")} == parts


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("New chain and cassette are on the shopping list.", []),
        ("I ordered the wear plate and the seal too.", []),
        ("The new gasket's on, and the nut is torqued.", [("fit", "gasket"), ("torque", "nut")]),
        ("Relief valve, I've left that alone, it's set at two thousand psi and it's sealed.", []),
        ("I've left the valve on the bench, and I sealed the cover.", [("seal", "cover")]),
    ],
)
def test_what_sounds_like_work_and_is_none(said: str, wanted: list[tuple[str, str]]) -> None:
    found = finder().find(written_tokens(line_words(said))).events
    assert [(event.action.replace("tighten", "torque"), event.part) for event in found] == wanted


def test_what_others_did_was_another_time() -> None:
    (event,) = finder().find(written_tokens(line_words("Some clown has glued the gasket on."))).events
    assert event.status == "past"


def test_presenting_is_not_fitting() -> None:
    found = finder().find(written_tokens(line_words("Here we have the new clutch plates.")))
    assert not found.events
    assert [(mention.part, mention.condition) for mention in found.mentions] == [("clutch plate", "new")]


def test_a_name_that_nobody_knows_is_no_part_for_being_shown() -> None:
    tokens = written_tokens(line_words("This is the penelo. Here we have the clutch basket."))
    assert [mention.part for mention in finder().find(tokens).mentions] == ["clutch basket"]


@pytest.mark.parametrize(
    ("said", "kind", "part"),
    [
        ("Never reuse the split pin.", "caution", "split pin"),
        ("Too tight and the spindle binds when it is hot.", "caution", "spindle"),
        ("The trick is to warm the casing.", "tip", "casing"),
        ("Make sure the split pin is new.", "tip", "split pin"),
        ("You want to push the grease in from the big end, it helps.", "tip", "grease"),
        ("Nobody start this engine.", "caution", "engine"),
        ("Don't skip checking the split pin.", "caution", "split pin"),
        ("What did I find?", "", ""),
        ("So let me take a photo of that bracket.", "", ""),
        ("I tapped the shaft again to make sure it's home.", "", ""),
        ("I never liked that carburettor.", "", ""),
        ("I've fitted the split pin.", "", ""),
        ("So that's too much.", "", ""),
        ("If that bearing's too tight it runs hot.", "caution", "bearing"),
        ("The screw was too long, so I cut it.", "", ""),
        (
            "It's on the jack with a strap round it. Don't ever let it hang on the input shaft.",
            "caution",
            "input shaft",
        ),
        ("Don't you ever get under a car on just a jack.", "caution", "car"),
        ("You put EP90 in this gearbox and it'll eat the bronze, so don't.", "caution", "bronze"),
        ("Do not set the magnets on the steel bench.", "caution", "magnet"),
        ("A spacer behind it, don't lose that spacer.", "caution", "spacer"),
        ("The shoes only go one way, don't put them on backwards.", "caution", "shoe"),
        ("The pump's not been working, well, since never.", "", ""),
        ("I don't touch that gasket.", "", ""),
        ("Don't worry about the paint.", "", ""),
        ("Nobody wants to watch that spring go in.", "", ""),
        ("It never leaked from that seal again.", "", ""),
    ],
)
def test_notes(said: str, kind: str, part: str) -> None:
    notes = finder().find(written_tokens(line_words(said))).notes
    assert [(note.kind, note.part) for note in notes] == ([(kind, part)] if kind else [])
