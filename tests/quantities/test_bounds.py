"""What bounds a figure although no number says so: a feeler that does not go in, "better than"."""

from __future__ import annotations

import pytest

from tests.quantities.scoring import found_in


@pytest.mark.parametrize(
    ("said", "bound"),
    [
        ("I can't get a one and a half thou feeler in.", "at_most"),
        ("a three thou feeler won't go at all", "at_most"),
        ("the two thou feeler doesn't quite fit", "at_most"),
        ("I can just get a two thou feeler in", ""),
        ("I can't find the two thou feeler", ""),
        ("better than two hundred megohms", "at_least"),
        ("it's a better two hundred ohm coil", ""),
    ],
)
def test_a_figure_is_bounded_by_what_is_said_of_it(said: str, bound: str) -> None:
    (qty,) = found_in(said)
    assert qty.bound == bound
