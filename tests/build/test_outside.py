"""The book before independent judges: html-validate, axe-core and headless Chromium (tests/outside/package.json)."""

from __future__ import annotations

import functools
import json
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest

from pipeline.build import add_recording, read_build, start_build, write_book
from pipeline.records import Settings
from pipeline.vocabulary import Vocabulary
from tests.build.penhallow_days import DAYS
from tests.render.test_outside import needs_browser, needs_validator

OUTSIDE = Path(__file__).parents[1] / "outside"


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory, vocabulary: Vocabulary) -> Path:
    folder = tmp_path_factory.mktemp("builds") / "penhallow"
    start_build(folder, Settings(machine="Penhallow 175", units="imperial"))
    for make in DAYS:
        add_recording(folder, make())
    write_book(read_build(folder), vocabulary, folder)
    return folder / "book.html"


def validator_faults(path: Path) -> list[str]:
    command = ["node", "node_modules/html-validate/bin/html-validate.mjs", "--formatter", "text", str(path)]
    result = subprocess.run(command, cwd=OUTSIDE, capture_output=True, text=True, timeout=120, check=False)
    assert result.returncode == (1 if result.stdout else 0), result.stderr
    return result.stdout.splitlines()


@functools.cache
def look(script: str, page: Path) -> dict[str, Any]:
    command = ["node", script, str(page)]
    result = subprocess.run(command, cwd=OUTSIDE, capture_output=True, text=True, timeout=300, check=True)
    found: dict[str, Any] = json.loads(result.stdout)
    return found


@pytest.mark.outside
@needs_validator
def test_the_book_is_valid_html(book: Path, tmp_path: Path) -> None:
    assert validator_faults(book) == []
    (tmp_path / "book.html").write_text(book.read_text().replace("</main>", "", 1))
    assert validator_faults(tmp_path / "book.html"), "the validator does find a seeded fault"


@pytest.mark.browser
@needs_browser
def test_the_book_in_a_browser(book: Path) -> None:
    found = look("look.mjs", book)
    assert (found["axe"], found["sideways"], found["errors"], found["dead_links"]) == ([], [], [], [])


@pytest.mark.browser
@needs_browser
def test_searching_the_book(book: Path) -> None:
    """Typing leaves what holds every word, under its headings; Escape brings all back; without script all is there."""
    found = look("find.mjs", book)
    assert found["errors"] == [] and found["requests"] == []
    assert found["all"] > 30
    assert found["without_script"] == {"shown": found["all"], "box": False, "opened_words": True}
    gearbox = found["searches"]["gear oil"]
    assert 0 < gearbox["shown"] < found["all"] / 3
    assert "Filled gearbox with 500 mL of gear oil" in gearbox["text"]
    assert "brake" not in gearbox["text"].lower()
    assert gearbox["result"] == f"{gearbox['shown']} found"
    # A heading finds what stands under it: the assembly, and the day.
    assert "Fitted new rear brake shoes" in found["searches"]["rear brake 10 may"]["text"]
    assert "Removed worn" not in found["searches"]["rear brake 10 may"]["text"]
    # Words that were only spoken are found in the transcript, which opens.
    assert "that one stays" in found["searches"]["that one STAYS"]["text"]
    headings = ["Recordings", "The work", "Every word", "How to read the marks"]
    assert found["searches"]["rear brake 10 may"]["headings"] == headings, "headings without entries are gone"
    assert found["searches"]["no such thing"]["shown"] == 0
    assert found["searches"]["no such thing"]["result"] == "0 found"
    assert found["after_escape"] == {"shown": found["all"], "value": "", "result": ""}


@pytest.mark.browser
@needs_browser
def test_the_search_check_sees_a_broken_script(book: Path, tmp_path: Path) -> None:
    broken = tmp_path / "book.html"
    broken.write_text(book.read_text().replace("node.hidden = !hit", "node.hidden = false", 1))
    assert look("find.mjs", broken)["searches"]["no such thing"]["shown"] > 0


@pytest.mark.outside
def test_the_book_on_paper(tmp_path: Path, vocabulary: Vocabulary) -> None:
    pytest.importorskip("weasyprint", reason="the extra [pdf] is not installed")
    if shutil.which("pdftotext") is None:
        pytest.skip("pdftotext is not installed")
    folder = tmp_path / "penhallow"
    start_build(folder, Settings(machine="Penhallow 175"))
    for make in DAYS:
        add_recording(folder, make())
    write_book(read_build(folder), vocabulary, folder, pdf=True)
    command = ["pdftotext", "-layout", str(folder / "book.pdf"), "-"]
    text = subprocess.run(command, capture_output=True, text=True, check=True).stdout
    for words in (
        "Penhallow 175",
        "Filled gearbox with 500 mL of gear oil",
        "not a specification",
        "recording 3 at 0:02",
    ):
        assert words in text
    assert "Find in this book" not in text
