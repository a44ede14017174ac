"""Pictures out of a video: at the moment, sharp, upright, small; and no pictures where there are none."""

from __future__ import annotations

import subprocess
import wave
from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import av
import numpy as np
import pytest

from pipeline.records import BuildLog, Chapter, Recording
from pipeline.render import WRITERS, has_moving_picture, media_beside, page_context, take_pictures
from tests.render.penhallow import EVENTS, VOCABULARY, WORDS

_RATE = 10


def _picture(time_s: float) -> np.ndarray:
    """Red grows with time; the upper left quarter is white; fine stripes, but only every fourth tenth of a second."""
    picture = np.zeros((120, 160, 3), np.uint8)
    picture[..., 0] = min(255, int(time_s * 20))
    if round(time_s * _RATE) % 4 == 0:
        picture[60:, ::2, 1] = 120
    picture[:60, :80] = 255
    return picture


def _video(path: Path, seconds: int = 12) -> Path:
    with av.open(str(path), "w") as container:
        stream = container.add_stream("mpeg4", rate=_RATE)
        stream.width, stream.height, stream.pix_fmt, stream.bit_rate = 160, 120, "yuv420p", 2_000_000
        stream.time_base = Fraction(1, _RATE)
        for place in range(seconds * _RATE):
            frame = av.VideoFrame.from_ndarray(_picture(place / _RATE), format="rgb24")
            container.mux(stream.encode(frame))
        container.mux(stream.encode(None))
    return path


def _log(*times_ms: int) -> BuildLog:
    events = tuple(replace(EVENTS[0], id=f"e{place}", start_ms=at_ms) for place, at_ms in enumerate(times_ms))
    return BuildLog(
        Recording("day.mp4", 12_000, ""), WORDS, events=events, chapters=(Chapter(0, "One"), Chapter(6000, "Two"))
    )


def _pixels(jpeg: bytes, folder: Path) -> np.ndarray:
    """The picture as another program reads it."""
    (folder / "still.jpg").write_bytes(jpeg)
    with av.open(str(folder / "still.jpg")) as container:
        pixels: np.ndarray = next(container.decode(video=0)).to_ndarray(format="rgb24")
    return pixels


def test_each_entry_gets_a_sharp_still_near_its_moment(tmp_path: Path) -> None:
    log = _log(1000, 1200, 5000, 11_900)
    pictures = take_pictures(_video(tmp_path / "day.mp4"), log)
    assert list(pictures.entries) == ["e0", "e1", "e2", "e3"]
    for event in log.events:
        still = pictures.entries[event.id]
        assert -200 <= still.time_ms - event.start_ms <= 1000
        assert still.jpeg.startswith(b"\xff\xd8\xff") and still.jpeg.endswith(b"\xff\xd9")
        assert round(still.time_ms / 100) % 4 == 0 or event.id == "e3", "a blurred frame was taken"
        red = _pixels(still.jpeg, tmp_path)[-40:-10, :, 0].mean()
        assert red == pytest.approx(still.time_ms / 1000 * 20, abs=35), "the picture is of another moment"


def test_each_chapter_gets_a_strip_over_its_whole_length(tmp_path: Path) -> None:
    strips = take_pictures(_video(tmp_path / "day.mp4"), _log(1000)).chapters
    assert list(strips) == [1, 2]
    for number, strip in strips.items():
        first_ms = (number - 1) * 6000
        assert [still.time_ms for still in strip] == pytest.approx(
            [first_ms + at for at in (750, 2250, 3750, 5250)], abs=60
        )
        assert max(strip[0].width, strip[0].height) == 160


@pytest.mark.parametrize(("turn", "corner"), [(0, (0, 0)), (90, (0, 1)), (180, (1, 1)), (270, (1, 0))])
def test_a_telephone_held_upright(tmp_path: Path, turn: int, corner: tuple[int, int]) -> None:
    """The white quarter must lie where a player shows it (display matrix of ISO/IEC 14496-12)."""
    _video(tmp_path / "day.mp4")
    turned = tmp_path / "turned.mp4"
    with av.open(str(tmp_path / "day.mp4")) as source, av.open(str(turned), "w") as target:
        stream = target.add_stream_from_template(source.streams.video[0])
        for packet in source.demux(video=0):
            if packet.dts is not None:
                packet.stream = stream
                target.mux(packet)
    _set_matrix(turned, turn)
    still = take_pictures(turned, _log(2000)).entries["e0"]
    assert (still.width > still.height) == (turn in (0, 180))
    pixels = _pixels(still.jpeg, tmp_path).astype(int).sum(axis=2)
    high, wide = pixels.shape
    quarters = {
        (row, column): pixels[
            row * high // 2 : (row + 1) * high // 2, column * wide // 2 : (column + 1) * wide // 2
        ].mean()
        for row in (0, 1)
        for column in (0, 1)
    }
    assert max(quarters, key=lambda key: quarters[key]) == corner


