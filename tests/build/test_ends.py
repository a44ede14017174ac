"""What only several recordings together tell: a line that nobody put back on, one matter told twice."""

from __future__ import annotations

import dataclasses
from pathlib import Path
from typing import Any

import pytest

from pipeline.build import add_recording, loose_ends_of, read_build
from pipeline.vocabulary import Vocabulary
from tests.build.test_closing import day, end

OFF: tuple[dict[str, Any], ...] = (
    {"action": "remove", "part": "seat"}, {"action": "remove", "part": "tank"},
    {"action": "disconnect", "part": "fuel line"},
)  # fmt: skip


def on(*parts: str) -> tuple[dict[str, Any], ...]:
    return tuple({"action": "fit", "part": part} for part in parts)


def open_parts(folder: Path, vocabulary: Vocabulary) -> list[tuple[str, str]]:
    ends = [found.loose for found in loose_ends_of(read_build(folder), vocabulary)]
    return [(loose.part, loose.action) for loose in ends if not loose.closed_by]


@pytest.mark.parametrize(
    ("later", "missed"),
    [
        ([on("tank", "seat")], True),
        ([on("tank"), on("seat")], True),
        ([on("tank")], False),  # still in pieces
        ([()], False),
        ([({"action": "connect", "part": "fuel line"}, *on("tank", "seat"))], False),
        ([on("tank", "seat"), on("fuel hose")], False),  # the same by its other name
        ([on("tank", "seat", "chain")], True),
    ],
)
def test_a_line_is_missed_once_all_around_it_is_back_on(
    empty: Path, vocabulary: Vocabulary, later: list[tuple[dict[str, Any], ...]], missed: bool
) -> None:
    for number, events in enumerate([OFF, *later], start=1):
        add_recording(empty, day(number, events))
    assert open_parts(empty, vocabulary) == ([("fuel line", "connect")] if missed else [])


def test_one_matter_told_on_two_days_is_told_once(empty: Path, vocabulary: Vocabulary) -> None:
    add_recording(empty, day(1, (), (end("waiting", "impeller kit", "fit", event=""),)))
    add_recording(empty, day(2, (), (end("waiting", "impeller kit", "fit", event=""),)))
    (found,) = loose_ends_of(read_build(empty), vocabulary)
    assert found.recording.slug.endswith("day-2")


@pytest.mark.parametrize("fields", [{"side": "left"}, {"part": "nut"}, {"action": "clean", "kind": "promised"}])
def test_two_matters_are_told_twice(empty: Path, vocabulary: Vocabulary, fields: dict[str, Any]) -> None:
    first = end("loose", fields.get("part", "caliper bolt"), "tighten", event="")
    add_recording(empty, day(1, (), (first,)))
    add_recording(empty, day(2, (), (dataclasses.replace(first, **fields),)))
    assert len(loose_ends_of(read_build(empty), vocabulary)) == 2


def test_the_side_that_was_empty_is_not_done_on_one_side_only(empty: Path, vocabulary: Vocabulary) -> None:
    right = {"action": "fill", "part": "fork leg", "side": "right"}
    add_recording(empty, day(1, (), (end("not_closed", "fork leg", "fill", side="right", event=""),)))
    add_recording(empty, day(2, (right,), (end("one_side_only", "fork leg", "fill", side="right"),)))
    assert open_parts(empty, vocabulary) == []
    (found,) = loose_ends_of(read_build(empty), vocabulary)
    assert found.loose.closed_by
