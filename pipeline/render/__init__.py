"""BuildLog -> the documents that people get: HTML, Markdown, CSV, PDF."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from pathlib import Path
from urllib.parse import quote

from pipeline.files import write_bytes, write_text
from pipeline.records import BuildLog
from pipeline.render.documents import html, md
from pipeline.render.machine_sort import SortEvidence, headings_of, told_by_others
from pipeline.render.page import Media, Page, page_context
from pipeline.render.paper import check_paper
from pipeline.render.paper import pdf as paper_pdf
from pipeline.render.stills import Pictures, has_moving_picture, take_pictures
from pipeline.render.tables import figures_csv, parts_csv
from pipeline.transcripts import is_transcript
from pipeline.vocabulary import Vocabulary

__all__ = [
    "WRITERS",
    "Media",
    "Page",
    "Pictures",
    "SortEvidence",
    "check_paper",
    "has_moving_picture",
    "headings_of",
    "media_beside",
    "page_context",
    "render_log",
    "take_pictures",
    "told_by_others",
]

# file name -> its text; a new output is one line here and one function or template.
WRITERS: dict[str, Callable[[Page], str]] = {
    "log.html": html,
    "log.md": md,
    "parts.csv": parts_csv,
    "figures.csv": figures_csv,
}


def render_log(
    log: BuildLog,
    into: Path,
    vocabulary: Vocabulary,
    media: Path | None = None,
    pictures: bool = True,
    pdf: bool = False,
    others: Sequence[SortEvidence] = (),
) -> list[Path]:
    """Writes every document of the log into the folder and returns their paths.

    `media` is the recording: the page plays it, and shows stills of it if it is a video and `pictures` is true.
    `others`: what other recordings of the machine tell of its sort.

    Raises:
        WitnessmarkError: a file cannot be written, or `pdf` is wanted and its library is not installed.
    """
    if pdf:
        check_paper()
    stills = take_pictures(media, log) if media and pictures else None
    page = page_context(log, vocabulary, media_beside(media, into), stills, others=others)
    paths = []
    for name, text in WRITERS.items():
        write_text(into / name, text(page))
        paths.append(into / name)
    if pdf:
        write_bytes(into / "log.pdf", paper_pdf(page))
        paths.append(into / "log.pdf")
    return paths


def media_beside(media: Path | None, into: Path) -> Media:
    """How a page in the folder `into` reaches the recording: a relative link; none to a transcript or to nothing."""
    if media is None or not media.is_file() or is_transcript(media):
        return Media()
    relative = Path(os.path.relpath(media.resolve(), into.resolve())).as_posix()
    # A leading "./" keeps a colon in a file name from being read as the scheme of an address.
    return Media("./" + quote(relative), "video" if has_moving_picture(media) else "audio")
