"""Loose ends over several days: a later recording closes what an earlier one left open, and says when."""

from __future__ import annotations

import dataclasses
from pathlib import Path
from typing import Any

import pytest

from pipeline.build import add_recording, check_build, loose_ends_of, read_build
from pipeline.records import BuildLog, LooseEnd
from pipeline.vocabulary import Vocabulary
from tests.build.penhallow_days import Narration


def day(number: int, events: tuple[dict[str, Any], ...] = (), ends: tuple[LooseEnd, ...] = ()) -> BuildLog:
    n = Narration("0:01 " + "word " * 40)
    made = [
        n.event(f"e{place}", fields.pop("action"), fields.pop("part"), "word", fields.pop("status", "done"), **fields)
        for place, fields in enumerate((dict(event) for event in events), start=1)
    ]
    made = [dataclasses.replace(event, start_ms=place * 10_000) for place, event in enumerate(made, start=1)]
    return n.log(f"2031-05-0{number} day {number}.wav", events=tuple(made), loose_ends=ends)


def end(kind: str, part: str, action: str, **fields: Any) -> LooseEnd:
    return LooseEnd(kind, part, "word", 5_000, action=action, **{"event": "e1", "end_word": 1, **fields})


TORQUE = {"quantities": ("q1",)}

# The loose end of the first day, what was done on a later one, and whether that closes it.
CASES: dict[str, tuple[LooseEnd, dict[str, Any], bool]] = {
    "filled again": (end("not_closed", "gearbox", "fill"), {"action": "fill", "part": "gearbox"}, True),
    "only topped up elsewhere": (end("not_closed", "gearbox", "fill"), {"action": "fill", "part": "fork leg"}, False),
    "tightened": (
        end("loose", "exhaust flange nut", "tighten"), {"action": "tighten", "part": "exhaust flange nut"}, True,
    ),
    "tightened at last, by another name": (
        end("loose", "gudgeon pin", "tighten"), {"action": "torque", "part": "wrist pin"}, True,
    ),
    "to be tightened still": (
        end("loose", "exhaust flange nut", "tighten"),
        {"action": "tighten", "part": "exhaust flange nut", "status": "planned"}, False,
    ),
    "not tightened": (
        end("loose", "exhaust flange nut", "tighten"),
        {"action": "tighten", "part": "exhaust flange nut", "status": "negated"}, False,
    ),
    "the viewer is told to": (
        end("loose", "exhaust flange nut", "tighten"),
        {"action": "tighten", "part": "exhaust flange nut", "status": "advised"}, False,
    ),
    "the other one": (
        end("loose", "wheel spindle nut", "tighten", position="front"),
        {"action": "tighten", "part": "wheel spindle nut", "position": "rear"}, False,
    ),
    "the same one": (
        end("loose", "wheel spindle nut", "tighten", position="front"),
        {"action": "tighten", "part": "wheel spindle nut", "position": "front"}, True,
    ),
    "cleaned only": (end("promised", "carburettor", "fit"), {"action": "clean", "part": "carburettor"}, False),
    "connected again": (
        end("not_closed", "fuel tap", "connect"), {"action": "connect", "part": "fuel tap"}, True,
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", CASES)
def test_a_later_day(empty: Path, vocabulary: Vocabulary, case: str) -> None:
    loose, event, closes = CASES[case]
    filler = {"action": "inspect", "part": "frame"}
    add_recording(empty, day(1, (filler,), (loose,)))
    add_recording(empty, day(2, (filler,)))
    add_recording(empty, day(3, (filler, filler, event)))
    (found,) = loose_ends_of(read_build(empty), vocabulary)
    assert bool(found.loose.closed_by) == closes
    assert bool(check_build(read_build(empty), vocabulary)) == (not closes)
    if closes:
        assert (found.loose.closed_by, found.loose.closed_ms) == ("2031-05-03-day-3#e3", 30_000)
        assert found.closer is not None
        recording, closing = found.closer
        assert (recording.slug, closing.part, closing.id) == ("2031-05-03-day-3", event["part"], "e3")


def test_numbers_of_events_begin_anew_every_day(empty: Path, vocabulary: Vocabulary) -> None:
    add_recording(empty, day(1, ({"action": "drain", "part": "gearbox"},), (end("not_closed", "gearbox", "fill"),)))
    add_recording(empty, day(2, ({"action": "fill", "part": "gearbox"},)))
    (found,) = loose_ends_of(read_build(empty), vocabulary)
    assert found.loose.closed_by == "2031-05-02-day-2#e1"


def test_an_earlier_day_closes_nothing(empty: Path, vocabulary: Vocabulary) -> None:
    add_recording(empty, day(1, ({"action": "fill", "part": "gearbox"},)))
    add_recording(empty, day(2, (), (end("not_closed", "gearbox", "fill"),)))
    (found,) = loose_ends_of(read_build(empty), vocabulary)
    assert not found.loose.closed_by


def test_the_first_day_that_does_it_counts(empty: Path, vocabulary: Vocabulary) -> None:
    fill = {"action": "fill", "part": "gearbox"}
    filler = {"action": "inspect", "part": "frame"}
    add_recording(empty, day(1, (), (end("not_closed", "gearbox", "fill"),)))
    add_recording(empty, day(2, (filler, fill)))
    add_recording(empty, day(3, (filler, fill)))
    (found,) = loose_ends_of(read_build(empty), vocabulary)
    assert found.loose.closed_by == "2031-05-02-day-2#e2"


def test_a_recording_that_comes_in_late_takes_its_place_in_time(empty: Path, vocabulary: Vocabulary) -> None:
    """The order of adding does not matter: day two closes what day one left, whichever was added first."""
    filler = {"action": "inspect", "part": "frame"}
    add_recording(empty, day(2, (filler, {"action": "fill", "part": "gearbox"})))
    add_recording(empty, day(1, (), (end("not_closed", "gearbox", "fill"),)))
    assert check_build(read_build(empty), vocabulary) == []


def test_the_other_side_may_have_been_done_before(empty: Path, vocabulary: Vocabulary) -> None:
    left = {"action": "fill", "part": "fork leg", "side": "left"}
    right = {**left, "side": "right"}
    add_recording(empty, day(1, (left,), (end("one_side_only", "fork leg", "fill", side="left"),)))
    add_recording(empty, day(2, ({"action": "inspect", "part": "frame"},)))
    add_recording(empty, day(3, (right,), (end("one_side_only", "fork leg", "fill", side="right"),)))
    closed = [found.loose.closed_by for found in loose_ends_of(read_build(empty), vocabulary)]
    assert closed == ["2031-05-03-day-3#e1"]  # of the second nothing was ever open


def test_the_same_side_again_is_still_one_side(empty: Path, vocabulary: Vocabulary) -> None:
    left = {"action": "fill", "part": "fork leg", "side": "left"}
    for number in (1, 2):
        add_recording(empty, day(number, (left,), (end("one_side_only", "fork leg", "fill", side="left"),)))
    assert [found.loose.closed_by for found in loose_ends_of(read_build(empty), vocabulary)] == [""]  # told once


def test_what_a_recording_closed_itself_stays_closed(empty: Path, vocabulary: Vocabulary) -> None:
    closed = dataclasses.replace(end("not_closed", "gearbox", "fill"), closed_by="e1", closed_ms=10_000)
    add_recording(empty, day(1, ({"action": "fill", "part": "gearbox"},), (closed,)))
    add_recording(empty, day(2, ({"action": "fill", "part": "gearbox"},)))
    (found,) = loose_ends_of(read_build(empty), vocabulary)
    assert found.loose == closed
    assert found.closer is not None and found.closer[0].slug == "2031-05-01-day-1"
