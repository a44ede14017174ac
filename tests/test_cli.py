"""Every command: help that helps, faults in one sentence, and the exit statuses 0, 1 and 2."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from pathlib import Path

import click
import pytest

from pipeline.build import add_recording, start_build
from pipeline.cli.main import main
from pipeline.log import write_log
from pipeline.records import Settings
from tests.build.penhallow_days import DAYS, day_three
from tests.test_docs import COMMANDS, options


def called(capsys: pytest.CaptureFixture[str], *args: str | Path) -> tuple[int, str, str]:
    """(exit status, stdout, stderr) of the program within this process."""
    with pytest.raises(SystemExit) as ended:
        main([str(arg) for arg in args])
    out = capsys.readouterr()
    code = ended.value.code
    assert isinstance(code, int)
    return code, out.out, out.err


def process(*args: str | Path, feed: str = "") -> subprocess.CompletedProcess[str]:
    """The program as its own process."""
    command = [sys.executable, "-m", "pipeline", *map(str, args)]
    return subprocess.run(command, capture_output=True, text=True, input=feed, check=False)


@pytest.fixture(autouse=True)
def own_words(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Words that whoever runs the tests has taught the program do not count."""
    monkeypatch.setenv("WITNESSMARK_HOME", str(tmp_path / "home"))


@pytest.fixture
def penhallow(tmp_path: Path) -> Path:
    folder = tmp_path / "penhallow"
    start_build(folder, Settings(machine="Penhallow 175"))
    for day in DAYS:
        add_recording(folder, day())
    return folder


