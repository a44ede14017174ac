"""The stage as a whole: without sound, within its time, and text that nobody said."""

import numpy as np

from pipeline.hearing import Sound
from pipeline.quantities import find_quantities
from pipeline.records import Correction, Settings
from pipeline.second_hearing import hear_again
from pipeline.tokens import written_tokens

from .no_terms import NO_TERMS
from .scripted import ScriptedEars, heard, sound_of


def test_without_sound_everything_is_passed_on_and_said() -> None:
    transcript = heard("torqued the sir clip to 15 newton metres")
    corr = Correction(2, 4, "sir clip", "circlip", 0.8, "ask", "sounds alike", "circlip")
    quantities = find_quantities(written_tokens(transcript.words), Settings())
    second = hear_again(transcript, None, [corr], quantities, NO_TERMS, None)
    assert second.corrections == (corr,)
    assert second.doubts == ()
    assert [(finding.level, finding.rule) for finding in second.findings] == [("note", "no_second_hearing")]


def test_nothing_to_compare_asks_the_model_nothing() -> None:
    transcript = heard("so that is done and I am happy with it")
    ears = ScriptedEars({})
    assert hear_again(transcript, sound_of(transcript), [], [], NO_TERMS, ears).findings == ()
    assert ears.encoded_ms == []


def test_each_context_is_short_and_encoded_once() -> None:
    transcript = heard("torqued to 15 newton metres then 16 psi in there " * 30)
    quantities = find_quantities(written_tokens(transcript.words), Settings())
    ears = ScriptedEars({"15": 0.0, "16": 0.0, "fifteen": 0.0, "sixteen": 0.0}, otherwise=-9.0)
    hear_again(transcript, sound_of(transcript), [], quantities, NO_TERMS, ears)
    assert len(ears.encoded_ms) <= 61
    assert max(ears.encoded_ms) < 5_000
    assert all(len(set(asked)) == len(asked) for asked in ears.asked)


def test_a_unit_heard_as_an_everyday_word_is_put_to_the_sound() -> None:
    transcript = heard("it was out by four though at the far end", {"though": 0.5})
    nats = {"though": -5.0, "thou": -0.2}
    second = hear_again(transcript, sound_of(transcript), [], [], NO_TERMS, ScriptedEars(nats))
    (corr,) = second.corrections
    assert (corr.heard, corr.written) == ("though", "thou")
    assert corr.decision in ("auto", "ask")
    against = hear_again(
        transcript, sound_of(transcript), [], [], NO_TERMS, ScriptedEars({"though": -0.2, "thou": -20.0})
    )
    assert against.corrections == ()


def test_another_unit_is_no_garble_of_one() -> None:
    for unit in ("kilometres", "miles", "kilos", "hours"):
        transcript = heard(f"it has done about 80 {unit} since then", {unit: 0.5})
        ears = ScriptedEars({unit: -9.0}, otherwise=-0.1)
        assert hear_again(transcript, sound_of(transcript), [], [], NO_TERMS, ears).corrections == ()


def test_what_is_no_word_is_a_unit_before_an_everyday_word_is() -> None:
    def made(word: str) -> list[tuple[str, str]]:
        transcript = heard(f"that one wants 3 {word} of it", {word: 0.5})
        ears = ScriptedEars({word: -3.0, "litres": -4.0})
        corrections = hear_again(transcript, sound_of(transcript), [], [], NO_TERMS, ears).corrections
        return [(corr.written, corr.decision) for corr in corrections]

    assert made("lightures") == [("litres", "ask")]
    assert made("letters") == []


def test_a_number_is_to_be_expected_behind_a_hundred_and() -> None:
    def made(text: str) -> list[tuple[str, str, str]]:
        transcript = heard(text, {"I'm": 0.6, "tea.": 0.6, "tea": 0.6})
        ears = ScriptedEars({"I'm": -2.0, "tea.": -2.0, "ninety.": -3.0})
        corrections = hear_again(transcript, sound_of(transcript), [], [], NO_TERMS, ears).corrections
        return [(corr.heard, corr.written, corr.decision) for corr in corrections]

    assert made("the book says a hundred, and I'm tea.") == [("hundred, and I'm tea.", "hundred and ninety.", "ask")]
    assert made("I drove a hundred and then the bus came") == []
    assert made("the book says a hundred. And I'm tea.") == []


def test_words_that_the_sound_does_not_bear_out_are_said() -> None:
    doubted = {"thanks": 0.1, "for": 0.1, "watching": 0.1}
    transcript = heard("and there it is thanks for watching", doubted)
    made_up = hear_again(transcript, sound_of(transcript), [], [], NO_TERMS, ScriptedEars({}, otherwise=-8.0))
    assert [finding.rule for finding in made_up.findings] == ["unsupported_text"]
    assert "thanks for watching" in made_up.findings[0].message
    said = hear_again(transcript, sound_of(transcript), [], [], NO_TERMS, ScriptedEars({}, otherwise=-2.0))
    assert said.findings == ()


def test_words_dated_past_the_end_of_the_sound_are_no_obstacle() -> None:
    transcript = heard("and then I torqued it to 15 newton metres")
    quantities = find_quantities(written_tokens(transcript.words), Settings())
    ears = ScriptedEars({})
    cut_short = Sound(np.full(1_000, 0.1, np.float32))
    hear_again(transcript, cut_short, [], quantities, NO_TERMS, ears)
    assert min(ears.encoded_ms) >= 250
