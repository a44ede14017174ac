"""Puts a log together, and log.json out and in. The round trip is exact: what is read equals what was written."""

from __future__ import annotations

import dataclasses
import functools
import json
import types
import typing
from collections.abc import Iterable, Sequence
from operator import attrgetter
from pathlib import Path
from typing import Any

from jsonschema import Draft202012Validator

from pipeline.errors import WitnessmarkError
from pipeline.files import write_text
from pipeline.records import (
    BuildLog,
    Chapter,
    Correction,
    Event,
    Finding,
    LooseEnd,
    Note,
    PartMention,
    PartNumber,
    Quantity,
    Settings,
    Transcript,
)

FORMAT = "witnessmark-log"
VERSION = 1
SCHEMA_PATH = Path(__file__).resolve().parent / "data" / "log.schema.json"


def assemble_log(
    transcript: Transcript,
    corrections: Iterable[Correction] = (),
    quantities: Iterable[Quantity] = (),
    events: Iterable[Event] = (),
    mentions: Iterable[PartMention] = (),
    notes: Iterable[Note] = (),
    chapters: Iterable[Chapter] = (),
    loose_ends: Iterable[LooseEnd] = (),
    findings: Iterable[Finding] = (),
    settings: Settings | None = None,
    part_numbers: Iterable[PartNumber] = (),
) -> BuildLog:
    """One log from the results of all stages: everything in order of time, the same finding only once."""
    by_word = attrgetter("start_word", "end_word")
    by_time = attrgetter("start_ms")
    return BuildLog(
        recording=transcript.recording,
        words=transcript.words,
        corrections=tuple(sorted(corrections, key=by_word)),
        quantities=tuple(sorted(quantities, key=by_word)),
        events=tuple(sorted(events, key=by_word)),
        mentions=tuple(sorted(mentions, key=by_word)),
        notes=tuple(sorted(notes, key=by_word)),
        part_numbers=tuple(sorted(part_numbers, key=by_word)),
        chapters=tuple(sorted(chapters, key=by_time)),
        loose_ends=tuple(sorted(loose_ends, key=by_time)),
        findings=tuple(sorted(dict.fromkeys(findings), key=by_time)),
        segment_starts=transcript.segment_starts,
        settings=settings or Settings(),
    )


def needs_person(log: BuildLog) -> bool:
    """True where a person should look: exit status 1."""
    return any(finding.level in ("check", "caution") for finding in log.findings)


def log_dict(log: BuildLog) -> dict[str, Any]:
    """The log as plain JSON values, in the shape of log.schema.json."""
    return {"format": FORMAT, "version": VERSION, **dataclasses.asdict(log)}


def write_log(log: BuildLog, path: Path) -> None:
    """Writes log.json, one record a line so that two versions compare well.

    Raises:
        WitnessmarkError: the file cannot be written.
    """
    write_text(path, log_text(log))


def log_text(log: BuildLog) -> str:
    """Text of log.json."""
    fields = []
    for name, value in log_dict(log).items():
        if name != "segment_starts" and isinstance(value, tuple | list) and value:
            records = ",\n  ".join(_json(record) for record in value)
            fields.append(f"{_json(name)}: [\n  {records}\n ]")
        else:
            fields.append(f"{_json(name)}: {_json(value)}")
    return "{\n " + ",\n ".join(fields) + "\n}\n"


def read_log(path: Path) -> BuildLog:
    """Reads log.json and holds it against the schema and against itself.

    Fields that this version does not know are passed over: a later version may add some.

    Raises:
        WitnessmarkError: not readable, not JSON, not a log, of a later version, or not whole; the sentence says
            where and what.
    """
    try:
        data = json.loads(path.read_text(encoding="utf-8"), parse_constant=_no_number)
    except (OSError, UnicodeDecodeError) as error:
        raise WitnessmarkError(
            f"cannot read {path}: {getattr(error, 'strerror', None) or error}; give the log.json of a run"
        ) from error
    except (ValueError, RecursionError) as error:
        raise WitnessmarkError(f"{path} is not whole JSON ({error}); make it again with `witnessmark run`") from error
    return parse_log(data, str(path))


