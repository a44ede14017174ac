"""The six statuses, each with sentences that are it and sentences that are not; scope as ConText describes it."""

from __future__ import annotations

import pytest

from pipeline.events.rules import read_tables
from tests.events.scoring import events_of

SHOULD = {
    "done": (
        "I've fitted the bracket.",
        "I fitted the bracket.",
        "I'm fitting the bracket now.",
        "The bracket is in.",
        "The bracket goes on.",
        "I put the bracket on.",
        "The bracket has been fitted.",
        "I had to fit the bracket.",
        "I managed to fit the bracket.",
        "I ended up fitting the bracket.",
        "We fit the bracket and that's that.",
        "After fitting the bracket I had some tea.",
    ),
    "planned": (
        "I'll fit the bracket.",
        "I'm going to fit the bracket.",
        "I need to fit the bracket.",
        "The bracket needs fitting.",
        "The bracket has to be fitted.",
        "The bracket is to be fitted.",
        "I still have to fit the bracket.",
        "Next job is to fit the bracket.",
        "The bracket goes on next.",
        "I'm about to fit the bracket.",
        "Let's fit the bracket.",
        "I want to fit the bracket.",
        "I'm ready to fit the bracket.",
        "I'm fitting the bracket tomorrow.",
        "I've still got the bracket to fit.",
    ),
    "provisional": (
        "The bracket is on for now.",
        "I've fitted the bracket temporarily.",
        "I've put the bracket on just to hold it.",
        "I've fitted the bracket, it has to come back off.",
        "I've dry fitted the bracket.",
        "I've fitted the bracket loosely.",
        "The bracket's on for the time being.",
        "The bracket is on, but it'll have to come off again.",
    ),
    "advised": (
        "Fit the bracket.",
        "You want to fit the bracket.",
        "Always fit the bracket.",
        "Make sure you fit the bracket.",
        "You should fit the bracket.",
        "Don't forget to fit the bracket.",
        "You fit the bracket.",
        "Remember to fit the bracket.",
        "You need to fit the bracket.",
        "You've got to fit the bracket.",
        "I'd recommend fitting the bracket.",
    ),
    "negated": (
        "I haven't fitted the bracket.",
        "I didn't fit the bracket.",
        "The bracket isn't fitted yet.",
        "I've not fitted the bracket yet.",
        "I forgot to fit the bracket.",
        "The bracket hasn't been fitted.",
        "I couldn't fit the bracket.",
        "The bracket isn't on.",
        "I didn't need to fit the bracket.",
        "I won't be fitting the bracket.",
        "I never got round to fitting the bracket.",
    ),
    "past": (
        "I fitted the bracket last year.",
        "Last week I fitted the bracket.",
        "The previous owner had fitted the bracket.",
        "When I got it somebody had fitted the bracket.",
        "The bracket was fitted by the previous owner.",
        "I fitted the bracket in the last video.",
        "Years ago I fitted the bracket.",
    ),
}

NO_EVENT = (
    "Should I fit the bracket?",
    "Did I fit the bracket?",
    "Why would you fit the bracket?",
    "How do you fit the bracket?",
    "If you fit the bracket it will rattle.",
    "If it leaks, fit the bracket.",
    "It would be nice to fit the bracket.",
    "I wonder if I should fit the bracket.",
    "I might fit the bracket.",
    "I wish I'd fitted the bracket.",
    "Once the bracket is fitted we can ride.",
    "Never fit the bracket.",
    "Don't fit the bracket.",
    "I could fit the bracket.",
    "I was going to fit the bracket.",
    "I tried to fit the bracket.",
    "Fitting the bracket is easy.",
    "Before you fit the bracket have some tea.",
    "I would fit the bracket.",
    "What if I fitted the bracket?",
    "Here's the bracket.",
    "The bracket is on the bench.",
    "I've put the bracket on the shelf.",
)


@pytest.mark.parametrize(("status", "said"), [(status, said) for status, list_ in SHOULD.items() for said in list_])
def test_status(status: str, said: str) -> None:
    found = [(event.action, event.part, event.status) for event in events_of(said)]
    assert found == [("fit", "bracket", status)], said


@pytest.mark.parametrize("said", NO_EVENT)
def test_no_event(said: str) -> None:
    assert [event.action for event in events_of(said)] == [], said


@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        # A terminator ends the scope (Harkema et al. 2009, termination terms such as "but").
        ("I haven't fitted the seal but I fitted the bracket.", {"seal": "negated", "bracket": "done"}),
        ("I'll fit the seal but the bracket is on.", {"seal": "planned", "bracket": "done"}),
        # Forward scope runs on over what is joined to the verb.
        ("I'm going to clean the seal and fit the bracket.", {"seal": "planned", "bracket": "planned"}),
        ("I haven't fitted the seal or the bracket.", {"seal": "negated", "bracket": "negated"}),
        # The end of the sentence ends it too.
        ("I still need to fit the seal. The bracket is in.", {"seal": "planned", "bracket": "done"}),
        # Historical: "last year" holds until something brings it up to now.
        ("Last year I fitted the seal and today I've fitted the bracket.", {"seal": "past", "bracket": "done"}),
        # Experiencer: what somebody else did is not what the speaker did.
        ("The previous owner had fitted the seal so I've removed the bracket.", {"seal": "past", "bracket": "done"}),
        # Pseudo-triggers: "not only", "no doubt" deny nothing.
        ("I've not only fitted the seal, I've fitted the bracket.", {"seal": "done", "bracket": "done"}),
        ("No doubt I've fitted the bracket.", {"bracket": "done"}),
    ],
)
def test_scope(said: str, wanted: dict[str, str]) -> None:
    assert {event.part: event.status for event in events_of(said)} == wanted, said


def test_every_trigger_has_a_known_status() -> None:
    tables = read_tables()
    known = {*SHOULD, "none", ""}
    for heading in ("before", "after"):
        assert not {key: value for key, value in tables[heading].items() if value not in known}


def test_a_list_of_what_is_left_goes_on_over_short_sentences() -> None:
    said = "So, what's left? Oil seal. Sprocket off and on again. Top up the oil. I've cleaned the cover."
    found = [(event.action, event.part, event.status) for event in events_of(said)]
    assert ("clean", "cover", "done") in found
    assert {status for action, _, status in found if action != "clean"} == {"planned"}


def test_a_recital_of_what_is_to_finish_is_to_do() -> None:
    listed = events_of("So, to finish. Fill the headstock, fit the drive belt, and the other side of the top slide.")
    assert {event.status for event in listed} == {"planned"}
    told = events_of("So to finish, I filled the headstock and I fitted the drive belt.")
    assert {event.status for event in told} == {"done"}
