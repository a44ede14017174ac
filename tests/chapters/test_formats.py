"""Chapter files, read by independent programs, with seeded faults to show that the readers can refuse."""

from __future__ import annotations

import json
import re
import xml.etree.ElementTree as ET
from pathlib import Path

import jsonschema
import pytest

from pipeline.chapters.formats import CHAPTER_WRITERS, chapter_faults
from pipeline.records import Chapter
from tests.captions.validator import VALIDATOR, validate
from tests.chapters.outside import needs, probe, run

CHAPTERS = [
    Chapter(0, "Introduction: gearbox and rear brake"),
    Chapter(61_500, "Ends = # ; \\ & <b>bold</b> --> ]]>"),
    Chapter(3_723_004, "Kick\u202estart\nspring, 5 µm\0"),
]
PLAIN = ["Introduction: gearbox and rear brake", "Ends = # ; \\ & <b>bold</b> --> ]]>", "Kickstart spring, 5 µm"]
DURATION_MS = 4_000_250


def text(name: str) -> str:
    return CHAPTER_WRITERS[name](CHAPTERS, DURATION_MS)


def test_description_text_line_by_line() -> None:
    assert text("chapters.txt").splitlines() == [
        f"{t} {s}" for t, s in zip(("0:00", "1:01", "1:02:03"), PLAIN, strict=True)
    ]


def test_no_chapters_is_an_empty_file_of_each_format() -> None:
    assert CHAPTER_WRITERS["chapters.txt"]([], 0) == ""
    assert CHAPTER_WRITERS["chapters.vtt"]([], 0) == "WEBVTT\n"
    assert json.loads(CHAPTER_WRITERS["chapters.json"]([], 0))["chapters"] == []


@pytest.mark.outside
@needs["node"]
@pytest.mark.skipif(not VALIDATOR.exists(), reason="npm webvtt-parser is not installed")
def test_webvtt_by_the_validator() -> None:
    """Chapter text (W3C WebVTT): no tags, cues in order and not overlapping, ids unique."""
    errors, texts = validate(text("chapters.vtt"), "chapters")
    assert errors == []
    assert len(texts) == 3
    ids = re.findall(r"^(\d+)$", text("chapters.vtt"), re.MULTILINE)
    assert ids == ["1", "2", "3"]
    assert validate(text("chapters.vtt").replace("&lt;b&gt;", "<b>"), "chapters")[0] != []
    assert validate(text("chapters.vtt").replace("01:06:40.250", "00:06:40.250"), "chapters")[0] != []


@pytest.mark.outside
@needs["ffprobe"]
def test_ffmetadata_by_ffprobe(tmp_path: Path) -> None:
    path = tmp_path / "a.ffmetadata"
    path.write_text(text("chapters.ffmetadata"), encoding="utf-8")
    found = probe(path)
    assert [chapter["tags"]["title"] for chapter in found] == PLAIN
    assert [chapter["start_time"] for chapter in found] == ["0.000000", "61.500000", "3723.004000"]
    assert found[-1]["end_time"] == "4000.250000"
    # Without the time base ffmpeg takes nanoseconds (or, in older versions, whatever it was told): never milliseconds.
    path.write_text(text("chapters.ffmetadata").replace("TIMEBASE=1/1000\n", ""), encoding="utf-8")
    assert probe(path)[1]["start_time"] != "61.500000"


@pytest.mark.outside
@needs["mkvmerge"]
@needs["mkvextract"]
def test_matroska_by_mkvtoolnix(tmp_path: Path) -> None:
    path, media = tmp_path / "a.xml", tmp_path / "a.mka"
    path.write_text(text("chapters.xml"), encoding="utf-8")
    run("mkvmerge", "-o", media, "--chapters", path)
    run("mkvextract", media, "chapters", tmp_path / "back.xml")
    back = ET.parse(tmp_path / "back.xml").getroot()
    assert [e.text for e in back.iter("ChapterString")] == PLAIN
    assert [e.text for e in back.iter("ChapterTimeStart")] == [
        "00:00:00.000000000",
        "00:01:01.500000000",
        "01:02:03.004000000",
    ]
    for good, bad in (("ChapterTimeStart", "ChapterBegin"), ("00:01:01.5", "00:99:01.5"), ("&lt;b&gt;", "<b>")):
        assert good in text("chapters.xml")
        path.write_text(text("chapters.xml").replace(good, bad), encoding="utf-8")
        assert run("mkvmerge", "-o", media, "--chapters", path, ok=False).returncode == 2


DTD = Path("/usr/share/doc/mkvtoolnix/examples/matroskachapters.dtd")


@pytest.mark.outside
def test_matroska_by_its_document_type(tmp_path: Path) -> None:
    etree = pytest.importorskip("lxml.etree")
    if not DTD.exists():
        pytest.skip("matroskachapters.dtd (mkvtoolnix) is not installed")
    dtd = etree.DTD(str(DTD))
    assert dtd.validate(etree.fromstring(text("chapters.xml").encode())), dtd.error_log
    wrong = (
        text("chapters.xml").replace("<ChapterTimeEnd>", "<ChapterEnd>").replace("</ChapterTimeEnd>", "</ChapterEnd>")
    )
    assert not dtd.validate(etree.fromstring(wrong.encode()))


def test_matroska_rules_of_the_standard() -> None:
    """RFC 9559: at least one edition with at least one atom; UIDs unique and not 0; no end before its start."""
    root = ET.fromstring(text("chapters.xml").replace('<!DOCTYPE Chapters SYSTEM "matroskachapters.dtd">\n', ""))
    atoms = root.findall("EditionEntry/ChapterAtom")
    uids = [int(atom.findtext("ChapterUID", "0")) for atom in atoms]
    assert len(set(uids)) == len(atoms) == 3
    assert 0 not in uids
    for atom in atoms:
        assert atom.findtext("ChapterTimeStart", "") <= atom.findtext("ChapterTimeEnd", "")
        assert atom.findtext("ChapterDisplay/ChapterString")


# After docs/examples/chapters/jsonChapters.md of the podcast namespace, version 1.2; it has no schema of its own.
SCHEMA = {
    "type": "object",
    "required": ["version", "chapters"],
    "properties": {
        "version": {"type": "string", "pattern": r"^1\.2\.\d+$"},
        "chapters": {
            "type": "array",
            "items": {
                "type": "object",
                "required": ["startTime"],
                "properties": {
                    "startTime": {"type": "number", "minimum": 0},
                    "endTime": {"type": "number"},
                    "title": {"type": "string", "minLength": 1},
                    "toc": {"type": "boolean"},
                },
            },
        },
    },
}


def test_json_by_a_schema() -> None:
    data = json.loads(text("chapters.json"))
    jsonschema.validate(data, SCHEMA)
    assert [chapter["startTime"] for chapter in data["chapters"]] == [0.0, 61.5, 3723.004]
    assert [chapter["title"] for chapter in data["chapters"]] == PLAIN
    data["chapters"][0]["startTime"] = "0:00"
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(data, SCHEMA)


@pytest.mark.parametrize(
    ("chapters", "says"),
    [
        ([Chapter(5, "a")], "does not start at 0:00"),
        ([Chapter(0, "a"), Chapter(0, "b")], "'b' does not start after 'a'"),
        ([Chapter(0, "a"), Chapter(90_000, "b")], "'b' at 1:30 starts after the end"),
        ([Chapter(0, "a"), Chapter(50_000, "b")], ""),
    ],
)
def test_faults_are_told(chapters: list[Chapter], says: str) -> None:
    faults = chapter_faults(chapters, 60_000)
    assert (says in faults[0]) if says else faults == []
