"""Quotes: whole clauses, with the figures said nearby, and never more words than can be read at a glance."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from pipeline.records import BuildLog, Quantity, Recording, Settings
from pipeline.render.quotes import Quotes
from pipeline.tokens import line_words

SAID = "The drain plug has a new copper washer on it, and that's tight, 25 newton metres, using a 19 spanner. Then oil."


def log_of(text: str) -> BuildLog:
    words = line_words(text)
    torque = Quantity("q1", "torque", 25, None, "N·m", False, "25 newton metres,", 13, 16, 5200)
    recording = Recording("drain.ogg", 400 * len(words), "0" * 64)
    return BuildLog(recording, words, quantities=(torque,), settings=Settings())


def test_a_quote_is_whole_clauses_and_holds_its_figures() -> None:
    quotes = Quotes(log_of(SAID))
    assert quotes.of(17, 18).text == "25 newton metres, using a 19 spanner."
    assert quotes.of(12, 13, ["q1"]).text == "and that's tight, 25 newton metres"
    assert quotes.of(12, 13).text == "…a new copper washer on it, and that's tight"


def test_what_is_cut_is_marked() -> None:
    quote = Quotes(log_of("so " * 20 + "nipped " + "then " * 20)).of(20, 21)
    assert quote.text.startswith("…so") and quote.text.endswith("then…")
    assert quote.start_word < 20 < quote.end_word


@given(st.integers(0, 20), st.integers(1, 8))
def test_a_quote_holds_the_words_that_it_proves(start: int, length: int) -> None:
    log = log_of(SAID)
    end = min(len(log.words), start + length)
    quote = Quotes(log).of(start, end)
    assert quote.start_word <= start and end <= quote.end_word
    proof = " ".join(word.text for word in log.words[start:end]).rstrip(",")
    assert proof in quote.text
    assert Quotes(replace(log, words=())).of(0, 1).text == ""
