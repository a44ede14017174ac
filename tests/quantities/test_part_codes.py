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
        # numbers of bearings before their name, and how many there are
        ("Sixty two oh five bearings for the loom, two of them.", []),
        ("I fitted new 60 205 bearings to the fan shaft.", []),
        ("Two hundred and five bearings came in the crate.", [("count", 205.0, "")]),
        ("The rack took 60 bearings and 205 balls.", [("count", 60.0, ""), ("count", 205.0, "")]),
        # which one: ordinals above twenty
        ("I started on the twenty-first of June and pumped up the tyres.", []),
        ("this is the thirty first week and I pumped the tyres", []),
        ("Tyre pressures were twenty, first time I checked.", [("pressure", 20.0, "psi")]),
        # screws by their diameter and their length
        ("The ramp went down with four by twenty-fives.", [("length", 4.0, "mm"), ("length", 25.0, "mm")]),
        ("hinges back on with four by twenty-five screws", [("length", 4.0, "mm"), ("length", 25.0, "mm")]),
        ("three and a half by thirties in the panel", [("length", 3.5, "mm"), ("length", 30.0, "mm")]),
        ("The sump bolts are seventeens.", [("spanner", 17.0, "mm")]),
        ("The batten's a two by four.", []),
        # what hung on a hoist
        ("We load tested the hoist with the two thousand and it held.", []),
        (
            "The hoist is rated two thousand kilos and we load tested it with the two thousand.",
            [("mass", 2000.0, "kg"), ("mass", 2000.0, "kg")],
        ),
        ("We run tested the pump at two thousand and it held.", [("speed", 2000.0, "rpm")]),
        # a gauge for the wear of chains
        ("Chain wear gauge 0.75.", [("percentage", 0.75, "")]),
        ("The chain checker, the 0.5 side, drops right in.", [("percentage", 0.5, "")]),
        ("Chain's got 0.75 mm of slack, and the gauge is away.", [("clearance", 0.75, "mm")]),
        ("I fitted a bolt comma two washers.", [("count", 2.0, "")]),
    ],
)
def test_what_is_a_figure(said: str, figures: list[tuple[str, float, str]]) -> None:
    assert [(found.kind, found.value, found.unit) for found in found_in(said)] == figures
