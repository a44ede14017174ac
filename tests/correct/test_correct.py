"""What is made of garbles, and that everything else is left alone."""

import tomllib
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.correct import Matcher, build_matcher, candidates, correct
from pipeline.correct.matcher import Decisions
from pipeline.correct.text import correct_lines, written_line
from pipeline.tokens import line_words, written_tokens
from pipeline.vocabulary import list_vocabulary, load_vocabulary, shipped_hearings

CORPUS = Path(__file__).parent.parent / "corpus" / "corrections.toml"
CASES = tomllib.loads(CORPUS.read_text(encoding="utf-8"))["cases"]
TERMS = ["gudgeon pin", "circlip", "woodruff key", "layshaft", "banjo bolt", "gib strip", "grub screw", "tachycardia"]


@pytest.fixture(scope="module")
def matcher() -> Matcher:
    return build_matcher(list_vocabulary(TERMS))


def corrected(text: str, matcher: Matcher) -> str:
    return written_line(text, correct_lines([text], matcher)[0])


@pytest.mark.parametrize("case", CASES, ids=[case["name"] for case in CASES])
def test_corpus(case: dict[str, Any]) -> None:
    own = build_matcher(list_vocabulary(case["vocabulary"]))
    made = {heard: corrected(heard, own) for heard in case.get("auto", {})}
    assert made == case.get("auto", {})
    for heard, term in case.get("ask", {}).items():
        assert [(corr.decision, corr.term) for corr in correct(line_words(heard), own)] == [("ask", term)]
    assert [corrected(text, own) for text in case["same"]] == case["same"]


@settings(max_examples=60, deadline=None)
@given(st.text(st.characters(codec="utf-8"), max_size=200))
def test_arbitrary_text_without_vocabulary_words_is_untouched(text: str) -> None:
    empty = build_matcher(list_vocabulary([]))
    line = text.replace("\n", " ")
    assert corrected(line, empty) == line


@settings(max_examples=60, deadline=None)
@given(
    st.lists(
        st.sampled_from(["gudgeon pin", "circlip", "the", "and", "we", "fit", "  ", "\t", "Banjo bolts"]), max_size=12
    )
)
def test_right_terms_are_untouched(pieces: list[str]) -> None:
    text = " ".join(pieces)
    assert corrected(text, build_matcher(list_vocabulary(TERMS))) == text


@pytest.mark.parametrize(
    ("heard", "written"),
    [
        ("(wood rough key),", "(woodruff key),"),
        ("Wood rough key!", "Woodruff key!"),
        ("the wood rough key's end", "the woodruff key's end"),
        ("A WOOD ROUGH KEY IS IN", "A WOODRUFF KEY IS IN"),
        ("two  wood  rough  keys\tin it", "two  woodruff keys\tin it"),
    ],
)
def test_case_punctuation_plural_and_possessive_survive(heard: str, written: str, matcher: Matcher) -> None:
    assert corrected(heard, matcher) == written


def test_letters_said_one_by_one_are_an_abbreviation_and_units_are_not() -> None:
    own = build_matcher(load_vocabulary(["electrical"]))
    assert corrected("plug in the c d i unit", own) == "plug in the CDI unit"
    assert corrected("one hundred and fifty five cc a side", own) == "one hundred and fifty five cc a side"


def test_no_correction_reaches_over_the_end_of_a_line_and_none_silently_over_a_pause(matcher: Matcher) -> None:
    assert corrected("It was wood. Rough key work.", matcher) == "It was wood. Rough key work."
    assert corrected("It was wood, rough key work.", matcher) == "It was wood, rough key work."
    assert correct_lines(["of wood", "rough key"], matcher)[0] == []
    pause = correct(line_words("It was wood, rough key work."), matcher)
    assert [(corr.heard, corr.decision) for corr in pause] == [("wood, rough key", "ask")]


def test_corrections_are_sorted_and_do_not_overlap(matcher: Matcher) -> None:
    words = line_words("the wood rough key and the good gin pin and the sir clip and the bango bolt")
    corrections = correct(words, matcher)
    assert len(corrections) >= 3
    spans = [(corr.start_word, corr.end_word) for corr in corrections]
    assert all(first[1] <= second[0] for first, second in pairwise(spans))
    assert " ".join(token.text for token in written_tokens(words, corrections)).startswith("the woodruff key and")
    assert all(corr.why and 0 <= corr.score <= 1 for corr in corrections)


def test_a_common_word_is_never_silently_written() -> None:
    own = build_matcher(list_vocabulary(["tack", "super", "lame", "thou"]))
    for text in ("tacked the sail", "we took a suit per day", "it was a lamb", "that will do for now"):
        assert corrected(text, own) == text


def test_a_term_within_a_respaced_term_is_no_rival_of_it() -> None:
    own = build_matcher(list_vocabulary(["gearbox", "gearbox cover", "layshaft"]))
    assert corrected("so the gear box cover is on", own) == "so the gearbox cover is on"
    assert corrected("so the lay shaft is in", own) == "so the layshaft is in"


def test_a_counted_term_is_no_garble_of_a_longer_one() -> None:
    own = build_matcher(list_vocabulary(["return spring", "shoe return spring"]))
    assert correct(line_words("the two return springs hook on"), own) == []
    assert correct(line_words("the shoot return springs hook on"), own)[0].term == "shoe return spring"


def test_what_the_user_decided_holds() -> None:
    vocabulary = list_vocabulary(TERMS)
    heard = "put the good gin pin in"
    rejected = Decisions(rejected=frozenset({("good gin pin", "gudgeon pin")}))
    assert corrected(heard, build_matcher(vocabulary, decisions=rejected)) == heard
    accepted = Decisions(accepted={"four now": "circlip"})
    assert corrected("it is four now, then", build_matcher(vocabulary, decisions=accepted)) == "it is circlip, then"


def test_candidates_offer_terms_where_the_text_gives_no_reason(matcher: Matcher) -> None:
    words = line_words("we left it for now and had a good pint of tea")
    found = candidates(words, 8, 9, matcher, limit=3)
    assert found == sorted(found, key=lambda candidate: -candidate.score)
    assert all(c.start_word < 9 and c.end_word > 8 for c in found)
    exact = candidates(line_words("the sir clip went in"), 1, 3, matcher, limit=3)
    assert exact[0].term == "circlip" and exact[0].sound > 0.9


def test_bad_words_do_no_harm(matcher: Matcher) -> None:
    for text in ("", " ", "…", "123 456", "гайка и болт", "\x00 \ufeff", "a" * 10_000, "x " * 5_000):
        assert corrected(text, matcher) == text


def test_words_of_every_sentence_are_asked_only_where_they_make_no_sense() -> None:
    shipped = build_matcher(load_vocabulary(), shipped_hearings())
    sensible = "The spindle nut is back on, not tight, the nut wants a new washer, and it's not for this week."
    assert [corr.heard for corr in correct(line_words(sensible), shipped) if corr.decision == "ask"] == []
    odd = "Undo the not with a nineteen millimetre socket and take the washer off."
    assert [(corr.heard, corr.written, corr.decision) for corr in correct(line_words(odd), shipped)] == [
        ("not", "nut", "ask")
    ]
