"""JSON and marked plain text."""

import json
from pathlib import Path
from typing import Any

import pytest

from pipeline.errors import WitnessmarkError
from pipeline.records import Finding, Transcript, Word
from pipeline.transcripts import is_transcript, read_transcript


def read(folder: Path, data: Any) -> tuple[Transcript, list[Finding]]:
    path = folder / "a.json"
    path.write_text(data if isinstance(data, str) else json.dumps(data), encoding="utf-8")
    return read_transcript(path)


def read_text(folder: Path, text: str) -> tuple[Transcript, list[Finding]]:
    path = folder / "a.txt"
    path.write_text(text, encoding="utf-8")
    return read_transcript(path)


def test_segments_with_words(tmp_path: Path) -> None:
    words = [
        {"word": " The", "start": 0.1, "end": 0.3, "probability": 0.9},
        {"word": " cam.", "start": 0.3, "end": 0.75, "probability": 0.5},
    ]
    data = {"text": "The cam. Off.", "segments": [{"start": 0.0, "end": 0.8, "text": " The cam.", "words": words}]}
    data["segments"].append({"start": 2.0, "end": 3.0, "text": " Off it comes."})  # type: ignore[attr-defined]
    transcript, findings = read(tmp_path, data)
    assert transcript.words[:2] == (Word("The", 100, 300, 0.9), Word("cam.", 300, 750, 0.5))
    assert [w.text for w in transcript.words[2:]] == ["Off", "it", "comes."]
    assert (transcript.words[2].start_ms, transcript.words[4].end_ms) == (2000, 3000)
    assert transcript.segment_starts == (0, 2)
    assert findings == []


def test_a_word_without_a_time_stands_between_its_neighbours(tmp_path: Path) -> None:
    words = [
        {"word": "torque", "start": 1.0, "end": 1.5},
        {"word": "25"},
        {"word": "newton", "start": 2.5, "end": 3.0},
    ]
    transcript, findings = read(tmp_path, {"segments": [{"start": 1.0, "end": 3.0, "words": words}]})
    assert transcript.words[1] == Word("25", 1500, 2500, 1.0)
    assert findings == []


@pytest.mark.parametrize("wrap", [lambda words: {"words": words}, lambda words: words])
def test_a_bare_list_of_words(tmp_path: Path, wrap: Any) -> None:
    words = [{"word": "one", "start": 0, "end": 0.5}, {"word": "two", "start": 0.5, "end": "0:01"}]
    transcript, _ = read(tmp_path, wrap(words))
    assert [(w.text, w.start_ms, w.end_ms) for w in transcript.words] == [("one", 0, 500), ("two", 500, 1000)]


def test_our_own_log_keeps_its_recording_and_indexes(tmp_path: Path) -> None:
    texts = ["Right,", "the", "gearbox."]
    log = {
        "format": "witnessmark-log",
        "version": 1,
        "recording": {"name": "day3.mp4", "duration_ms": 90_000, "sha256": "ab" * 32},
        "words": [
            {"text": text, "start_ms": n * 300, "end_ms": n * 300 + 280, "probability": 0.5}
            for n, text in enumerate(texts)
        ],
        "segment_starts": [0, 2],
    }
    transcript, findings = read(tmp_path, log)
    assert transcript.recording.name == "day3.mp4"
    assert transcript.recording.duration_ms == 90_000
    assert transcript.words == tuple(Word(text, n * 300, n * 300 + 280, 0.5) for n, text in enumerate(texts))
    assert transcript.segment_starts == (0, 2)
    assert findings == []


def test_one_wild_time_upsets_no_other_word(tmp_path: Path) -> None:
    starts = [1.0, 2.0, 900.0, 4.0, 5.0]
    words = [{"word": f"w{n}", "start": start, "end": start + 0.4} for n, start in enumerate(starts)]
    transcript, findings = read(tmp_path, {"words": words})
    assert [w.start_ms for w in transcript.words] == [1000, 2000, 2400, 4000, 5000]
    assert [(f.level, f.rule) for f in findings] == [("check", "transcript-time")]


@pytest.mark.parametrize("wrong", ["NaN", "-4", '"soon"', "true", "1e999"])
def test_times_that_are_none(tmp_path: Path, wrong: str) -> None:
    text = '{"segments": [{"start": 3, "end": 5, "words": [{"word": "a", "start": %s}, {"word": "b", "start": 4}]}]}'
    transcript, _ = read(tmp_path, text % wrong)
    assert [w.start_ms for w in transcript.words] == [3000, 4000]


