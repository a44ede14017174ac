"""What the speaker says that he turns to, and what that does for the headings."""

from __future__ import annotations

import pytest

from pipeline.records import BuildLog, Chapter, Event, Recording
from pipeline.render.announced import announced
from pipeline.render.places import course_of
from pipeline.tokens import line_words, written_tokens
from pipeline.vocabulary import load_vocabulary

VOCABULARY = load_vocabulary()


def _announced(text: str) -> list[str]:
    tokens = written_tokens(line_words(text))
    return [" ".join(token.text for token in tokens[one.start : one.end]) for one in announced(tokens)]


@pytest.mark.parametrize(
    ("text", "topics"),
    [
        ("Now the headset. It was notchy.", ["headset."]),
        ("Third is the water pump. I opened it.", ["water pump."]),
        ("Right. Brakes, then. The shoes are worn.", ["Brakes,"]),
        ("Bass drum. Skin's split.", ["Bass drum."]),
        # something is told
        ("Front plate on. Left cup off.", []),
        ("It's seized. Lovely. Two turns. One of them sheared.", []),
        # items of a list, of which none is turned to
        ("Shift rod. Plugs. Grommet and washer, they go in first.", []),
        # words without punctuation are one sentence
        ("now the headset i took the cup off", []),
    ],
)
def test_a_short_sentence_that_names_a_thing_turns_to_it(text: str, topics: list[str]) -> None:
    assert _announced(text) == topics


def _places(text: str, *parts: str) -> list[str]:
    """Where parts stand that are fitted in the order in which a text names them."""
    words = line_words(text)
    keys = [word.text.strip(".,").lower() for word in words]
    of = {name: term.part_of for term in VOCABULARY.terms for name in term.spellings}
    events, at = [], 0
    for number, part in enumerate(parts):
        at = keys.index(part.split()[0], at)
        events.append(
            Event(
                f"e{number}", "fit", part, "done", "", "", "", "", None, (), "", part, at, at + len(part.split()),
                words[at].start_ms, of.get(part, ""),
            )
        )  # fmt: skip
        at += 1
    log = BuildLog(Recording("a", 90_000, ""), words, events=tuple(events), chapters=(Chapter(0, ""),))
    places = course_of(log, VOCABULARY).places
    return [places[event] for event in log.events]


def test_what_follows_an_announcement_is_of_what_was_announced() -> None:
    start = "The caliper is on and the brake pad and the brake disc. "
    hydraulics = _places(start + "Now the hydraulics. The piston went in and the valve and the spring. The ram is out.",
                         "caliper", "brake pad", "piston", "valve", "spring")  # fmt: skip
    assert hydraulics == ["brakes"] * 2 + ["hydraulics"] * 3
    assert _places(start + "The washer went on.", "caliper", "brake pad", "washer")[-1] == "brakes"


def test_what_was_worked_on_before_ends_where_something_else_is_announced() -> None:
    start = "The caliper is on and the brake pad and the brake disc. "
    assert _places(start + "The ramp was heavy. Now the ramp. The spring is in.", "caliper", "pad", "spring")[-1] == ""


def test_a_part_stays_where_its_own_name_says() -> None:
    text = "The gearbox. I fitted the layshaft. The clutch cable is on and the clutch plate. The mainshaft is in."
    assert _places(text, "layshaft", "clutch cable", "clutch plate", "mainshaft") == [
        "gearbox",
        "clutch",
        "clutch",
        "gearbox",
    ]


def test_a_bolt_is_of_what_it_comes_out_of() -> None:
    start = "The layshaft is in and the mainshaft and the selector fork. "
    assert _places(start + "I took two bolts out of the brake caliper.", "layshaft", "bolts")[-1] == "brakes"
    assert _places(start + "I took two bolts out. The brake caliper is fine.", "layshaft", "bolts")[-1] == "gearbox"
