"""The cache of what was heard: one line a piece, written as soon as it is heard, so that a stopped run goes on."""

from __future__ import annotations

import contextlib
import json
import os
from pathlib import Path
from typing import Any

from pipeline.hearing.heard import HeardPiece, HeardWord
from pipeline.hearing.model import cache_folder
from pipeline.hearing.streams import Stream, Stretch

# Goes up whenever the same sound would be heard differently, so that old entries are not used.
_VERSION = 3


class Journal:
    """What was heard of one file (by SHA-256 of its bytes) with one model. A failing disk only loses the cache.

    `heard`: for each stream, its pieces in order, as (start in the stream in ms, piece).
    """

    def __init__(self, sha256: str, model_identity: str, language: str) -> None:
        self.path: Path = cache_folder() / "hearings" / f"{sha256[:32]}-{model_identity}-{language}.jsonl"
        self.streams: list[Stream] | None = None
        self.heard: list[list[tuple[int, HeardPiece]]] = []
        self.failure = ""
        self._read()

    def _read(self) -> None:
        try:
            lines = self.path.read_text(encoding="utf-8").splitlines()
        except (OSError, UnicodeDecodeError):
            return
        try:
            head = json.loads(lines[0])
            if head["version"] != _VERSION:
                return
            self.streams = [Stream(tuple(Stretch(*row) for row in rows)) for rows in head["streams"]]
        except (IndexError, KeyError, TypeError, ValueError):
            return
        self.heard = [[] for _ in self.streams]
        for line in lines[1:]:
            # The last line is half written when the machine went down: it is heard again.
            with contextlib.suppress(IndexError, KeyError, TypeError, ValueError):
                entry = json.loads(line)
                words = tuple(HeardWord(*row) for row in entry["words"])
                piece = HeardPiece(
                    words,
                    tuple(entry["tokens"]),
                    entry["heard_ms"],
                    entry["log_probability"],
                    entry["no_speech"],
                    entry["steady"],
                )
                self.heard[entry["stream"]].append((entry["start_ms"], piece))

    def begin(self, streams: list[Stream]) -> None:
        """Starts a new journal for these streams."""
        self.streams, self.heard = streams, [[] for _ in streams]
        rows = [[[s.start_ms, s.end_ms, s.stream_ms] for s in stream.stretches] for stream in streams]
        self._write(json.dumps({"version": _VERSION, "streams": rows}), mode="w")

    def add(self, stream: int, start_ms: int, piece: HeardPiece) -> None:
        """Keeps the next piece of a stream."""
        self.heard[stream].append((start_ms, piece))
        entry: dict[str, Any] = {
            "stream": stream,
            "start_ms": start_ms,
            "words": [[word.text, word.start_ms, word.end_ms, word.probability] for word in piece.words],
            "tokens": piece.tokens,
            "heard_ms": piece.heard_ms,
            "log_probability": round(piece.log_probability, 4),
            "no_speech": round(piece.no_speech, 4),
            "steady": piece.steady,
        }
        self._write(json.dumps(entry, ensure_ascii=False), mode="a")

    def _write(self, line: str, mode: str) -> None:
        if self.failure:
            return
        try:
            self.path.parent.mkdir(parents=True, exist_ok=True)
            with self.path.open(mode, encoding="utf-8") as out:
                out.write(("\n" if mode == "a" else "") + line)
                out.flush()
                os.fsync(out.fileno())
        except OSError as error:
            self.failure = error.strerror or str(error)
