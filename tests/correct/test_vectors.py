"""Vectors of sounds: what is heard for a term lies near it."""

import numpy as np
import pytest
from numpy.typing import NDArray

from pipeline.correct import build_matcher
from pipeline.correct.forms import split_words, ways_to_say
from pipeline.correct.search import expected_rows
from pipeline.correct.sounds import padded
from pipeline.correct.strip import WIDTH
from pipeline.correct.vectors import heard_vectors, said_vectors
from pipeline.correct.windows import prepare
from pipeline.tokens import line_words
from pipeline.vocabulary import list_vocabulary, load_vocabulary


def phones(text: str) -> NDArray[np.uint8]:
    return padded(ways_to_say(split_words(text))[:1], WIDTH)


@pytest.mark.parametrize(
    ("heard", "term"),
    [
        ("good gin pin", "gudgeon pin"),
        ("sir clip", "circlip"),
        ("wood rough key", "woodruff key"),
        ("lachmet", "lock nut"),
    ],
)
def test_a_garble_is_nearer_to_its_term_than_to_most(heard: str, term: str) -> None:
    matcher = build_matcher(load_vocabulary(["fasteners", "motorcycle"]))
    alike = said_vectors(matcher.rows) @ heard_vectors(phones(heard))[0]
    own = float(said_vectors(phones(term))[0] @ heard_vectors(phones(heard))[0])
    assert (alike > own).mean() < 0.01


def test_vectors_have_length_one_and_nothing_has_none() -> None:
    rows = np.concatenate([phones("gudgeon pin"), padded([()], WIDTH)])
    assert np.allclose(np.linalg.norm(said_vectors(rows), axis=1), (1, 0), atol=1e-5)


def test_expected_are_usual_terms_what_was_said_and_all_of_a_short_list() -> None:
    packs = build_matcher(load_vocabulary())
    names = [packs.terms[packs.forms[form].term].name for form in packs.row_form]
    silent = {names[row] for row in expected_rows(prepare(line_words("hello there"), packs), packs)}
    assert "gasket" in silent
    rare = next(term.name for term in packs.terms if term.name not in silent)
    said = expected_rows(prepare(line_words(f"look at the {rare}"), packs), packs)
    assert rare in {names[row] for row in said}
    short = build_matcher(list_vocabulary(["purl stitch", "stockinette"]))
    assert len(expected_rows(prepare(line_words("hello there"), short), short)) == len(short.rows)
