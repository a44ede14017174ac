"""log.json: exact round trip, the schema as its contract, and one clear sentence for every damaged file."""

from __future__ import annotations

import json
from dataclasses import fields, replace
from pathlib import Path
from typing import Any, get_args

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator, ValidationError

from pipeline.errors import WitnessmarkError
from pipeline.log import SCHEMA_PATH, assemble_log, log_dict, needs_person, read_log, write_log
from pipeline.records import (
    BuildLog,
    Chapter,
    Correction,
    Decision,
    Event,
    Finding,
    Level,
    LooseEnd,
    Note,
    PartMention,
    Quantity,
    Recording,
    Settings,
    Status,
    Transcript,
    Word,
)

SCHEMA = json.loads(SCHEMA_PATH.read_text(encoding="utf-8"))

TEXT = st.text(st.characters(exclude_categories=["Cs"]), max_size=8)
TIME = st.integers(0, 10_000_000)
NUMBER = st.floats(allow_nan=False, allow_infinity=False)
# Every word range of a generated log is (0, 1), which lies inside its three words.
RANGE: dict[str, Any] = {"start_word": st.just(0), "end_word": st.just(1), "start_ms": TIME}


def _enum(record: str, name: str) -> list[str]:
    allowed: list[str] = SCHEMA["$defs"][record]["properties"][name]["enum"]
    return allowed


LOGS = st.builds(
    BuildLog,
    recording=st.builds(Recording, TEXT, TIME, st.sampled_from(["", "0f" * 32])),
    words=st.tuples(*[st.builds(Word, TEXT, TIME, TIME, st.floats(0, 1))] * 3),
    corrections=st.tuples(
        st.builds(
            Correction,
            heard=TEXT,
            written=TEXT,
            score=st.floats(0, 1),
            rivals=st.lists(TEXT, max_size=2).map(tuple),
            sound_nats=st.none() | NUMBER,
            start_word=RANGE["start_word"],
            end_word=RANGE["end_word"],
        )
    ),
    quantities=st.tuples(
        st.builds(
            Quantity,
            id=st.just("q1"),
            kind=st.sampled_from(_enum("quantity", "kind")),
            value=NUMBER,
            high=st.none() | NUMBER,
            bound=st.sampled_from(_enum("quantity", "bound")),
            other_readings=st.lists(NUMBER, max_size=2).map(tuple),
            si_value=st.none() | NUMBER,
            **RANGE,
        )
    ),
    events=st.tuples(
        st.builds(
            Event,
            id=st.just("e1"),
            action=st.sampled_from(_enum("event", "action")),
            count=st.none() | st.integers(0, 99),
            quantities=st.sampled_from([(), ("q1",)]),
            sequence=st.integers(0, 9),
            step=st.integers(0, 9),
            **RANGE,
        )
    ),
    mentions=st.tuples(st.builds(PartMention, count=st.none() | st.integers(0, 99), **RANGE)),
    notes=st.tuples(st.builds(Note, kind=st.sampled_from(["caution", "tip"]), **RANGE)),
    chapters=st.tuples(st.builds(Chapter, TIME, TEXT)),
    loose_ends=st.tuples(st.builds(LooseEnd, closed_ms=st.none() | TIME, **RANGE)),
    findings=st.tuples(st.builds(Finding, start_ms=TIME)),
    segment_starts=st.lists(st.integers(0, 2), max_size=3).map(tuple),
)


@given(log=LOGS)
@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_any_log_comes_back_exactly_and_fits_the_schema(log: BuildLog, tmp_path: Path) -> None:
    path = tmp_path / "log.json"
    write_log(log, path)
    Draft202012Validator(SCHEMA).validate(json.loads(path.read_text(encoding="utf-8")))
    again = read_log(path)
    assert again == log
    assert repr(again) == repr(log), "5 and 5.0 are equal but not the same"


def test_field_names_are_those_of_the_records() -> None:
    """A field added to a record must be named in the schema too, or readers of log.json never hear of it."""
    pairs = {
        "word": Word,
        "correction": Correction,
        "quantity": Quantity,
        "event": Event,
        "mention": PartMention,
        "note": Note,
        "chapter": Chapter,
        "loose_end": LooseEnd,
        "finding": Finding,
        "recording": Recording,
        "settings": Settings,
    }
    for name, kind in pairs.items():
        assert set(SCHEMA["$defs"][name]["properties"]) == {field.name for field in fields(kind)}, name
    top = {field.name for field in fields(BuildLog)} | {"format", "version"}
    assert set(SCHEMA["properties"]) == top
    assert tuple(_enum("correction", "decision")) == get_args(Decision)
    assert set(_enum("finding", "level")) == set(get_args(Level))
    assert set(_enum("event", "status")) == set(get_args(Status))


def _small_log() -> BuildLog:
    words = (Word("Circlips", 0, 400), Word("in.", 400, 800, 0.5))
    event = Event("e1", "fit", "circlip", "done", "", "", "", "", None, (), "", "Circlips in.", 0, 2, 0)
    return BuildLog(Recording("day1.wav", 800, ""), words, events=(event,))


