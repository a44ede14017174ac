"""Captions: limits over an hour of speech, validity by independent readers, and inert text."""

from __future__ import annotations

import itertools
import random
import shutil
from dataclasses import replace

import pysubs2
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.captions import CAPTION_WRITERS, Cue, captions_srt, captions_vtt, find_cues
from pipeline.chapters import term_spans
from pipeline.quantities import find_quantities
from pipeline.records import Correction, Quantity, Settings, Word
from pipeline.tokens import written_tokens
from pipeline.vocabulary import load_vocabulary
from tests.captions.limits import parse, violations
from tests.captions.speaking import TALK, speak
from tests.captions.validator import VALIDATOR, validate
from tests.chapters.narrations import spoken_set

FIGURES = [
    "thirty millimetre",
    "sixty two millimetres",
    "between eight and ten newton metres.",
    "twenty five newton metres",
    "six hundred and fifty millilitres",
    "one and a half turns",
    "a quarter of a litre",
]


def quantities(words: list[Word], phrases: list[str] = FIGURES) -> list[Quantity]:
    """The phrases wherever they are said. Only the span matters to captions."""
    found = []
    for phrase in phrases:
        wanted = [piece.strip(".,") for piece in phrase.split()]
        for at in range(len(words) - len(wanted) + 1):
            if [word.text.strip(".,") for word in words[at : at + len(wanted)]] == wanted:
                span = (at, at + len(wanted))
                found.append(Quantity("q", "length", 0, None, "", False, phrase, *span, words[at].start_ms))
    return found


@pytest.mark.parametrize("punctuated", [True, False])
@pytest.mark.parametrize("words_per_minute", [120, 150, 165, 180, 200, 240])
def test_an_hour_of_speech_breaks_no_limit(words_per_minute: int, punctuated: bool) -> None:
    """Twelve runs of 6 to 11 minutes, from slow to quicker than anybody can read."""
    text = "\n\n".join([TALK] * 4)
    words = speak(text, words_per_minute, words_per_minute, punctuated)
    figures = quantities(words)
    assert len(figures) == 28
    cues = find_cues(words, quantities=figures)
    together = [(qty.start_word, qty.end_word) for qty in figures]
    assert violations(captions_vtt(cues), words, together) == []
    assert violations(captions_srt(cues), words, together) == []
    assert words[-1].end_ms > 5 * 60_000


def test_reading_speed_is_kept_wherever_the_speaker_keeps_it() -> None:
    """At 165 words a minute hardly a cue is quicker than 0.3 s a word: only runs of very short words are."""
    cues = find_cues(speak("\n\n".join([TALK] * 4), 165))
    paces = [(cue.end_ms - cue.start_ms) / sum(len(line.split()) for line in cue.lines) for cue in cues]
    assert sum(pace < 300 for pace in paces) <= 0.01 * len(paces)
    assert min(paces) >= 250


FAULTS = {
    "late": lambda s: s.replace("00:00:00.400 -->", "00:00:00.700 -->"),
    "overlap": lambda s: s.replace("--> 00:00:0", "--> 00:00:3", 1),
    "long line": lambda s: s.replace("again,", "again" * 9),
    "missing word": lambda s: s.replace("Penhallow", "lathe", 1),
}


@pytest.mark.parametrize("fault", FAULTS)
def test_the_checker_finds_seeded_faults(fault: str) -> None:
    words = speak(TALK)
    text = captions_vtt(find_cues(words))
    assert violations(text, words) == []
    assert FAULTS[fault](text) != text
    assert violations(FAULTS[fault](text), words) != []


def test_the_checker_finds_a_split_figure() -> None:
    words = speak("It takes about six hundred and fifty millilitres of oil.")
    cues = [Cue(400, words[-1].end_ms, ("It takes about six hundred and", "fifty millilitres of oil."), 0, 10)]
    assert violations(captions_vtt(cues), words, [(3, 8)]) == ["words 3 to 8 are not on one line"]


def test_a_figure_longer_than_a_line_stays_in_one_cue() -> None:
    phrase = "between a hundred and twenty five and a hundred and thirty newton metres"
    words = speak(f"The big nut goes up to {phrase}, and that is a lot on a spindle this size.")
    cues = find_cues(words, quantities=quantities(words, [phrase]))
    holding = [cue for cue in cues if any(word in " ".join(cue.lines) for word in ("between", "newton"))]
    assert len(holding) == 1


