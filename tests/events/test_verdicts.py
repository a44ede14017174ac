"""What was found in looking at a part, in the words that were said of it."""

import pytest

from tests.events.scoring import events_of


@pytest.mark.parametrize(
    ("said", "part", "found"),
    [
        ("The hose has a crack right by the crimp.", "hose", "has a crack right by the crimp"),
        ("I had a look at the plate and it's cracked right across.", "plate", "cracked right across"),
        ("Bearing's fine, no play at all, so I left it.", "bearing", "fine, no play at all"),
        ("Front bearing's fine, cleaned it and regreased it.", "bearing", "fine"),
        ("The return hose has got a bulge but it's low pressure.", "return hose", "has got a bulge"),
        ("the bottom bearing was rough so i put a new one in", "bearing", "rough"),
        ("The drum, look at that, scored all round.", "drum", ""),
        ("The spring broke in my hand, so I got a new one.", "spring", "broke in my hand"),
        ("The spring was kinked, and I've put a new one in.", "spring", "kinked"),
        ("The bezel glass is cracked and customer knows.", "bezel glass", "cracked"),
        ("The bore's clean, new seal in.", "bore", "clean"),
        ("The key was good, nut fifty newton metres.", "key", "good"),
        ("The seat is damaged, please replace it.", "seat", "damaged"),
        ("The pin is worn, bent and rusty.", "pin", "worn, bent and rusty"),
        ("The gear is chipped and has a burr.", "gear", "chipped and has a burr"),
        ("I inspected the brake hose. It goes back on tomorrow.", "brake hose", ""),
        ("I've inspected the brake hoses, and I fitted new pads.", "brake hose", ""),
    ],
)
def test_what_was_found(said: str, part: str, found: str) -> None:
    (event,) = (event for event in events_of(said) if event.action == "inspect")
    assert (event.part, event.found) == (part, found)
    assert found in event.said


@pytest.mark.parametrize(
    ("said", "found"),
    [
        ("The left bush is okay, the right bush is oval.", ["okay", "oval"]),
        ("The left caliper's seized and the right one's free.", ["seized", "free"]),
        ("The guide is loose and one of the bolts is missing.", ["loose", "missing"]),
        ("The bore isn't too bad.", ["not too bad"]),
        ("The rollers were, well, two of them went in the bin.", []),
        ("The rollers were, well, rusty.", ["rusty"]),
        ("The tank must be inspected by a person who has the paper.", [""]),
        ("The trumpet has a split boot, I've glued it and bound it with string.", [""]),
    ],
)
def test_a_verdict_ends_where_something_else_is_told(said: str, found: list[str]) -> None:
    assert [event.found for event in events_of(said) if event.action == "inspect"] == found
