"""Chapters as the files that players, editors and video sites read.

A new format is one function from (chapters, duration in ms) to text and one line in CHAPTER_WRITERS.
"""

from __future__ import annotations

import json
import re
import unicodedata
from collections.abc import Callable, Sequence
from itertools import pairwise
from xml.sax.saxutils import escape

from pipeline.records import Chapter
from pipeline.times import ms_to_clock, ms_to_vtt

# One line a chapter: no controls, no characters that turn the direction of the text, nothing unassigned.
_INVISIBLE = ("Cc", "Cf", "Cs", "Co", "Cn")


def plain_title(title: str) -> str:
    """A title as one line of visible text.

    >>> plain_title("Gear\\nbox \\u202eoil")
    'Gear box oil'
    """
    return " ".join("".join(c for c in title if c.isspace() or unicodedata.category(c) not in _INVISIBLE).split())


def spans(chapters: Sequence[Chapter], duration_ms: int) -> list[tuple[int, int, str]]:
    """Start, end and plain title of each chapter. The last ends with the recording, and lasts 1 ms at the least."""
    starts = [chapter.start_ms for chapter in chapters]
    ends = [*starts[1:], max(duration_ms, starts[-1] + 1)] if starts else []
    return [(chapter.start_ms, end, plain_title(chapter.title)) for chapter, end in zip(chapters, ends, strict=True)]


def description_text(chapters: Sequence[Chapter], duration_ms: int) -> str:
    """Lines of `0:00 Title`, as video sites read them in a description."""
    return "".join(f"{ms_to_clock(start)} {title}\n" for start, _, title in spans(chapters, duration_ms))


def webvtt_chapters(chapters: Sequence[Chapter], duration_ms: int) -> str:
    """W3C WebVTT, "WebVTT file using chapter title text"."""
    blocks = ["WEBVTT\n"]
    for number, (start, end, title) in enumerate(spans(chapters, duration_ms), start=1):
        text = title.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
        blocks.append(f"{number}\n{ms_to_vtt(start)} --> {ms_to_vtt(end)}\n{text}\n")
    return "\n".join(blocks)


def matroska_xml(chapters: Sequence[Chapter], duration_ms: int) -> str:
    """Chapters of RFC 9559 (section 5.1.7) under the element names that Matroska tools read; times in nanoseconds."""
    atoms = []
    for number, (start, end, title) in enumerate(spans(chapters, duration_ms), start=1):
        atoms.append(
            "    <ChapterAtom>\n"
            f"      <ChapterUID>{number}</ChapterUID>\n"
            f"      <ChapterTimeStart>{ms_to_vtt(start)}000000</ChapterTimeStart>\n"
            f"      <ChapterTimeEnd>{ms_to_vtt(end)}000000</ChapterTimeEnd>\n"
            "      <ChapterDisplay>\n"
            f"        <ChapterString>{escape(title)}</ChapterString>\n"
            "        <ChapterLanguage>eng</ChapterLanguage>\n"
            "        <ChapLanguageIETF>en</ChapLanguageIETF>\n"
            "      </ChapterDisplay>\n"
            "    </ChapterAtom>\n"
        )
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        '<!DOCTYPE Chapters SYSTEM "matroskachapters.dtd">\n'
        f"<Chapters>\n  <EditionEntry>\n{''.join(atoms)}  </EditionEntry>\n</Chapters>\n"
    )


def ffmetadata(chapters: Sequence[Chapter], duration_ms: int) -> str:
    """FFmpeg's metadata file. TIMEBASE is always written: without it readers disagree between ns and ms."""
    blocks = [";FFMETADATA1\n"]
    for start, end, title in spans(chapters, duration_ms):
        text = re.sub(r"([=;#\\])", r"\\\1", title)
        blocks.append(f"[CHAPTER]\nTIMEBASE=1/1000\nSTART={start}\nEND={end}\ntitle={text}\n")
    return "\n".join(blocks)


def json_chapters(chapters: Sequence[Chapter], duration_ms: int) -> str:
    """JSON chapters of the podcast namespace, version 1.2; times in seconds."""
    entries = [
        {"startTime": start / 1000, "endTime": end / 1000, "title": title}
        for start, end, title in spans(chapters, duration_ms)
    ]
    return json.dumps({"version": "1.2.0", "chapters": entries}, ensure_ascii=False, indent=2) + "\n"


# file name -> writer of (chapters, length of the recording in ms).
CHAPTER_WRITERS: dict[str, Callable[[Sequence[Chapter], int], str]] = {
    "chapters.txt": description_text,
    "chapters.vtt": webvtt_chapters,
    "chapters.xml": matroska_xml,
    "chapters.ffmetadata": ffmetadata,
    "chapters.json": json_chapters,
}


def chapter_faults(chapters: Sequence[Chapter], duration_ms: int) -> list[str]:
    """What players and sites would refuse, in words; nothing where the chapters are in order."""
    faults = []
    if chapters and chapters[0].start_ms != 0:
        faults.append("the first chapter does not start at 0:00")
    for before, after in pairwise(chapters):
        if after.start_ms <= before.start_ms:
            faults.append(f"chapter {after.title!r} does not start after {before.title!r}")
    late = [chapter for chapter in chapters if chapter.start_ms >= duration_ms]
    faults += [f"chapter {ch.title!r} at {ms_to_clock(ch.start_ms)} starts after the end" for ch in late]
    return faults
