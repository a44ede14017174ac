"""WebVTT and SubRip: what is spoken comes in once, in order, with a time inside its cue."""

import itertools
from pathlib import Path

import pysubs2
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pipeline.records import Finding, Transcript
from pipeline.transcripts import read_transcript


def read(folder: Path, name: str, text: str | bytes) -> tuple[Transcript, list[Finding]]:
    path = folder / name
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    return read_transcript(path)


def said(transcript: Transcript) -> str:
    return " ".join(word.text for word in transcript.words)


def test_words_share_the_time_of_their_cue_by_length(tmp_path: Path) -> None:
    transcript, findings = read(tmp_path, "a.srt", "1\n00:00:10,000 --> 00:00:12,000\naaa bbbbbbb ccc ddd\n")
    # Weights 4, 8, 4, 4 of 2,000 ms: 400, 800, 400, 400.
    assert [(w.start_ms, w.end_ms) for w in transcript.words] == [
        (10_000, 10_400),
        (10_400, 11_200),
        (11_200, 11_600),
        (11_600, 12_000),
    ]
    assert findings == []
    assert transcript.recording.duration_ms == 12_000


SCROLLING = """WEBVTT
Kind: captions
Language: en

00:00:00.000 --> 00:00:02.000 align:start position:0%
{blank}
right<00:00:00.400><c> then</c><00:00:00.900><c> the</c><00:00:01.200><c> back</c><00:00:01.500><c> brake</c>

00:00:02.000 --> 00:00:02.010 align:start position:0%
right then the back brake
{blank}

00:00:02.010 --> 00:00:04.500 align:start position:0%
right then the back brake
shoes<00:00:02.500><c> go</c><00:00:02.900><c> on</c><00:00:03.300><c> go</c><00:00:03.700><c> on</c>

00:00:04.500 --> 00:00:04.510 align:start position:0%
shoes go on go on
{blank}
"""


def test_scrolling_captions_give_every_word_once_with_its_own_time(tmp_path: Path) -> None:
    transcript, findings = read(tmp_path, "a.vtt", SCROLLING.replace("{blank}", " "))
    assert said(transcript) == "right then the back brake shoes go on go on"
    assert [w.start_ms for w in transcript.words][:7] == [0, 400, 900, 1200, 1500, 2010, 2500]
    assert findings == []


@pytest.mark.parametrize(
    ("cues", "expected"),
    [
        # Each new line pushes the older one up.
        (["one two three", "one two three\nfour five", "four five\nsix seven"], "one two three four five six seven"),
        # The line grows word by word.
        (["undo", "undo the", "undo the drain", "undo the drain plug"], "undo the drain plug"),
        # No scrolling: words said twice stay.
        (["tighten it", "tighten it", "and wipe it"], "tighten it tighten it and wipe it"),
        (["no", "no", "no that will not do"], "no no no that will not do"),
        (["right", "right so the clutch", "comes out"], "right right so the clutch comes out"),
    ],
)
def test_repeats_of_touching_cues(tmp_path: Path, cues: list[str], expected: str) -> None:
    blocks = [f"{n + 1}\n00:00:{n:02},000 --> 00:00:{n + 1:02},000\n{text}\n" for n, text in enumerate(cues)]
    assert said(read(tmp_path, "a.srt", "\n".join(blocks))[0]) == expected


def test_overlapping_cues_do_not_repeat_words_and_do_not_overlap_in_time(tmp_path: Path) -> None:
    text = (
        "1\n00:00:00,000 --> 00:00:05,000\nwe take the head off\n\n"
        "2\n00:00:03,000 --> 00:00:08,000\nthe head off and look at the valves\n"
    )
    transcript, _ = read(tmp_path, "a.srt", text)
    assert said(transcript) == "we take the head off and look at the valves"
    assert all(a.end_ms <= b.start_ms for a, b in itertools.pairwise(transcript.words))


def test_markup_comments_entities_and_sound_notes(tmp_path: Path) -> None:
    text = (
        "\ufeffWEBVTT - spoken\r\n\r\nNOTE not spoken\r\nnor this\r\n\r\nSTYLE\r\n::cue { color: red }\r\n\r\n"
        "intro\r\n00:01.000 --> 00:03.000 line:0\r\n<v The mechanic>nuts &amp; <i>bolts</i> &lt;M8&gt;\r\n\r\n"
        "00:03.000 --> 00:04.000\r\n[Grinder] >> thirty\u202e newton metres\r\n"
    )
    transcript, findings = read(tmp_path, "a.vtt", text)
    assert said(transcript) == "nuts & bolts <M8> thirty newton metres"
    assert transcript.segment_starts == (0, 4)
    assert transcript.words[0].start_ms == 1000
    assert findings == []


