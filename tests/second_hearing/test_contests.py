"""Contexts: short, cut at pauses, shared only by close neighbours."""

from pipeline.records import Word
from pipeline.second_hearing.contests import Contest, cut_context, share_contexts, wording_in

from .scripted import heard

WORDS = heard("so I took that and torqued it up to fifteen newton metres and then went on to the other side").words


def test_a_context_reaches_a_second_or_so_to_each_side() -> None:
    context = cut_context(WORDS, 9, 10, 6_000)
    assert context.start_word == 5
    assert context.end_word == 13
    assert context.duration_ms < 4_000


def test_a_pause_ends_the_context() -> None:
    words = [*WORDS[:8], *(Word(w.text, w.start_ms + 900, w.end_ms + 900, w.probability) for w in WORDS[8:])]
    context = cut_context(words, 9, 10, 7_000)
    assert context.start_word == 8
    assert context.start_ms >= words[7].end_ms


def test_a_context_stays_inside_the_recording() -> None:
    last = len(WORDS)
    context = cut_context(WORDS, last - 1, last, 5_900)
    assert context.end_ms <= 5_900
    assert cut_context(WORDS, 0, 1, 5_900).start_ms == 0
    # times of a transcript that run past the end of a sound that was cut short
    late = cut_context(WORDS, last - 1, last, 1_000)
    assert 0 <= late.start_ms < late.end_ms <= 1_000


def test_contests_over_the_same_words_share_a_context_and_distant_ones_do_not() -> None:
    near = [Contest(9, 10, ("fifteen", "fifty"), 1.0), Contest(9, 11, ("fifteen newton", "fifty newton"), 1.0)]
    assert [len(group) for _, group in share_contexts(WORDS, near, 6_000)] == [2]
    apart = [Contest(2, 3, ("took", "look"), 1.0), Contest(16, 17, ("on", "own"), 1.0)]
    assert [len(group) for _, group in share_contexts(WORDS, apart, 6_000)] == [1, 1]


def test_a_wording_stands_in_its_place() -> None:
    contest = Contest(9, 10, ("fifteen", "one five"), 1.0)
    assert wording_in(WORDS, 8, 11, contest, "one five") == "to one five newton"
