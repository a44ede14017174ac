"""Remarks that name parts beside what tells of work, and orders that are put right or go the other way."""

from __future__ import annotations

import pytest

from tests.events.scoring import events_of


def _told(said: str) -> list[tuple[str, str, str]]:
    return [(event.action, event.part, event.status) for event in events_of(said)]


@pytest.mark.parametrize(
    ("said", "event", "expected"),
    [
        ("Okay, today the bottom bracket and then the rear wheel and the brakes.", ("remove", "wheel", "done"), False),
        ("Today I took the rear wheel off.", ("remove", "wheel", "done"), True),
        ("There's a washer under each one, keep the washer.", ("fit", "washer", "done"), False),
        ("The bolts go in, and a new washer under each one.", ("fit", "washer", "done"), True),
        ("It's there in the jam jar with its gasket and the fibre washer.", ("fit", "gasket", "done"), False),
        ("The bowl's back on with its gasket and the fibre washer.", ("fit", "gasket", "done"), True),
        ("You've got your pinion there, and the spacer behind that.", ("remove", "spacer", "done"), False),
        ("You've got your pinion there, and I took the spacer off.", ("remove", "spacer", "done"), True),
        ("The bracket bolt I didn't touch but the saddle bolt I tighten.", ("tighten", "bracket bolt", "done"), False),
        ("The bracket bolt I didn't touch but the saddle bolt I tighten.", ("tighten", "saddle bolt", "done"), True),
        ("Wheels are chocked, handbrake is off.", ("remove", "handbrake", "done"), False),
        ("Wheels are off, the handbrake lever is off.", ("remove", "handbrake lever", "done"), True),
        ("I oiled the cable, but honestly it should be replaced, I've ordered it.", ("renew", "cable", "done"), False),
        ("I replaced the cable, and honestly it should be oiled.", ("renew", "cable", "done"), True),
        ("The sump plug undoes the normal way. It's tight. There it goes.", ("tighten", "sump plug", "done"), False),
        ("The sump plug goes in. It's tight. There it is.", ("tighten", "sump plug", "done"), True),
    ],
)
def test_a_remark_is_no_work(said: str, event: tuple[str, str, str], expected: bool) -> None:
    assert (event in _told(said)) is expected, _told(said)


def test_the_same_ones_are_told_once() -> None:
    told = _told("The front cup and cone are going back in. Same cup, same cone, don't mix them.")
    assert not {"cup", "cone"} & {part for _, part, _ in told}


def test_a_list_that_is_put_right_stands_instead() -> None:
    said = (
        "The order is the cone, then the thin washer, then the tab washer, no wait, it's cone, spacer, thin washer, "
        "lock nut, tab washer."
    )
    steps = [event.part for event in events_of(said) if event.sequence]
    assert steps.count("tab washer") == 1 and steps[-1] == "tab washer", steps


def test_two_lists_are_two_orders() -> None:
    said = (
        "The cone goes on, then the spacer, then the nut. And on the other side the cone goes on, then the spacer, "
        "then the nut."
    )
    assert [event.part for event in events_of(said)].count("cone") == 2


def test_an_order_of_coming_off_puts_nothing_on() -> None:
    off = _told("I undid it. The order of it coming off is locknut, then the washer, then the spacer, then the cone.")
    assert ("remove", "locknut", "done") in off and "fit" not in {action for action, _, _ in off}
    on = _told("The order is going on: cone, then the spacer, then the washer, then the locknut.")
    assert ("fit", "spacer", "done") in on


def test_how_it_comes_off_is_not_that_it_did() -> None:
    kept = _told("The right cup is left hand thread, so it comes off clockwise, and I didn't take it out at all.")
    assert ("remove", "cup", "done") not in kept
    off = _told("The right cup is left hand thread, so it comes off clockwise, and I took it out.")
    assert ("remove", "cup", "done") in off


@pytest.mark.parametrize(("said", "count"), [("I fitted two number eight screws.", 2), ("I fitted eight screws.", 8)])
def test_the_number_of_a_size_counts_nothing(said: str, count: int) -> None:
    assert [event.count for event in events_of(said)] == [count]
