"""The page before independent judges: html-validate, and axe-core in headless Chromium (tests/outside/package.json)."""

from __future__ import annotations

import functools
import json
import re
import shutil
import subprocess
import wave
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from pipeline.render import WRITERS, page_context, render_log
from tests.render.penhallow import LOG, RECORDING, VOCABULARY, long_log
from tests.speed import slowness

OUTSIDE = Path(__file__).parents[1] / "outside"


def _missing(package: str) -> str:
    if shutil.which("node") is None:
        return "node is not installed"
    return "" if (OUTSIDE / "node_modules" / package).is_dir() else f"{package}: run `npm install` in tests/outside"


@functools.cache
def _has_chromium() -> bool:
    return any(shutil.which(name) for name in ("chromium", "chromium-browser", "google-chrome"))


needs_validator = pytest.mark.skipif(bool(_missing("html-validate")), reason=_missing("html-validate"))
needs_browser = pytest.mark.skipif(
    bool(_missing("playwright-core") or _missing("axe-core")) or not _has_chromium(),
    reason=_missing("playwright-core") or _missing("axe-core") or "Chromium is not installed",
)


def _validator_faults(path: Path) -> list[str]:
    command = ["node", "node_modules/html-validate/bin/html-validate.mjs", "--formatter", "text", str(path)]
    result = subprocess.run(command, cwd=OUTSIDE, capture_output=True, text=True, timeout=120, check=False)
    assert result.returncode == (1 if result.stdout else 0), result.stderr
    return result.stdout.splitlines()


def _look(path: Path, *options: str) -> dict[str, Any]:
    command = ["node", "look.mjs", str(path), *options]
    result = subprocess.run(command, cwd=OUTSIDE, capture_output=True, text=True, timeout=300, check=True)
    found: dict[str, Any] = json.loads(result.stdout)
    return found


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The documents with a silent recording beside them."""
    folder = tmp_path_factory.mktemp("log")
    media = folder / RECORDING.name
    with wave.open(str(media), "wb") as sound:
        sound.setnchannels(1)
        sound.setsampwidth(1)
        sound.setframerate(8000)
        sound.writeframes(b"\x80" * (RECORDING.duration_ms * 8))
    render_log(LOG, folder, VOCABULARY, media)
    return folder


# A fault put into the page on purpose, and what must be said about it.
_SEEDED: dict[str, tuple[Callable[[str], str], str]] = {
    "an element that is never closed": (lambda html: html.replace("</main>", "", 1), "close-order"),
    "one id twice": (lambda html: html.replace('id="w2"', 'id="w1"', 1), "no-dup-id"),
    "a picture without text": (lambda html: html.replace("<main ", '<img src="./a.jpg"><main ', 1), "wcag/h37"),
}


@pytest.mark.outside
@needs_validator
def test_the_page_is_valid_html(folder: Path) -> None:
    assert _validator_faults(folder / "log.html") == []


@pytest.mark.outside
@needs_validator
@pytest.mark.parametrize("fault", _SEEDED)
def test_the_validator_finds_a_seeded_fault(folder: Path, tmp_path: Path, fault: str) -> None:
    change, rule = _SEEDED[fault]
    (tmp_path / "log.html").write_text(change((folder / "log.html").read_text()))
    assert any(rule in found for found in _validator_faults(tmp_path / "log.html"))


@pytest.mark.browser
@needs_browser
def test_the_page_in_a_browser(folder: Path) -> None:
    found = _look(folder / "log.html")
    assert found["axe"] == []
    assert found["sideways"] == []
    assert found["errors"] == []
    assert found["dead_links"] == []
    assert set(found["requests"]) == {f"file://{folder}/Penhallow%20day%203.wav"}
    assert found["played_s"] == pytest.approx(found["wanted_s"], abs=0.3)
    assert found["still_here"], "with script a time plays in the page"
    assert found["shown"] == "If your engine is the later type, use the longer dowels."
    assert (found["heard_on_focus"], found["heard_after_escape"]) == (1, 0)
    assert found["without_script"]["entries"] == len(LOG.events)
    assert found["without_script"]["at"] == found["without_script"]["wanted"]


@pytest.mark.browser
@needs_browser
def test_the_browser_check_finds_seeded_faults(folder: Path) -> None:
    html = (folder / "log.html").read_text()
    html = re.sub(r"--soft: #[0-9a-f]+", "--soft: #b8b8a8", html, count=1)
    html = html.replace("<main ", '<div style="width: 2000px">wide</div><main ', 1)
    html = html.replace('id="h-figures"', 'id="h-elsewhere"')
    (folder / "seeded.html").write_text(html)
    found = _look(folder / "seeded.html")
    assert any("color-contrast" in fault for fault in found["axe"])
    assert any("390 px wide" in fault for fault in found["sideways"])
    assert "h-figures" in found["dead_links"]


@pytest.mark.browser
@needs_browser
def test_an_hour_is_small_and_quick(tmp_path: Path) -> None:
    log = long_log(19)
    assert log.recording.duration_ms > 3_600_000
    html = WRITERS["log.html"](page_context(log, VOCABULARY))
    (tmp_path / "log.html").write_text(html)
    assert len(html.encode()) < 2_000_000
    found = _look(tmp_path / "log.html", "--quick")
    assert found["busy_ms"] < 700 * slowness(), "processor time from opening to the second picture on the screen"
    assert found["dead_links"] == []
