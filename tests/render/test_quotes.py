"""Quotes: whole clauses, with the figures said nearby, and never more words than can be read at a glance."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.records import BuildLog, Note, Quantity, Recording, Settings
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


def test_without_punctuation_a_quote_ends_where_its_sentence_does() -> None:
    said = (
        "okay so today we are doing the pump i took the old seal out and it was torn right through the spring is fine "
        "so that goes back in i fitted a new impeller with plenty of grease on it next job is the thermostat"
    )
    quotes, words = Quotes(log_of(said)), said.split()
    seal = words.index("seal")
    assert quotes.of(seal, seal + 2).text.endswith("torn right through")
    impeller = words.index("impeller")
    fitted = quotes.of(impeller - 3, impeller + 1).text
    assert fitted == "i fitted a new impeller with plenty of grease on it", "no mark is put into what was heard"
    written = said.replace("through the", "through and the").replace("it next", "it. Next")
    assert "the spring is fine" in Quotes(log_of(written)).of(seal, seal + 6).text, "one sentence goes on"


@settings(deadline=None)
@given(st.integers(0, 20), st.integers(1, 8))
def test_a_quote_holds_the_words_that_it_proves(start: int, length: int) -> None:
    log = log_of(SAID)
    end = min(len(log.words), start + length)
    quote = Quotes(log).of(start, end)
    assert quote.start_word <= start and end <= quote.end_word
    proof = " ".join(word.text for word in log.words[start:end]).rstrip(",")
    assert proof in quote.text
    assert Quotes(replace(log, words=())).of(0, 1).text == ""


NOTED = "So that's that. Careful here, it is left handed, and if you heave on it, you'll strip the thread. Then oil."


def note(kind: str, first: int, last: int) -> Note:
    return Note(kind, "nut", "x", first, last, first * 400)


def test_a_warning_is_quoted_by_its_whole_sentence() -> None:
    (shown,) = Quotes(log_of(NOTED)).notes([note("caution", 3, 9)])
    assert shown.said == "Careful here, it is left handed, and if you heave on it, you'll strip the thread."
    assert (shown.start_word, shown.start_ms) == (3, 1200)
    assert Quotes(log_of("so " * 200)).sentence(90, 99).text.startswith("…"), "no sentence is that long"


def test_a_short_warning_that_only_points_is_told_with_what_it_points_at() -> None:
    said = "Two of the weights are left over. Don't put them back on. Mind the nut. Don't lose it, the nut."
    pointing, naming, named = (note("caution", *place) for place in ((7, 12), (12, 15), (15, 20)))
    shown = Quotes(log_of(said)).notes([pointing, naming, named])
    assert [one.said for one in shown] == [
        "Two of the weights are left over. Don't put them back on.", "Mind the nut.", "Don't lose it, the nut."
    ]  # fmt: skip


def test_one_sentence_warns_once() -> None:
    shown = Quotes(log_of(NOTED)).notes([note("tip", 3, 5), note("caution", 9, 12), note("tip", 19, 21)])
    assert [(one.kind, one.said[:7]) for one in shown] == [("caution", "Careful"), ("tip", "Then oi")]
