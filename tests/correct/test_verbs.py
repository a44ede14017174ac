"""Verbs of the workshop that were heard as everyday words."""

import pytest

from pipeline.correct import build_matcher, correct, load_matcher
from pipeline.correct.matcher import Decisions
from pipeline.correct.verbs import garbled_verbs
from pipeline.tokens import line_words
from pipeline.vocabulary import list_vocabulary

MATCHER = load_matcher()


def found(text: str) -> list[tuple[str, str, str]]:
    return [(corr.heard, corr.written, corr.decision) for corr in garbled_verbs(line_words(text))]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("the head bolts are talked to 25 newton metres", ("talked", "torqued", "auto")),
        ("nuts stocked at eighty foot pounds", ("stocked", "torqued", "auto")),
        ("Dorked the caps in order", ("Dorked", "Torqued", "auto")),
        ("I'll talk them once it's on the floor", ("talk", "torque", "ask")),
        ("all toward 30 newton metres", ("toward", "torqued to", "ask")),
        ("the back brake is not blood yet", ("blood", "bled", "ask")),
        ("the plug is gaped at thirty", ("gaped", "gapped", "auto")),
        ("the plug, capped at 25 thou", ("capped", "gapped", "ask")),
        ("hubs off, priest, and back on", ("priest,", "greased,", "ask")),
        ("new brake shoes, towed in a touch", ("towed in", "toed in", "ask")),
        ("the cable I've ratted behind the tank", ("ratted", "routed", "ask")),
    ],
)
def test_it_makes_no_sense_here(text: str, expected: tuple[str, str, str]) -> None:
    assert found(text) == [expected]


@pytest.mark.parametrize(
    "text",
    [
        "I talked to the owner for 25 minutes",
        "I talked to two people about it",
        "let me talk it through with you",
        "I'll talk about those later",
        "we'll talk to them on Monday",
        "I turned it toward the light",
        "there was blood on the brake lever",
        "the priest brought it in on a trailer",
        "it was towed in by the neighbour",
        "the pipe is capped at one end",
        "he taught it at the college",
        "it's stocked at the shop in Leeds",
    ],
)
def test_it_may_well_have_been_said(text: str) -> None:
    assert found(text) == []


def test_it_is_among_the_corrections_of_a_workshop_and_of_no_other_trade() -> None:
    words = line_words("the head bolts are talked to 25 newton metres")
    assert [corr.written for corr in correct(words, MATCHER)] == ["torqued"]
    ward = build_matcher(list_vocabulary(["tachycardia", "bradycardia", "naloxone", "tibial plateau"]))
    assert correct(words, ward) == []


def test_what_the_user_has_said_was_never_meant_is_left_alone() -> None:
    decisions = Decisions(rejected=frozenset({("priest", "greased")}))
    words = line_words("hubs off, priest, and back on")
    kept = build_matcher(list_vocabulary(["hub", "circlip"]), decisions=decisions)
    assert [corr.written for corr in correct(words, MATCHER) if corr.decision == "ask"] == ["greased,"]
    assert not any(corr.written == "greased," for corr in correct(words, kept))
