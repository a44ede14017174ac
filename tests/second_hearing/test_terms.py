"""Terms: the sound turns an ask into an auto or a keep, chooses between terms, and finds what text did not propose."""

from dataclasses import replace

from pipeline.correct import build_matcher, correct
from pipeline.records import Correction
from pipeline.second_hearing import SecondHearing, hear_again
from pipeline.second_hearing.calibration import shipped_calibration
from pipeline.vocabulary import list_vocabulary

from .scripted import ScriptedEars, heard, sound_of

MATCHER = build_matcher(list_vocabulary(["gudgeon pin", "grub screw", "shroud screw", "circlip", "thrust washer"]))
TEXT = "so here we have the grout screw which I took out and cleaned up for later"


def again(text: str, nats: dict[str, float], doubted: dict[str, float] | None = None) -> SecondHearing:
    transcript = heard(text, doubted)
    corrections = correct(transcript.words, MATCHER)
    return hear_again(transcript, sound_of(transcript), corrections, [], MATCHER, ScriptedEars(nats))


def only(second: SecondHearing) -> Correction:
    (corr,) = second.corrections
    return corr


def test_the_sound_decides_for_a_term_and_against_it() -> None:
    doubted = {"grout": 0.3}
    right = only(again(TEXT, {"grout": -6.0, "grub": -0.5, "shroud": -14.0}, doubted))
    assert (right.written, right.term) == ("grub screw", "grub screw")
    assert right.sound_nats is not None
    assert right.sound_nats > 5
    wrong = again(TEXT, {"grout": -0.1, "grub": -18.0, "shroud": -18.0}, doubted)
    assert all(corr.decision != "auto" and corr.score < right.score for corr in wrong.corrections)


def test_of_two_terms_the_one_in_the_sound_is_taken() -> None:
    text = TEXT.replace("grout", "groud")  # the text alone leans to neither by much
    first = only(again(text, {"groud": -6.0, "grub": -0.5, "shroud": -9.0}, {"groud": 0.3}))
    second = only(again(text, {"groud": -6.0, "grub": -12.0, "shroud": -0.5}, {"groud": 0.3}))
    assert (first.term, second.term) == ("grub screw", "shroud screw")
    assert "shroud screw" in first.rivals


def test_a_correction_of_the_users_own_is_not_put_to_the_sound() -> None:
    transcript = heard(TEXT)
    corr = Correction(5, 7, "grout screw", "grub screw", 0.9, "auto", "you have said that this is meant", "grub screw")
    ears = ScriptedEars({"grub": -30.0})
    second = hear_again(transcript, sound_of(transcript), [corr], [], MATCHER, ears)
    assert second.corrections == (corr,)
    assert ears.asked == []


def test_corrections_never_overlap_and_stay_in_order() -> None:
    text = "the grout screw and the good gin pin and a sir clip by the thrust watcher"
    second = again(text, {}, {"grout": 0.2, "gin": 0.3, "sir": 0.3, "watcher": 0.3})
    ends = 0
    for corr in second.corrections:
        assert corr.start_word >= ends
        ends = corr.end_word


def test_a_correction_made_by_the_sound_no_longer_says_that_it_was_not_made() -> None:
    transcript = heard(TEXT, {"grout": 0.2})
    why = "sounds 76 % alike; not made without asking: it is ordinary English"
    corr = Correction(5, 7, "grout screw", "grub screw", 0.8, "ask", why, "grub screw")
    ears = ScriptedEars({"grout": -14.0, "grub": -0.1, "shroud": -20.0})
    easy = replace(shipped_calibration(), auto_guarded=0.5)
    (made,) = hear_again(transcript, sound_of(transcript), [corr], [], MATCHER, ears, easy).corrections
    assert made.decision == "auto"
    assert "not made" not in made.why


def test_where_only_the_spacing_changes_the_sound_is_not_asked() -> None:
    transcript = heard("and then I fitted the circ lip on the end of it", {"circ": 0.3, "lip": 0.3})
    corr = Correction(5, 7, "circ lip", "circlip", 0.9, "auto", "only the spacing differs", "circlip")
    second = hear_again(transcript, sound_of(transcript), [corr], [], MATCHER, ScriptedEars({"circlip": -30.0}))
    assert second.corrections == (corr,)
