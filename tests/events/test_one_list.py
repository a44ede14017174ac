"""Items of one list, told without a verb, are in one state."""

from __future__ import annotations

import pytest

from pipeline.events.one_list import all_to_come
from pipeline.records import Event, Status
from pipeline.tokens import line_words, written_tokens
from tests.events.scoring import finder

DONE: Status = "done"
PLANNED: Status = "planned"


@pytest.mark.parametrize(
    ("said", "before", "after"),
    [
        ("bush, stud, chain and then sprocket", [DONE, PLANNED, PLANNED, PLANNED], [PLANNED] * 4),
        # as many done as to come; a sentence between; work told between
        ("bush, stud, chain, sprocket", [DONE, DONE, PLANNED, PLANNED], [DONE, DONE, PLANNED, PLANNED]),
        ("bush. stud, chain, sprocket", [DONE, PLANNED, PLANNED, PLANNED], [DONE, PLANNED, PLANNED, PLANNED]),
        ("bush on there stud, chain, sprocket", [DONE, PLANNED, PLANNED, PLANNED], [DONE] + [PLANNED] * 3),
    ],
)
def test_a_list_is_all_to_come_where_most_of_it_is(said: str, before: list[Status], after: list[Status]) -> None:
    scan = finder().read(written_tokens(line_words(said)))
    parts = [phrase for phrase in scan.phrases if phrase.is_part]
    assert len(parts) == len(before)
    events = [
        Event("", "fit", part.name, status, "", "", "", "", None, (), "", part.name, 0, 1, 0)
        for part, status in zip(parts, before, strict=True)
    ]
    told = all_to_come(events, [True] * len(parts), [part.end - 1 for part in parts], scan)
    assert [event.status for event in told] == after
    assert all_to_come(events, [False] * len(parts), [part.end - 1 for part in parts], scan) == events
