"""The log on paper, read back by pdftotext and pdfinfo (Poppler)."""

from __future__ import annotations

import builtins
import importlib.util
import shutil
import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from pipeline.errors import WitnessmarkError
from pipeline.render import Media, page_context, render_log
from pipeline.render.paper import pdf
from tests.render.penhallow import LOG, VOCABULARY

needs_paper = pytest.mark.skipif(
    importlib.util.find_spec("weasyprint") is None or shutil.which("pdftotext") is None,
    reason="needs the extra `pdf` (pip install '.[pdf]') and poppler-utils",
)


def _run(*command: str | Path) -> str:
    return subprocess.run([str(word) for word in command], capture_output=True, text=True, check=True).stdout


@pytest.fixture(scope="module")
def paper(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("paper")
    assert folder / "log.pdf" in render_log(LOG, folder, VOCABULARY, pdf=True)
    return folder / "log.pdf"


@pytest.mark.outside
@needs_paper
def test_every_entry_and_every_word_is_on_paper(paper: Path) -> None:
    page = page_context(LOG, VOCABULARY)
    text = " ".join(_run("pdftotext", "-raw", paper, "-").split())
    for entry in page.entries:
        sentence = entry.sentence[:1].upper() + entry.sentence[1:]
        assert sentence in text
    for piece in (piece for paragraph in page.paragraphs for piece in paragraph.pieces):
        assert piece.text in text
    assert "heard: gudgen pin" in text, "on paper nothing can be pointed at: what was heard stands beside it"
    assert "Figures as spoken: no specification" in text
    assert "Move to it with the Tab key" not in text
    assert "To the log" not in text


@pytest.mark.outside
@needs_paper
@pytest.mark.parametrize(("spelling", "size"), [("british", "A4"), ("american", "letter")])
def test_the_paper_is_the_one_in_the_readers_printer(tmp_path: Path, spelling: Any, size: str) -> None:
    log = replace(LOG, settings=replace(LOG.settings, spelling=spelling))
    (tmp_path / "log.pdf").write_bytes(pdf(page_context(log, VOCABULARY)))
    assert f"({size})" in _run("pdfinfo", tmp_path / "log.pdf")


@pytest.mark.outside
@needs_paper
def test_a_paper_points_at_no_file_beside_it() -> None:
    data = pdf(page_context(LOG, VOCABULARY, Media("./day.wav")))
    assert b"day.wav" not in data
    assert data == pdf(page_context(LOG, VOCABULARY)), "the same log gives the same paper"


def test_without_the_library_one_sentence_says_what_to_do(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    real = builtins.__import__

    def refuse(name: str, *arguments: Any, **options: Any) -> Any:
        if name.split(".")[0] == "weasyprint":
            raise ModuleNotFoundError(name)
        return real(name, *arguments, **options)

    monkeypatch.setitem(sys.modules, "weasyprint", None)
    monkeypatch.setattr(builtins, "__import__", refuse)
    with pytest.raises(WitnessmarkError, match=r"pip install 'witnessmark\[pdf\]'.*libpango"):
        pdf(page_context(LOG, VOCABULARY))
    with pytest.raises(WitnessmarkError):
        render_log(LOG, tmp_path, VOCABULARY, pdf=True)
    assert list(tmp_path.iterdir()) == [], "it is said before anything is written"
