"""Figures in a sentence: what was found or done, and in brackets what is wanted, a limit or of old; guessed units."""

from __future__ import annotations

import pytest

from pipeline.records import Quantity
from pipeline.render.figures import Figure
from pipeline.render.told_figures import own_work, told_with_figures


def _figure(text: str, role: str = "", unit_said: bool = True) -> Figure:
    qty = Quantity(text, "length", 1, None, "mm", False, text, 0, 1, 0, role=role, unit_said=unit_said)
    return Figure(qty, text, "", (text,), ())


@pytest.mark.parametrize(
    ("figures", "status", "expected"),
    [
        (
            [_figure("41.2 mm", "found"), _figure("39.5 mm", "limit")],
            "done",
            "Spring at 41.2 mm (limit 39.5 mm)",
        ),
        ([_figure("9.1 mm"), _figure("10 mm", "wanted")], "done", "Spring at 9.1 mm (wanted 10 mm)"),
        ([_figure("60 thou", "old"), _figure("4 thou")], "done", "Spring at 4 thou (old one 60 thou)"),
        (
            [_figure("1.2 bar", "found"), _figure("2 bar", "wanted")],
            "planned",
            "Spring at 2 bar (found 1.2 bar)",
        ),
        (
            [_figure("60 thou", "old"), _figure("60 thou"), _figure("4 thou")],
            "done",
            "Spring at 4 thou (old one 60 thou)",
        ),
        ([_figure("41.2 mm", "old")], "done", "Spring at 41.2 mm"),
        ([_figure("20 N·m"), _figure("30 N·m")], "done", "Spring at 20 N·m and 30 N·m"),
        ([_figure("20 psi", unit_said=False)], "done", "Spring at 20 psi, unit not said"),
        (
            [_figure("8 N·m"), _figure("5 N·m", unit_said=False)],
            "done",
            "Spring at 8 N·m and 5 N·m, unit not said with 5 N·m",
        ),
        ([], "done", "Spring"),
    ],
)
def test_each_figure_stands_as_what_it_is(figures: list[Figure], status: str, expected: str) -> None:
    assert told_with_figures("Spring", "at", figures, status) == expected


def test_what_is_wanted_is_what_work_was_done_to_where_nothing_else_was_said() -> None:
    wanted = _figure("25 N·m", "wanted")
    assert own_work([wanted], "done") == [wanted]
    assert own_work([_figure("22 N·m"), wanted], "done")[0].text == "22 N·m"
    assert own_work([_figure("39.5 mm", "limit")], "done") == []


def test_a_guessed_unit_is_marked() -> None:
    assert _figure("20 psi", unit_said=False).in_sentence == "20 psi, unit not said"
    assert _figure("20 psi").in_sentence == "20 psi"
