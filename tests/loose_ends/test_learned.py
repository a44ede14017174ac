"""What the learned weights stand on: signs in clauses, and jobs that a part can have."""

from __future__ import annotations

import itertools

import pytest

from pipeline.events import find_events
from pipeline.loose_ends import PartNames, find_loose_ends
from pipeline.loose_ends.reading import Reading
from pipeline.loose_ends.signs import load_signs
from pipeline.loose_ends.weights import KINDS, load_weights
from pipeline.quantities import find_quantities
from pipeline.records import Settings
from pipeline.tokens import line_words, written_tokens
from tests.events.scoring import finder_vocabulary
from tests.loose_ends.scoring import loose_ends_of


def signs_of(said: str) -> list[set[str]]:
    reading = Reading((), written_tokens(line_words(said)), finder_vocabulary())
    return [set(signs) for signs in reading.signs]


@pytest.mark.parametrize(
    ("said", "sign", "clause"),
    [
        ("The gasket hasn't arrived.", "not_come", 0),
        ("I cleaned the cover and it has to come off again.", "off_again", 1),
        ("The bolts are in, but they're only finger tight.", "finger_tight", 1),
        ("There's no oil in the box.", "no_fluid", 0),
        ("The left side hasn't been touched.", "side_undone", 0),
    ],
)
def test_sign_stands_in_its_clause(said: str, sign: str, clause: int) -> None:
    found = signs_of(said)
    assert sign in found[clause]
    assert not any(sign in signs for place, signs in enumerate(found) if place != clause)


def test_clauses_cover_the_text_without_gaps() -> None:
    said = "The fork is in because the tool came today and the nut is on but I left it loose until the seal arrives"
    reading = Reading((), written_tokens(line_words(said)), finder_vocabulary())
    edges = [(clause.start, clause.end) for clause in reading.clauses]
    assert edges[0][0] == 0 and edges[-1][1] == len(reading.scan.text) and len(edges) > 3
    assert all(before[1] == after[0] for before, after in itertools.pairwise(edges))


def test_every_sign_speaks_for_a_kind_that_there_is() -> None:
    assert {sign.kind for sign in load_signs().values()} == {*KINDS, "context"}
    assert set(load_weights().kinds) == set(KINDS)


def test_a_chain_is_not_topped_up() -> None:
    names = PartNames(finder_vocabulary())
    assert names.can_be("top_up", "gearbox oil") and names.can_be("fill", "gearbox")
    assert not names.can_be("top_up", "chain") and names.can_be("adjust", "chain")


def test_the_words_that_tell_it_are_whole_clauses() -> None:
    (end,) = loose_ends_of("I cleaned the box. The clutch cover is on, but its screws are only finger tight.")
    assert (end.part, end.said) == ("screw", "but its screws are only finger tight.")


def test_nothing_said_leaves_nothing_open() -> None:
    tokens = written_tokens(())
    found = find_events(tokens, find_quantities(tokens, Settings()), finder_vocabulary())
    assert find_loose_ends(found.events, found.mentions, tokens, finder_vocabulary()) == []


def test_what_the_speaker_has_not_got_is_waited_for_beside_other_open_ends() -> None:
    said = (
        "In the torque arm, that's only bolted up at the front so far. "
        "The back bolt needs a spring washer which I haven't got. Next time it's the primary chain."
    )
    assert ("waiting", "spring washer") in [(end.kind, end.part) for end in loose_ends_of(said)]
