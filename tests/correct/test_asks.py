from dataclasses import replace

from pipeline.correct.asks import correction_findings
from pipeline.records import Correction, Word

TEXT = ["the", "split", "pen", "and", "the", "split", "pen", "too"]
WORDS = tuple(Word(text, at * 1000, at * 1000 + 500, 0.8) for at, text in enumerate(TEXT))


def ask(start_word: int, score: float) -> Correction:
    return Correction(start_word, start_word + 2, "split pen", "split pin", score, "ask", "sounds alike", "split pin")


def test_the_same_question_is_asked_once_with_the_command_that_answers_it() -> None:
    (finding,) = correction_findings([ask(1, 0.8), ask(5, 0.7)], WORDS)
    assert (finding.level, finding.rule, finding.start_ms) == ("check", "ask", 1000)
    assert "0:01 (and 1 more)" in finding.message
    assert finding.message.endswith("witnessmark vocab learn accept 'split pen' 'split pin'")


def test_a_faint_doubt_calls_nobody() -> None:
    (finding,) = correction_findings([ask(1, 0.3)], WORDS)
    assert finding.level == "note"


def test_what_is_most_unlikely_is_kept_to_the_log() -> None:
    assert correction_findings([ask(1, 0.1)], WORDS) == []
    assert len(correction_findings([ask(1, 0.1), ask(5, 0.2)], WORDS)) == 1


def test_where_no_recogniser_doubts_a_question_must_be_likelier_than_not() -> None:
    sure = [replace(word, probability=1.0) for word in WORDS]
    assert correction_findings([ask(1, 0.4)], sure) == []
    assert len(correction_findings([ask(1, 0.6)], sure)) == 1


def test_everyday_words_are_rarely_asked_about() -> None:
    words = [Word(text, at * 1000, at * 1000 + 500, 0.8) for at, text in enumerate(["so", "dont", "not"])]
    for at in (1, 2):
        doubted = Correction(at, at + 1, words[at].text, "nut", 0.4, "ask", "sounds alike", "nut")
        assert correction_findings([doubted], words) == []
        assert len(correction_findings([replace(doubted, score=0.6)], words)) == 1


def test_what_was_decided_is_not_asked() -> None:
    kept = Correction(1, 3, "split pen", "split pin", 0.2, "keep", "unlike", "split pin")
    assert correction_findings([kept], WORDS) == []


def test_in_a_text_that_somebody_may_have_read_no_verb_is_swallowed_by_a_term() -> None:
    for heard, term in (("gudgeon pin pushed", "gudgeon pin bush"), ("piston's stuck", "piston stop")):
        words = [Word(text, at * 1000, at * 1000 + 500, 1.0) for at, text in enumerate(["the", *heard.split()])]
        asked = Correction(1, len(words), heard, term, 0.8, "ask", "sounds alike", term)
        assert correction_findings([asked], words) == []
        doubted = [replace(word, probability=0.8) for word in words]
        assert len(correction_findings([asked], doubted)) == 1


def test_a_verb_can_be_learned_and_a_figure_is_only_asked() -> None:
    words = [Word(text, at * 1000, at * 1000 + 500, 0.8) for at, text in enumerate(["not", "blood", "3", "letters"])]
    verb = Correction(1, 2, "blood", "bled", 0.7, "ask", "makes no sense")
    unit = Correction(3, 4, "letters", "litres", 0.7, "ask", "stands behind a figure")
    first, second = correction_findings([verb, unit], words)
    assert first.message.endswith("If so: witnessmark vocab learn accept blood bled")
    assert second.message.endswith("at 0:03?")


def test_what_only_ends_otherwise_in_each_word_is_no_question() -> None:
    words = [Word(text, at * 1000, at * 1000 + 500, 0.8) for at, text in enumerate(["two", "caps", "screws"])]
    ask = Correction(1, 3, "caps screws", "cap screws", 0.7, "ask", "sounds alike", "cap head screw")
    assert correction_findings([ask], words) == []
