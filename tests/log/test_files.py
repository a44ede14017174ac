"""A file is written whole or not at all, and a failure is one sentence that says what to do."""

from __future__ import annotations

import errno
import os
import resource
import signal
import stat
from pathlib import Path

import pytest

from pipeline.errors import WitnessmarkError
from pipeline.files import write_bytes, write_text


def test_text_comes_back_byte_for_byte_and_makes_its_folder(tmp_path: Path) -> None:
    path = tmp_path / "new" / "folder" / "log.md"
    write_text(path, "22 N·m\r\nµ ½\n")
    assert path.read_bytes() == "22 N·m\r\nµ ½\n".encode()
    assert [entry.name for entry in path.parent.iterdir()] == ["log.md"]


def test_permissions_of_an_old_file_stay_and_a_new_one_follows_the_umask(tmp_path: Path) -> None:
    old, new = tmp_path / "old", tmp_path / "new"
    old.write_text("before")
    old.chmod(0o640)
    before = os.umask(0o027)
    try:
        write_text(old, "after")
        write_text(new, "fresh")
    finally:
        os.umask(before)
    assert stat.S_IMODE(old.stat().st_mode) == 0o640
    assert stat.S_IMODE(new.stat().st_mode) == 0o640


def test_a_symbolic_link_stays_a_link(tmp_path: Path) -> None:
    (tmp_path / "real").write_text("before")
    (tmp_path / "link").symlink_to(tmp_path / "real")
    write_text(tmp_path / "link", "after")
    assert (tmp_path / "link").is_symlink()
    assert (tmp_path / "real").read_text() == "after"


def test_a_device_is_written_to_and_stays_a_device() -> None:
    write_text(Path("/dev/null"), "text")
    assert Path("/dev/null").is_char_device()


def test_a_lone_surrogate_from_a_file_name_does_not_stop_the_work(tmp_path: Path) -> None:
    write_text(tmp_path / "log.md", "day\udcff.wav")
    assert (tmp_path / "log.md").read_text(encoding="utf-8") == "day?.wav"


def test_no_room_leaves_the_old_file_and_no_half_file(tmp_path: Path) -> None:
    """The kernel itself refuses: a file size limit gives EFBIG in the middle of the writing."""
    path = tmp_path / "log.json"
    path.write_text("old")
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    handler = signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_FSIZE, (4096, hard))
    try:
        with pytest.raises(WitnessmarkError, match=r"cannot write .*log\.json: the file is too large"):
            write_bytes(path, b"x" * 100_000)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
        signal.signal(signal.SIGXFSZ, handler)
    assert path.read_text() == "old"
    assert [entry.name for entry in tmp_path.iterdir()] == ["log.json"]


@pytest.mark.parametrize(
    ("number", "sentence"),
    [
        (errno.ENOSPC, "the disk is full; free some space"),
        (errno.EDQUOT, "quota is used up"),
        (errno.EACCES, "no permission to write there; choose another folder"),
        (errno.EROFS, "the disk is read-only"),
        (errno.EIO, "choose another folder"),
    ],
)
def test_a_failure_when_flushing_is_one_sentence_and_leaves_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, number: int, sentence: str
) -> None:
    def refuse(_handle: int) -> None:
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr(os, "fsync", refuse)
    with pytest.raises(WitnessmarkError) as caught:
        write_text(tmp_path / "log.json", "text")
    assert sentence in str(caught.value)
    assert "\n" not in str(caught.value)
    assert list(tmp_path.iterdir()) == []


def test_a_file_where_a_folder_should_be_and_a_folder_where_a_file_should_be(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x")
    with pytest.raises(WitnessmarkError, match="part of the path is a file"):
        write_text(tmp_path / "file" / "log.json", "text")
    (tmp_path / "log.md").mkdir()
    with pytest.raises(WitnessmarkError, match="a folder of that name is in the way"):
        write_text(tmp_path / "log.md", "text")
    assert sorted(entry.name for entry in tmp_path.iterdir()) == ["file", "log.md"]