HEARD = ["the", "gudge", "in", "pin", "and", "the", "sir", "clip"]


def test_corrections_are_applied_only_where_certain() -> None:
    words = [Word(text, n * 400, n * 400 + 380) for n, text in enumerate(HEARD)]
    corrections = [
        Correction(1, 3, "gudge in", "gudgeon", 0.99, "auto", ""),
        Correction(6, 8, "sir clip", "circlip", 0.6, "ask", ""),
    ]
    (cue,) = find_cues(words, corrections)
    assert " ".join(cue.lines) == "the gudgeon pin and the sir clip"
    assert (cue.start_word, cue.end_word) == (0, 8)


def test_phrases_are_not_torn() -> None:
    words = speak(TALK)
    cues = find_cues(words)
    ends = [line.split()[-1].lower() for cue in cues for line in cue.lines]
    # One is left: "to between eight and ten newton metres" is longer than a line, and the figure goes first.
    assert [end for end in ends if end in ("the", "a", "an", "of", "my", "with", "to")] == ["to"]


def test_names_stay_together_where_they_can() -> None:
    words = speak("so here we have got a proper rear brake torque arm bolt for it and", punctuated=False)
    at = [word.text for word in words].index("rear")
    for span in ((at, at + 5), (at + 2, at + 6)):
        cues = find_cues(words, keep_together=[span])
        phrase = " ".join(word.text for word in words[span[0] : span[1]])
        assert any(phrase in line for cue in cues for line in cue.lines)


def test_terms_of_the_vocabulary_stay_together() -> None:
    vocabulary = load_vocabulary()
    words = [word for spoken in spoken_set("heard_samples") for word in spoken.words[:400]]
    words = [replace(word, start_ms=n * 380, end_ms=n * 380 + 330) for n, word in enumerate(words)]
    spans = term_spans(written_tokens(words), vocabulary)
    assert len(spans) > 60
    torn = []
    for kept in ((), spans):
        ends = set()
        for cue in find_cues(words, keep_together=kept):
            at = cue.start_word
            for line in cue.lines:
                at += len(line.split())
                ends.add(at)
        torn.append(sum(any(start < end < stop for end in ends) for start, stop in spans))
    assert torn[1] <= 0.05 * len(spans) < torn[0]


def test_what_was_really_heard_breaks_no_limit() -> None:
    """More than an hour by a recogniser, with its own odd word times."""
    recordings = [*spoken_set("heard_samples"), *spoken_set("heard_dev"), *spoken_set("heard_test")]
    heard_ms = 0
    for spoken in recordings:
        words = list(spoken.words)
        figures = find_quantities(written_tokens(words), Settings())
        spans = [(qty.start_word, qty.end_word) for qty in figures]
        on_one_line = [(a, b) for a, b in spans if len(" ".join(word.text for word in words[a:b])) <= 37]
        cues = find_cues(words, (), figures, spoken.segment_starts)
        assert violations(captions_vtt(cues), words, on_one_line) == [], spoken.name
        heard_ms += words[-1].end_ms
    assert heard_ms > 60 * 60_000


def test_the_last_cue_does_not_outlast_the_recording() -> None:
    words = [Word("Done.", 1000, 1300)]
    assert find_cues(words, duration_ms=1500)[-1].end_ms == 1500
    assert find_cues(words)[-1].end_ms == 1833
    assert find_cues([]) == []


HOSTILE = ["-->", "<b>", "</script>", "&amp;", "&", "{\\an8}", "\u202egnirts", "\u2066x\u2069", "NOTE", "WEBVTT", "12"]
TEXTS = st.one_of(
    st.sampled_from([*HOSTILE, "", "the", "cam.", "25", "and", "x" * 90]), st.text(min_size=0, max_size=12)
)


