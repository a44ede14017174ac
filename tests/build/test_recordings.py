"""Recordings go in once, in order of time, whole; whatever happens meanwhile, nothing that was there is lost."""

from __future__ import annotations

import dataclasses
import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from datetime import datetime
from pathlib import Path

import pytest

from pipeline.build import add_recording, build_vocabulary, find_recording, read_build, start_build, write_book
from pipeline.errors import WitnessmarkError
from pipeline.log import write_log
from pipeline.records import BuildLog, Settings
from tests.build.penhallow_days import day_one, day_three, day_two


def renamed(log: BuildLog, name: str, sha256: str | None = None) -> BuildLog:
    recording = dataclasses.replace(log.recording, name=name, sha256=sha256 or log.recording.sha256)
    return dataclasses.replace(log, recording=recording)


def slugs(folder: Path) -> list[str]:
    return [recording.slug for recording in read_build(folder).recordings]


def test_what_goes_in_comes_out(empty: Path) -> None:
    place = add_recording(empty, day_one())
    (recording,) = read_build(empty).recordings
    assert recording.folder == place == empty / "recordings" / "2031-05-03-penhallow-day-1"
    assert recording.log == day_one()


def test_order_of_time_not_of_adding(empty: Path) -> None:
    for log in (day_three(), day_one(), day_two()):
        add_recording(empty, log)
    assert [slug[-1] for slug in slugs(empty)] == ["1", "2", "3"]


def test_a_given_date_puts_it_in_its_place(empty: Path) -> None:
    add_recording(empty, day_one())
    add_recording(empty, day_two(), datetime(2031, 4, 1, 9, 30))
    assert [slug[-1] for slug in slugs(empty)] == ["2", "1"]
    first = read_build(empty).recordings[0]
    assert (first.recorded_at, first.dated_by) == (datetime(2031, 4, 1, 9, 30), "user")


def test_same_time_goes_by_number(empty: Path) -> None:
    at = datetime(2031, 5, 3)
    for number in (10, 2, 1):
        add_recording(empty, renamed(day_one(), f"part {number}.wav", f"{number:064x}"), at)
    assert slugs(empty) == ["part-1", "part-2", "part-10"]


def test_files_that_were_copied_together_go_by_number(empty: Path, tmp_path: Path) -> None:
    for number, seconds in ((1, 9), (2, 0), (10, 4)):
        media = tmp_path / f"part {number}.txt"
        media.write_text(f"[0:00] part {number}")
        os.utime(media, (2_000_000_000 + seconds,) * 2)
        add_recording(empty, renamed(day_one(), media.name, f"{number:064x}"), media=media)
    assert slugs(empty) == ["part-1", "part-2", "part-10"]


def test_files_that_were_recorded_one_after_another_go_by_time(empty: Path, tmp_path: Path) -> None:
    for number, minutes in ((1, 60), (2, 0), (3, 30)):
        media = tmp_path / f"part {number}.txt"
        media.write_text(f"[0:00] part {number}")
        os.utime(media, (2_000_000_000 + minutes * 60,) * 2)
        add_recording(empty, renamed(day_one(), media.name, f"{number:064x}"), media=media)
    assert slugs(empty) == ["part-2", "part-3", "part-1"]


def test_none_twice(empty: Path) -> None:
    first = add_recording(empty, day_one())
    card = (first / "recording.json").read_bytes()
    again = add_recording(empty, renamed(day_one(), "a copy under another name.wav"), datetime(2031, 1, 1))
    assert again == first and len(slugs(empty)) == 1
    assert (first / "recording.json").read_bytes() == card
    assert find_recording(empty, day_one().recording.sha256) == first
    assert find_recording(empty, day_two().recording.sha256) is None
    assert find_recording(empty, "") is None


def test_same_name_with_other_content_gets_its_own_folder(empty: Path) -> None:
    one = add_recording(empty, day_one())
    two = add_recording(empty, renamed(day_two(), day_one().recording.name))
    assert two.name == one.name + "-2"
    assert len(slugs(empty)) == 2


def test_replace_writes_the_log_anew_and_keeps_the_date(empty: Path) -> None:
    add_recording(empty, day_one(), datetime(2031, 4, 1))
    better = dataclasses.replace(day_one(), findings=())
    add_recording(empty, better, replace=True)
    (recording,) = read_build(empty).recordings
    assert recording.log == better and recording.recorded_at == datetime(2031, 4, 1)


