"""Nothing raises on any words, and terse work orders of another trade are read for what they say."""

from __future__ import annotations

import time
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.records import Token, Word
from pipeline.tokens import line_words, written_tokens
from tests.events.scoring import CORPUS, events_of, finder, read_corpus

WORK_ORDERS = Path(__file__).parent / "data" / "work_orders.txt"
FIRST_WORDS = {
    "replace": "renew", "change": "renew", "fit": "fit", "weld": "weld", "remove": "remove", "tighten": "tighten",
    "adjust": "adjust", "install": "fit", "repair": "repair",
}  # fmt: skip
SAID = sorted({word for snippet in read_corpus(CORPUS / "events.toml") for word in snippet.said.split()})


def test_work_orders_of_excavators() -> None:
    """Outside check: NIST's excavator work orders, a vocabulary and a style nobody here wrote."""
    lines = [line for line in WORK_ORDERS.read_text(encoding="utf-8").splitlines() if not line.startswith("#")]
    right = wanted = 0
    for line in lines:
        found = {event.action for event in events_of(line)}
        action = FIRST_WORDS.get(line.split()[0].lower())
        if action and len(line.split()) > 1:
            wanted += 1
            right += action in found
    assert wanted > 200
    assert right / wanted >= 0.72, f"{right} of {wanted}"


@settings(max_examples=150, deadline=None)
@given(st.lists(st.one_of(st.sampled_from(SAID), st.text(min_size=1, max_size=12)), max_size=40))
def test_never_raises(words: list[str]) -> None:
    text = " ".join(words)
    for event in events_of(text):
        assert 0 <= event.start_word < event.end_word <= len(text.split())
        assert event.part and event.said


def test_indexes_are_those_of_the_original_words() -> None:
    """Tokens of a replaced stretch stand for the whole stretch."""
    tokens = [
        Token("I've", 0, 1, 0, 300), Token("fitted", 1, 2, 300, 700), Token("the", 2, 3, 700, 800),
        Token("gudgeon", 3, 6, 800, 1000), Token("pin", 3, 6, 1000, 1200),
    ]  # fmt: skip
    (event,) = finder().find(tokens).events
    assert (event.part, event.start_word, event.end_word, event.start_ms) == ("gudgeon pin", 0, 6, 0)
    assert event.said == "I've fitted the gudgeon pin"


def test_a_pause_parts_what_punctuation_does_not() -> None:
    words = [Word(text, 400 * i, 400 * i + 350) for i, text in enumerate(["so", "the", "cover", "is", "back", "on"])]
    words += [Word(text, 5000 + 400 * i, 5350 + 400 * i) for i, text in enumerate(["the", "floor", "is", "wet"])]
    events = finder().find(written_tokens(words)).events
    assert [(event.action, event.part) for event in events] == [("fit", "cover")]


def test_an_hour_of_speech_takes_seconds() -> None:
    """Three to four by the clock on two quiet cores, half of them in the network. Against that half the rest is held,
    so that a busy or slow machine does not count."""
    text = " ".join(snippet.said for snippet in read_corpus(CORPUS / "events.toml"))
    tokens = written_tokens(line_words(" ".join([text] * 4)))[:9000]
    finder().find(tokens[:50])
    words = [token.text for token in tokens]
    started = time.process_time()
    finder().reader.read(words)
    read = time.process_time()
    assert len(finder().find(tokens).events) > 500
    assert time.process_time() - read <= 2 * (read - started)