def _set_matrix(path: Path, turn: int) -> None:
    """Writes the turn, clockwise, into the track header of the file (ISO/IEC 14496-12, 8.3.2)."""
    cosine, sine = {0: (1, 0), 90: (0, 1), 180: (-1, 0), 270: (0, -1)}[turn]
    data = bytearray(path.read_bytes())
    place = data.index(b"tkhd") + 4 + 4 + 20 + 8 + 8
    matrix = (cosine, sine, 0, -sine, cosine, 0, 0, 0)
    for number, value in enumerate(matrix):
        data[place + 4 * number : place + 4 * number + 4] = (value * 65536).to_bytes(4, "big", signed=True)
    path.write_bytes(bytes(data))


def test_all_pictures_stay_within_their_budget(tmp_path: Path) -> None:
    video = _video(tmp_path / "day.mp4")
    log = _log(*range(500, 11_500, 250))
    plenty = take_pictures(video, log)
    assert len(plenty.entries) == len(log.events)
    for budget in (100_000, 40_000):
        pictures = take_pictures(video, log, budget_bytes=budget)
        strips = [still for strip in pictures.chapters.values() for still in strip]
        assert 0 < sum(len(still.data_uri) for still in (*pictures.entries.values(), *strips)) <= budget
    assert len(pictures.entries) < len(log.events)


def _sound(path: Path) -> Path:
    with wave.open(str(path), "wb") as sound:
        sound.setparams((1, 1, 8000, 0, "NONE", ""))
        sound.writeframes(b"\x80" * 8000)
    return path


def _not_media(path: Path) -> Path:
    path.write_text("[0:00] words")
    return path


def _broken(path: Path) -> Path:
    _video(path)
    path.write_bytes(path.read_bytes()[:3000])
    return path


@pytest.mark.parametrize("make", [_sound, _not_media, _broken, lambda path: path])
def test_no_pictures_is_no_fault(tmp_path: Path, make: Callable[[Path], Path]) -> None:
    path = make(tmp_path / "day.mp4")
    assert not take_pictures(path, _log(100)).entries
    if make is not _broken:
        assert not has_moving_picture(path)


@pytest.mark.outside
def test_a_cover_picture_is_no_video(tmp_path: Path) -> None:
    """An album cover inside a sound file is a video track for many programs."""
    still = take_pictures(_video(tmp_path / "day.mp4"), _log(2000)).entries["e0"]
    (tmp_path / "cover.jpg").write_bytes(still.jpeg)
    _sound(tmp_path / "day.wav")
    command = (
        "ffmpeg -v error -i day.wav -i cover.jpg -map 0 -map 1 -c:a aac -c:v mjpeg -disposition:v attached_pic day.m4a"
    )
    try:
        subprocess.run(command.split(), cwd=tmp_path, check=True, capture_output=True)
    except FileNotFoundError:
        pytest.skip("ffmpeg is not installed")
    assert not has_moving_picture(tmp_path / "day.m4a")
    assert media_beside(tmp_path / "day.m4a", tmp_path).tag == "audio"


def test_the_page_shows_them(tmp_path: Path) -> None:
    video = _video(tmp_path / "day 1: #2?.mp4")
    log = _log(1000, 5000)
    pictures = take_pictures(video, log)
    html = WRITERS["log.html"](page_context(log, VOCABULARY, media_beside(video, tmp_path / "log"), pictures))
    assert html.count('<img class="still" src="data:image/jpeg;base64,/9j/') == 2
    assert html.count("<img ") == 2 + 8
    assert 'href="./../day%201%3A%20%232%3F.mp4#t=1.0"' in html
    assert '<video controls preload="metadata" src="./../day%201%3A%20%232%3F.mp4"' in html