def test_a_log_of_an_unknown_file_is_refused(empty: Path) -> None:
    log = day_one()
    nameless = dataclasses.replace(log, recording=dataclasses.replace(log.recording, sha256=""))
    with pytest.raises(WitnessmarkError, match="SHA-256"):
        add_recording(empty, nameless)


def test_a_folder_put_there_by_hand_counts(empty: Path) -> None:
    write_log(day_two(), empty / "recordings" / "from another disk" / "log.json")
    assert slugs(empty) == ["from another disk"]
    assert read_build(empty).recordings[0].recorded_at == datetime(2031, 5, 10)
    assert add_recording(empty, day_two()).name == "from another disk"


def test_media_is_found_where_it_was_and_after_both_moved(empty: Path, tmp_path: Path) -> None:
    film = tmp_path / "films" / "2031-05-10 Penhallow day 2.mp4"
    film.parent.mkdir()
    film.write_bytes(b"not really a film")
    add_recording(empty, day_two(), media=film)
    assert read_build(empty).recordings[0].media is not None
    moved = tmp_path / "other place"
    moved.mkdir()
    shutil.move(empty, moved / empty.name)
    shutil.move(film.parent, moved / "films")
    found = read_build(moved / empty.name).recordings[0].media
    assert found is not None and found.samefile(moved / "films" / film.name)


@pytest.mark.parametrize(
    ("name", "content", "complaint"),
    [
        ("log.json", "{", "not whole JSON"),
        ("recording.json", "{", "recording.json"),
        ("recording.json", "[]", "damaged"),
        ("recording.json", '{"recorded_at": "last Tuesday"}', "not a date"),
    ],
)
def test_a_damaged_file_is_named(penhallow: Path, name: str, content: str, complaint: str) -> None:
    path = read_build(penhallow).recordings[1].folder / name
    path.write_text(content, encoding="utf-8")
    with pytest.raises(WitnessmarkError, match=complaint) as error:
        read_build(penhallow)
    assert "penhallow-day-2" in str(error.value)


# Crashes. The child process is killed at its n-th operation on a file below the folder, for every n there is.

_WATCHED = ("open", "os.rename", "os.mkdir", "os.remove", "os.rmdir", "fcntl.flock")


def died_at(operation: int, work: Callable[[], object], folder: Path) -> bool:
    """Forks, does the work in the child, and kills it hard before its n-th file operation. False: it got through."""
    child = os.fork()
    if child == 0:
        count = 0

        def watch(event: str, arguments: tuple[object, ...]) -> None:
            nonlocal count
            if event in _WATCHED and (event == "fcntl.flock" or str(folder) in os.fsdecode(str(arguments[0]))):
                count += 1
                if count == operation:
                    os._exit(9)

        try:
            sys.addaudithook(watch)
            work()
        except BaseException:
            os._exit(1)
        os._exit(0)
    _, status = os.waitpid(child, 0)
    code = os.waitstatus_to_exitcode(status)
    assert code in (0, 9), f"the child failed with {code}"
    return code == 9


def copies(folder: Path) -> Iterator[tuple[int, Path]]:
    """A fresh copy of the folder for every number."""
    for number in range(1, 200):
        copy = folder.with_name(f"{folder.name}-{number}")
        shutil.copytree(folder, copy)
        yield number, copy


def test_killed_while_adding(penhallow: Path) -> None:
    fourth = renamed(day_one(), "2031-05-24 Penhallow day 4.wav", "4" * 64)
    before = read_build(penhallow).recordings
    outcomes: list[int] = []
    for number, folder in copies(penhallow):
        died = died_at(number, lambda folder=folder: add_recording(folder, fourth), folder)  # type: ignore[misc]
        after = read_build(folder).recordings
        assert [recording.log for recording in after[:3]] == [recording.log for recording in before]
        assert [(recording.slug, recording.log) for recording in after[3:]] in (
            [],
            [("2031-05-24-penhallow-day-4", fourth)],
        )
        outcomes.append(len(after))
        add_recording(folder, fourth)
        assert [recording.log for recording in read_build(folder).recordings[3:]] == [fourth]
        assert not list((folder / "recordings").glob(".*")), "what the dead run left has been cleared away"
        if not died:
            break
    assert outcomes == sorted(outcomes) and outcomes[-1] == 4
    assert outcomes.count(3) >= 6, "it was killed before, amid and after the writes"


