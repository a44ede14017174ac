"""The parts list and the figures as CSV (RFC 4180, UTF-8). The headers are stable: columns are only ever added."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence

from pipeline.render.inert import csv_cell
from pipeline.render.page import Page

PART_COLUMNS = (
    "part", "kind", "count", "amount", "condition", "finish", "side", "position", "assembly", "work",
    "first_said", "start_ms", "said", "events", "part_number",
)  # fmt: skip

FIGURE_COLUMNS = (
    "figure", "kind", "value", "high", "unit", "approximate", "bound", "conversion", "si_value", "si_high", "si_unit",
    "subject", "side", "position", "thread", "doubtful", "other_readings", "at", "start_ms", "said", "quantity",
    "events", "unit_said", "role",
)  # fmt: skip


def parts_csv(page: Page) -> str:
    """One row a part or filling, as in the parts table of the log."""
    return csv_text(
        PART_COLUMNS,
        (
            (
                row.part, row.kind, row.count, row.amount, row.condition, row.finish, row.side, row.position,
                row.assembly, "; ".join(row.work), row.clock, row.start_ms, row.said, " ".join(row.events),
                row.number,
            )
            for row in page.parts
        ),
    )  # fmt: skip


def figures_csv(page: Page) -> str:
    """One row a figure: as spoken, not a specification."""
    figures = sorted(page.all_figures, key=lambda fig: fig.qty.start_word)
    return csv_text(
        FIGURE_COLUMNS,
        (
            (
                fig.text, fig.qty.kind, fig.qty.value, fig.qty.high, fig.qty.unit, yes_no(fig.qty.approximate),
                fig.qty.bound, fig.conversion, fig.qty.si_value, fig.qty.si_high, fig.qty.si_unit, fig.qty.subject,
                fig.qty.side, fig.qty.position, fig.qty.thread, yes_no(fig.doubtful),
                " ".join(f"{value:g}" for value in fig.qty.other_readings), fig.clock, fig.qty.start_ms, fig.qty.said,
                fig.qty.id, " ".join(fig.events), yes_no(fig.qty.unit_said), fig.qty.role,
            )
            for fig in figures
        ),
    )  # fmt: skip


def yes_no(value: bool) -> str:
    """A truth value as a spreadsheet reader expects it."""
    return "yes" if value else "no"


def csv_text(columns: Sequence[str], rows: Iterable[Sequence[object]]) -> str:
    """A header and its rows as CSV: every text made harmless, whole numbers without a decimal point."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow(columns)
    for row in rows:
        writer.writerow([csv_cell(_short_number(value)) for value in row])
    return text.getvalue()


def _short_number(value: object) -> object:
    """22 rather than 22.0: a spreadsheet shows it so anyway."""
    return int(value) if isinstance(value, float) and value.is_integer() else value
