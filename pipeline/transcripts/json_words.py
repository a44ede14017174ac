"""Reader of JSON transcripts: segments with words, segments with text, or a bare list of words."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from typing import Any

from pipeline.errors import WitnessmarkError
from pipeline.records import Finding, Recording, Word
from pipeline.times import clock_to_ms
from pipeline.transcripts.cues import CueWord, TimedCue, place_cues, split_words

# Names in use for the same field, best first. Times under a name ending in `_ms` are milliseconds, others seconds.
_TEXT = ("word", "punctuated_word", "text", "value")
_STARTS = ("start_ms", "start", "start_time", "from")
_ENDS = ("end_ms", "end", "end_time", "to")
_PROBABILITIES = ("probability", "score", "confidence", "prob", "p")
_SEGMENTS = ("segments", "chunks", "cues", "utterances")


def _time_ms(entry: Mapping[str, Any], names: tuple[str, ...]) -> int | None:
    """Milliseconds, or None where the entry has no believable time."""
    name = next((name for name in names if entry.get(name) is not None), None)
    if name is None:
        pair = entry.get("timestamp")
        if not isinstance(pair, list) or len(pair) != 2:
            return None
        value, scale = pair[0 if names is _STARTS else 1], 1000
    else:
        value, scale = entry[name], 1 if name.endswith("_ms") else 1000
    if isinstance(value, str):
        try:
            return clock_to_ms(value) if ":" in value else round(float(value) * scale)
        except (ValueError, OverflowError):
            return None
    if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value) or value < 0:
        return None
    return round(value * scale)


def _text(entry: Mapping[str, Any]) -> str:
    return next((entry[name] for name in _TEXT if isinstance(entry.get(name), str)), "")


def _probability(entry: Mapping[str, Any]) -> float:
    value = next((entry[name] for name in _PROBABILITIES if isinstance(entry.get(name), int | float)), 1.0)
    return min(1.0, max(0.0, float(value))) if math.isfinite(value) else 1.0


def _entry_words(entry: Mapping[str, Any]) -> list[CueWord]:
    """Words of one entry; an entry that holds several words dates only the first, the rest are interpolated."""
    texts = split_words(_text(entry))
    start_ms, end_ms, probability = _time_ms(entry, _STARTS), _time_ms(entry, _ENDS), _probability(entry)
    if len(texts) == 1:
        return [CueWord(texts[0], start_ms, end_ms, probability)]
    return [CueWord(text, None if place else start_ms, None, probability) for place, text in enumerate(texts)]


def _words(entries: list[Any]) -> tuple[CueWord, ...]:
    return tuple(word for entry in entries if isinstance(entry, dict) for word in _entry_words(entry))


def _first_ms(words: tuple[CueWord, ...]) -> int | None:
    return next((word.start_ms for word in words if word.start_ms is not None), None)


def _segment(entry: Any, number: int) -> TimedCue | None:
    if not isinstance(entry, dict):
        return None
    nested = entry.get("words")
    words = _words(nested) if isinstance(nested, list) else ()
    if not words:
        words = tuple(CueWord(text) for text in split_words(_text(entry)))
    start_ms = _time_ms(entry, _STARTS)
    start_ms = _first_ms(words) if start_ms is None else start_ms
    if start_ms is None or not words:
        return None
    return TimedCue(start_ms, _time_ms(entry, _ENDS), (words,), number)


def _recording(data: Mapping[str, Any]) -> Recording | None:
    """Our own log says which recording its words come from."""
    entry = data.get("recording")
    if data.get("format") != "witnessmark-log" or not isinstance(entry, dict):
        return None
    try:
        return Recording(str(entry["name"]), int(entry["duration_ms"]), str(entry["sha256"]))
    except (KeyError, TypeError, ValueError):
        return None


def _without_text(cue: TimedCue | None, entry: Any) -> bool:
    return cue is None and isinstance(entry, dict) and bool(split_words(_text(entry)))


def read_json(text: str) -> tuple[list[Word], list[int], list[Finding], Recording | None]:
    """Words, starts of segments, findings, and the recording where the file is our own log.

    Raises:
        WitnessmarkError: not JSON, or no segments or words with times in it.
    """
    try:
        data = json.loads(text)
    except json.JSONDecodeError as error:
        raise WitnessmarkError(f"is not valid JSON (line {error.lineno}: {error.msg}); export it again") from error
    except RecursionError as error:
        raise WitnessmarkError("is nested too deeply to be a transcript; export it again") from error
    if isinstance(data, list):
        as_words = any(isinstance(entry, dict) and "word" in entry for entry in data)
        data = {"words": data} if as_words else {"segments": data}
    if not isinstance(data, dict):
        raise WitnessmarkError("holds neither segments nor words; export it with the times of its words")
    entries = next((data[name] for name in _SEGMENTS if isinstance(data.get(name), list)), None)
    findings: list[Finding] = []
    cues: list[TimedCue] = []
    if entries:
        for number, entry in enumerate(entries, start=1):
            cue = _segment(entry, number)
            if cue is not None:
                cues.append(cue)
            elif _without_text(cue, entry):
                message = f"segment {number} has no time and is left out: {_text(entry).strip()[:60]!r}"
                findings.append(Finding("check", "transcript-time", message, 0))
    elif isinstance(data.get("words"), list):
        words = _words(data["words"])
        first_ms = _first_ms(words)
        if first_ms is not None:
            cues.append(TimedCue(first_ms, None, (words,), 1))
    if not cues:
        names = ", ".join(sorted(map(str, data))[:8]) or "nothing"
        raise WitnessmarkError(f"holds no segments or words with times (it has: {names}); export it with word times")
    placed, starts, more = place_cues(cues)
    log_starts = data.get("segment_starts")
    if _recording(data) and isinstance(log_starts, list):
        starts = [index for index in log_starts if isinstance(index, int) and 0 <= index < len(placed)] or starts
    return placed, starts, [*findings, *more], _recording(data)
