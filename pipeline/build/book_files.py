"""The files of a build book: HTML, Markdown, CSV and PDF."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from pipeline.build.book import Book, make_book
from pipeline.build.book_parts import part_counts
from pipeline.build.recordings import LOG_NAME, Build
from pipeline.files import write_bytes, write_text
from pipeline.render import render_log
from pipeline.render.documents import environment, shared
from pipeline.render.paper import set_on_paper
from pipeline.render.sentences import STATUSES
from pipeline.render.tables import csv_text, yes_no
from pipeline.vocabulary import Vocabulary

PART_COLUMNS = (
    "part", "kind", "count", "amount", "origin", "condition", "finish", "side", "position", "assembly", "work",
    "recording", "at", "start_ms", "said", "part_number",
)  # fmt: skip
FIGURE_COLUMNS = (
    "recording", "figure", "kind", "value", "high", "unit", "approximate", "bound", "equals", "si_value", "si_high",
    "si_unit", "subject", "side", "position", "thread", "doubtful", "other_readings", "at", "start_ms", "said",
    "quantity", "events",
)  # fmt: skip


def html(book: Book) -> str:
    """The book as one file that needs nothing else; its links lead to the logs beside it."""
    return environment(True).get_template("book.html").render(**_names(book), css=shared("page.css"),
        book_css=shared("book.css"), js=shared("book.js"))  # fmt: skip


def markdown(book: Book) -> str:
    """The book as Markdown."""
    return environment(False).get_template("book.md").render(**_names(book))


def _names(book: Book) -> dict[str, object]:
    return {"book": book, "statuses": STATUSES, "part_counts": part_counts(book.parts)}


def parts_csv(book: Book) -> str:
    """One row a part or filling; where a part was spoken of more than once, the place where it was first."""
    return csv_text(
        PART_COLUMNS,
        (
            (
                row.part, row.kind, row.count, row.amount, row.origin, row.condition, row.finish, row.side,
                row.position, row.assembly, "; ".join(row.work), row.moments[0].day.recording.slug,
                row.moments[0].clock, row.moments[0].start_ms, row.said, row.part_number,
            )
            for row in (*book.parts, *book.fluids)
        ),
    )  # fmt: skip


def figures_csv(book: Book) -> str:
    """One row a figure: as spoken, not a specification."""
    lines = sorted(
        (line for _, group in book.figures for line in group),
        key=lambda line: (line.moment.day.number, line.figure.qty.start_word),
    )
    return csv_text(
        FIGURE_COLUMNS,
        (
            (
                line.moment.day.recording.slug, line.figure.text, qty.kind, qty.value, qty.high, qty.unit,
                yes_no(qty.approximate), qty.bound, line.equals, qty.si_value, qty.si_high, qty.si_unit, qty.subject,
                qty.side, qty.position, qty.thread, yes_no(line.figure.doubtful),
                " ".join(f"{value:g}" for value in qty.other_readings), line.moment.clock, qty.start_ms, qty.said,
                qty.id, " ".join(line.figure.events),
            )
            for line in lines
            for qty in (line.figure.qty,)
        ),
    )  # fmt: skip


# file name -> its text; a new output is one line here and one function or template.
WRITERS: dict[str, Callable[[Book], str]] = {
    "book.html": html,
    "book.md": markdown,
    "parts.csv": parts_csv,
    "figures.csv": figures_csv,
}


def write_book(build: Build, vocabulary: Vocabulary, into: Path, pdf: bool = False) -> list[Path]:
    """Writes every document of the build into the folder and returns their paths.

    The book points into the recordings' own pages: those that are missing or older than their logs are made first.

    Raises:
        WitnessmarkError: a file cannot be written, or `pdf` is wanted and its library is not installed.
    """
    for recording in build.recordings:
        page = recording.folder / "log.html"
        if not page.is_file() or page.stat().st_mtime < (recording.folder / LOG_NAME).stat().st_mtime:
            render_log(recording.log, recording.folder, vocabulary, recording.media)
    book = make_book(build, vocabulary, into)
    paths = []
    for name, text in WRITERS.items():
        write_text(into / name, text(book))
        paths.append(into / name)
    if pdf:
        write_bytes(into / "book.pdf", set_on_paper(html(book), book.settings.spelling))
        paths.append(into / "book.pdf")
    return paths
