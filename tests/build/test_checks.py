"""What `check` finds over several recordings, and what it must not find."""

from __future__ import annotations

import dataclasses
from pathlib import Path
from typing import Any

import pytest

from pipeline.build import add_recording, check_build, read_build
from pipeline.records import BuildLog, Event, Finding, Quantity
from pipeline.vocabulary import Vocabulary
from tests.build.penhallow_days import Narration, day_one


def figure(value: float, unit: str = "N·m", kind: str = "torque", **fields: Any) -> Quantity:
    si = {
        "N·m": (1.0, "N·m"),
        "lbf·ft": (1.355818, "N·m"),
        "mL": (1.0, "mL"),
        "thou": (0.0254, "mm"),
        "mm": (1.0, "mm"),
    }
    factor, si_unit = si.get(unit, (None, ""))
    given = {"high": None, "approximate": False, "start_word": 0, "end_word": 1, "start_ms": 1000, "said": "x"} | fields
    return Quantity("q1", kind, value, unit=unit, si_value=factor and value * factor, si_unit=si_unit, **given)


def recording(name: str, *figures: tuple[Quantity, dict[str, Any] | None]) -> BuildLog:
    """A log with figures; each with the event it belongs to, or None for a figure that stands alone."""
    n = Narration("0:01 " + "word " * 40)
    quantities, events = [], []
    for number, (qty, fields) in enumerate(figures, start=1):
        start_ms = qty.start_ms if qty.start_ms != 1000 else 1000 * number
        place: dict[str, Any] = {"id": f"q{number}", "start_word": number, "end_word": number + 1, "start_ms": start_ms}
        quantities.append(dataclasses.replace(qty, **place))
        if fields is not None:
            own: dict[str, Any] = {
                "action": "torque", "part": "cylinder head nut", "status": "done", "side": "", "position": "",
                "condition": "", "finish": "", "count": None, "tool": "", "said": "x", "quantities": (f"q{number}",),
            }  # fmt: skip
            events.append(Event(**own | {**place, "id": f"e{number}"} | fields))
    return n.log(name, quantities=tuple(quantities), events=tuple(events))


Days = list[list[tuple[Quantity, dict[str, Any] | None]]]
HEAD: dict[str, Any] = {}
FORK = {"action": "fill", "part": "fork leg", "side": "left", "fluid": "fork oil"}
OIL, MORE_OIL = figure(190.0, "mL", "volume"), figure(220.0, "mL", "volume")

SHOULD: dict[str, tuple[Days, str]] = {
    "two torques of one nut on two days": (
        [[(figure(20.0), HEAD)], [(figure(25.0), HEAD)]],
        "two figures for the cylinder head nut: 25 N·m here, 20 N·m in day-1 at 0:01",
    ),
    "in two units": (
        [[(figure(20.0), HEAD)], [(figure(20.0, "lbf·ft"), HEAD)]],
        "20 lbf·ft here, 20 N·m in day-1",
    ),
    "said by two names of the part": (
        [[(figure(20.0), {"part": "gudgeon pin"})], [(figure(30.0), {"part": "wrist pin"})]],
        "two figures for the wrist pin",
    ),
    "said by a shorter name of the part": (
        [[(figure(40.0), {"part": "clutch centre nut"})], [(figure(50.0), {"part": "clutch nut"})]],
        "two figures for the clutch nut: 50 N·m here, 40 N·m in",
    ),
    "two fillings of one fork leg": (
        [[(OIL, FORK)], [(MORE_OIL, FORK)]],
        "two figures for the left fork leg: 220 mL here, 190 mL",
    ),
    "a clearance set otherwise later": (
        [
            [(figure(4.0, "thou", "clearance"), {"part": "tappet", "action": "adjust"})],
            [(figure(0.15, "mm", "clearance"), {"part": "tappet", "action": "adjust"})],
        ],
        "0.15 mm here, 4 thou",
    ),
    "in one recording, later lower": (
        [[(figure(25.0, start_ms=60_000), HEAD), (figure(20.0, start_ms=70_000), HEAD)]],
        "20 N·m here, 25 N·m at 1:00",
    ),
    "in one recording, long after": (
        [[(figure(20.0, start_ms=60_000), HEAD), (figure(25.0, start_ms=600_000), HEAD)]],
        "25 N·m here, 20 N·m at 1:00",
    ),
    "a figure that stands alone": (
        [[(figure(20.0, subject="drain plug"), None)], [(figure(35.0, subject="drain plug"), None)]],
        "two figures for the drain plug",
    ),
    "planned otherwise than done": (
        [[(figure(20.0), {"status": "planned"})], [(figure(25.0), HEAD)]],
        "25 N·m here",
    ),
}  # fmt: skip

