"""What closes a loose end, inside a recording and in a later one: the same part in the same place, and nothing else."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pipeline.loose_ends import close_loose_ends
from pipeline.loose_ends.names import PartNames
from pipeline.records import Event, LooseEnd
from tests.events.scoring import finder_vocabulary

EVENT = Event("e12", "torque", "caliper bolt", "done", "", "", "", "", None, ("q1",), "", "said", 5, 9, 61_000)
END = LooseEnd("loose", "caliper bolt", "nipped up for now", 1_000, action="tighten", event="e1")


def closed(end: LooseEnd, event: Event) -> bool:
    (after,) = close_loose_ends([end], [event], "day-3")
    if after.closed_by:
        assert after == replace(end, closed_by="day-3#e12", closed_ms=61_000)
    else:
        assert after == end
    return bool(after.closed_by)


@pytest.mark.parametrize(
    ("end", "event", "is_closed"),
    [
        (END, EVENT, True),
        (END, replace(EVENT, part="wheel nut"), False),
        (END, replace(EVENT, status="planned"), False),
        (END, replace(EVENT, status="negated"), False),
        (END, replace(EVENT, action="clean"), False),
        (replace(END, side="left"), replace(EVENT, side="right"), False),
        (replace(END, side="left"), replace(EVENT, side="left"), True),
        (replace(END, side="left"), EVENT, True),
        (replace(END, position="front"), replace(EVENT, position="rear"), False),
        (replace(END, kind="no_figure", action="torque"), EVENT, True),
        (replace(END, kind="no_figure", action="torque"), replace(EVENT, quantities=()), False),
        (replace(END, kind="provisional", action="fit"), replace(EVENT, action="remove"), True),
        (replace(END, kind="not_closed", action="fill"), replace(EVENT, action="top_up"), True),
        (replace(END, kind="not_closed", action="fill"), replace(EVENT, action="drain"), False),
        (
            replace(END, kind="one_side_only", action="fit", side="left"),
            replace(EVENT, action="fit", side="right"),
            True,
        ),
        (
            replace(END, kind="one_side_only", action="fit", side="left"),
            replace(EVENT, action="fit", side="left"),
            False,
        ),
        (replace(END, kind="waiting", action="fit"), replace(EVENT, action="renew"), True),
        (replace(END, kind="promised", action="adjust"), replace(EVENT, action="fit"), False),
    ],
)
def test_what_closes(end: LooseEnd, event: Event, is_closed: bool) -> None:
    assert closed(end, event) == is_closed


def test_one_comes_back_for_each_given_in_the_same_order() -> None:
    ends = [END, replace(END, part="wheel nut"), replace(END, closed_by="e3", closed_ms=5)]
    after = close_loose_ends(ends, [EVENT], "day-3")
    assert [end.part for end in after] == ["caliper bolt", "wheel nut", "caliper bolt"]
    assert [end.closed_by for end in after] == ["day-3#e12", "", "e3"]


def test_other_names_of_one_part_are_one_part() -> None:
    names = PartNames(finder_vocabulary())
    term = next(term for term in finder_vocabulary().terms if term.american and term.kind == "part")
    end, event = replace(END, part=term.name), replace(EVENT, part=term.american)
    assert close_loose_ends([end], [event], "day-3", names.name_of)[0].closed_by
    assert not close_loose_ends([end], [replace(event, part="no such part")], "day-3", names.name_of)[0].closed_by
