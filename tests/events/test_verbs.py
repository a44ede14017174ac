"""Every verb of vocab/events/verbs.toml in a sentence that is an event, and in one that is not."""

from __future__ import annotations

import pytest

from pipeline.events.inflect import verb_forms
from pipeline.events.rules import load_rules, read_tables
from tests.events.scoring import events_of

TABLES = read_tables()
IRREGULAR = TABLES["irregular"]
IN_ANOTHER_ORDER = {
    "knock back": "I've knocked the bracket back straight with a mallet, it was bent.",
    "go over": "I've gone over the bracket.",
    "go back over": "I've gone back over the bracket.",
    "come out at": "The bracket has come out at ten thou.",
    "get down to": "I've got the bracket down to four thou.",
}

# What the learned weights know better than the table, or have never met: a bare sentence is too little for them.
NOT_ALONE = {"cap", "cinch", "safety wire"}
# What is fastened on the bench may well be fitted there; and nothing is peeled on again.
FASTENED = {"bolt", "glue", "peg", "plonk", "refit", "strap", "stretch"}
NOT_BACK_ON = {"peel"}


def participle(verb: str) -> str:
    head, _, last = verb.removeprefix("re-").rpartition(" ")
    last = f"re{last}" if verb.startswith("re-") else last
    forms = [form for form, tags in verb_forms(last, IRREGULAR).items() if "pp" in tags]
    return f"{head} {min(forms, key=len) if last == 'fit' else forms[-1]}".strip()


@pytest.mark.parametrize(
    ("verb", "action"),
    sorted((verb, action) for verb, action in TABLES["plain"].items() if action and verb not in NOT_ALONE),
)
def test_plain_verb(verb: str, action: str) -> None:
    said = f"I've {participle(verb)} the bracket."
    status = TABLES["verb_status"].get(verb, "done")
    assert [(event.action, event.part, event.status) for event in events_of(said)] == [(action, "bracket", status)], (
        said
    )
    asked = f"Should I have {participle(verb)} the bracket?"
    assert events_of(asked) == (), asked


@pytest.mark.parametrize(
    ("verb", "action"), sorted((verb, action) for verb, action in TABLES["phrasal"].items() if action and " " in verb)
)
def test_verb_with_particle(verb: str, action: str) -> None:
    head, _, particle = verb.partition(" ")
    if head in ("go", "come"):
        said = f"The bracket has {participle(head)} {particle}."
    else:
        said = f"I've {participle(head)} {particle} the bracket."
    said = IN_ANOTHER_ORDER.get(verb, said)
    assert action in [event.action for event in events_of(said)], said
    wished = f"I wish someone would {verb} the bracket."
    assert events_of(wished) == (), wished


@pytest.mark.parametrize(
    "verb", sorted(verb for verb in TABLES["motion"] if verb not in ("have", "come", "go", "settle"))
)
def test_moving_verb_fits_with_on_and_not_on_the_bench(verb: str) -> None:
    pp = participle(verb)
    phrasal = load_rules().phrasal.get(verb)
    if verb not in NOT_BACK_ON and not (phrasal and phrasal.at(["back", "on"], 0)):
        said = f"I've {pp} the bracket back on."
        assert [(event.action, event.part) for event in events_of(said)] == [("fit", "bracket")], said
    laid = f"I've {pp} the bracket on the bench."
    assert verb in FASTENED or "fit" not in [event.action for event in events_of(laid)], laid


def test_actions_are_the_closed_list() -> None:
    from pipeline.events.rules import ACTIONS

    assert len(ACTIONS) == 31
    assert {action for name in ("plain", "phrasal", "motion") for action in TABLES[name].values()} - {""} <= ACTIONS
