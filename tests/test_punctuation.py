"""Sentence ends and commas in words that came without: only there, as a view, and right more often than not."""

import re
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.punctuation import predict, punctuated
from pipeline.tokens import bare, ends_sentence, line_words, written_tokens

UNSEEN = Path(__file__).resolve().parent.parent / "tools" / "narrations" / "unseen"

BARE = (
    "right so that's the carburettor off now i'll drain the float bowl into a jar and have a look at what comes out "
    "the main jet is blocked so that gets cleaned out with a bit of wire then the float needle goes back in"
)


def texts(line: str) -> list[str]:
    return [token.text for token in punctuated(written_tokens(line_words(line)))]


def test_bare_words_get_sentences_and_stay_the_same_words() -> None:
    found = texts(BARE)
    assert [bare(text) for text in found] == BARE.split()
    assert 2 <= sum(map(ends_sentence, found[:-1])) <= 8


@pytest.mark.parametrize(
    "line",
    [
        "The main jet is blocked, so that gets cleaned out with a bit of wire and put back in with the float needle.",
        "the main jet is out. it goes back in",
        "off it comes",
        "",
    ],
)
def test_written_punctuation_and_short_words_are_left_alone(line: str) -> None:
    assert texts(line) == line.split()


def test_a_long_silence_speaks_for_a_break() -> None:
    words = bare("Now turn it over the other side is the same").split()
    without = predict(words)
    assert without[3] == 0
    assert predict(words, [place == 3 for place in range(len(words))])[3] > 0


@settings(deadline=None)
@given(st.lists(st.text(max_size=12).map(lambda text: text.strip() or "x"), max_size=40))
def test_any_words_pass(words: list[str]) -> None:
    tokens = written_tokens(line_words(" ".join(words)))
    found = punctuated(tokens)
    assert [(token.start_word, token.start_ms) for token in found] == [(t.start_word, t.start_ms) for t in tokens]
    assert all(after.text.startswith(before.text) for before, after in zip(tokens, found, strict=True))


def test_breaks_of_unseen_narrations(capsys: pytest.CaptureFixture[str]) -> None:
    right = found = gold = 0
    for path in UNSEEN.glob("*.txt"):
        text = path.read_text(encoding="utf-8").partition("\n\n")[2]
        words = [word for line in text.splitlines() if not re.match("[@=~]", line) for word in line.split()]
        words = [word for word in words if bare(word)]
        guesses = [mark > 0 for mark in predict([bare(word) for word in words])]
        written = [word[-1] in ".,?!;:" for word in words]
        right += sum(map(all, zip(guesses, written, strict=True)))
        found, gold = found + sum(guesses), gold + sum(written)
    with capsys.disabled():
        print(f"\nbreaks in unpunctuated narrations never trained on: {right} right of {found} found, {gold} written")
    assert 2 * right / (found + gold) > 0.65


LINES = [
    "so the head is off and on the bench", "both valves are in the tin", "i cleaned the seats with a wire brush",
    "the exhaust guide has some play in it so it goes to the machinist", "new gasket is on the shelf",
    "then the four nuts in a cross pattern",
]  # fmt: skip


def test_lines_that_are_sentences_end_in_marks() -> None:
    words = line_words(" ".join(LINES))
    starts = {sum(len(line.split()) for line in LINES[:n]) for n in range(len(LINES))}
    found = punctuated(written_tokens(words), line_starts=starts)
    assert [found[start - 1].text[-1] for start in sorted(starts)[1:]] == ["."] * (len(LINES) - 1)


def test_lines_cut_by_their_length_end_in_none_but_their_own() -> None:
    words = line_words(" ".join(LINES))
    assert punctuated(written_tokens(words), line_starts=range(0, len(words), 6)) == punctuated(written_tokens(words))
