"""What closes a loose end, inside a recording and in a later one: the same part in the same place, and nothing else."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pipeline.loose_ends import PartNames, close_loose_ends
from pipeline.loose_ends.closing import close_inside
from pipeline.records import Event, LooseEnd
from tests.events.scoring import finder_vocabulary
from tests.loose_ends.scoring import loose_ends_of

EVENT = Event("e12", "torque", "caliper bolt", "done", "", "", "", "", None, ("q1",), "", "said", 5, 9, 61_000)
END = LooseEnd("loose", "caliper bolt", "nipped up for now", 1_000, action="tighten", event="e1")


def fill(part: str, side: str = "") -> Event:
    return replace(EVENT, action="fill", part=part, side=side)


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
        (replace(END, kind="promised", action="remove"), replace(EVENT, action="fit"), True),
        (replace(END, kind="promised", action="remove"), replace(EVENT, action="clean"), False),
        (replace(END, kind="promised", action="fit"), replace(EVENT, action="remove"), False),
        (replace(END, kind="promised", action=""), replace(EVENT, action="fit"), True),
        (replace(END, kind="promised", action=""), replace(EVENT, action="fit", status="planned"), False),
        (replace(END, kind="promised", action=""), replace(EVENT, action="remove"), False),
        (replace(END, event="e12"), EVENT, True),  # ids begin anew in every recording
        (replace(END, part="engine plate"), replace(EVENT, part="engine plate bolt"), True),
        (replace(END, part="engine plate"), replace(EVENT, part="engine plate bush"), False),
        (replace(END, kind="not_closed", action="fill", part="gearbox oil"), fill("gearbox"), True),
        (replace(END, kind="not_closed", action="fill", part="gearbox oil"), fill("fork leg"), False),
        (replace(END, kind="not_closed", action="fill", part="fork leg", side="both"), fill("fork leg"), True),
        (replace(END, kind="not_closed", action="fill", part="gear oil"), fill("lower unit"), True),
        (replace(END, kind="not_closed", action="fill", part="gear oil"), fill("fork leg"), False),
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


def test_what_is_open_on_both_sides_takes_both() -> None:
    end = replace(END, kind="not_closed", action="fill", part="fork leg", side="both")
    (half,) = close_loose_ends([end], [fill("fork leg", "left")], "day-3")
    assert half == replace(end, side="right")
    assert close_loose_ends([half], [fill("fork leg", "left")], "day-4") == [half]
    assert close_loose_ends([half], [fill("fork leg", "right")], "day-4")[0].closed_by == "day-4#e12"
    both = [fill("fork leg", "left"), fill("fork leg", "right")]
    assert close_loose_ends([end], both, "day-3")[0].closed_by


def test_what_is_done_to_one_does_not_close_its_namesake_elsewhere() -> None:
    plain, top = replace(END, event=""), replace(END, event="", position="top")
    one, other = close_inside([plain, top], [EVENT], str.lower)
    assert (one.closed_by, other.closed_by) == ("e12", "")
    assert [end.closed_by for end in close_inside([top], [EVENT], str.lower)] == ["e12"]


def test_a_job_without_a_name_is_done_only_in_its_own_place() -> None:
    end = replace(END, kind="promised", action="", event="", side="left")
    fitted = replace(EVENT, action="fit")
    assert not close_inside([end], [fitted], str.lower)[0].closed_by
    assert close_inside([end], [replace(fitted, side="left")], str.lower)[0].closed_by


def test_the_next_screws_are_others() -> None:
    end = replace(END, kind="waiting", part="screw", action="fit", event="")
    screws = replace(EVENT, action="fit", part="screw")
    lamp = replace(EVENT, id="e11", action="fit", part="lamp")
    assert not close_inside([end], [lamp, screws], str.lower)[0].closed_by
    assert close_inside([end], [screws], str.lower)[0].closed_by


def test_a_nut_is_known_by_its_place_whatever_else_was_done_before_it() -> None:
    end = replace(END, part="nut", position="top", said="both top nuts are finger tight", side="both")
    leg = replace(EVENT, id="e11", action="fit", part="leg")
    top = replace(EVENT, part="nut", position="top", start_word=60, end_word=64)
    assert close_inside([end], [leg, top], str.lower)[0].closed_by
    assert not close_inside([end], [leg, replace(top, position="bottom")], str.lower)[0].closed_by
    assert not close_inside([end], [leg, replace(top, position="")], str.lower)[0].closed_by
    again = replace(end, side="", event="e11", start_word=50, end_word=55)
    assert [one.closed_by for one in close_inside([end, again], [leg, top], str.lower)] == ["e12", "e12"]


def kinds_of(said: str) -> list[tuple[str, str]]:
    return [(end.kind, end.part) for end in loose_ends_of(said) if not end.closed_by]


@pytest.mark.parametrize(
    ("said", "kinds"),
    [
        ("I torqued the caliper bolts to thirty newton metres. I tightened the exhaust flange nuts.", []),
        ("I bled the front brake. I tightened the gear lever grub screw.", []),
        ("I've fitted the gear lever. The grub screw is only finger tight. It's tight now.", []),
        ("The bullet connector broke in my hand.", []),
        ("I tightened the caliper bolts.", [("no_figure", "caliper bolt")]),
        ("I tightened the wheel spindle nut.", [("no_figure", "wheel spindle nut")]),
        ("I tightened the yoke pinch bolts.", [("no_figure", "yoke pinch bolt")]),
        ("I tightened the brake hose banjo bolt.", [("no_figure", "brake hose banjo bolt")]),
        ("I tightened the cylinder head nuts.", []),
    ],
)
def test_only_what_lives_depend_on_needs_a_figure(said: str, kinds: list[tuple[str, str]]) -> None:
    assert kinds_of(said) == kinds