def test_a_segment_without_a_time_is_told(tmp_path: Path) -> None:
    data = {"segments": [{"text": "lost words"}, {"start": 1, "end": 2, "text": "found"}]}
    transcript, findings = read(tmp_path, data)
    assert [w.text for w in transcript.words] == ["found"]
    assert "lost words" in findings[0].message


def test_marks_in_unpunctuated_text(tmp_path: Path) -> None:
    text = "[0:05] right so the\nback wheel [0:08] comes out\n[1:00:00] done\n"
    transcript, findings = read_text(tmp_path, text)
    assert " ".join(w.text for w in transcript.words) == "right so the back wheel comes out done"
    by_text = {w.text: w for w in transcript.words}
    assert by_text["right"].start_ms == 5000
    assert by_text["wheel"].end_ms == 8000
    assert by_text["comes"].start_ms == 8000
    # Two words are not stretched over the fifty-nine minutes until the next mark.
    assert by_text["out"].end_ms < 12_000
    assert by_text["done"].start_ms == 3_600_000
    assert transcript.segment_starts == (0, 5, 7)
    assert findings == []


def test_marks_without_brackets_at_the_head_of_lines(tmp_path: Path) -> None:
    transcript, _ = read_text(tmp_path, "0:00\nright so\n0:04 the clutch at 10:30 sharp\n")
    assert [w.text for w in transcript.words] == ["right", "so", "the", "clutch", "at", "10:30", "sharp"]
    assert transcript.words[2].start_ms == 4000


def test_a_heading_is_left_out_but_told(tmp_path: Path) -> None:
    transcript, findings = read_text(tmp_path, "Gearbox day two\n[0:00] right so\n")
    assert [w.text for w in transcript.words] == ["right", "so"]
    assert "3 words" in findings[0].message


@pytest.mark.parametrize(
    ("name", "content", "says"),
    [
        ("a.vtt", b"", "is empty"),
        ("a.vtt", b" \n\n", "is empty"),
        ("a.vtt", b"WEBVTT\n", "no line of times"),
        ("a.vtt", b"WEBVTT\n\n00:00.000 --> 00:01.000\n[Music]\n", "no spoken words"),
        ("a.srt", b"hello there\n", "no line of times"),
        ("a.txt", b"hello there\n", "no marks of time"),
        ("a.json", b"{", "not valid JSON (line 1"),
        ("a.json", b'{"foo": 1}', "it has: foo"),
        ("a.json", b"3", "neither segments nor words"),
        ("a.json", b"[" * 100_000, "nested too deeply"),
        ("a.txt", bytes(range(256)) * 4, "is not text"),
        ("a.txt", "[0:01] коленчатый вал".encode("cp1251"), "save it as UTF-8"),
        ("a.txt", b"\xff\xfe[\x000\x00x", "save it as UTF-8"),
        ("a.doc", b"x", "there are readers for .json, .srt, .txt, .vtt"),
    ],
)
def test_what_stops_the_work_is_one_sentence(tmp_path: Path, name: str, content: bytes, says: str) -> None:
    path = tmp_path / name
    path.write_bytes(content)
    with pytest.raises(WitnessmarkError) as caught:
        read_transcript(path)
    assert says in str(caught.value)
    assert str(path) in str(caught.value)
    assert "\n" not in str(caught.value)


def test_a_missing_file(tmp_path: Path) -> None:
    with pytest.raises(WitnessmarkError, match="cannot read"):
        read_transcript(tmp_path / "none.vtt")


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be"])
def test_unicode_encodings_are_told_apart(tmp_path: Path, encoding: str) -> None:
    path = tmp_path / "a.txt"
    path.write_bytes("[0:01] 20 µm at 21 °C\r\n[0:05] it’s done\r\n".encode(encoding))
    transcript, findings = read_transcript(path)
    assert [w.text for w in transcript.words] == ["20", "µm", "at", "21", "°C", "it’s", "done"]
    assert findings == []


def test_an_old_western_encoding_is_read_with_a_finding(tmp_path: Path) -> None:
    path = tmp_path / "a.txt"
    path.write_bytes("[0:01] twenty microns is 20 µm at 21 °C and no more than that".encode("cp1252"))
    transcript, findings = read_transcript(path)
    assert "µm" in [w.text for w in transcript.words]
    assert [(f.level, f.rule) for f in findings] == [("check", "transcript-encoding")]


def test_suffixes() -> None:
    assert all(is_transcript(Path(name)) for name in ("a.vtt", "A.SRT", "log.json", "b.txt"))
    assert not any(is_transcript(Path(name)) for name in ("a.mp4", "a.wav", "json"))
