"""Loose ends that a later day closes by another name, and those that a namesake leaves open."""

from __future__ import annotations

import dataclasses
from pathlib import Path
from typing import Any

import pytest

from pipeline.build import add_recording, loose_ends_of, read_build
from pipeline.records import BuildLog, LooseEnd
from pipeline.vocabulary import Vocabulary
from tests.build.penhallow_days import Narration
from tests.build.test_closing import day, end


def said(number: int, words: str, *events: tuple[str, str, str, dict[str, Any]]) -> BuildLog:
    n = Narration(f"0:01 {words}")
    made = [
        n.event(f"e{place}", action, part, phrase, **fields)
        for place, (action, part, phrase, fields) in enumerate(events, start=1)
    ]
    return n.log(f"2031-05-0{number} day {number}.wav", events=tuple(made))


NEW: dict[str, Any] = {"condition": "new"}
CABLE = end("waiting", "clutch cable", "fit")
OIL = end("not_closed", "transmission oil", "fill", event="")
POURED = said(2, "And five gallons of oil.", ("fill", "oil", "gallons of oil.", {}))
PUT_OFF = end("promised", "assembly", "")
ON: tuple[tuple[str, str, str, dict[str, Any]], ...] = (
    ("fit", "great wheel", "great wheel", {}), ("fit", "dial", "dial", {}), ("fit", "bell", "bell.", {}),
)  # fmt: skip

# The loose ends of the first day, those events that name a part there, what is said later, and whether it closes the
# first of them.
CASES: dict[str, tuple[tuple[LooseEnd, ...], tuple[dict[str, Any], ...], BuildLog, bool]] = {
    "the ordered cable goes to the clutch": (
        (CABLE,), (), said(2, "New cable goes down to the clutch arm.", ("route", "cable", "New cable", NEW)), True,
    ),
    "another new cable": (
        (CABLE,), (), said(2, "New cable goes to the choke.", ("route", "cable", "New cable", NEW)), False,
    ),
    "an old one": (
        (CABLE,), (), said(2, "The cable goes down to the clutch arm.", ("route", "cable", "The cable", {})), False,
    ),
    "two cables are waited for": (
        (CABLE, end("waiting", "choke cable", "fit")), (),
        said(2, "New cable goes down to the clutch arm.", ("route", "cable", "New cable", NEW)), False,
    ),
    "a valve was ordered where the control valve was looked at": (
        (end("waiting", "valve", "fit", event=""),), ({"action": "inspect", "part": "control valve"},),
        said(2, "Control valve in.", ("fit", "control valve", "Control valve", {})), True,
    ),
    "another valve": (
        (end("waiting", "valve", "fit", event=""),), ({"action": "inspect", "part": "control valve"},),
        said(2, "Relief valve in.", ("fit", "relief valve", "Relief valve", {})), False,
    ),
    "what has come is cut to length": (
        (CABLE,), (), said(2, "Clutch cable cut to length.", ("cut", "clutch cable", "Clutch cable", {})), True,
    ),
    "the only oil that was drained": ((OIL,), (), POURED, True),
    "one of two oils": ((OIL, end("not_closed", "engine oil", "fill", event="")), (), POURED, False),
    "put together": ((PUT_OFF,), (), said(2, "The great wheel and the dial and the bell.", *ON), True),
    "one part put on": ((PUT_OFF,), (), said(2, "The great wheel and the dial and the bell.", ON[0]), False),
    "by its longer name": (
        (end("promised", "positive lead", "renew", event=""),), (),
        said(2, "Positive battery lead renewed.", ("renew", "positive battery lead", "Positive battery lead", {})),
        True,
    ),
    "the rear one": (
        (end("waiting", "brake cable", "fit", position="rear", event=""),), (),
        said(2, "Rear brake cable in.", ("fit", "rear brake cable", "Rear brake cable", {"position": "rear"})), True,
    ),
    "the front one": (
        (end("waiting", "brake cable", "fit", position="rear", event=""),), (),
        said(2, "Front brake cable in.", ("fit", "front brake cable", "Front brake cable", {"position": "front"})),
        False,
    ),
    "of the spindle that has only one nut": (
        (end("loose", "spindle nut", "tighten", event=""),), (),
        said(2, "Gearbox drained. Front spindle nut torqued.", ("drain", "gearbox", "Gearbox drained.", {}),
             ("torque", "spindle nut", "Front spindle nut", {"position": "front"})), True,
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", CASES)
def test_a_later_day_by_another_name(empty: Path, vocabulary: Vocabulary, case: str) -> None:
    ends, first, later, closes = CASES[case]
    placed = tuple(dataclasses.replace(loose, start_ms=5_000 + place) for place, loose in enumerate(ends))
    add_recording(empty, day(1, first, placed))
    add_recording(empty, later)
    found = next(one for one in loose_ends_of(read_build(empty), vocabulary) if one.loose.part == ends[0].part)
    assert bool(found.loose.closed_by) == closes
    assert not closes or found.closer is not None
