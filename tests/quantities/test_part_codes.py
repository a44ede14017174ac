"""Digits of part numbers and figures that the speaker owns to be wrong, each beside its like that stands."""

from __future__ import annotations

import pytest

from tests.quantities.scoring import found_in


@pytest.mark.parametrize(
    ("said", "figures"),
    [
        ("New key here, part number D K zero two seven.", []),
        ("the axle is new the number scratched on it is k b one two two and the longer end goes right", []),
        ("New key here, zero point two seven.", [("length", 0.27, "mm")]),
        (
            "Nut, sixty-five newton metres, I've seventy-five newton metres in the book. Seventy-five, I was wrong.",
            [("torque", 75.0, "N·m")] * 2,
        ),
        (
            "it takes a litre and a half i said two litres last week and you were right its a litre and a half",
            [("volume", 1.5, "L"), ("volume", 1.5, "L")],
        ),
        ("It takes two litres last week and a litre and a half now.", [("volume", 2.0, "L"), ("volume", 1.5, "L")]),
        ("New plug, gap comma seven five.", [("clearance", 0.75, "mm")]),
        ("I fitted a bolt comma two washers.", [("count", 2.0, "")]),
    ],
)
def test_what_is_a_figure(said: str, figures: list[tuple[str, float, str]]) -> None:
    assert [(found.kind, found.value, found.unit) for found in found_in(said)] == figures