SHOULD_NOT: dict[str, Days] = {
    "the same again": [[(figure(20.0), HEAD)], [(figure(20.0), HEAD)]],
    "the same in another unit": [[(figure(25.0), HEAD)], [(figure(18.5, "lbf·ft"), HEAD)]],
    "about as much": [[(figure(20.0, approximate=True), HEAD)], [(figure(21.5), HEAD)]],
    "within a range": [[(figure(20.0, high=25.0, si_high=25.0), HEAD)], [(figure(24.0), HEAD)]],
    "in stages": [[(figure(n * 10.0, start_ms=n * 20_000), HEAD) for n in (1, 2, 3)], [(figure(30.0), HEAD)]],
    "a reading fits": [[(figure(50.0, other_readings=(15.0,)), HEAD)], [(figure(15.0), HEAD)]],
    "left and right": [[(OIL, FORK)], [(MORE_OIL, {**FORK, "side": "right"})]],
    "front and rear": [[(figure(20.0), {"position": "front"})], [(figure(25.0), {"position": "rear"})]],
    "drained and filled": [
        [(figure(600.0, "mL", "volume"), {"action": "drain", "part": "gearbox"})],
        [(figure(500.0, "mL", "volume"), {"action": "fill", "part": "gearbox"})],
    ],
    "topped up": [
        [(figure(500.0, "mL", "volume"), {"action": "fill", "part": "gearbox"})],
        [(figure(50.0, "mL", "volume"), {"action": "top_up", "part": "gearbox"})],
    ],
    "two fluids": [[(OIL, FORK)], [(MORE_OIL, {**FORK, "fluid": "gear oil"})]],
    "measured and set": [
        [(figure(9.0, "thou", "clearance"), {"part": "tappet", "action": "measure"})],
        [(figure(4.0, "thou", "clearance"), {"part": "tappet", "action": "adjust"})],
    ],
    "of another machine": [[(figure(20.0), HEAD)], [(figure(25.0), {"status": "advised"})]],
    "only on early ones": [[(figure(20.0), HEAD)], [(figure(25.0), {"applicability": "only on the early frames"})]],
    "on another occasion": [[(figure(25.0), {"status": "past"})], [(figure(20.0), HEAD)]],
    "not so much": [[(figure(50.0), {"status": "negated"})], [(figure(20.0), HEAD)]],
    "any two bolts": [[(figure(10.0), {"part": "bolt"})], [(figure(25.0), {"part": "bolt"})]],
    "two threads": [[(figure(10.0, thread="M6"), {"part": "cover"})], [(figure(25.0, thread="M8"), {"part": "cover"})]],
    "at least": [[(figure(20.0, bound="at_least"), HEAD)], [(figure(25.0), HEAD)]],
    "torque and angle": [[(figure(20.0), HEAD)], [(figure(90.0, "deg", "angle"), HEAD)]],
    "two spanners": [[(figure(13.0, "mm", "spanner"), HEAD)], [(figure(22.0, "mm", "spanner"), HEAD)]],
    "of nothing": [[(figure(20.0), None)], [(figure(25.0), None)]],
    "of a part that the work is not on": [
        [(figure(25.0, "thou", "clearance", subject="spark plug"), {"part": "spark plug", "action": "adjust"}),
         (figure(15.0, "thou", "clearance", subject="contact breaker points"),
          {"part": "spark plug", "action": "adjust"})],
    ],
}  # fmt: skip


def differing(folder: Path, vocabulary: Vocabulary, days: Days) -> list[str]:
    for number, figures in enumerate(days, start=1):
        add_recording(folder, recording(f"2031-05-0{number} day {number}.wav", *figures))
    lines = check_build(read_build(folder), vocabulary)
    return [
        f"{line.place}: {line.message}".replace(f"2031-05-0{1}-", "") for line in lines if line.rule == "figures_differ"
    ]


@pytest.mark.parametrize("case", SHOULD)
def test_two_figures_for_one_thing(empty: Path, vocabulary: Vocabulary, case: str) -> None:
    days, message = SHOULD[case]
    (found,) = differing(empty, vocabulary, days)
    assert message in found


@pytest.mark.parametrize("case", SHOULD_NOT)
def test_no_two_figures_for_one_thing(empty: Path, vocabulary: Vocabulary, case: str) -> None:
    assert differing(empty, vocabulary, SHOULD_NOT[case]) == []


def test_two_of_a_thing_told_in_one_breath(empty: Path, vocabulary: Vocabulary) -> None:
    big, small = figure(50.0, "teeth", "teeth"), figure(36.0, "teeth", "teeth", start_ms=3_000)
    log = recording("day 1.wav", (big, {"part": "chainring", "action": "fit"}), (small, None))
    (fitted,) = log.events
    add_recording(empty, dataclasses.replace(log, events=(dataclasses.replace(fitted, quantities=("q1", "q2")),)))
    assert check_build(read_build(empty), vocabulary) == []


def test_a_figure_said_again_tells_nothing_new(empty: Path, vocabulary: Vocabulary) -> None:
    days: Days = [[(figure(value), HEAD)] for value in (20.0, 25.0, 25.0, 20.0, 30.0)]
    found = differing(empty, vocabulary, days)
    assert [line.partition("nut: ")[2][:7] for line in found] == ["25 N·m ", "30 N·m "]


def test_findings_that_need_nobody_stay_quiet(empty: Path, vocabulary: Vocabulary) -> None:
    quiet = dataclasses.replace(day_one(), loose_ends=(), findings=(Finding("note", "torque_low", "low", 0),))
    add_recording(empty, quiet)
    assert check_build(read_build(empty), vocabulary) == []
    loud = dataclasses.replace(quiet, findings=(Finding("caution", "torque_too_high", "too\nhigh", 61_000),))
    add_recording(empty, loud, replace=True)
    (line,) = check_build(read_build(empty), vocabulary)
    assert (line.place, line.message, line.level) == ("2031-05-03-penhallow-day-1 1:01", "too high", "caution")


def test_what_is_settled_is_left_out(penhallow: Path, vocabulary: Vocabulary) -> None:
    lines = check_build(read_build(penhallow), vocabulary)
    path = penhallow / "build.toml"
    path.write_text(path.read_text().replace("settled = []", f'settled = ["{lines[0].place}"]'))
    assert check_build(read_build(penhallow), vocabulary) == lines[1:]


def test_lines_are_in_order_of_recordings_and_time(penhallow: Path, vocabulary: Vocabulary) -> None:
    lines = check_build(read_build(penhallow), vocabulary)
    order = [recording.slug for recording in read_build(penhallow).recordings]
    places = [(order.index(line.recording), line.start_ms) for line in lines]
    assert places == sorted(places) and len(places) >= 2
