"""A unit that is given once for all that follows."""

from __future__ import annotations

import pytest

from tests.quantities.test_roles import units


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        (
            "I'll say it once, everything's foot pounds today. Head nuts eighteen, barrel nuts twelve.",
            ["18 lbf·ft", "12 lbf·ft"],
        ),
        ("I'm working in thou. Big end, sideways it's got twelve and it's allowed twenty.", ["12 thou", "20 thou"]),
        ("all the pressures are in bar. Front two point two, rear two point five.", ["2.2 bar", "2.5 bar"]),
        ("head nuts 18, barrel nuts 12, and that's all foot pounds", ["18 lbf·ft", "12 lbf·ft"]),
        ("Torques are all newton metres today. The caliper bolts get thirty five.", ["35 N·m"]),
        ("I gave it seventy for five minutes. Kilopascals, not psi.", ["70 kPa", "5 min"]),
        # a tool's size stays one, and a figure with a unit of its own keeps that
        ("Everything's foot pounds. The drain plug takes a nineteen mil socket.", ["19 mm"]),
        ("Everything's foot pounds. The caliper bolts get thirty newton metres.", ["30 N·m"]),
        # what is only put somewhere, or no unit here, declares nothing
        ("We put everything in the bar cabinet. The front tyre is at thirty two.", ["32 psi?"]),
        ("I'm not working in bar. Tyre pressures, front thirty two.", ["32 psi?"]),
        ("They're all M8, all in the bag. Torque them to twenty five.", ["8 mm", "25 N·m?"]),
    ],
)
def test_a_unit_given_for_all_is_that_of_figures_without_one(said: str, expected: list[str]) -> None:
    assert units(said) == expected
