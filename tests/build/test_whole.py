"""From timed narration to the book: `run --build`, `check` and `book` as a person calls them, killed on the way too."""

from __future__ import annotations

import json
import os
import re
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from pipeline.build import read_build

DAYS = {
    "2031-06-01 day one.txt": """\
[0:00] Right, day one on the Penhallow one seventy five. The front wheel comes out first.
[0:08] I've drained the gearbox, about one and a quarter pints came out of it, black as your hat.
[0:20] The front brake cable is disconnected from the lever.
[0:31] The exhaust flange nuts are only finger tight for now.
[0:58] Here's the original primary cover, repainted in gloss grey.
""",
    "2031-06-08 day two.txt": """\
[0:00] Day two. I fitted the new front brake shoes.
[0:12] I filled the left fork leg with a hundred and ninety cc of fork oil.
[0:22] I filled the gearbox with five hundred cc of SAE thirty.
[0:34] The cylinder head nuts are torqued to twenty newton metres.
[0:48] The shim goes on first, then the thrust washer, then the layshaft first gear.
""",
    "2031-06-15 day three.txt": """\
[0:00] Day three. The front brake cable is connected again.
[0:22] I tightened the exhaust flange nuts.
[0:45] I filled the right fork leg with a hundred and ninety cc of fork oil.
[0:57] I torqued the cylinder head nuts to twenty five newton metres.
""",
}


@pytest.fixture(scope="module")
def media(tmp_path_factory: pytest.TempPathFactory) -> list[Path]:
    """The three narrations; last day first, so that the order of adding is not that of time."""
    folder = tmp_path_factory.mktemp("narrations")
    for name, text in DAYS.items():
        (folder / name).write_text(text, encoding="utf-8")
    return sorted(folder.iterdir(), reverse=True)


def command(*args: str | Path) -> list[str]:
    return [sys.executable, "-m", "pipeline", *map(str, args)]


@pytest.fixture(scope="module")
def environment(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    return {**os.environ, "WITNESSMARK_HOME": str(tmp_path_factory.mktemp("home"))}


def call(environment: dict[str, str], *args: str | Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(command(*args), capture_output=True, text=True, env=environment, check=False)


@pytest.fixture(scope="module")
def penhallow(
    media: list[Path], environment: dict[str, str], tmp_path_factory: pytest.TempPathFactory
) -> tuple[Path, float]:
    """The build of the three days, and how long adding them took in seconds."""
    folder = tmp_path_factory.mktemp("builds") / "penhallow"
    assert call(environment, "start", folder, "--machine", "Penhallow 175", "--units", "imperial").returncode == 0
    begun = time.monotonic()
    done = call(environment, "run", "--build", folder, *media)
    assert done.returncode in (0, 1), done.stderr
    return folder, time.monotonic() - begun


def test_recordings_are_in_order_and_whole(penhallow: tuple[Path, float]) -> None:
    build = read_build(penhallow[0])
    assert [recording.slug for recording in build.recordings] == [
        "2031-06-01-day-one", "2031-06-08-day-two", "2031-06-15-day-three",
    ]  # fmt: skip
    for recording in build.recordings:
        names = {path.name for path in recording.folder.iterdir()}
        assert {"log.html", "log.md", "captions.vtt", "chapters.txt", "parts.csv"} <= names
        assert recording.log.settings.machine == "Penhallow 175"


def test_none_is_added_twice(penhallow: tuple[Path, float], media: list[Path], environment: dict[str, str]) -> None:
    copy = media[0].with_name("a copy.txt")
    copy.write_bytes(media[0].read_bytes())
    done = call(environment, "run", "--build", penhallow[0], media[1], copy)
    assert done.returncode == 0 and done.stdout.count("in the build already") == 2
    assert len(read_build(penhallow[0]).recordings) == 3


def test_what_later_days_closed_is_not_open(penhallow: tuple[Path, float], environment: dict[str, str]) -> None:
    done = call(environment, "check", penhallow[0])
    assert done.returncode == 1, "the two torques of the head nuts"
    assert re.findall(r"^([\w-]+ \d:\d\d): two figures for the cylinder head nut", done.stdout, re.M) == [
        "2031-06-15-day-three 0:59"
    ]
    assert "2031-06-01-day-one" not in re.sub(r" in 2031.*", "", done.stdout), "later days closed all of day one"
    assert "fork leg" not in done.stdout, "one leg was filled on the second day and the other on the third"


def test_the_book_tells_it_all(penhallow: tuple[Path, float], environment: dict[str, str]) -> None:
    done = call(environment, "book", penhallow[0])
    assert done.returncode == 1 and not done.stderr
    text = (penhallow[0] / "book.md").read_text(encoding="utf-8")
    closed = text[text.index("## Loose ends that were closed") :]
    for told in ("gearbox", "front brake cable", "exhaust flange nut"):
        assert re.search(
            rf"^- \[x\] \*\*.*{told}s?\*\*.*Closed: .* June 2031, \[recording [23] at", closed, re.M | re.I
        ), told
    for told in ("190 mL", "710 mL", "18.4 lbf·ft", "not a specification", "Fitted new front brake shoes"):
        assert told in text
    order = text[text.index("## Order of assembly") :]
    assert order.index("shim") < order.index("thrust washer") < order.index("first gear")


@pytest.mark.parametrize("share", [0.5, 0.75, 0.9])
def test_killed_on_the_way_and_run_again(
    penhallow: tuple[Path, float], media: list[Path], environment: dict[str, str], tmp_path: Path, share: float
) -> None:
    whole, seconds = penhallow
    folder = tmp_path / "penhallow"
    assert call(environment, "start", folder, "--machine", "Penhallow 175", "--units", "imperial").returncode == 0
    with subprocess.Popen(
        command("run", "--build", folder, *media), env=environment, stdout=subprocess.DEVNULL, start_new_session=True
    ) as running:
        time.sleep(seconds * share)
        os.killpg(running.pid, signal.SIGKILL)
    half = [recording.log for recording in read_build(folder).recordings]
    complete = [recording.log for recording in read_build(whole).recordings]
    assert all(log in complete for log in half), "what is there is whole"
    assert call(environment, "run", "--build", folder, *media).returncode in (0, 1)
    assert [recording.log for recording in read_build(folder).recordings] == complete
    assert call(environment, "book", folder).returncode == 1
    listed = json.loads(call(environment, "check", folder, "--json").stdout)
    assert listed == json.loads(call(environment, "check", whole, "--json").stdout)
