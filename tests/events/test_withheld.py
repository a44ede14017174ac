"""What sounds like work and is none, beside what sounds like it and is."""

from __future__ import annotations

import pytest

from tests.events.scoring import events_of


def _told(said: str) -> set[tuple[str, str, str]]:
    return {(event.action, event.part, event.status) for event in events_of(said)}


@pytest.mark.parametrize(
    "said",
    [
        "Then the dowels. I haven't got any dowels yet.",
        "Then the studs, I don't have the studs yet.",
        "I'm not starting it until I've put the cover back with a new gasket.",
        "Don't let me ride it without the pins in those bolts.",
        "The trailer is up on stands.",
        "The wheels are on blocks.",
        "The fuel hose I'd change as well.",
        "So you know the order when it goes back, thick washer, then the bush, then the tab washer and the nut.",
        "I'd probably replace the seals too.",
    ],
)
def test_nothing_was_fitted(said: str) -> None:
    assert not [event for event in events_of(said) if event.action in ("fit", "renew") and event.status == "done"], said


@pytest.mark.parametrize(
    ("said", "event"),
    [
        ("Then the washer. I haven't lost it this time.", ("fit", "washer", "done")),
        ("Bearing first, then the spacer. I haven't got much time today.", ("fit", "spacer", "done")),
        ("The old tyres were glued on.", ("fit", "tyre", "past")),
        ("I've fitted the pump that I'd cleaned.", ("clean", "pump", "done")),
        ("I'd recommend fitting new clips.", ("fit", "clip", "advised")),
        ("The old bearings were pressed back in.", ("fit", "bearing", "done")),
        ("I tightened the clamp bolts, I didn't put a torque on them.", ("tighten", "clamp bolt", "done")),
    ],
)
def test_what_was_done(said: str, event: tuple[str, str, str]) -> None:
    assert event in _told(said)


def test_what_was_not_torqued_is_not_also_denied() -> None:
    assert not [
        e for e in events_of("I didn't put a torque on the clamp bolts, just did them up.") if e.status == "negated"
    ]


@pytest.mark.parametrize(
    ("said", "place"),
    [
        ("The left hand link I had welded and the right hand one's new.", ("fit", "right", "")),
        (
            "The bottom bearing was rough so I fitted a new one. The top one's fine, I greased it.",
            ("lubricate", "", "top"),
        ),
        ("The pump itself was all right, I cleaned it.", ("clean", "", "")),
    ],
)
def test_the_one_with_a_place_of_its_own(said: str, place: tuple[str, str, str]) -> None:
    assert place in {(event.action, event.side, event.position) for event in events_of(said)}


@pytest.mark.parametrize(
    ("said", "status"),
    [
        ("I'm not changing the pads this time. No, sorry, I am, I've bought two sets.", "planned"),
        ("I haven't fitted the clip. Actually, I have.", "done"),
        ("I haven't fitted the clip. Actually, I have no idea where it went.", "negated"),
        ("I haven't fitted the clip. I have fitted the cover.", "negated"),
        ("I've fitted the clip. Actually no, I haven't.", "negated"),
        ("I've fitted the clip. No problem there, I have the right one.", "done"),
        ("There's a clip under the cover, which I've left out because it rattles.", "negated"),
    ],
)
def test_what_is_taken_back(said: str, status: str) -> None:
    assert {event.status for event in events_of(said) if event.part in ("pad", "clip", "brake pad")} == {status}


@pytest.mark.parametrize(
    ("said", "told"),
    [
        ("I'll just drop the shaft in. No I won't, I want the bearing out first.", set()),
        ("I'll just drop the shaft in. No trouble at all.", {"done", "planned"}),
        ("I'm going to take the nut to forty newton metres. Click. There we go.", {"done"}),
        ("I'm going to take the nut to forty newton metres when it's warm. Done.", {"planned"}),
    ],
)
def test_what_the_next_breath_makes_of_it(said: str, told: set[str]) -> None:
    found = {event.status for event in events_of(said) if event.part in ("shaft", "nut")}
    assert found == told if len(told) < 2 else found and found <= told


@pytest.mark.parametrize(
    ("said", "count"),
    [
        ("I've got new split pins, but only one of them is in. The other one broke.", 1),
        ("I've got new split pins in, and only one of them was tight.", None),
    ],
)
def test_so_many_of_them(said: str, count: int | None) -> None:
    assert {event.count for event in events_of(said) if event.part == "split pin"} == {count}


def test_new_and_not_fitted_yet() -> None:
    told = {(event.condition, event.status) for event in events_of("The chain's a new one. I've not fitted it yet.")}
    assert told == {("new", "negated")}


def test_what_hangs_on_until_ends_with_its_clause() -> None:
    said = "I'm not starting it until I've fitted both springs, and I'll fit the bushes with them."
    assert ("fit", "bush", "planned") in _told(said)


