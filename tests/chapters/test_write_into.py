"""Chapters in a copy of the recording: nothing encoded again, the original untouched; ffprobe as the judge."""

from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
from pathlib import Path

import pytest

from pipeline.chapters.media import write_into
from pipeline.errors import WitnessmarkError
from pipeline.records import Chapter
from tests.chapters.outside import KINDS, make, probe, run

pytestmark = [
    pytest.mark.outside,
    pytest.mark.skipif(not shutil.which("ffmpeg") or not shutil.which("ffprobe"), reason="ffmpeg is not installed"),
]

CHAPTERS = [Chapter(0, "Gearbox: selector forks = 3; #1"), Chapter(11_250, "Öl & <grease>"), Chapter(22_000, "Chain")]


def stream_hashes(path: Path) -> str:
    """One hash a stream over its undecoded packets."""
    arguments = ("-map", "0:v?", "-map", "0:a?", "-map", "0:s?", "-c", "copy", "-f", "streamhash", "-")
    return run("ffmpeg", "-v", "error", "-i", path, *arguments).stdout


@pytest.mark.parametrize("suffix", [suffix for suffix in KINDS if suffix != ".wav"])
def test_chapters_are_in_the_copy_and_the_streams_are_the_same(tmp_path: Path, suffix: str) -> None:
    media, out = make(tmp_path / f"day3{suffix}"), tmp_path / f"new/day3{suffix}"
    before = hashlib.sha256(media.read_bytes()).hexdigest()
    write_into(media, out, CHAPTERS)
    found = probe(out)
    assert [chapter["tags"]["title"] for chapter in found] == [chapter.title for chapter in CHAPTERS]
    assert [float(chapter["start_time"]) for chapter in found] == [0.0, 11.25, 22.0]
    assert stream_hashes(out) == stream_hashes(media) != ""
    assert hashlib.sha256(media.read_bytes()).hexdigest() == before
    assert sorted(path.name for path in out.parent.iterdir()) == [out.name]


def test_old_chapters_are_replaced_and_tags_kept(tmp_path: Path) -> None:
    meta = tmp_path / "a.ffmetadata"
    meta.write_text(";FFMETADATA1\ntitle=Day three\n[CHAPTER]\nTIMEBASE=1/1000\nSTART=0\nEND=5000\ntitle=old\n")
    media, out = tmp_path / "a.mp4", tmp_path / "b.mp4"
    plain = make(tmp_path / "plain.mp4")
    run("ffmpeg", "-v", "error", "-i", plain, "-i", meta, "-map", "0", "-map_chapters", "1", *META, media)
    assert [chapter["tags"]["title"] for chapter in probe(media)] == ["old"]
    write_into(media, out, CHAPTERS)
    assert [chapter["tags"]["title"] for chapter in probe(out)] == [chapter.title for chapter in CHAPTERS]
    tags = run("ffprobe", "-v", "error", "-show_entries", "format_tags=title", "-of", "csv=p=0", out).stdout
    assert tags.strip() == "Day three"


META = ("-map_metadata", "1", "-c", "copy")


def test_a_cover_picture_stays(tmp_path: Path) -> None:
    sound, media = make(tmp_path / "s.mp3"), tmp_path / "a.mp3"
    cover = tmp_path / "c.png"
    run("ffmpeg", "-v", "error", "-f", "lavfi", "-i", "color=red:s=32x32", "-frames:v", "1", cover)
    run(*("ffmpeg", "-v", "error", "-i", sound, "-i", cover, "-map", "0", "-map", "1", "-c", "copy"), media)
    write_into(media, tmp_path / "b.mp3", CHAPTERS)
    assert len(probe(tmp_path / "b.mp3")) == 3
    assert stream_hashes(tmp_path / "b.mp3") == stream_hashes(media)


@pytest.mark.parametrize(("suffix", "extra"), [(".wav", []), (".ogg", ["-vn", "-c:a", "libvorbis"])])
def test_a_container_without_chapters_is_told(tmp_path: Path, suffix: str, extra: list[str]) -> None:
    media = make(tmp_path / f"a{suffix}", *extra)
    with pytest.raises(WitnessmarkError, match="of a kind that holds no chapters; convert it to"):
        write_into(media, tmp_path / f"b{suffix}", CHAPTERS)
    assert [path.name for path in tmp_path.iterdir()] == [media.name]


def test_nothing_is_ever_overwritten(tmp_path: Path) -> None:
    media = make(tmp_path / "a.mp3")
    content = media.read_bytes()
    with pytest.raises(WitnessmarkError, match="is there already"):
        write_into(media, media, CHAPTERS)
    assert media.read_bytes() == content


def test_what_does_not_fit_is_told(tmp_path: Path) -> None:
    media = make(tmp_path / "a.mp3", "-vn", "-t", "15")
    with pytest.raises(WitnessmarkError, match="'Chain' at 0:22 starts after the end; is it the same recording"):
        write_into(media, tmp_path / "b.mp3", CHAPTERS)
    with pytest.raises(WitnessmarkError, match=r"must end in \.mp3"):
        write_into(media, tmp_path / "b.mkv", CHAPTERS)
    (tmp_path / "no.mp3").write_bytes(b"no sound at all")
    with pytest.raises(WitnessmarkError, match=r"cannot read .*no\.mp3"):
        write_into(tmp_path / "no.mp3", tmp_path / "b.mp3", CHAPTERS)
    with pytest.raises(WitnessmarkError, match=r"cannot read .*none\.mp3"):
        write_into(tmp_path / "none.mp3", tmp_path / "b.mp3", CHAPTERS)


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write anywhere")
def test_no_permission(tmp_path: Path) -> None:
    media = make(tmp_path / "a.mp3")
    (tmp_path / "locked").mkdir(mode=0o500)
    with pytest.raises(WitnessmarkError, match="no permission"):
        write_into(media, tmp_path / "locked" / "b.mp3", CHAPTERS)


def test_a_full_disk_leaves_nothing_behind(tmp_path: Path) -> None:
    """A file system of 64 KiB, where one can be mounted."""
    small = tmp_path / "small"
    small.mkdir()
    mounted = subprocess.run(["mount", "-t", "tmpfs", "-o", "size=64k", "none", str(small)], capture_output=True)
    if mounted.returncode:
        pytest.skip("cannot mount a small file system here")
    try:
        media = make(tmp_path / "a.mp3")
        assert media.stat().st_size > 100_000
        with pytest.raises(WitnessmarkError, match="disk is full"):
            write_into(media, small / "b.mp3", CHAPTERS)
        assert list(small.iterdir()) == []
    finally:
        subprocess.run(["umount", str(small)], check=True)
