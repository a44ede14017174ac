"""All documents of the hand-made log: what must stand in them, whatever they look like."""

from __future__ import annotations

import csv
import io
from dataclasses import replace
from pathlib import Path

import pytest

from pipeline.render import WRITERS, Page, page_context, render_log
from tests.render.penhallow import LOG, VOCABULARY


@pytest.fixture(scope="module")
def page() -> Page:
    return page_context(LOG, VOCABULARY)


def test_every_document_is_written(tmp_path: Path) -> None:
    paths = render_log(LOG, tmp_path, VOCABULARY)
    assert [path.name for path in paths] == list(WRITERS)
    assert sorted(path.name for path in tmp_path.iterdir()) == sorted(WRITERS)


@pytest.mark.parametrize(
    ("reason", "text"),
    [
        ("so that it can be tried", "; so that it can be tried."),
        ("because it leaks", "; because it leaks."),
    ],
)
def test_reasons_and_purposes_read_as_said(tmp_path: Path, reason: str, text: str) -> None:
    events = tuple(replace(event, reason=reason) if event.id == "e9" else event for event in LOG.events)
    render_log(replace(LOG, events=events), tmp_path, VOCABULARY)
    assert f"tightened exhaust flange nuts{text}" in (tmp_path / "log.md").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("event", "text"),
    [
        ("e1", "Earlier: machined barrel"),
        ("e2", "Measured bore at about 52.5 mm and about 2 thou"),
        ("e4", "Fitted new circlips (2)"),
        ("e8", "Torqued cylinder head nuts (4) to 22 N·m"),
        ("e9", "For now: tightened exhaust flange nuts"),
        ("e10", "Fitted new rear brake shoes"),
        ("e13", "To do: torque rear spindle nut to 50 lbf·ft or 15 lbf·ft (doubtful)"),
        ("e14", "Not done: fit split pin"),
        ("e15", "Filled left fork leg with 190 mL of fork oil"),
        ("e16", "To do: fill right fork leg with fork oil"),
        ("e20", "Advice: fit dowels"),
    ],
)
def test_sentences_read_like_a_job_card(page: Page, event: str, text: str) -> None:
    said = {entry.event.id: entry.full for entry in page.entries}
    assert said[event] == text


def test_every_fact_of_the_log_is_in_the_html(page: Page) -> None:
    html = WRITERS["log.html"](page)
    for entry in page.entries:
        assert f'id="{entry.event.id}"' in html
        assert f'href="#w{entry.quote.start_word}"' in html
    for place in range(len(LOG.words)):
        assert f'id="w{place}"' in html
    assert "17 May 2031" in html


def test_csv_rows(page: Page) -> None:
    figures = list(csv.DictReader(io.StringIO(WRITERS["figures.csv"](page))))
    assert [row["quantity"] for row in figures] == [
        qty.id for qty in sorted(LOG.quantities, key=lambda qty: qty.start_word)
    ]
    torque = next(row for row in figures if row["quantity"] == "q4")
    assert (torque["value"], torque["unit"], torque["doubtful"], torque["events"]) == ("22", "N·m", "no", "e8")
    parts = {row["part"]: row for row in csv.DictReader(io.StringIO(WRITERS["parts.csv"](page)))}
    assert parts["circlips"]["count"] == "2"
    assert parts["circlips"]["condition"] == "new"
    assert parts["piston"]["condition"] == "new"
    assert parts["gearbox oil"]["work"] == "drained gearbox"