def test_every_command_is_listed_with_a_line(capsys: pytest.CaptureFixture[str]) -> None:
    status, out, err = called(capsys, "--help")
    assert (status, err) == (0, "")
    for name in COMMANDS:
        if " " not in name:
            assert re.search(rf"^  {name} +\S", out, re.M), f"{name} has no line in the help"


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_has_help(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    status, out, err = called(capsys, *name.split(), "--help")
    assert (status, err) == (0, "")
    command = COMMANDS[name]
    assert command.help and command.help.strip()[0].isupper()
    for option in options(command):
        assert option in out
    for param in command.params:
        if isinstance(param, click.Option):
            assert param.help, f"{param.name} is not explained"
        elif isinstance(param, click.Argument):
            assert param.make_metavar(click.Context(command)).strip("[].") in out
    assert max(map(len, out.splitlines())) <= 90


def test_version(capsys: pytest.CaptureFixture[str]) -> None:
    status, out, _ = called(capsys, "--version")
    assert status == 0 and re.fullmatch(r"witnessmark \d+\.\d+\.\d+\n", out)


# Wrong use of every command: what is called, and what the sentence must say.
WRONG: dict[str, tuple[list[str], str]] = {
    "no such command": (["fly"], "fly"),
    "no such option": (["check", "--wings", "x"], "--wings"),
    "check: no folder": (["check"], "FOLDER"),
    "check: no build": (["check", "nowhere"], "witnessmark start nowhere"),
    "book: no build": (["book", "nowhere"], "witnessmark start nowhere"),
    "start: no machine": (["start", "new"], "--machine"),
    "start: no name": (["start", "new", "--machine", "  "], "--machine"),
    "start: no such pack": (["start", "new", "--machine", "Tamsin 90", "--vocab", "boats"], "outboard"),
    "start: no such unit": (["start", "new", "--machine", "Tamsin 90", "--units", "metric"], "imperial"),
    "start: in a file": (["start", "file.txt/new", "--machine", "Tamsin 90"], "file.txt"),
    "run: nothing to run": (["run"], "MEDIA"),
    "run: no such file": (["run", "nowhere.wav"], "nowhere.wav"),
    "run: no build": (["run", "--build", "nowhere", "file.txt"], "witnessmark start nowhere"),
    "run: a build of another machine": (["run", "--build", "built", "--machine", "Tamsin 90", "file.txt"], "Penhallow"),
    "run: an empty sound file": (["run", "empty.wav"], "empty.wav"),
    "run: a date that is none": (["run", "heard.json", "--date", "yesterday"], "2031-05-17"),
    "render: no such file": (["render", "nowhere.json"], "nowhere.json"),
    "render: no log": (["render", "file.txt"], "file.txt"),
    "chapters: no such file": (["chapters", "nowhere.json"], "nowhere.json"),
    "correct: no such list": (["correct", "--terms", "nowhere.txt"], "nowhere.txt"),
    "correct: no such pack": (["correct", "--vocab", "boats"], "outboard"),
    "extract: no such pack": (["extract", "--vocab", "boats"], "outboard"),
    "extract: no such file": (["extract", "nowhere.txt"], "nowhere.txt"),
    "score: no such file": (["score", "nowhere.txt", "nowhere.txt"], "nowhere.txt"),
    "vocab list: no such pack": (["vocab", "list", "boats"], "outboard"),
    "vocab add: no such assembly": (["vocab", "add", "stay plate", "--part-of", "wings"], "gearbox"),
}


@pytest.mark.parametrize("case", WRONG)
def test_wrong_use_is_one_sentence_on_stderr(
    case: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "work").mkdir()
    monkeypatch.chdir(tmp_path / "work")
    Path("file.txt").write_text("just a text\n")
    Path("empty.wav").write_bytes(b"")
    start_build(Path("built"), Settings(machine="Penhallow 175"))
    Path("heard.json").write_text('{"words": [{"text": "Right.", "start_ms": 0, "end_ms": 300}]}')
    args, told = WRONG[case]
    before = sorted(Path().rglob("*"))
    status, out, err = called(capsys, *args)
    assert (status, out) == (2, "")
    assert err.startswith("witnessmark: ") and err.count("\n") == 1, "one line"
    assert told in err
    assert "Traceback" not in err and "fault in the program" not in err
    assert sorted(Path().rglob("*")) == before, "nothing was written"


def test_a_fault_of_the_program_is_one_sentence_too(
    penhallow: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.delenv("WITNESSMARK_DEBUG", raising=False)
    monkeypatch.setattr("pipeline.cli.build.read_build", lambda folder: [][folder])
    status, out, err = called(capsys, "check", penhallow)
    assert (status, out) == (2, "") and err.count("\n") == 1 and "fault in the program" in err


def test_start_check_book(tmp_path: Path) -> None:
    """A build from nothing to its book, each command as its own process."""
    folder = tmp_path / "penhallow"
    made = process("start", folder, "--machine", "Penhallow 175", "--vocab", "motorcycle,brakes", "--units", "imperial")
    assert (made.returncode, made.stdout, made.stderr) == (0, f"{folder}/build.toml\n", "")
    again = process("start", folder, "--machine", "Penhallow 175")
    assert again.returncode == 2 and "already" in again.stderr
    clean = process("check", folder)
    assert (clean.returncode, clean.stdout, clean.stderr) == (0, "", "")
    for day in DAYS:
        add_recording(folder, day())
    found = process("check", folder)
    assert (found.returncode, found.stderr) == (1, "")
    assert all(re.fullmatch(r"[\w-]+ (\d+:)?\d+:\d\d: \S.*", line) for line in found.stdout.splitlines())
    assert re.search(r"^2031-05-03-penhallow-day-1 1:31: .*exhaust flange nut", found.stdout, re.M)
    listed = process("check", folder, "--json")
    lines = json.loads(listed.stdout)
    assert listed.returncode == 1 and len(lines) == len(found.stdout.splitlines())
    assert lines[0].keys() >= {"recording", "start_ms", "at", "kind", "level", "rule", "message", "part", "said"}
    book = process("book", folder, "--into", tmp_path / "owner")
    assert (book.returncode, book.stderr) == (1, "")
    assert [Path(line).name for line in book.stdout.splitlines()] == [
        "book.html",
        "book.md",
        "parts.csv",
        "figures.csv",
    ]
    assert all(Path(line).stat().st_size for line in book.stdout.splitlines())


def test_a_clean_build_is_silent(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = tmp_path / "penhallow"
    start_build(folder, Settings(machine="Penhallow 175"))
    add_recording(folder, DAYS[2]())
    assert called(capsys, "check", folder) == (0, "", "")
    assert called(capsys, "check", folder, "--json")[:2] == (0, "[]\n")


def test_render_says_what_needs_a_person(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    write_log(day_three(), tmp_path / "log.json")
    status, out, err = called(capsys, "render", tmp_path / "log.json")
    assert (status, err) == (0, "") and str(tmp_path / "log.html") in out


@pytest.mark.parametrize("args", [("correct",), ("extract",), ("extract", "--json")])
def test_filters_keep_lines(args: tuple[str, ...]) -> None:
    feed = "the gudgeon pin goes in\n\ntorque it to twenty five newton metres\n"
    done = process(*args, feed=feed)
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.count("\n") == 3
