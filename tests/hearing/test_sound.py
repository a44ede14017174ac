"""Bad files: each gives one sentence that says what to do. Sound files are written here with PyAV."""

import wave
from pathlib import Path

import av
import numpy as np
import pytest

from pipeline.errors import WitnessmarkError
from pipeline.hearing.sound import SAMPLE_RATE, _joined, file_sha256, read_sound


def write_wav(path: Path, seconds: float, rate: int = 44_100, channels: int = 2) -> None:
    times = np.arange(int(seconds * rate)) / rate
    tone = (np.sin(2 * np.pi * 440 * times) * 12_000).astype("<i2")
    with wave.open(str(path), "wb") as out:
        out.setnchannels(channels)
        out.setsampwidth(2)
        out.setframerate(rate)
        out.writeframes(np.repeat(tone, channels).tobytes())


def write_media(path: Path, codec: str, seconds: float) -> None:
    with av.open(str(path), "w") as container:
        stream = container.add_stream(codec, rate=48_000)
        assert isinstance(stream, av.AudioStream)
        stream.layout = "mono"
        samples = (np.sin(np.arange(int(seconds * 48_000)) / 17) * 0.3).astype(np.float32)
        frame = av.AudioFrame.from_ndarray(samples.reshape(1, -1), format="fltp", layout="mono")
        frame.sample_rate = 48_000
        for piece in (frame, None):
            container.mux(stream.encode(piece))


def test_wav_is_resampled_to_mono_16_khz(tmp_path: Path) -> None:
    write_wav(tmp_path / "a.wav", 1.5)
    sound, findings = read_sound(tmp_path / "a.wav")
    assert abs(len(sound.samples) - 1.5 * SAMPLE_RATE) < 50
    assert sound.samples.dtype == np.float32
    assert 0.2 < np.abs(sound.samples).max() < 0.6
    assert not findings
    assert not sound.has_video


@pytest.mark.parametrize(
    ("name", "codec"),
    [("a.mp3", "mp3"), ("a.m4a", "aac"), ("a.mkv", "libopus"), ("a.ogg", "libopus"), ("a.flac", "flac")],
)
def test_common_containers_open(tmp_path: Path, name: str, codec: str) -> None:
    write_media(tmp_path / name, codec, 2.0)
    sound, _ = read_sound(tmp_path / name)
    assert abs(sound.duration_ms - 2_000) < 120


@pytest.mark.parametrize(
    ("name", "content", "says"),
    [
        ("missing.wav", None, "there is no file"),
        ("empty.mp4", b"", "is empty"),
        ("notes.mp3", b"this is not media at all, only words " * 50, "cannot be opened|is not sound or video"),
    ],
)
def test_bad_files_are_refused_in_one_sentence(tmp_path: Path, name: str, content: bytes | None, says: str) -> None:
    if content is not None:
        (tmp_path / name).write_bytes(content)
    with pytest.raises(WitnessmarkError, match=says) as caught:
        read_sound(tmp_path / name)
    assert "\n" not in str(caught.value)


def test_video_without_sound_is_refused(tmp_path: Path) -> None:
    with av.open(str(tmp_path / "mute.mp4"), "w") as container:
        stream = container.add_stream("mpeg4", rate=10)
        assert isinstance(stream, av.VideoStream)
        stream.width, stream.height, stream.pix_fmt = 64, 48, "yuv420p"
        for _ in range(5):
            frame = av.VideoFrame.from_ndarray(np.zeros((48, 64, 3), np.uint8), format="rgb24")
            container.mux(stream.encode(frame))
        container.mux(stream.encode(None))
    with pytest.raises(WitnessmarkError, match="no sound track"):
        read_sound(tmp_path / "mute.mp4")


def test_a_file_cut_off_in_copying_gives_what_is_there_and_says_so(tmp_path: Path) -> None:
    write_wav(tmp_path / "whole.wav", 10)
    data = (tmp_path / "whole.wav").read_bytes()
    write_media(tmp_path / "whole.flac", "flac", 10)
    flac = (tmp_path / "whole.flac").read_bytes()
    (tmp_path / "cut.flac").write_bytes(flac[: len(flac) // 3])
    sound, findings = read_sound(tmp_path / "cut.flac")
    assert 0 < sound.duration_ms < 8_000
    assert [f.rule for f in findings] == ["cut-short"]
    (tmp_path / "cut.wav").write_bytes(data[: len(data) // 3])
    assert read_sound(tmp_path / "cut.wav")[0].duration_ms > 2_000


def test_sha256_is_that_of_the_bytes(tmp_path: Path) -> None:
    """FIPS 180-2, appendix B.1: the digest of "abc"."""
    (tmp_path / "abc").write_bytes(b"abc")
    assert file_sha256(tmp_path / "abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"


def test_a_header_that_promises_too_little_or_nothing_costs_no_sound() -> None:
    rng = np.random.default_rng(5)
    blocks = [rng.random(size).astype(np.float32) for size in (1_000, 90_000, 3, 40_000)]
    for promised_ms in (0, 1_000, 60_000):
        joined = _joined(iter(blocks), promised_ms)
        assert np.array_equal(joined, np.concatenate(blocks))
        assert joined.nbytes == sum(block.nbytes for block in blocks)


def test_a_folder_is_no_recording(tmp_path: Path) -> None:
    with pytest.raises(WitnessmarkError, match="is a folder; give the recordings in it"):
        read_sound(tmp_path)
