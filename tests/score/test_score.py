"""The measuring, held against jiwer (a general library for word error rates) and worked examples."""

from pathlib import Path

import jiwer
from click.testing import CliRunner
from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.cli.score import score as score_command
from pipeline.correct import build_matcher
from pipeline.records import Correction
from pipeline.score import report, score_lines
from pipeline.score.align import align, comparable
from pipeline.tokens import line_words
from pipeline.vocabulary import list_vocabulary

WORDS = st.lists(st.sampled_from(["a", "b", "c", "d", "e", "f"]), min_size=1, max_size=12)


@settings(deadline=None)
@given(WORDS, WORDS)
def test_word_errors_against_jiwer(reference: list[str], heard: list[str]) -> None:
    expected = jiwer.process_words(" ".join(reference), " ".join(heard))
    errors = expected.substitutions + expected.deletions + expected.insertions
    assert align(reference, heard).errors == errors


@settings(deadline=None)
@given(WORDS, WORDS)
def test_matched_words_are_equal_and_in_order(reference: list[str], heard: list[str]) -> None:
    matched = [(n, spot) for n, spot in enumerate(align(reference, heard).matched) if spot >= 0]
    assert all(reference[n] == heard[spot] for n, spot in matched)
    assert [spot for _, spot in matched] == sorted({spot for _, spot in matched})


def auto(start: int, end: int, heard: str, written: str) -> Correction:
    return Correction(start, end, heard, written, 0.9, "auto", "test", term=written)


def test_harm_help_and_terms_of_a_worked_example() -> None:
    """By hand: 8 words said, circlip garbled and put right (1 mended), "sleeve" made "sieve" (1 harmed)."""
    matcher = build_matcher(list_vocabulary(["circlip", "sieve"]))
    heard = line_words("fit the sir clip over the brass sleeve")
    corrections = [auto(2, 4, "sir clip", "circlip"), auto(7, 8, "sleeve", "sieve")]
    total, lines = score_lines(["fit the circlip over the brass sleeve"], [heard], [corrections], matcher)
    assert (total.words, total.harmed, total.mended) == (7, 1, 1)
    assert (total.errors_before, total.errors_after) == (2, 1)
    assert (total.mentions, total.garbled, total.put_right) == (1, 1, 1)
    assert (total.autos, total.autos_right) == (2, 1)
    assert (total.written_terms, total.written_terms_right) == (2, 1)
    text = report(total, lines)
    assert text.startswith("HARM    1 good words made wrong")
    assert "SLEEVE" in text and "SIEVE" in text


def test_an_ask_with_the_right_term_counts_for_recall() -> None:
    matcher = build_matcher(list_vocabulary(["circlip"]))
    ask = Correction(2, 4, "sir clip", "circlip", 0.5, "ask", "test", term="circlip")
    total, _ = score_lines(["fit the circlip now"], [line_words("fit the sir clip now")], [[ask]], matcher)
    assert (total.garbled, total.put_right, total.asked_right, total.harmed) == (1, 0, 1, 0)


def test_lines_that_are_right_are_not_shown(tmp_path: Path) -> None:
    said, heard, terms = (tmp_path / name for name in ("said.txt", "heard.txt", "terms.txt"))
    said.write_text("all is well\nfit the circlip now\n", encoding="utf-8")
    heard.write_text("all is well\nfit the clip now\n", encoding="utf-8")
    terms.write_text("circlip\n", encoding="utf-8")
    result = CliRunner().invoke(score_command, [str(said), str(heard), "--terms", str(terms)], standalone_mode=False)
    assert result.exception is None
    assert "line 2" in result.output and "line 1" not in result.output
    assert result.output.startswith("HARM")


def test_comparable_ignores_case_punctuation_and_hyphens() -> None:
    assert comparable("Re-fit the (M8) bolt.") == ["re", "fit", "the", "m8", "bolt"]


def test_a_term_with_the_next_word_drawn_to_it_was_heard() -> None:
    matcher = build_matcher(list_vocabulary(["choke plunger", "damper", "circlip", "engineer's blue"]))
    said = ["the choke plunger is original", "the dampers leak", "the circlips fell out", "a spot of engineer's blue"]
    heard = ["the choke plunger's original", "the damper's leak", "the sir clip's fell out", "a spot of engineers blue"]
    total, _ = score_lines(said, [line_words(line) for line in heard], [[], [], [], []], matcher)
    assert (total.mentions, total.heard_right, total.heard_otherwise, total.garbled) == (4, 0, 2, 2)
