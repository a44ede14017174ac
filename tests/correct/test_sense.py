"""Terms that cannot stand where their sound proposes them."""

import pytest

from pipeline.correct import correct, load_matcher
from pipeline.correct.forms import Form
from pipeline.correct.sense import out_of_place
from pipeline.correct.windows import prepare
from pipeline.tokens import line_words

MATCHER = load_matcher()


def is_out_of_place(text: str, heard: str, meant: str) -> bool:
    words = line_words(text)
    start = next(at for at in range(len(words)) if " ".join(w.text for w in words[at:]).startswith(heard))
    form = Form(meant, tuple(meant.split()), 0, False)
    return out_of_place(prepare(words, MATCHER), start, start + len(heard.split()), form)


@pytest.mark.parametrize(
    ("text", "heard", "meant"),
    [
        ("it's cold so we'll do the chain", "we'll", "wheel"),
        ("and they're on the bench", "they're", "tyre"),
        ("I treaded it with the long tap", "treaded", "treadle"),
        ("shifted into second and drove off", "shifted", "shift rod"),
        ("the washers came out bent", "washers", "washer plate"),
        ("a gap tap twenty now", "gap", "tap"),
        ("lift the valve value out", "value", "valve"),
    ],
)
def test_it_is_not_even_considered(text: str, heard: str, meant: str) -> None:
    assert is_out_of_place(text, heard, meant)


@pytest.mark.parametrize(
    ("text", "heard", "meant"),
    [
        ("I took the front we'll off", "we'll", "wheel"),
        ("it needs a new we'll bearing", "we'll", "wheel"),
        ("the oil sealed is leaking", "sealed", "seal"),
        ("that treaded, I took it off", "treaded", "treadle"),
        ("and the gap, tap it home", "gap", "tap"),
        ("the good gin pin is in", "good gin pin", "gudgeon pin"),
    ],
)
def test_it_may_be_meant(text: str, heard: str, meant: str) -> None:
    assert not is_out_of_place(text, heard, meant)


def test_measures_that_were_counted_are_written_right() -> None:
    found = correct(line_words("I did the valve clearances and the tyre pressures"), MATCHER)
    assert [corr.written for corr in found if corr.decision != "keep"] == []
