"""Any container that PyAV opens -> 16 kHz mono samples. What is wrong with the file is said in one sentence."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pipeline.errors import WitnessmarkError
from pipeline.records import Finding
from pipeline.times import ms_to_clock

SAMPLE_RATE = 16_000
# A file is called cut short when what could be decoded misses this much of what its header promises.
_MISSING_MS = 3_000
_SPARE_MS = 1_000
# No header is believed further than this when room is made for the samples.
_MOST_PROMISED_MS = 12 * 3_600_000


@dataclass(frozen=True, slots=True)
class Sound:
    """`samples`: float32 in [-1, 1], shape (n,), at 16,000 a second. `has_video`: the file has moving pictures."""

    samples: NDArray[np.float32]
    has_video: bool = False

    @property
    def duration_ms(self) -> int:
        """Length in milliseconds."""
        return len(self.samples) * 1000 // SAMPLE_RATE


def file_sha256(path: Path) -> str:
    """Hexadecimal SHA-256 of the bytes of a file, which is what the cache knows it by."""
    try:
        with path.open("rb") as stream:
            return hashlib.file_digest(stream, "sha256").hexdigest()
    except OSError as error:
        raise WitnessmarkError(f"cannot read {path}: {error.strerror}; check the name and your rights to it") from error


def read_sound(path: Path) -> tuple[Sound, list[Finding]]:
    """Decodes the first sound track of a file.

    Raises:
        WitnessmarkError: no such file, an empty file, not media, or no sound track.
    """
    import av

    if path.is_dir():
        raise WitnessmarkError(f"{path} is a folder; give the recordings in it: {path / '*'}")
    if not path.is_file():
        raise WitnessmarkError(f"there is no file {path}; check the name")
    if path.stat().st_size == 0:
        raise WitnessmarkError(f"{path} is empty (0 bytes); copy it from the camera again")
    try:
        container = av.open(str(path), metadata_errors="ignore")
    except PermissionError as error:
        raise WitnessmarkError(f"no right to read {path}; change its permissions") from error
    except (av.error.FFmpegError, OSError) as error:
        raise WitnessmarkError(
            f"{path} is not sound or video that can be opened; if it plays elsewhere, convert it to WAV or MP4 first"
        ) from error
    with container:
        if not container.streams.audio:
            raise WitnessmarkError(f"{path} has no sound track; choose the recording that has your voice")
        promised_ms = int(container.duration // 1000) if container.duration else 0
        samples = _joined(_decoded_blocks(container), promised_ms)
        # Cover art in a sound file is a video stream of one attached picture; it does not move.
        has_video = any(stream.frames != 1 and stream.average_rate for stream in container.streams.video)
    if len(samples) == 0:
        raise WitnessmarkError(f"nothing of the sound in {path} can be decoded; copy it from the camera again")
    sound = Sound(samples, has_video)
    findings = []
    if promised_ms - sound.duration_ms > _MISSING_MS:
        findings.append(
            Finding(
                "check",
                "cut-short",
                f"The file says it lasts {ms_to_clock(promised_ms)}, but only {ms_to_clock(sound.duration_ms)} of sound"
                " could be read; it may have been cut off in copying.",
                sound.duration_ms,
            )
        )
    return sound, findings


def _joined(blocks: Iterator[NDArray[np.float32]], promised_ms: int) -> NDArray[np.float32]:
    """All blocks in one array, without a second copy of them: three hours are 700 MB."""
    samples = np.empty((min(promised_ms, _MOST_PROMISED_MS) + _SPARE_MS) * SAMPLE_RATE // 1000, np.float32)
    size = 0
    for block in blocks:
        if size + len(block) > len(samples):
            samples.resize(max(size + len(block), len(samples) * 5 // 4), refcheck=False)
        samples[size : size + len(block)] = block
        size += len(block)
    samples.resize(size, refcheck=False)
    return samples


def _decoded_blocks(container: Any) -> Iterator[NDArray[np.float32]]:
    """Blocks of samples. A damaged packet ends or interrupts the decoding; what came before is kept."""
    import av

    resampler = av.AudioResampler(format="flt", layout="mono", rate=SAMPLE_RATE)
    frames = container.decode(audio=0)
    failures = 0
    while True:
        try:
            frame = next(frames)
        except StopIteration:
            break
        except av.error.EOFError:
            break
        except av.error.FFmpegError:
            failures += 1
            if failures > 100:  # a stream of nothing but damage: stop instead of spinning
                break
            continue
        frame.pts = None
        for piece in resampler.resample(frame):
            yield piece.to_ndarray().reshape(-1).astype(np.float32, copy=False)
    for piece in resampler.resample(None):
        yield piece.to_ndarray().reshape(-1).astype(np.float32, copy=False)
