"""The third look: which pairs are read together, and that the words around decide between terms that sound alike."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from pipeline.correct import correct, load_matcher
from pipeline.correct.explain import explain
from pipeline.correct.third_look import LEAST, LENGTH, MOST, clusters
from pipeline.correct.windows import prepare
from pipeline.tokens import line_words

MATCHER = load_matcher()
PAIR = st.tuples(st.integers(0, 40), st.integers(1, 5), st.floats(-12, 12))


@given(st.lists(PAIR, max_size=60))
def test_every_likely_pair_is_in_one_cluster_of_rivals(pairs: list[tuple[int, int, float]]) -> None:
    start = np.array([start for start, _, _ in pairs], dtype=np.int64)
    end = start + np.array([length for _, length, _ in pairs], dtype=np.int64)
    first = np.array([odds for _, _, odds in pairs])
    found = clusters(start, end, first)
    members = [number for each in found for number in each.tolist()]
    assert sorted(members) == np.flatnonzero(first >= LEAST).tolist()
    for each in found:
        likeliest = each[0]
        assert first[likeliest] == first[each].max() and len(each) <= MOST
        assert ((start[each] < end[likeliest]) & (end[each] > start[likeliest])).all()


def chance(said: str, term: str) -> float:
    return max((corr.score for corr in correct(line_words(said), MATCHER) if corr.term == term), default=0.0)


def test_the_words_around_make_a_term_likelier_or_less() -> None:
    lathe = chance("The friends on the spindle are stripped so I chased them with a die.", "thread")
    table = chance("My friends at the table are tired so I took them home.", "thread")
    assert lathe > 2 * table and lathe > 0.1, (lathe, table)


def test_why_says_what_reading_has_brought() -> None:
    assert explain({"sound": 0.8, "raised": 1.5}, "auto") == "sounds 80 % alike; it fits the words around it better"
    assert explain({"sound": 0.8, "raised": -1.5}, "ask") == "sounds 80 % alike; the words around do not speak for it"
    assert explain({"sound": 0.8, "raised": 0.5}, "ask") == explain({"sound": 0.8, "raised": -1.5}, "auto")


def test_a_line_does_not_look_into_the_next() -> None:
    lines = ["And the good gin pin slides in.", "The main gate was blocked."] * 40
    words = [word for line in lines for word in line_words(line)]
    breaks = np.cumsum([len(line.split()) for line in lines]).tolist()
    heard = prepare(words, MATCHER, breaks[:-1])
    assert heard.line.max() == len(lines) - 1
    together = correct(words, MATCHER, breaks[:-1])
    assert len(together) >= 40 and all(corr.end_word <= len(words) for corr in together)


def test_very_long_words_and_texts_are_read() -> None:
    said = "the " + "gudgeonpin" * 200 + " and the good gin pin of the " + "x" * LENGTH + " went in " + "so " * 300
    assert any(corr.term == "gudgeon pin" for corr in correct(line_words(said), MATCHER))
