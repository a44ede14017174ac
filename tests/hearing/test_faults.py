"""Faults as a recogniser really writes them, beside real speech that looks like them and must stay."""

import pytest

from pipeline.hearing.faults import drop_repeats, has_loop, is_noise_text, mend_times
from pipeline.records import Word


def words(text: str, each_ms: int = 300, probability: float = 0.9) -> list[Word]:
    return [Word(t, i * each_ms, (i + 1) * each_ms, probability) for i, t in enumerate(text.split())]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("and then " + "I'm going to put this on, " * 6 + "right", "and then I'm going to put this on, right"),
        ("so the nut is " + "tight, " * 9 + "and locked", "so the nut is tight, and locked"),
        ("so " + "tight " * 20 + "now", "so tight now"),
        ("it is " + "very very " * 6 + "tight", "it is very tight"),
    ],
)
def test_loops_are_cut_to_one(text: str, expected: str) -> None:
    kept, findings = drop_repeats(words(text))
    assert " ".join(w.text for w in kept) == expected
    assert [f.rule for f in findings] == ["repeated-text"]
    assert has_loop(text.split())


@pytest.mark.parametrize(
    "text",
    [
        "no no no that is wrong",
        "round and round and round it goes until it stops",
        "one more turn one more turn and that is it",
        "tap tap tap and it is out",
        "washer nut washer nut and then the cover",
    ],
)
def test_real_repetition_stays(text: str) -> None:
    kept, findings = drop_repeats(words(text))
    assert [w.text for w in kept] == text.split()
    assert not findings
    assert not has_loop(text.split())


def test_a_phrase_said_twice_stays_unless_nobody_could_say_it_so_fast() -> None:
    text = "put the washer on there put the washer on there"
    assert len(drop_repeats(words(text, each_ms=250))[0]) == 10
    assert len(drop_repeats(words(text, each_ms=30))[0]) == 5


def test_a_first_word_dated_long_before_it_is_spoken_is_moved_to_its_end() -> None:
    mended, findings = mend_times([Word("So", 0, 11_400), Word("then", 11_400, 11_700)])
    assert mended[0].end_ms == 11_400
    assert mended[0].start_ms >= 10_000
    assert [f.rule for f in findings] == ["long-word"]


def test_a_word_stretched_over_the_silence_after_it_keeps_its_start() -> None:
    mended, _ = mend_times([Word("the", 0, 200), Word("nut.", 250, 9_000), Word("Next", 9_000, 9_300)])
    assert mended[1].start_ms == 250
    assert mended[1].end_ms <= 1_250


def test_times_running_backwards_are_put_in_order() -> None:
    mended, _ = mend_times([Word("a", 500, 900), Word("b", 400, 300), Word("c", 950, 1_000)])
    assert all(w.start_ms <= w.end_ms for w in mended)
    assert [w.start_ms for w in mended] == sorted(w.start_ms for w in mended)


@pytest.mark.parametrize(
    ("probability", "log_probability", "no_speech", "expected"),
    [(0.3, -1.4, 0.9, True), (0.05, -0.9, 0.3, True), (0.5, -0.4, 0.9, False), (0.3, -1.4, 0.2, False)],
)
def test_text_over_noise(probability: float, log_probability: float, no_speech: float, expected: bool) -> None:
    assert is_noise_text(words("thank you for", probability=probability), log_probability, no_speech) is expected
