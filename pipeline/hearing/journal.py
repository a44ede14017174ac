"""The cache of what was heard: one line a window, written as soon as it is heard, so that a stopped run goes on."""

from __future__ import annotations

import contextlib
import json
import os
from pathlib import Path
from typing import Any

from pipeline.hearing.model import cache_folder
from pipeline.hearing.speech_model import HeardWindow, HeardWord
from pipeline.hearing.windows import Stretch, Window

# Goes up whenever the same sound would be heard differently, so that old entries are not used.
_VERSION = 2


class Journal:
    """What was heard of one file (by SHA-256 of its bytes) with one model. A failing disk only loses the cache."""

    def __init__(self, sha256: str, model_identity: str, language: str) -> None:
        self.path: Path = cache_folder() / "hearings" / f"{sha256[:32]}-{model_identity}-{language}.jsonl"
        self.windows: list[Window] | None = None
        self.heard: dict[int, HeardWindow] = {}
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
            self.windows = [Window(tuple(Stretch(*row) for row in rows)) for rows in head["windows"]]
        except (IndexError, KeyError, TypeError, ValueError):
            return
        for line in lines[1:]:
            # The last line is half written when the machine went down: it is heard again.
            with contextlib.suppress(KeyError, TypeError, ValueError):
                entry = json.loads(line)
                words = tuple(HeardWord(*row) for row in entry["words"])
                self.heard[int(entry["window"])] = HeardWindow(words, entry["log_probability"], entry["no_speech"])

    def begin(self, windows: list[Window]) -> None:
        """Starts a new journal for these windows."""
        self.windows, self.heard = windows, {}
        rows = [[[s.start_ms, s.end_ms, s.window_ms] for s in window.stretches] for window in windows]
        self._write(json.dumps({"version": _VERSION, "windows": rows}), mode="w")

    def add(self, index: int, heard: HeardWindow) -> None:
        """Keeps one window."""
        self.heard[index] = heard
        words = [[word.text, word.start_ms, word.end_ms, word.probability] for word in heard.words]
        entry: dict[str, Any] = {
            "window": index,
            "words": words,
            "log_probability": round(heard.log_probability, 4),
            "no_speech": round(heard.no_speech, 4),
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