@settings(max_examples=150, deadline=None)
@given(st.lists(st.tuples(TEXTS, st.integers(0, 900), st.integers(0, 3000)), max_size=40))
def test_any_words_at_any_times_give_readable_files(entries: list[tuple[str, int, int]]) -> None:
    clock = 0
    words = []
    for text, length, pause in entries:
        words.append(Word("".join(text.split()), clock, clock + length))
        clock += length + (pause if pause > 1500 else 0)
    cues = find_cues(words)
    spoken = "".join(line for cue in cues for line in cue.lines).replace(" ", "")
    for name, writer in CAPTION_WRITERS.items():
        text = writer(cues)
        read = pysubs2.SSAFile.from_string(text, format_=name[-3:])
        assert len(read) == len(cues), text
        assert [(event.start, event.end) for event in read] == [(cue.start_ms, cue.end_ms) for cue in cues]
        assert text.count("-->") == len(cues)
        assert not any(mark in text for mark in "\u202e\u2066\u2069\0")
    shown = parse(captions_vtt(cues))
    assert "".join(line for cue in shown for line in cue.lines).replace(" ", "") == spoken
    for a, b in itertools.pairwise(cues):
        assert a.start_ms < a.end_ms <= b.start_ms
    assert all(len(line) <= 37 for cue in cues for line in cue.lines)
    assert all(len(cue.lines) <= 2 for cue in cues)


def test_markup_in_words_is_text_to_other_readers() -> None:
    words = [Word(text, n * 500, n * 500 + 450) for n, text in enumerate(["use", "<b>bold</b>", "{\\i1}x", "&", "-->"])]
    (cue,) = find_cues(words)
    (event,) = pysubs2.SSAFile.from_string(captions_srt([cue]), format_="srt")
    assert event.plaintext == "use ‹b›bold‹/b› (\\i1)x & --›"
    assert "&lt;b&gt;bold&lt;/b&gt; {\\i1}x &amp; --&gt;" in captions_vtt([cue])


@pytest.mark.outside
@pytest.mark.skipif(not shutil.which("node") or not VALIDATOR.exists(), reason="npm webvtt-parser is not installed")
class TestByValidator:
    def test_ours_is_valid_with_hostile_words(self) -> None:
        rng = random.Random(5)
        words = [
            Word(word.text if rng.random() < 0.8 else rng.choice(HOSTILE), word.start_ms, word.end_ms)
            for word in speak(TALK)
        ]
        cues = find_cues(words)
        errors, texts = validate(captions_vtt(cues))
        assert errors == []
        assert len(texts) == len(cues)

    @pytest.mark.parametrize(
        ("good", "bad"),
        [
            ("WEBVTT", "WEBVVT"),
            (".400 -->", ",400 -->"),
            ("Right,", "a --> b"),
            ("Right,", "a & <b> c"),
            (" --> ", " -> "),
        ],
    )
    def test_the_validator_finds_seeded_faults(self, good: str, bad: str) -> None:
        text = captions_vtt(find_cues(speak(TALK)))
        assert good in text
        assert validate(text)[0] == []
        assert validate(text.replace(good, bad, 1))[0] != []


def spoken_lines(text: str) -> list[str]:
    """Lines of the captions of words that are said one every 300 ms without a pause."""
    words = [Word(word, at * 300, at * 300 + 290) for at, word in enumerate(text.split())]
    return [line for cue in find_cues(words) for line in cue.lines]


@pytest.mark.parametrize(
    ("text", "kept"),
    [
        ("the new cassette that I told you of is on and the lock ring is done up to forty", "is on"),
        ("I got both of the very old cranks off with the long extractor from the drawer", "cranks off"),
        ("the outer seal that came in the kit was tapped in with a bit of drain pipe", "tapped in"),
        ("and then on the bench over there is the right hand spindle that I never opened", "right hand spindle"),
        ("nobody has told me yet what it is that the left cover is for and why it broke", "left cover"),
    ],
)
def test_what_belongs_to_the_word_before_or_after_is_not_parted(text: str, kept: str) -> None:
    assert any(kept in line for line in spoken_lines(text))


def test_a_phrase_is_still_broken_before_its_preposition() -> None:
    lines = spoken_lines("I have hung the whole of the front mudguard on the hook behind the garage door")
    assert not any(line.endswith((" on", " behind", " the")) for line in lines)


def test_no_word_stands_alone_in_the_middle_of_what_is_said() -> None:
    text = "Left leg first. Pulled the dust seal up, flicked the circlip out with a pick, and tipped the old oil out."
    starts = [41124, 41484, 41684, 42524, 42864, 43004, 43364, 43684, 44004, 44324, 44444, 44844, 45044, 45224, 45324]
    starts += [46044, 46204, 46444, 46544, 46744, 47000]
    words = [Word(word, at, at + 110) for word, at in zip(text.split(), starts, strict=True)]
    assert min(len(" ".join(cue.lines).split()) for cue in find_cues(words)) > 1
