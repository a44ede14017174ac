"""How well words fit where they stand: a term among its own kind, the words heard where nothing was garbled."""

import numpy as np
import pytest

from pipeline.correct.contexts import BOUND, shipped_contexts
from pipeline.correct.forms import split_words
from pipeline.tokens import ends_sentence, line_words


def fit_of(sentence: str, own: str) -> float:
    """How well `own` fits at the * of a sentence; less than 0 where it fits worse than anywhere."""
    contexts = shipped_contexts()
    before, behind = sentence.split("*")
    words, numbers = [], []
    sentences = 0
    for word in (*line_words(before), *line_words(behind)):
        for piece in split_words(word.text):
            words.append(piece)
            numbers.append(sentences)
        sentences += ends_sentence(word.text)
    place = np.array([sum(len(split_words(word.text)) for word in line_words(before))])
    # nothing stands at the place itself: the words behind it follow those before
    around = contexts.surroundings(contexts.places(words), np.array(numbers), place, place)
    said = contexts.places(split_words(own))
    return float(around[0] @ contexts.means(said, np.array([0]), np.array([len(said)]))[0])


@pytest.mark.parametrize(
    ("sentence", "said", "heard"),
    [
        ("I've warmed the piston in the oven and pushed the * in by hand. Circlips next.", "gudgeon pin", "good gin"),
        ("The * goes on with the grooves facing the gear, and then the layshaft.", "thrust washer", "thirst watcher"),
        ("I've lapped them both in and the exhaust * nice and grey all the way round.", "seat is", "stays"),
        ("The front bearing * heated in a tin of oil to about ninety degrees.", "has been", "housing"),
        ("So I've put in a new * and filled it with coolant, and bled it.", "thermostat", "the most at"),
    ],
)
def test_what_was_said_fits_better_than_what_was_not(sentence: str, said: str, heard: str) -> None:
    assert fit_of(sentence, said) > fit_of(sentence, heard)


def test_words_that_nobody_counted_neither_fit_nor_disturb() -> None:
    assert fit_of("The * is in the oven.", "zzyzxq") == 0.0
    contexts = shipped_contexts()
    alone = contexts.surroundings(np.array([5]), np.array([0]), np.array([0]), np.array([1]))
    assert np.allclose(alone[0], contexts.around[:4, BOUND].sum(axis=0))
