"""`witnessmark render`: every document again from a log.json."""

from __future__ import annotations

import wave
from pathlib import Path

import pytest

from pipeline.cli.main import main
from pipeline.log import read_log, write_log
from pipeline.records import BuildLog, Recording
from tests.render.penhallow import LOG

EVERYTHING = {
    "log.json", "log.html", "log.md", "parts.csv", "figures.csv", "chapters.txt", "chapters.vtt", "captions.vtt",
    "captions.srt",
}  # fmt: skip


def _main(*arguments: object) -> int:
    with pytest.raises(SystemExit) as stopped:
        main([str(argument) for argument in arguments])
    status = stopped.value.code
    assert isinstance(status, int)
    return status


def _names(folder: Path) -> set[str]:
    return {path.name for path in folder.iterdir()}


def test_all_documents_again_and_the_same(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    write_log(LOG, tmp_path / "log.json")
    assert _main("render", tmp_path / "log.json", "--into", tmp_path / "new") == 1, "the log has findings"
    assert _names(tmp_path / "new") == EVERYTHING
    assert {Path(line).name for line in capsys.readouterr().out.split("\n") if line} == EVERYTHING
    assert read_log(tmp_path / "new" / "log.json") == LOG
    assert _main("render", tmp_path / "new" / "log.json") == 1
    assert _names(tmp_path / "new") == EVERYTHING, "nothing else is left in the folder"


def test_a_clean_log_has_status_0(tmp_path: Path) -> None:
    write_log(BuildLog(Recording("a.wav", 0, ""), ()), tmp_path / "log.json")
    assert _main("render", tmp_path / "log.json") == 0


def test_the_folder_of_a_log_is_as_good_as_the_log(tmp_path: Path) -> None:
    write_log(BuildLog(Recording("quiet.ogg", 0, ""), ()), tmp_path / "log.json")
    assert _main("render", tmp_path) == 0 and (tmp_path / "log.html").is_file()


def test_spelling_is_a_choice_of_the_reader(tmp_path: Path) -> None:
    write_log(LOG, tmp_path / "log.json")
    _main("render", tmp_path / "log.json", "--spelling", "american")
    assert '<html lang="en-US">' in (tmp_path / "log.html").read_text()
    assert "Wheels and tires" in (tmp_path / "log.md").read_text()


@pytest.mark.parametrize("place", ["log", "."])
def test_the_recording_is_found_beside_the_log_or_above(tmp_path: Path, place: str) -> None:
    folder = tmp_path / "log"
    write_log(LOG, folder / "log.json")
    with wave.open(str(tmp_path / place / LOG.recording.name), "wb") as sound:
        sound.setparams((1, 1, 8000, 0, "NONE", ""))
        sound.writeframes(b"\x80" * 800)
    _main("render", folder / "log.json")
    prefix = "./" if place == "log" else "./../"
    assert (
        f'<audio controls preload="metadata" src="{prefix}Penhallow%20day%203.wav"' in (folder / "log.html").read_text()
    )


@pytest.mark.parametrize(
    ("content", "sentence"),
    [(None, "give the log.json of a run"), ("{}", "is not a log"), ("{", "is not whole JSON")],
)
def test_what_is_no_log_is_one_sentence(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], content: str | None, sentence: str
) -> None:
    if content is not None:
        (tmp_path / "log.json").write_text(content)
    assert _main("render", tmp_path / "log.json", "--into", tmp_path / "new") == 2
    said = capsys.readouterr().err
    assert said.startswith("witnessmark: ") and sentence in said and said.count("\n") == 1
    assert not (tmp_path / "new").exists()


def test_a_folder_that_cannot_be_written_is_one_sentence(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    write_log(LOG, tmp_path / "log.json")
    (tmp_path / "file").write_text("in the way")
    assert _main("render", tmp_path / "log.json", "--into", tmp_path / "file") == 2
    assert "part of the path is a file" in capsys.readouterr().err
