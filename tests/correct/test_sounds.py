"""Properties of the distance between sounds, and pronunciations against the dictionary."""

import zlib

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rapidfuzz.distance import Levenshtein

from pipeline.correct.language import english
from pipeline.correct.pronounce import PHONES, plain_letters, speak, speak_by_rule
from pipeline.correct.sounds import codes, distances, likeness, mass, padded

STRETCH = st.text(st.sampled_from(sorted(PHONES)), min_size=1, max_size=14)


def distance(first: str, second: str) -> float:
    return float(distances(padded([codes(first)], 20), padded([codes(second)], 20))[0])


def alike(first: str, second: str) -> float:
    """Likeness of two stretches of words."""
    rows = [padded([codes("".join(speak(word)[0] for word in text.split()))], 28) for text in (first, second)]
    return float(likeness(rows[0], rows[1], np.array([0]), np.array([0]))[0])


@settings(deadline=None)
@given(STRETCH, STRETCH)
def test_distance_is_symmetric_and_zero_only_for_the_same(first: str, second: str) -> None:
    assert distance(first, second) == pytest.approx(distance(second, first), abs=1e-4)
    assert distance(first, first) == 0
    if first != second:
        assert distance(first, second) > 0


@settings(deadline=None)
@given(STRETCH, STRETCH)
def test_distance_is_no_more_than_dropping_and_adding_everything(first: str, second: str) -> None:
    both = float(mass(padded([codes(first)], 20))[0] + mass(padded([codes(second)], 20))[0])
    assert distance(first, second) <= both + 1e-4


@settings(deadline=None)
@given(STRETCH, STRETCH)
def test_distance_is_no_more_than_one_for_each_plain_edit(first: str, second: str) -> None:
    """Held against the general library's unweighted distance: no single edit costs more than 1.1."""
    assert distance(first, second) <= 1.1 * Levenshtein.distance(first, second) + 1e-4


@settings(deadline=None)
@given(st.lists(st.tuples(STRETCH, STRETCH), min_size=1, max_size=8))
def test_rows_do_not_influence_each_other(pairs: list[tuple[str, str]]) -> None:
    together = distances(padded([codes(a) for a, _ in pairs], 20), padded([codes(b) for _, b in pairs], 20))
    assert np.allclose(together, [distance(a, b) for a, b in pairs], atol=1e-4)


# Each word with one that listeners take for it and one that they do not. The confusions are those of Miller and Nicely
# (1955), "An analysis of perceptual confusions among some English consonants" (voicing and nasality are heard best,
# place worst), and the accents of Wells (1982), "Accents of English" (dropped h and r, th-fronting, flapped t).
CONFUSED = [
    ("thin", "fin", "win"),  # th-fronting
    ("ham", "am", "jam"),  # h-dropping
    ("latter", "ladder", "lasher"),  # flapped t
    ("farther", "father", "fatter"),  # r-dropping
    ("map", "nap", "cap"),  # place of a nasal
    ("pin", "tin", "shin"),  # place of a voiceless stop
    ("pin", "pen", "pawn"),  # neighbouring vowels
    ("good gin pin", "gudgeon pin", "cotter pin"),
    ("circle clip", "circlip", "paper clip"),
    ("wood rough key", "woodruff key", "allen key"),
]


@pytest.mark.parametrize(("heard", "near", "far"), CONFUSED)
def test_standard_confusions_are_nearer_than_others(heard: str, near: str, far: str) -> None:
    assert alike(heard, near) > alike(heard, far)


def test_letter_to_sound_rules_against_the_dictionary(capsys: pytest.CaptureFixture[str]) -> None:
    """Words held out from learning (see tools/make_language_data.py) against the CMU Pronouncing Dictionary."""
    data = english()
    words = [line.split(b"\t")[0].decode() for line in data._lines]
    held_out = [w for w in words if zlib.crc32(w.encode()) % 10 == 0 and w.isalpha() and len(w) > 1 and data.sounds(w)]
    held_out = [word for word in held_out if data.frequency(word) > 0][::3]
    errors = sum(min(Levenshtein.distance(speak_by_rule(w), way) for way in data.sounds(w)) for w in held_out)
    phones = sum(len(data.sounds(word)[0]) for word in held_out)
    with capsys.disabled():
        print(f"\nphone error rate of the rules: {errors / phones:.1%} ({errors} of {phones}, {len(held_out)} words)")
    assert len(held_out) > 1500
    assert errors / phones < 0.11


def test_unknown_words_are_said_by_their_parts() -> None:
    assert speak("layshaft") == (speak("lay")[0] + speak("shaft")[0],)
    assert speak("m8") == (speak("m")[0] + speak("eight")[0],)
    assert speak("tdc") == ("".join(speak(letter)[0] for letter in "tdc"),)
    assert speak("гайка") == ()
    assert plain_letters("Crème BRÛLÉE") == "creme brulee"
