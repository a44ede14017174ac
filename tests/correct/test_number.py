"""One or many, by what stands beside the term and what was heard of its end."""

import numpy as np
import pytest

from pipeline.correct import Matcher, build_matcher, correct
from pipeline.correct.judge import shipped_weights
from pipeline.correct.number import SIGNS, signs
from pipeline.correct.windows import prepare
from pipeline.tokens import line_words
from pipeline.vocabulary import list_vocabulary, load_vocabulary


@pytest.fixture(scope="module")
def matcher() -> Matcher:
    return build_matcher(list_vocabulary(["gudgeon pin", "circlip", "thrust washer", "drain plug", "layshaft"]))


@pytest.mark.parametrize(
    ("text", "start", "end", "many"),
    [
        ("put a good gin pin back in", 2, 5, False),
        ("put two good gin pins back in", 2, 5, True),
        ("both sir clips are new", 1, 3, True),
        ("each sir clip is new", 1, 3, False),
    ],
)
def test_number_follows_what_is_beside_the_term(text: str, start: int, end: int, many: bool, matcher: Matcher) -> None:
    heard = prepare(line_words(text), matcher)
    name = ("gudgeon", "pin") if "gin" in text else ("circlip",)
    form = np.array([matcher.exact[name]])
    found = signs(heard, matcher, np.array([start]), np.array([end]), form)
    assert found.shape == (1, len(SIGNS))
    assert (shipped_weights().many(found)[0] > 0.5) == many


def test_either_number_of_a_term_knows_the_other(matcher: Matcher) -> None:
    one, many = matcher.exact["thrust", "washer"], matcher.exact["thrust", "washers"]
    assert (matcher.form_other[one], matcher.form_other[many]) == (many, one)


def test_a_garble_is_written_in_the_number_that_was_said(matcher: Matcher) -> None:
    found = correct(line_words("Fit two sir clips, then the lay shaft and one sir clip."), matcher)
    assert [corr.written for corr in found if corr.term == "circlip"] == ["circlips,", "circlip."]


def test_figures_for_words_are_the_term_as_it_is() -> None:
    own = build_matcher(list_vocabulary(["ninety weight", "four pot caliper"]))
    heard = prepare(line_words("the 90 weight for the gearbox and a 4 pot caliper"), own)
    assert set(heard.terms_said) == {0, 1}


def test_of_spellings_that_sound_alike_the_one_in_use_is_written() -> None:
    own = build_matcher(load_vocabulary())
    for used in ("tyre", "tire"):
        found = correct(line_words(f"The rear {used} is flat, so I put a new tyer on."), own)
        assert [corr.written for corr in found if corr.term == "tyre"] == [used]
