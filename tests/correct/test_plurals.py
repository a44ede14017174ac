"""Many of a term, heard as if something belonged to it."""

import pytest

from pipeline.correct import build_matcher, correct
from pipeline.correct.matcher import Decisions
from pipeline.tokens import line_words
from pipeline.vocabulary import list_vocabulary

NAMES = ["damper", "brake pad", "drive shaft", "crank seal", "tie rod", "play", "gudgeon pin"]
MATCHER = build_matcher(list_vocabulary(NAMES))


def found(text: str) -> list[tuple[str, str, str]]:
    return [(corr.heard, corr.written, corr.decision) for corr in correct(line_words(text), MATCHER)]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("The damper's were changed two years ago.", ("damper's", "dampers")),
        ("It's original and the brake pad's are new.", ("brake pad's", "brake pads")),
        ("Drive shaft's are hanging on string.", ("Drive shaft's", "Drive shafts")),
        ("Both tie rod’s have no play left.", ("tie rod’s", "tie rods")),
        ("and the crank seal's weren't leaking", ("crank seal's", "crank seals")),
    ],
)
def test_what_is_said_of_many_is_written_of_many(text: str, expected: tuple[str, str]) -> None:
    assert found(text) == [(*expected, "auto")]


@pytest.mark.parametrize(
    "text",
    [
        "the damper's worn and the brake pad's original",
        "the brake pad's backing is rusty",
        "the damper's, are you listening, rusty",
        "I cleaned the damper's. Are they new?",
        "the pads are fine but the damper's are worn",
        "the bracket's are new",
    ],
)
def test_what_one_thing_has_or_is_stays(text: str) -> None:
    assert found(text) == []


def test_a_garble_of_many_is_no_owner() -> None:
    assert found("The good gin pin's were tight and the gudgin pin's end is worn.")[0][1] == "gudgeon pins"


def test_what_the_user_has_rejected_stays() -> None:
    decisions = Decisions(rejected=frozenset({("damper's", "damper")}))
    words = line_words("The damper's were changed.")
    assert correct(words, build_matcher(list_vocabulary(NAMES), decisions=decisions)) == []
