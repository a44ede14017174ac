"""What is for now or stays off, in words that leave no doubt, each beside its opposite."""

from __future__ import annotations

import pytest

from tests.loose_ends.scoring import loose_ends_of


@pytest.mark.parametrize(
    ("said", "end", "expected"),
    [
        ("I took off the bowl. So the bowl stays off.", ("not_closed", "bowl"), True),
        ("The lever is set so the clutch stays out of the way.", ("not_closed", "clutch"), False),
        ("The saddle bolt is an M6, so that's only till Saturday.", ("provisional", "saddle bolt"), True),
        ("The saddle bolt is right, the shop's only open till Saturday.", ("provisional", "saddle bolt"), False),
        ("I fitted the coil with a bit of card for a feeler. Call it temporary.", ("provisional", "coil"), True),
        ("I fitted the coil with a feeler. Call it done.", ("provisional", "coil"), False),
        ("Wipe the taper dry. No oil on the taper.", ("not_closed", "taper"), False),
        ("There's no oil in the gearbox yet.", ("not_closed", "gearbox"), True),
        ("Left to do: the mudguards, the lights, ah, the battery is flashing at me.", ("promised", "battery"), False),
        ("Left to do: the mudguards, the lights, the battery.", ("promised", "battery"), True),
        ("A new rear left bush went in. Rear right is as old and I haven't done it.", ("one_side_only", "bush"), True),
        ("A new rear left bush went in. Rear right is as old and I've done it.", ("one_side_only", "bush"), False),
        ("I fitted a new shock on the left side.", ("one_side_only", "shock"), True),
        ("I fitted new shocks on both sides.", ("one_side_only", "shock"), False),
        ("The bonnet is off, it's against the wall, ignore that for now.", ("provisional", "bonnet"), False),
        ("I fitted the old bonnet for now.", ("provisional", "bonnet"), True),
        ("I fitted a new left lever. The right side I did off camera.", ("one_side_only", "lever"), False),
    ],
)  # fmt: skip
def test_what_is_left_open(said: str, end: tuple[str, str], expected: bool) -> None:
    found = [(one.kind, one.part) for one in loose_ends_of(said)]
    assert (end in found) is expected, found


def test_a_tool_that_is_waited_for_is_fitted_to_nothing() -> None:
    (end,) = loose_ends_of("I'm waiting for a bearing puller.")
    assert (end.kind, end.part, end.action) == ("waiting", "bearing puller", "")


def test_one_job_is_open_once() -> None:
    ends = loose_ends_of("What's left. The hopper has got to be rinsed and put back, air filter I've got to get one.")
    jobs = [(end.part, end.action) for end in ends]
    assert len(jobs) == len(set(jobs)), jobs
