"""The name that the user gives the machine is listened for, and nothing else of it is."""

import json
from pathlib import Path

import pytest

from pipeline.correct import build_matcher, correct
from pipeline.records import Word
from pipeline.vocabulary import Vocabulary, load_vocabulary, shipped_hearings, with_machine

HEARD = Path(__file__).parents[1] / "samples" / "heard" / "penhallow_gearbox.json"


@pytest.mark.parametrize(
    ("machine", "names"),
    [
        ("Penhallow 175", ["Penhallow"]),
        ("my old Tamsin 90, red", ["Tamsin"]),
        ("small vertical mill", []),
        ("", []),
        ("B1201 XT-500", []),
        ("Penhallow and Penhallow", ["Penhallow"]),
    ],
)
def test_capitalised_words_are_names(machine: str, names: list[str]) -> None:
    assert [term.name for term in with_machine(Vocabulary((), {}, {}), machine).terms] == names


def test_a_word_of_a_term_is_left_to_the_term() -> None:
    packs = load_vocabulary()
    assert with_machine(packs, "Gearbox 3") == packs


def test_the_name_is_asked_where_it_was_garbled() -> None:
    words = [Word(**word) for word in json.loads(HEARD.read_text(encoding="utf-8"))["words"]]
    packs = load_vocabulary()
    found = correct(words, build_matcher(with_machine(packs, "Penhallow 175"), shipped_hearings()))
    assert any(corr.written.startswith("Penhallow") and corr.decision != "keep" for corr in found)
    without = correct(words, build_matcher(packs, shipped_hearings()))
    assert not any("Penhallow" in corr.written for corr in without)


@pytest.mark.parametrize(
    ("text", "asked"),
    [
        ("so we're in the garage with the pen below, and tonight it's the front end", ["Penhallow,"]),
        ("so we're in the garage with the pennello, and tonight it's the front end", ["Penhallow,"]),
        ("so I took the panel off, and the pencil is on the bench below", []),
        ("the pillow on the seat is torn, and the pan below the engine has a crack", []),
    ],
)
def test_a_name_that_was_given_is_expected_where_machines_are_introduced(text: str, asked: list[str]) -> None:
    matcher = build_matcher(with_machine(load_vocabulary(), "Penhallow 175"), shipped_hearings())
    words = [Word(word, at * 300, at * 300 + 280, 0.7) for at, word in enumerate(text.split())]
    assert [corr.written for corr in correct(words, matcher) if corr.term == "Penhallow"] == asked