def test_one_record_a_line(tmp_path: Path) -> None:
    write_log(_small_log(), tmp_path / "log.json")
    lines = (tmp_path / "log.json").read_text().splitlines()
    assert '  {"text": "Circlips", "start_ms": 0, "end_ms": 400, "probability": 1.0},' in lines


def _damage(path: Path, keys: list[Any], value: Any) -> None:
    data = log_dict(_small_log())
    data = json.loads(json.dumps(data))
    place = data
    for key in keys[:-1]:
        place = place[key]
    if value is None:
        del place[keys[-1]]
    else:
        place[keys[-1]] = value
    path.write_text(json.dumps(data))


@pytest.mark.parametrize(
    ("keys", "value", "sentence"),
    [
        (["format"], "other", "is not a log"),
        (["version"], 2, "newer than this program; update witnessmark"),
        (["version"], 0, "damaged at version"),
        (["words", 1, "start_ms"], -1, r"damaged at words\[1\]\.start_ms"),
        (["words", 1, "start_ms"], 0.5, r"damaged at words\[1\]\.start_ms"),
        (["words"], "text", "damaged at words"),
        (["events", 0, "action"], "ponder", r"damaged at events\[0\]\.action: 'ponder' is not one of"),
        (["events", 0, "part"], None, r"damaged at events\[0\]: 'part' is a required property"),
        (["events", 0, "end_word"], 9, r"events\[0\] stands on words 0 to 9, and there are 2"),
        (["events", 0, "quantities"], ["q7"], "points at quantity 'q7', which is not there"),
        (["recording"], None, "'recording' is a required property"),
    ],
)
def test_a_damaged_file_is_one_sentence(tmp_path: Path, keys: list[Any], value: Any, sentence: str) -> None:
    path = tmp_path / "log.json"
    _damage(path, keys, value)
    with pytest.raises(WitnessmarkError, match=sentence) as caught:
        read_log(path)
    assert "\n" not in str(caught.value)
    assert str(path) in str(caught.value)


@pytest.mark.parametrize("content", [b"", b"{", b"[1]", b"\xff\xfe", b"null", b'{"format": NaN}', b"[" * 100_000])
def test_what_is_not_a_log_at_all(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "log.json"
    path.write_bytes(content)
    with pytest.raises(WitnessmarkError, match=r"log\.json"):
        read_log(path)
    with pytest.raises(WitnessmarkError, match=r"give the log\.json of a run"):
        read_log(tmp_path / "absent.json")


def test_two_events_of_one_name(tmp_path: Path) -> None:
    log = _small_log()
    write_log(replace(log, events=log.events * 2), tmp_path / "log.json")
    with pytest.raises(WitnessmarkError, match="two events are called 'e1'"):
        read_log(tmp_path / "log.json")


def test_further_fields_are_welcome(tmp_path: Path) -> None:
    path = tmp_path / "log.json"
    _damage(path, ["events", 0, "weather"], "fine")
    assert read_log(path) == _small_log()


def test_only_the_fields_of_the_first_version_are_needed(tmp_path: Path) -> None:
    """A file with exactly the published fields, made by hand, is read; the rest takes its default."""
    later = {"mentions", "notes", "segment_starts", "settings"}
    data = {name: value for name, value in log_dict(_small_log()).items() if name not in later}
    data["events"] = [{k: v for k, v in data["events"][0].items() if k in SCHEMA["$defs"]["event"]["required"]}]
    (tmp_path / "log.json").write_text(json.dumps(data))
    assert read_log(tmp_path / "log.json") == _small_log()


def test_the_schema_can_refuse() -> None:
    data = log_dict(_small_log())
    data["events"][0]["status"] = "maybe"
    with pytest.raises(ValidationError):
        Draft202012Validator(SCHEMA).validate(json.loads(json.dumps(data)))


def test_assembling_puts_everything_in_order_of_time() -> None:
    words = tuple(Word(str(place), place * 100, place * 100 + 90) for place in range(6))
    late = Event("e2", "fit", "ring", "done", "", "", "", "", None, (), "", "4", 4, 5, 400)
    early = replace(late, id="e1", start_word=1, end_word=2, start_ms=100)
    finding = Finding("check", "rule", "look", 0)
    log = assemble_log(
        Transcript(Recording("a.wav", 600, ""), words, (0, 3)),
        events=[late, early],
        findings=[Finding("note", "other", "well", 500), finding, finding],
        chapters=[Chapter(300, "Two"), Chapter(0, "One")],
    )
    assert [event.id for event in log.events] == ["e1", "e2"]
    assert [finding.rule for finding in log.findings] == ["rule", "other"]
    assert [chapter.title for chapter in log.chapters] == ["One", "Two"]
    assert log.segment_starts == (0, 3)
    assert needs_person(log)
    assert not needs_person(replace(log, findings=log.findings[1:]))
