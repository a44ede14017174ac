"""Words that are markup, formulas or worse come out as words, in every output and in every place."""

from __future__ import annotations

import dataclasses
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings

from pipeline.log import read_log, write_log
from pipeline.records import BuildLog, Word
from pipeline.render import WRITERS, page_context
from pipeline.render.inert import csv_cell, markdown, plain_text
from tests.log.test_log import LOGS
from tests.render.penhallow import LOG, VOCABULARY
from tests.render.readers import read_csv, read_html, read_markdown

HOSTILE = (
    "<script>alert(1)</script>",
    "</script><script>alert(2)</script>",
    "</style><img src=x onerror=alert(3)>",
    '" onmouseover="alert(4)" x="',
    "' onfocus='alert(5)",
    "<!-- --> ]]> -->",
    "=cmd|' /C calc'!A0",
    "+1+1",
    "-2",
    "@SUM(A1)",
    "＝1+1",
    "javascript:alert(6)",
    "{{ 7 * 7 }} {% raw %}",
    "turn \u202eback\u202c \u2066here\u2069 \u200f now",
    "nul\x00 bell\x07 esc\x1b[31m",
    "line\nbreak\r\nand\u2028more\ttab",
    "| a | b |\n|---|---|",
    "[here](http://example.invalid) ![x](y)",
    "# not a heading",
    "1. not a list",
    "`code` ``` *bold* __under__ ~~gone~~",
    "&lt;b&gt; &amp; &#x3c;",
    "<https://example.invalid> www.example.invalid a@example.invalid",
    "\\ back \\| slash",
    "$x$ <details>",
)
# Fields that no speech gets into: they are ours, and some name other records.
_OURS = {"id", "kind", "status", "action", "decision", "level", "rule", "bound", "role", "unit", "si_unit"}
_OURS |= {"closed_by", "event", "sha256", "assembly", "units", "spelling", "language", "packs", "made_on"}


def poisoned(record: Any, text: str) -> Any:
    """The record with the text in every field that can hold foreign words."""
    changes: dict[str, Any] = {}
    for field in dataclasses.fields(record):
        value = getattr(record, field.name)
        if field.name in _OURS:
            continue
        if isinstance(value, str):
            changes[field.name] = text
        elif dataclasses.is_dataclass(value):
            changes[field.name] = poisoned(value, text)
        elif isinstance(value, tuple) and value and dataclasses.is_dataclass(value[0]):
            changes[field.name] = tuple(item if isinstance(item, Word) else poisoned(item, text) for item in value)
    return dataclasses.replace(record, **changes)


def _poisoned_log(text: str) -> BuildLog:
    log: BuildLog = poisoned(LOG, text)
    words = tuple(dataclasses.replace(word, text=text) for word in LOG.words)
    return dataclasses.replace(log, words=words)


def _squeezed(text: str) -> str:
    return "".join(text.split())


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_words_are_only_words(text: str) -> None:
    page = page_context(_poisoned_log(text), VOCABULARY)
    for name, reader in (("log.html", read_html), ("log.md", read_markdown)):
        shown, faults = reader(WRITERS[name](page))
        assert faults == [], name
        assert _squeezed(plain_text(text)) in _squeezed(shown), f"{name} shows something else"
    for name in ("parts.csv", "figures.csv"):
        rows, faults = read_csv(WRITERS[name](page))
        assert faults == [], name
        assert rows
        assert all(row["said"] == csv_cell(text) for row in rows)


@pytest.mark.parametrize("text", HOSTILE)
def test_the_log_file_keeps_them_as_they_were(text: str, tmp_path: Path) -> None:
    log = _poisoned_log(text)
    write_log(log, tmp_path / "log.json")
    assert read_log(tmp_path / "log.json") == log


@given(log=LOGS)
@settings(max_examples=30, deadline=None)
def test_any_log_makes_documents(log: BuildLog) -> None:
    page = page_context(log, VOCABULARY)
    assert read_html(WRITERS["log.html"](page))[1] == []
    assert read_markdown(WRITERS["log.md"](page))[1] == []
    for name in ("parts.csv", "figures.csv"):
        assert read_csv(WRITERS[name](page))[1] == []


def test_the_readers_do_see_what_is_let_through() -> None:
    """Faults put in on purpose: without these the tests above would prove nothing."""
    assert "2 scripts" in read_html("<script></script><p><script>alert(1)</script>")[1]
    assert "attribute onerror" in read_html("<img src='./a' onerror=alert(3)>")[1]
    assert "address javascript:alert(6)" in read_html("<a href='javascript:alert(6)'>x</a>")[1]
    assert "comment  " in read_html("<!-- -->")[1]
    assert "element iframe" in read_html("<iframe>")[1]
    assert "U+202E" in read_html("<p>\u202e</p>")[1]
    assert any("html_inline" in fault for fault in read_markdown("a <b>x</b>")[1])
    assert any("link_open" in fault for fault in read_markdown("[here](http://example.invalid)")[1])
    assert any("code_inline" in fault for fault in read_markdown("a `b`")[1])
    assert any("hr" in fault for fault in read_markdown("a\n\n***\n")[1])
    assert read_csv('a,b\r\n"=1+1",x\r\n')[1] == ["formula =1+1"]
    assert read_csv("a,b\r\n-2,x\r\n")[1] == []
    assert read_csv("a,b\r\n1,2,3\r\n")[1] == ["3 cells under 2 columns"]


def test_numbers_in_a_sheet_stay_numbers() -> None:
    assert csv_cell(-40.0) == -40.0
    assert csv_cell("-40 °C") == "'-40 °C"


def test_markdown_leaves_plain_text_alone() -> None:
    for text in ("Torqued cylinder head nuts (4) to 22 N·m", "1.25 pt of oil", "It's 3/8 in., isn't it?"):
        assert markdown(text) == text
