"""The recordings of a build: one folder each, which appears whole, in one step, or not at all.

There is no list of them anywhere: the folders are the list, so none can be lost from it.
"""

from __future__ import annotations

import contextlib
import json
import os
import re
import shutil
import uuid
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any, get_args

from pipeline.build.dates import DatedBy, parse_date, recorded_time, time_in_name
from pipeline.build.folder import RECORDINGS_NAME, BuildSettings, is_build, locked, read_settings, slug_of
from pipeline.errors import WitnessmarkError
from pipeline.files import write_reason, write_text
from pipeline.log import read_log, write_log
from pipeline.records import BuildLog
from pipeline.transcripts import is_transcript

LOG_NAME = "log.json"
CARD_NAME = "recording.json"  # what the log does not say: when it was recorded, and where the file lies
_UNFINISHED = ".adding-"


@dataclass(frozen=True, slots=True)
class BuiltRecording:
    """One recording of a build. `slug` is the name of its folder and its name in everything that is written.

    `media` is the recorded file, None where it was not found; `dated_by` says where `recorded_at` (local time)
    comes from.
    """

    slug: str
    folder: Path
    log: BuildLog
    recorded_at: datetime
    dated_by: DatedBy
    media: Path | None


@dataclass(frozen=True, slots=True)
class Build:
    """A build as it stands: its settings and its recordings in order of time."""

    folder: Path
    settings: BuildSettings
    recordings: tuple[BuiltRecording, ...]


def add_recording(
    folder: Path,
    log: BuildLog,
    recorded_at: datetime | None = None,
    media: Path | None = None,
    replace: bool = False,
) -> Path:
    """Puts a log into the build and returns the folder of the recording.

    A recording that is there already (by the SHA-256 of its bytes) is left as it is; `replace` writes its log
    anew and keeps its date unless one is given. Without `recorded_at` the file itself is asked (`recorded_time`),
    without `media` the log, and where that does not know either the recording counts as made now.

    Raises:
        WitnessmarkError: no build, no SHA-256 in the log, or it cannot be written; then the build is as before.
    """
    read_settings(folder)
    if not log.recording.sha256:
        raise WitnessmarkError(
            f"the log of {log.recording.name!r} does not say which file it is of (no SHA-256); "
            "make it again with `witnessmark run`"
        )
    with locked(folder):
        place = folder / RECORDINGS_NAME
        _sweep(place)
        known = find_recording(folder, log.recording.sha256)
        if known is not None:
            if replace:
                if recorded_at is not None:
                    write_text(known / CARD_NAME, _card(folder, log, recorded_at, media))
                write_log(log, known / LOG_NAME)
            return known
        return _appear(place, log, _card(folder, log, recorded_at, media))


def find_recording(folder: Path, sha256: str) -> Path | None:
    """The folder of the recording with these bytes, None if it is not in the build."""
    for path in _folders(folder):
        if sha256 and _said_sha256(path) == sha256:
            return path
    return None


def read_build(folder: Path) -> Build:
    """The build with all its logs, in order of time; where times tell no order, by name, 2 before 10.

    A folder with a log.json that somebody put there by hand counts too.

    Raises:
        WitnessmarkError: no build, or one of its files is damaged; the sentence says which.
    """
    settings = read_settings(folder)
    recordings = [_recording(folder, path) for path in _folders(folder)]
    return Build(folder, settings, tuple(_in_order(recordings)))


def built_recording(log_json: Path) -> tuple[Build, BuiltRecording] | None:
    """The build that a log.json lies in, and its recording; None for a log by itself."""
    folder = log_json.resolve().parent
    if folder.parent.name != RECORDINGS_NAME or not is_build(folder.parent.parent):
        return None
    build = read_build(folder.parent.parent)
    return next(((build, recording) for recording in build.recordings if recording.slug == folder.name), None)


def _in_order(recordings: Iterable[BuiltRecording]) -> list[BuiltRecording]:
    """By time; a run of files whose clocks cannot tell when they were recorded, by name.

    One camera does not end a recording sooner after another than that one is long: such files were copied or unpacked
    together, and their clocks tell when.
    """
    by_time = sorted(recordings, key=lambda recording: (recording.recorded_at, _natural(recording.slug)))
    runs: list[list[BuiltRecording]] = []
    for recording in by_time:
        if runs and _copied_together(runs[-1][-1], recording):
            runs[-1].append(recording)
        else:
            runs.append([recording])
    return [recording for run in runs for recording in sorted(run, key=lambda one: _natural(one.slug))]


def _copied_together(before: BuiltRecording, after: BuiltRecording) -> bool:
    if not {before.dated_by, after.dated_by} <= {"file", "added"}:
        return before.recorded_at == after.recorded_at
    apart = after.recorded_at - before.recorded_at
    return apart < timedelta(milliseconds=after.log.recording.duration_ms)


