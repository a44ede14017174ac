"""When a recording was made: from real files with real tags, and from names."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import time
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from typing import Any

import av
import numpy as np
import pytest

from pipeline.build import parse_date, recorded_time
from pipeline.build.dates import time_in_name
from pipeline.errors import WitnessmarkError

MODIFIED = datetime(2024, 6, 2, 18, 5, 9)


@pytest.fixture(autouse=True)
def london(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Summer time there is an hour ahead of UTC, in which containers keep their time."""
    monkeypatch.setenv("TZ", "Europe/London")
    time.tzset()
    yield
    monkeypatch.undo()
    time.tzset()


def sound_file(path: Path, **tags: str) -> Path:
    """A tenth of a second of silence in the container that the suffix names."""
    codec = {".m4a": "aac", ".wav": "pcm_s16le", ".ogg": "libvorbis"}[path.suffix]
    with av.open(str(path), "w") as container:
        container.metadata.update(tags)
        stream: Any = container.add_stream(codec, rate=16000, layout="mono")
        frame = av.AudioFrame.from_ndarray(np.zeros((1, 1600), np.int16), format="s16", layout="mono")
        frame.rate = 16000
        for packet in (*stream.encode(frame), *stream.encode(None)):
            container.mux(packet)
    os.utime(path, (MODIFIED.timestamp(), MODIFIED.timestamp()))
    return path


def test_the_containers_own_time_comes_first(tmp_path: Path) -> None:
    path = sound_file(tmp_path / "2020-01-01 gearbox.m4a", creation_time="2024-05-17T08:30:15.000000Z")
    assert recorded_time(path) == (datetime(2024, 5, 17, 9, 30, 15), "media")


@pytest.mark.outside
def test_ffprobe_reads_the_same_time(tmp_path: Path) -> None:
    if shutil.which("ffprobe") is None:
        pytest.skip("ffprobe is not installed")
    path = sound_file(tmp_path / "gearbox.m4a", creation_time="2024-01-17T08:30:15.000000Z")
    command = ["ffprobe", "-v", "error", "-show_entries", "format_tags=creation_time", "-of", "json", str(path)]
    told = json.loads(subprocess.run(command, check=True, capture_output=True).stdout)["format"]["tags"]
    # In January London keeps UTC, so both clocks read alike.
    assert told["creation_time"].startswith(recorded_time(path)[0].isoformat())


@pytest.mark.parametrize("nonsense", ["1904-01-01T00:00:00Z", "1970-01-01T00:00:00Z", "2039-01-01T00:00:00Z"])
def test_a_clock_that_was_never_set_is_not_believed(tmp_path: Path, nonsense: str) -> None:
    path = sound_file(tmp_path / "gearbox.m4a", creation_time=nonsense)
    assert recorded_time(path) == (MODIFIED, "file")


def test_then_the_name_then_the_file(tmp_path: Path) -> None:
    named = sound_file(tmp_path / "2024-05-17 gearbox.wav")
    assert recorded_time(named) == (datetime(2024, 5, 17), "name")
    same_day = sound_file(tmp_path / "20240602_gearbox.wav")
    assert recorded_time(same_day) == (MODIFIED, "name")
    plain = sound_file(tmp_path / "gearbox.wav")
    assert recorded_time(plain) == (MODIFIED, "file")


def test_a_file_that_is_no_media_has_its_own_time(tmp_path: Path) -> None:
    path = tmp_path / "captions.vtt"
    path.write_text("WEBVTT\n")
    os.utime(path, (MODIFIED.timestamp(), MODIFIED.timestamp()))
    assert recorded_time(path) == (MODIFIED, "file")


def test_no_file_is_one_sentence(tmp_path: Path) -> None:
    with pytest.raises(WitnessmarkError, match="check its name"):
        recorded_time(tmp_path / "nowhere.wav")


@pytest.mark.parametrize(
    ("name", "at"),
    [
        ("2031-05-17 Penhallow day 3.wav", datetime(2031, 5, 17)),
        ("20310517.m4a", datetime(2031, 5, 17)),
        ("VID_20310517_143005.mp4", datetime(2031, 5, 17, 14, 30)),
        ("REC-20310517-143005123.mp4", datetime(2031, 5, 17, 14, 30)),
        ("2031-05-17T14-30.mp4", datetime(2031, 5, 17, 14, 30)),
        ("Aufnahme 2031_05_17 14.30.12.m4a", datetime(2031, 5, 17, 14, 30)),
        ("2031.05.17.wav", datetime(2031, 5, 17)),
        ("17-05-2031.wav", None),
        ("05-06-07.wav", None),
        ("part 1999123199.wav", None),
        ("2031-13-40.wav", None),
        ("frame 20311.wav", None),
        ("gearbox.wav", None),
    ],
)
def test_dates_in_names(name: str, at: datetime | None) -> None:
    assert time_in_name(name) == at


@pytest.mark.parametrize(
    ("text", "at"),
    [
        ("2031-05-17", datetime(2031, 5, 17)),
        (" 2031-05-17 14:30 ", datetime(2031, 5, 17, 14, 30)),
        ("2031-05-17T12:30:00Z", datetime(2031, 5, 17, 13, 30)),
    ],
)
def test_dates_as_given(text: str, at: datetime) -> None:
    assert parse_date(text) == at


@pytest.mark.parametrize("text", ["17/05/2031", "yesterday", "", "2031-02-30", "9999999-01-01"])
def test_a_date_that_is_none(text: str) -> None:
    with pytest.raises(WitnessmarkError, match="2031-05-17"):
        parse_date(text)