def test_a_verdict_is_of_the_one_it_was_said_of() -> None:
    events = events_of("The bottom bearing was rough so I put a new one in. The top one's fine.")
    assert {event.found for event in events if event.position == "top"} <= {"", "fine"}


def test_the_old_ones_are_not_new() -> None:
    told = {event.part: event.condition for event in events_of("The gasket is new. The springs are the old ones.")}
    assert told["gasket"] == "new"
    assert told.get("spring", "reused") == "reused"


def test_a_fastening_is_of_its_own_clause() -> None:
    events = events_of("I've cleaned the cover and I've fitted the housing, held by four cap screws.")
    assert {event.fastening for event in events if event.part == "cover"} == {""}
    assert {event.fastening for event in events if event.part == "housing"} == {"four cap screws"}


@pytest.mark.parametrize("said", ["The cover was full of old grease.", "The hub's full of grease."])
def test_grease_that_was_found_was_not_put_there(said: str) -> None:
    assert not [event for event in events_of(said) if event.action == "lubricate"], said


def test_grease_that_had_to_go_in_was_put_there() -> None:
    assert ("lubricate", "bearing", "done") in _told("The bearings had to be greased, so I've greased the bearings.")


def test_a_torque_for_when_it_is_together_is_to_do() -> None:
    assert ("torque", "bolt", "planned") in _told("Four bolts, 8 newton metres when it's finally together.")
    assert ("torque", "sump plug", "done") in _told("Sump plug done up, 25 newton metres, once.")


def test_of_what_is_left_some_is_done() -> None:
    told = _told("So what's left. The master cylinder, it's been sleeved. The wheel cylinders, and the hose.")
    assert ("repair", "master cylinder", "planned") not in told
    assert {status for _, part, status in _told("So what's left to do. Fit the hose. The wheel cylinders.")} == {
        "planned"
    }


def _done(said: str, action: str, part: str) -> bool:
    return any(
        event.action == action and event.part == part and event.status in ("done", "past", "provisional")
        for event in events_of(said)
    )


@pytest.mark.parametrize(
    ("said", "event"),
    [
        ("The washer goes on, then the nut, and that's it, there's no cup on this side.", ("fit", "cup")),
        ("Caliper's off, and it's hung up on a bit of wire, off the spring.", ("disconnect", "spring")),
        ("The cover's in the tub with its bolts.", ("fit", "bolt")),
        ("I've the old outer race as a drift, and a big bolt. In she goes.", ("fit", "bolt")),
        ("They'd thread lock on them, the blue stuff, and I'm reusing them.", ("seal", "bolt")),
        ("I had the covers off and did the plugs and the fuel filter.", ("remove", "fuel filter")),
        ("The con rod we are keeping same because there is no play in it.", ("connect", "con rod")),
        ("The kit is a good one and you get an impeller, a plate, two gaskets and a key.", ("fit", "gasket")),
        ("New nut every time, it's one use.", ("fit", "nut")),
        ("Pads are back in, and I left the shim out. That's just for now.", ("fit", "shim")),
    ],
)
def test_what_is_only_named_is_no_work(said: str, event: tuple[str, str]) -> None:
    assert not _done(said, *event)


@pytest.mark.parametrize(
    ("said", "event"),
    [
        ("The cup's on this side, and that's fitted with the washer.", ("fit", "cup")),
        ("I've taken the caliper off and hung it up. Then I took the spring off.", ("remove", "spring")),
        ("The cover's on with its bolts.", ("fit", "bolt")),
        ("I used the old race as a drift. The bolt's in.", ("fit", "bolt")),
        ("I've put thread lock on the bolts.", ("seal", "bolt")),
        ("I had the covers off and I've taken the fuel filter off.", ("remove", "fuel filter")),
        ("I have fitted the con rod to the crank.", ("fit", "con rod")),
        ("I've fitted the impeller, the plate, two gaskets and a key.", ("fit", "gasket")),
        ("New nut, and that's on.", ("fit", "nut")),
        ("Pads are back in, and I put the shim in. That's just for now.", ("fit", "shim")),
    ],
)
def test_what_is_named_like_it_was_worked_on(said: str, event: tuple[str, str]) -> None:
    assert _done(said, *event)


def test_what_is_summed_up_is_told_once() -> None:
    said = "Shaft through, and then the thick washer, then the nut. Washer, nut, that's all."
    assert [e.part for e in events_of(said) if e.action == "fit" and e.part.endswith("nut")] == ["nut"]
    other = "On the left then the washer, then the nut. On the right it's washer, nut, the same."
    assert len([e for e in events_of(other) if e.action == "fit" and e.part.endswith("nut")]) == 2