def parse_log(data: Any, place: str) -> BuildLog:
    """A log from plain JSON values; `place` names them in errors.

    Raises:
        WitnessmarkError: as `read_log`.
    """
    if not isinstance(data, dict) or data.get("format") != FORMAT:
        raise WitnessmarkError(f'{place} is not a log ("format" is not "{FORMAT}"); give the log.json of a run')
    version = data.get("version")
    if isinstance(version, int) and version > VERSION:
        raise WitnessmarkError(f"{place} is of format version {version}, newer than this program; update witnessmark")
    # Words are nine tenths of a log, and all alike: the schema, which is slow, sees them only where one is amiss.
    held = {**data, "words": []} if _are_plain_words(data.get("words")) else data
    error = next(_validator().iter_errors(held), None)
    if error is not None:
        where = "".join(f"[{step}]" if isinstance(step, int) else f".{step}" for step in error.absolute_path)
        raise WitnessmarkError(
            f"{place} is damaged at {where.lstrip('.') or 'its top'}: {_short(error.message)}; "
            "mend that line or make the file again with `witnessmark run`"
        )
    log: BuildLog = _record(BuildLog, data)
    fault = _first_fault(log)
    if fault:
        raise WitnessmarkError(f"{place} does not hold together: {fault}; make it again with `witnessmark run`")
    return log


def _are_plain_words(words: Any) -> bool:
    """True where every word surely is as the schema wants it."""
    return isinstance(words, list) and all(
        isinstance(word, dict)
        and type(word.get("text")) is str
        and type(word.get("start_ms")) is int
        and type(word.get("end_ms")) is int
        and 0 <= word["start_ms"] <= word["end_ms"]
        and type(word.get("probability")) in (int, float)
        and 0 <= word["probability"] <= 1
        for word in words
    )


@functools.cache
def _validator() -> Draft202012Validator:
    return Draft202012Validator(json.loads(SCHEMA_PATH.read_text(encoding="utf-8")))


def _json(value: Any) -> str:
    return json.dumps(value, ensure_ascii=False, allow_nan=False)


def _no_number(name: str) -> None:
    raise ValueError(f"{name} is not a number of JSON")


def _short(text: str, length: int = 160) -> str:
    return text if len(text) <= length else text[: length - 1] + "…"


@functools.cache
def _field_types(kind: type) -> dict[str, Any]:
    return typing.get_type_hints(kind)


def _record(kind: Any, data: dict[str, Any]) -> Any:
    """A frozen record from a dict: unknown keys passed over, absent ones left to the record's defaults."""
    return kind(**{name: _value(hint, data[name]) for name, hint in _field_types(kind).items() if name in data})


def _value(hint: Any, value: Any) -> Any:
    """A JSON value as the field's type."""
    if dataclasses.is_dataclass(hint):
        return _record(hint, value)
    origin, arguments = typing.get_origin(hint), typing.get_args(hint)
    if origin is tuple:
        return tuple(_value(arguments[0], item) for item in value)
    if origin in (types.UnionType, typing.Union):
        return None if value is None else _value(arguments[0], value)
    # In JSON 5 and 5.0 are the same number; the record wants its own type.
    return hint(value) if hint in (int, float) else value


def _first_fault(log: BuildLog) -> str:
    """What JSON Schema cannot see: word ranges inside the words, ids that exist and are unique."""
    count = len(log.words)
    sections: dict[str, Sequence[Any]] = {
        "corrections": log.corrections,
        "quantities": log.quantities,
        "events": log.events,
        "mentions": log.mentions,
        "notes": log.notes,
        "part_numbers": log.part_numbers,
        "loose_ends": log.loose_ends,
    }
    for name, records in sections.items():
        for place, record in enumerate(records):
            if not 0 <= record.start_word <= record.end_word <= count:
                words = f"words {record.start_word} to {record.end_word}"
                return f"{name}[{place}] stands on {words}, and there are {count}"
    for name in ("quantities", "events"):
        ids = [record.id for record in sections[name]]
        double = next((key for key in ids if ids.count(key) > 1), None)
        if double is not None:
            return f"two {name} are called {double!r}"
    known = {qty.id for qty in log.quantities}
    for event in log.events:
        missing = next((key for key in event.quantities if key not in known), None)
        if missing is not None:
            return f"event {event.id!r} points at quantity {missing!r}, which is not there"
    return ""