def test_subrip_as_found_in_the_wild(tmp_path: Path) -> None:
    text = (
        '1\n00:00:01,000 --> 00:00:02,000\n{\\an8}<font color="#fff">The lathe</font>\n\nbed\n\n'
        "2\n0:00:02.5 --> 0:00:04\nis 25\n\n3\n00:00:05,000 --> 00:00:06,000\n12\n"
    )
    transcript, _ = read(tmp_path, "a.srt", text)
    assert said(transcript) == "The lathe bed is 25 12"


def test_times_that_run_backwards_are_put_in_order_and_told(tmp_path: Path) -> None:
    text = "1\n00:00:05,000 --> 00:00:06,000\nsecond\n\n2\n00:00:01,000 --> 00:00:02,000\nfirst\n"
    transcript, findings = read(tmp_path, "a.srt", text)
    assert said(transcript) == "first second"
    (finding,) = findings
    assert (finding.level, finding.rule) == ("check", "transcript-order")
    assert "line 6 (0:01 after 0:05)" in finding.message


def test_a_cue_that_ends_before_it_begins(tmp_path: Path) -> None:
    text = "WEBVTT\n\n00:05.000 --> 00:01.000\nfirst words\n\n00:06.000 --> 00:07.000\nmore\n"
    transcript, findings = read(tmp_path, "a.vtt", text)
    assert [word.start_ms for word in transcript.words][::2] == [5000, 6000]
    assert [finding.rule for finding in findings] == ["transcript-time"]


def test_impossible_times_leave_out_the_words_and_say_so(tmp_path: Path) -> None:
    text = "WEBVTT\n\n00:75:00.000 --> 00:76:00.000\nlost\n\n00:01.000 --> 00:02.000\nfound\n"
    transcript, findings = read(tmp_path, "a.vtt", text)
    assert said(transcript) == "found"
    assert "line 3" in findings[0].message


def test_a_file_without_the_signature_is_read_with_a_note(tmp_path: Path) -> None:
    transcript, findings = read(tmp_path, "a.vtt", "00:01.000 --> 00:02.000\nfound\n")
    assert said(transcript) == "found"
    assert [finding.level for finding in findings] == ["note"]


WORD = st.sampled_from(["cam", "shoe", "M8", "25", "brake's", "don't", "off,", "plug.", "½", "°C"])
WORDS = st.lists(WORD, min_size=1, max_size=9)
CUES = st.lists(st.tuples(WORDS, st.integers(300, 9000), st.integers(0, 4000)), min_size=1, max_size=12)


@settings(max_examples=60, deadline=None)
@given(CUES)
def test_agrees_with_another_reader_on_what_is_shown_when(tmp_path_factory: pytest.TempPathFactory, cues: list) -> None:  # type: ignore[type-arg]
    """pysubs2 writes both formats; every word must lie inside the cue that shows it, and none may be missing."""
    subs = pysubs2.SSAFile()
    clock = 0
    for number, (words, length, gap) in enumerate(cues):
        # The number makes neighbouring cues differ: true repeats are tested above.
        subs.append(pysubs2.SSAEvent(start=clock, end=clock + length, text=" ".join([f"n{number}", *words])))
        clock += length + gap
    folder = tmp_path_factory.mktemp("cues")
    for format_name, suffix in (("vtt", ".vtt"), ("srt", ".srt")):
        transcript, findings = read(folder, "a" + suffix, subs.to_string(format_name))
        assert findings == []
        starts = [*transcript.segment_starts, len(transcript.words)]
        shown = [transcript.words[a:b] for a, b in itertools.pairwise(starts)]
        assert [" ".join(word.text for word in words) for words in shown] == [event.text for event in subs]
        for words, event in zip(shown, subs, strict=True):
            assert words[0].start_ms == event.start
            assert words[-1].end_ms == event.end
            assert all(a.end_ms <= b.start_ms for a, b in itertools.pairwise(words))
