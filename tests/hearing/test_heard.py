"""When a decoding is tried again, and how words are made of the library's."""

import pytest

from pipeline.hearing.heard import Decoded, heard_words


@pytest.mark.parametrize(
    ("text", "log_probability", "no_speech", "good"),
    [
        ("The gudgeon pin is out and the piston is off.", -0.4, 0.1, True),
        ("The gudgeon pin is out and the piston is off.", -1.2, 0.1, False),
        ("Thank you.", -1.2, 0.9, True),  # silence, not a failure
        ("and then I put it on " * 9, -0.1, 0.0, False),
        ("no no no that is wrong", -0.3, 0.0, True),
        ("", -0.3, 0.9, True),
    ],
)
def test_what_is_heard_again(text: str, log_probability: float, no_speech: float, good: bool) -> None:
    assert Decoded(text, (1, 2), log_probability, no_speech).is_good is good


def test_only_a_space_begins_a_word() -> None:
    pieces = [(" It's", 0.0, 0.3, 0.9), (" 1", 0.4, 0.5, 0.8), (".5", 0.5, 0.75, 0.6), (" mm,", 0.8, 1.0, 0.7)]
    words = heard_words([dict(zip(("word", "start", "end", "probability"), piece, strict=True)) for piece in pieces])
    assert [(w.text, w.start_ms, w.end_ms, w.probability) for w in words] == [
        ("It's", 0, 300, 0.9),
        ("1.5", 400, 750, 0.6),
        ("mm,", 800, 1_000, 0.7),
    ]
