"""`witnessmark chapters`: arguments, what is printed, exit status."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from pipeline.captions import captions_vtt, find_cues
from pipeline.chapters import find_chapters
from pipeline.cli.main import main
from pipeline.log import assemble_log, write_log
from pipeline.records import Chapter, Recording, Transcript
from pipeline.tokens import written_tokens
from pipeline.vocabulary import load_vocabulary
from tests.chapters.narrations import spoken_set
from tests.chapters.outside import make, needs, probe

SPOKEN = spoken_set("own_dev")[0]


def command(*arguments: str | Path) -> int:
    with pytest.raises(SystemExit) as caught:
        main(["chapters", *map(str, arguments)])
    return int(caught.value.code or 0)


@pytest.fixture
def captions(tmp_path: Path) -> Path:
    path = tmp_path / "captions.vtt"
    path.write_text(captions_vtt(find_cues(SPOKEN.words)), encoding="utf-8")
    return path


@pytest.fixture
def log(tmp_path: Path) -> Path:
    transcript = Transcript(Recording("day3.mp3", 20_000, "ab" * 32), SPOKEN.words[:40])
    chapters = [Chapter(0, "Taking the wheel out"), Chapter(11_000, "Brake & <cam>")]
    write_log(assemble_log(transcript, chapters=chapters), tmp_path / "log.json")
    return tmp_path / "log.json"


def test_chapters_of_captions(captions: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert command(captions, "--json") == 0
    found = json.loads(capsys.readouterr().out)
    assert found[0]["start_ms"] == 0
    assert all(set(chapter) == {"start_ms", "title"} for chapter in found)
    expected = find_chapters(SPOKEN.words, written_tokens(SPOKEN.words), (), load_vocabulary(), SPOKEN.duration_ms)
    # The captions keep the words and the lines, not the pauses.
    assert abs(len(found) - len(expected)) <= 3


def test_number_of_chapters(captions: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert command(captions, "--chapters", "4") == 0
    lines = capsys.readouterr().out.splitlines()
    assert len(lines) == 4
    assert lines[0].startswith("0:00 ")


def test_a_log_gives_its_own_chapters(log: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert command(log) == 0
    out, err = capsys.readouterr()
    assert out == "0:00 Taking the wheel out\n0:11 Brake & <cam>\n"
    assert err.startswith("witnessmark: note at 0:00: only 2 chapters, and video sites show none")


@pytest.mark.parametrize(
    ("format_name", "begins"),
    [
        ("txt", "0:00 Taking"),
        ("vtt", "WEBVTT\n\n1\n00:00:00.000 --> 00:00:11.000\n"),
        ("xml", "<?xml "),
        ("ffmetadata", ";FFMETADATA1\n"),
        ("json", '{\n  "version": "1.2.0"'),
    ],
)
def test_formats(log: Path, capsys: pytest.CaptureFixture[str], format_name: str, begins: str) -> None:
    assert command(log, "--format", format_name) == 0
    assert capsys.readouterr().out.startswith(begins)


@pytest.mark.outside
@needs["ffmpeg"]
@needs["ffprobe"]
def test_write_into_a_copy(log: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    media, out = make(tmp_path / "day3.mp3", seconds=20), tmp_path / "copy.mp3"
    assert command(log, "--write-into", media, out) == 0
    assert capsys.readouterr().out == f"{out}\n"
    assert [chapter["tags"]["title"] for chapter in probe(out)] == ["Taking the wheel out", "Brake & <cam>"]
    assert command(log, "--write-into", media, out) == 2
    assert "is there already" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (["--chapters", "0"], "0 is not in the range"),
        (["--target-length", "0:05"], "a chapter lasts at least 0:10"),
        (["--target-length", "soon"], "'soon' is no length; write it as 2:30"),
        (["--target-length", "1:00", "--chapters", "3"], "do not go together"),
        (["--json", "--format", "vtt"], "do not go together"),
        (["--vocab", "no_such_pack"], "no vocabulary pack called 'no_such_pack'; there are: "),
    ],
)
def test_wrong_use(captions: Path, capsys: pytest.CaptureFixture[str], arguments: list[str], says: str) -> None:
    assert command(captions, *arguments) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert says in err


def test_what_is_no_transcript(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert command(tmp_path / "day3.mp4") == 2
    assert "use `witnessmark run` first" in capsys.readouterr().err
    assert command(tmp_path / "none.vtt") == 2
    assert "cannot read" in capsys.readouterr().err


def test_times_that_run_backwards_need_a_person(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = tmp_path / "a.txt"
    path.write_text("[0:20] the gearbox oil is in now\n[0:05] right so the gearbox comes first\n")
    assert command(path) == 1
    assert "check at 0:05: times run backwards in 1 place" in capsys.readouterr().err
