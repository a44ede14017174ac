"""What ought to be done next time is to do, and what has come in the post has not come off."""

from __future__ import annotations

import pytest

from tests.events.scoring import events_of, unpunctuated


@pytest.mark.parametrize(
    ("said", "part"),
    [
        ("The belt oughta be replaced next time.", "belt"),
        ("That bearing oughta get replaced next time it's apart.", "bearing"),
        ("The oil ought to be changed at the next service.", "oil"),
        ("The hoses want replacing before winter.", "hose"),
        ("The plugs could do with changing before the spring.", "plug"),
    ],
)
def test_what_ought_to_be_done_is_to_do(said: str, part: str) -> None:
    for way in (said, unpunctuated(said)):
        told = {(event.action, event.part, event.status) for event in events_of(way)}
        assert told & {("renew", part, "planned"), ("renew", part, "advised")}, way
        assert ("renew", part, "done") not in told, way


def _removed(said: str) -> list[str]:
    return [event.part for event in events_of(said) if event.action == "remove"]


@pytest.mark.parametrize(
    "said",
    ["Shoes have come. I'll fit them tomorrow.", "The bearings have come today.", "The new blades have arrived."],
)
def test_what_has_come_did_not_come_off(said: str) -> None:
    assert not _removed(said)


@pytest.mark.parametrize(
    ("said", "part"),
    [("The shoes have come off.", "shoe"), ("The bearing has come out.", "bearing")],
)
def test_what_has_come_off_did(said: str, part: str) -> None:
    assert _removed(said) == [part]
