"""What is asked is read as the likelier wording where work is looked for; the words heard stay the evidence."""

from __future__ import annotations

from dataclasses import replace

from pipeline.correct.asks import questions
from pipeline.doubts import LIKELY, Doubts, likely
from pipeline.events import finder_of
from pipeline.records import Correction, Event
from pipeline.tokens import line_words, written_tokens
from pipeline.vocabulary import load_vocabulary

SAID = "I fitted a new split pen and the 20 new demeters went on"


def asked(start: int, end: int, written: str, score: float, decision: str = "ask") -> Correction:
    heard = " ".join(SAID.split()[start:end])
    return Correction(start, end, heard, written, score, decision, "", written)  # type: ignore[arg-type]


def events(corrections: list[Correction]) -> list[Event]:
    words = line_words(SAID)
    tokens = written_tokens(words, likely(words, corrections))
    found = finder_of(load_vocabulary()).find(tokens)
    return Doubts(words, corrections).shown(found.events)


def test_only_what_is_likelier_than_not_is_read() -> None:
    words = line_words(SAID)
    for score, decision in ((LIKELY, "auto"), (LIKELY - 0.01, "ask")):
        (read,) = likely(words, [asked(4, 6, "split pin", score)])
        assert read.decision == decision
    (kept,) = likely(words, [asked(4, 6, "split pin", 0.9, "keep")])
    assert kept.decision == "keep"


def test_figures_are_never_read_so() -> None:
    words = line_words(SAID)
    for start, end, written in ((9, 11, "newton metres"), (8, 9, "twenty"), (8, 11, "m20")):
        (read,) = likely(words, [asked(start, end, written, 0.9)])
        assert read.decision == "ask", written


def test_an_event_read_from_doubtful_words_shows_them() -> None:
    (event,) = [event for event in events([asked(4, 6, "split pin", 0.8)]) if event.part == "split pin"]
    assert (event.action, event.condition, event.doubt) == ("fit", "new", "split pen")
    assert "split pen" in event.said and "split pin" not in event.said


def test_of_a_list_each_part_has_its_own_doubt() -> None:
    words = line_words("I took off the drive belt and the bulgur")
    corr = Correction(8, 9, "bulgur", "bull gear", 0.8, "ask", "", "bull gear")
    tokens = written_tokens(words, likely(words, [corr]))
    found = Doubts(words, [corr]).shown(finder_of(load_vocabulary()).find(tokens).events)
    assert {event.part: event.doubt for event in found} == {"drive belt": "", "bull gear": "bulgur"}


def test_without_doubt_nothing_is_shown() -> None:
    assert all(not event.doubt for event in events([]))


def test_a_text_without_probabilities_keeps_its_grammar() -> None:
    said = "the prop has got a ding in one blade"
    words = line_words(said)
    asked_of = Correction(1, 6, "prop has got a ding", "prop cotter pin", 0.9, "ask", "", "prop cotter pin")
    (read,) = likely(words, [asked_of])
    assert read.decision == "ask"
    (read,) = likely([replace(word, probability=0.6) for word in words], [asked_of])
    assert read.decision == "auto"


def test_words_that_name_the_part_themselves_leave_no_doubt() -> None:
    words = line_words("the screen came out and then the new spring was fitted")
    corr = Correction(1, 2, "screen", "spring", 0.8, "ask", "", "spring")
    (event,) = [
        event
        for event in Doubts(words, [corr]).shown(finder_of(load_vocabulary()).find(written_tokens(words, [])).events)
        if event.part == "spring" and event.action == "fit"
    ]
    assert event.doubt == ""


def test_an_ending_is_no_doubt() -> None:
    words = line_words("I fitted an electric start and a split pen")
    corrections = [
        Correction(3, 5, "electric start", "electric starter", 0.9, "ask", "", "starter motor"),
        Correction(7, 9, "split pen", "split pin", 0.9, "ask", "", "split pin"),
    ]
    tokens = written_tokens(words, likely(words, corrections))
    shown = Doubts(words, corrections).shown(finder_of(load_vocabulary()).find(tokens).events)
    assert {event.doubt for event in shown} <= {"", "split pen"}
    assert [heard for heard, _ in questions(corrections)] == ["split pen"]