def _appear(place: Path, log: BuildLog, card: str) -> Path:
    """Everything is written into a folder that no reader looks at, which then takes its name in one step."""
    unfinished = place / f"{_UNFINISHED}{uuid.uuid4().hex}"
    target = _free_name(place, slug_of(log.recording.name))
    try:
        write_text(unfinished / CARD_NAME, card)
        write_log(log, unfinished / LOG_NAME)
        _flush(unfinished)
        unfinished.rename(target)
        _flush(place)
    except OSError as error:
        raise WitnessmarkError(f"cannot write {target}: {write_reason(error)}") from error
    finally:
        shutil.rmtree(unfinished, ignore_errors=True)
    return target


def _free_name(place: Path, slug: str) -> Path:
    """The folder of that name; a number follows where another recording has it."""
    names = (slug if number == 1 else f"{slug}-{number}" for number in range(1, 100_000))
    return next(place / name for name in names if not (place / name).exists())


def _sweep(place: Path) -> None:
    """Takes away what a run that died has left. Only under the lock: nobody else is writing."""
    for path in place.glob(f"{_UNFINISHED}*"):
        shutil.rmtree(path, ignore_errors=True)


def _flush(folder: Path) -> None:
    """Sends a folder's list of names to the disk: without it a name can be lost when the power fails (fsync(2))."""
    handle = os.open(folder, os.O_RDONLY | os.O_DIRECTORY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)


def _folders(folder: Path) -> list[Path]:
    place = folder / RECORDINGS_NAME
    return sorted(path.parent for path in place.glob(f"*/{LOG_NAME}") if not path.parent.name.startswith("."))


def _card(folder: Path, log: BuildLog, recorded_at: datetime | None, media: Path | None) -> str:
    dated_by: DatedBy
    if recorded_at is not None:
        dated_by = "user"
    elif media is not None and media.is_file():
        recorded_at, dated_by = recorded_time(media)
    else:
        recorded_at, dated_by = _said_time(log, datetime.now().replace(microsecond=0))
    # Relative to the build folder, so that both can be moved together.
    where = Path(os.path.relpath(media.resolve(), folder.resolve())).as_posix() if media else ""
    card = {
        "name": log.recording.name,
        "sha256": log.recording.sha256,
        "recorded_at": recorded_at.isoformat(sep=" "),
        "dated_by": dated_by,
        "media": where,
    }
    return json.dumps(card, ensure_ascii=False, indent=1) + "\n"


def _read_card(path: Path) -> dict[str, Any]:
    """What the card says; nothing where there is none."""
    card = path / CARD_NAME
    try:
        data = json.loads(card.read_text(encoding="utf-8"))
    except FileNotFoundError:
        return {}
    except (OSError, ValueError, RecursionError) as error:
        raise WitnessmarkError(f"cannot read {card}: {error}; mend it, or delete it and give --date again") from error
    if not isinstance(data, dict) or not all(isinstance(value, str) for value in data.values()):
        raise WitnessmarkError(f"{card} is damaged; delete it, and the date is taken from the recording's name")
    return data


def _said_sha256(path: Path) -> str:
    said: str = _read_card(path).get("sha256", "")
    return said or read_log(path / LOG_NAME).recording.sha256


def _recording(folder: Path, path: Path) -> BuiltRecording:
    log = read_log(path / LOG_NAME)
    card = _read_card(path)
    recorded_at, dated_by = _date(path, card, log)
    return BuiltRecording(path.name, path, log, recorded_at, dated_by, _find_media(folder, path, card, log))


def _date(path: Path, card: dict[str, Any], log: BuildLog) -> tuple[datetime, DatedBy]:
    if "recorded_at" in card:
        dated_by: DatedBy = card["dated_by"] if card.get("dated_by") in get_args(DatedBy) else "user"
        with contextlib.suppress(ValueError):
            return datetime.fromisoformat(card["recorded_at"]).replace(tzinfo=None), dated_by
        raise WitnessmarkError(
            f"{path / CARD_NAME}: {card['recorded_at']!r} is not a date; write it as 2031-05-17 14:30:00"
        )
    return _said_time(log, datetime.fromtimestamp((path / LOG_NAME).stat().st_mtime).replace(microsecond=0))


def _said_time(log: BuildLog, added_at: datetime) -> tuple[datetime, DatedBy]:
    """When the recording was made by what its log says; at last when it was added."""
    if log.recording.made_on:
        return parse_date(log.recording.made_on), "media"
    named = time_in_name(log.recording.name)
    return (named, "name") if named else (added_at, "added")


def _find_media(folder: Path, path: Path, card: dict[str, Any], log: BuildLog) -> Path | None:
    """The sound or film: where it was, or under its name in the recording's or the build's folder."""
    name = Path(log.recording.name).name
    places = [folder / card["media"]] if card.get("media") else []
    places += [place / name for place in (path, folder, folder / "media") if name]
    return next((place for place in places if place.is_file() and not is_transcript(place)), None)


def _natural(text: str) -> list[tuple[int, str]]:
    """Sort key in which numbers count as numbers: "day-2" before "day-10"."""
    return [(int(piece), "") if piece.isdecimal() else (-1, piece) for piece in re.split(r"(\d+)", text)]
