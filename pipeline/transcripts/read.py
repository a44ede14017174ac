"""Opens a timed transcript, whatever its encoding, and hands its text to the reader of its format."""

from __future__ import annotations

import codecs
import hashlib
from pathlib import Path

from pipeline.errors import WitnessmarkError
from pipeline.records import Finding, Recording, Transcript, Word
from pipeline.transcripts.cue_files import read_subrip, read_webvtt
from pipeline.transcripts.json_words import read_json
from pipeline.transcripts.plain_text import read_plain_text

Parsed = tuple[list[Word], list[int], list[Finding], Recording | None]

_BOMS = ((codecs.BOM_UTF8, "utf-8-sig"), (codecs.BOM_UTF16_LE, "utf-16"), (codecs.BOM_UTF16_BE, "utf-16"))
# Western text in an older encoding has few bytes outside ASCII; a larger share means another script or no text.
_FEW = 0.05

# suffix -> reader of the decoded text. A new format is one function and one line.
READERS = {
    ".vtt": lambda text: (*read_webvtt(text), None),
    ".srt": lambda text: (*read_subrip(text), None),
    ".txt": lambda text: (*read_plain_text(text), None),
    ".json": read_json,
}


def is_transcript(path: Path) -> bool:
    """True for the suffixes of timed transcripts; everything else is taken for sound or video."""
    return path.suffix.lower() in READERS


def decode_text(data: bytes) -> tuple[str, list[Finding]]:
    """Text of a file by its byte order mark, else UTF-8, else (with a finding) the old Western code page 1252.

    Raises:
        WitnessmarkError: it is no text in any of them.
    """
    for bom, name in _BOMS:
        if data.startswith(bom):
            return _decoded(data, name), []
    if b"\0" in data[:1000]:
        even, odd = data[:1000:2].count(0), data[1:1000:2].count(0)
        if min(even, odd) * 4 > max(even, odd) or max(even, odd) * 6 < len(data[:1000]):
            raise WitnessmarkError("is not text; give a .vtt, .srt, .json or .txt transcript or the recording itself")
        return _decoded(data, "utf-16-le" if odd > even else "utf-16-be"), []
    try:
        return data.decode("utf-8"), []
    except UnicodeDecodeError as error:
        foreign = sum(byte > 127 for byte in data)
        if foreign > len(data) * _FEW:
            raise WitnessmarkError("is not in UTF-8; open it in a text editor and save it as UTF-8") from error
        message = "is not in UTF-8 and was read as Western (code page 1252); check accents and signs such as µ and °"
        return data.decode("cp1252", errors="replace"), [Finding("check", "transcript-encoding", message, 0)]


def _decoded(data: bytes, encoding: str) -> str:
    try:
        return data.decode(encoding)
    except UnicodeDecodeError as error:
        raise WitnessmarkError(f"begins as {encoding} but does not go on so; save it as UTF-8") from error


def read_transcript(path: Path) -> tuple[Transcript, list[Finding]]:
    """Words of a .vtt, .srt, .json or .txt file, each with a time, and what was odd about the file.

    Words without a time of their own share that of their cue by length. Every word is there once, however the
    captions scroll. The recording is the file itself, or what the log names where the file is our own log.

    Raises:
        WitnessmarkError: missing, unreadable, empty, not text, not of its format, or without a word.
    """
    reader = READERS.get(path.suffix.lower())
    if reader is None:
        raise WitnessmarkError(f"{path} is no timed transcript; there are readers for {', '.join(sorted(READERS))}")
    try:
        data = path.read_bytes()
    except OSError as error:
        raise WitnessmarkError(f"cannot read {path}: {error.strerror}; check the name and the permissions") from error
    if not data.strip():
        raise WitnessmarkError(f"{path} is empty; export the transcript again")
    try:
        text, findings = decode_text(data)
        words, starts, more, recording = reader(text.replace("\r\n", "\n").replace("\r", "\n").lstrip("\ufeff"))
    except WitnessmarkError as error:
        raise WitnessmarkError(f"{path} {error}") from error
    if not words:
        raise WitnessmarkError(f"{path} holds no spoken words; export the transcript again")
    if recording is None:
        recording = Recording(path.name, words[-1].end_ms, hashlib.sha256(data).hexdigest())
    return Transcript(recording, tuple(words), tuple(starts)), [*findings, *more]