def test_killed_while_replacing(penhallow: Path) -> None:
    better = dataclasses.replace(day_two(), findings=(), notes=())
    better = dataclasses.replace(better, chapters=())
    seen = set()
    for number, folder in copies(penhallow):
        work = lambda folder=folder: add_recording(folder, better, replace=True)  # noqa: E731
        died = died_at(number, work, folder)
        log = read_build(folder).recordings[1].log
        assert log in (day_two(), better)
        seen.add(log == better)
        if not died:
            break
    assert seen == {True, False}


def test_killed_while_starting(tmp_path: Path) -> None:
    chosen = Settings("Penhallow 175")
    for number in range(1, 100):
        folder = tmp_path / f"start-{number}"
        died = died_at(number, lambda folder=folder: start_build(folder, chosen), folder)  # type: ignore[misc]
        if not (folder / "build.toml").exists():
            start_build(folder, chosen)
        assert read_build(folder).settings.settings == chosen
        if not died:
            break
    assert number > 5


def test_killed_while_writing_the_book(penhallow: Path) -> None:
    vocabulary = build_vocabulary(penhallow)
    write_book(read_build(penhallow), vocabulary, penhallow)
    old = {path.name: path.read_bytes() for path in penhallow.glob("*.*")}
    add_recording(penhallow, renamed(day_one(), "2031-05-24 Penhallow day 4.wav", "4" * 64))
    died, number = True, 0
    while died:
        number += 4
        build = read_build(penhallow)
        died = died_at(number, lambda build=build: write_book(build, vocabulary, penhallow), penhallow)  # type: ignore[misc]
        for name in ("book.html", "book.md", "parts.csv", "figures.csv"):
            data = (penhallow / name).read_bytes()
            assert data == old[name] or b"day-4" in data, f"{name} is neither the old one nor the new one"
            assert data.rstrip().endswith(old[name].rstrip()[-20:]) or name.endswith((".md", ".csv"))
    assert len(read_build(penhallow).recordings) == 4


@pytest.mark.parametrize("call", ["fsync", "rename", "replace"])
def test_a_failing_disk_is_one_sentence_and_loses_nothing(
    penhallow: Path, monkeypatch: pytest.MonkeyPatch, call: str
) -> None:
    def fail(*_: object, **__: object) -> None:
        raise OSError(5, "Input/output error")

    before = read_build(penhallow)
    with monkeypatch.context() as patch:
        patch.setattr("os.fsync" if call == "fsync" else f"pathlib.Path.{call}", fail)
        with pytest.raises(WitnessmarkError, match="cannot write"):
            add_recording(penhallow, renamed(day_one(), "day 4.wav", "4" * 64))
    assert read_build(penhallow) == before
    assert not list((penhallow / "recordings").glob(".*"))


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    place = tmp_path / "small"
    place.mkdir()
    mounted = os.geteuid() == 0 and not subprocess.run(
        ["mount", "-t", "tmpfs", "-o", "size=160k", "tmpfs", str(place)], capture_output=True, check=False
    ).returncode  # fmt: skip
    if not mounted:
        pytest.skip("a small disk can only be mounted by root with that right")
    yield place
    subprocess.run(["umount", str(place)], check=True)


def test_a_full_disk_is_one_sentence_and_loses_nothing(small_disk: Path) -> None:
    folder = small_disk / "penhallow"
    start_build(folder, Settings("Penhallow 175"))
    add_recording(folder, day_one())
    before = read_build(folder)
    ballast = small_disk / "ballast"
    for left in (0, 4096, 8192, 12288):
        free = os.statvfs(small_disk)
        ballast.write_bytes(b"x" * (free.f_bavail * free.f_frsize - left))
        try:
            add_recording(folder, day_two())
        except WitnessmarkError as error:
            assert "disk is full" in str(error)
            assert read_build(folder) == before
            assert not list((folder / "recordings").glob(".*"))
        else:
            pytest.fail("there was no room for it")
        ballast.unlink()
    add_recording(folder, day_two())
    assert len(read_build(folder).recordings) == 2


def test_many_at_once(empty: Path) -> None:
    """Eight processes add five recordings, some of them the same ones and some of one name: each is there once."""
    logs = [renamed(day_one(), f"take {number % 3}.wav", f"{number % 5:064x}") for number in range(8)]
    children = []
    for log in logs:
        child = os.fork()
        if child == 0:
            try:
                add_recording(empty, log)
            except BaseException:
                os._exit(1)
            os._exit(0)
        children.append(child)
    assert [os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]) for child in children] == [0] * 8
    recordings = read_build(empty).recordings
    assert sorted(recording.log.recording.sha256 for recording in recordings) == [f"{n:064x}" for n in range(5)]
