"""Which amounts a filling has and which what was drained, and what the next breath makes of a torque."""

from __future__ import annotations

import pytest

from tests.events.test_figure_links import told


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("I drained the sump. Then four litres of ten W forty went in.", {("fill", "sump")}),
        ("Gearbox oil, two litres was put in.", {("fill", "gearbox oil")}),
        ("I drained the forks, then oil ten weight three hundred and twenty cc a side.", {("fill", "fork")}),
        ("I drained the gearbox, three and a half litres came out.", {("drain", "gearbox")}),
        (
            "Drained the gearbox, about a litre came out. Two litres of seventy five ninety gone in.",
            {("drain", "gearbox"), ("fill", "gearbox")},
        ),
        (
            "I filled the engine with four litres of ten forty and the forks with half a litre of fork oil.",
            {("fill", "engine"), ("fill", "fork")},
        ),
        ("Oil drained. Half a litre of dirty water went in the bucket.", {("drain", "oil")}),
    ],
)
def test_whose_amount_it_is(said: str, wanted: set[tuple[str, str]]) -> None:
    assert {(action, part) for action, part, _ in told(said)} == wanted
