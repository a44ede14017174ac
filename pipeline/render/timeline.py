"""The recording as a drawing: places of chapters, events by what they do, and loose ends on one line of time.

Positions are percentages of the width, so the drawing keeps its text and mark sizes on a phone and on paper.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial

from pipeline.records import BuildLog
from pipeline.times import ms_to_clock

# Rows of the drawing from top to bottom: title, what it says in words, and the actions drawn in it.
ROWS = (
    ("Off", "taken off", ("remove", "dismantle", "disconnect", "slacken")),
    ("On", "put on", ("fit", "renew", "assemble", "connect", "route", "seal")),
    ("Tight", "tightened", ("tighten", "torque")),
    ("Fluids", "filled, drained or oiled", ("fill", "drain", "top_up", "lubricate", "bleed")),
    ("Work", "worked on", ("clean", "coat", "polish", "repair", "cut", "drill", "weld", "machine", "mark")),
    ("Checks", "checked or set", ("measure", "adjust", "inspect", "test", "align")),
)

_STEPS_S = (5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200)
_MOST_TICKS = 6


@dataclass(frozen=True, slots=True)
class Mark:
    """Something at one place: `left` is a percentage, `anchor` the entry it stands for, `label` its sentence."""

    left: float
    anchor: str
    label: str
    status: str = ""


@dataclass(frozen=True, slots=True)
class Row:
    """Events of one sort, on one line of the drawing."""

    title: str
    words: str
    marks: tuple[Mark, ...]


@dataclass(frozen=True, slots=True)
class Stretch:
    """A chapter from `left` over `width`, both percentages."""

    left: float
    width: float
    number: int
    title: str


@dataclass(frozen=True, slots=True)
class Timeline:
    """All that is drawn. Rows without an event are left out; `summary` says it in words."""

    chapters: tuple[Stretch, ...]
    rows: tuple[Row, ...]
    loose: tuple[Mark, ...]
    ticks: tuple[tuple[float, str], ...]
    summary: str


def timeline(log: BuildLog, labels: dict[str, str]) -> Timeline:
    """The drawing of a log; `labels` are the sentences of its events by id."""
    last_ms = max([log.recording.duration_ms, *(word.end_ms for word in log.words[-1:])], default=0)
    length_ms = max(1, last_ms)
    percent = partial(_percent, length_ms=length_ms)
    starts = [chapter.start_ms for chapter in log.chapters] + [length_ms]
    chapters = tuple(
        Stretch(percent(chapter.start_ms), round(percent(end) - percent(chapter.start_ms), 2), number, chapter.title)
        for number, (chapter, end) in enumerate(zip(log.chapters, starts[1:], strict=True), start=1)
    )
    rows = []
    for title, words, actions in ROWS:
        marks = tuple(
            Mark(percent(event.start_ms), event.id, f"{ms_to_clock(event.start_ms)} {labels[event.id]}", event.status)
            for event in log.events
            if event.action in actions
        )
        if marks:
            rows.append(Row(title, words, marks))
    loose = tuple(
        Mark(percent(end.start_ms), f"loose-{place}", f"{ms_to_clock(end.start_ms)} {end.part or end.said}")
        for place, end in enumerate(log.loose_ends, start=1)
        if not end.closed_by
    )
    return Timeline(chapters, tuple(rows), loose, _ticks(length_ms), _summary(rows, len(loose), length_ms))


def _percent(time_ms: int, length_ms: int) -> float:
    return round(min(100.0, 100 * time_ms / length_ms), 2)


def _ticks(length_ms: int) -> tuple[tuple[float, str], ...]:
    step_s = next((step for step in _STEPS_S if length_ms / 1000 / step <= _MOST_TICKS), _STEPS_S[-1])
    return tuple((_percent(at_ms, length_ms), ms_to_clock(at_ms)) for at_ms in range(0, length_ms, step_s * 1000))


def _summary(rows: list[Row], loose: int, length_ms: int) -> str:
    counts = ", ".join(f"{len(row.marks)} {row.words}" for row in rows) or "nothing done"
    ends = f"{loose} loose end{'' if loose == 1 else 's'} open" if loose else "no loose end open"
    return f"The recording from 0:00 to {ms_to_clock(length_ms)}: {counts}; {ends}."
