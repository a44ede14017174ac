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
        ("I inspected the brake hose. It goes back on tomorrow.", "brake hose", ""),
        ("I've inspected the brake hoses, and I fitted new pads.", "brake hose", ""),
    ],
)
def test_what_was_found(said: str, part: str, found: str) -> None:
    (event,) = (event for event in events_of(said) if event.action == "inspect")
    assert (event.part, event.found) == (part, found)
    assert found in event.said
