"""Which part, fluid or fastener a figure belongs to."""

from __future__ import annotations

import tomllib
from typing import Any

import pytest

from pipeline.quantities import attach_quantities, find_quantities
from pipeline.records import Quantity, Settings
from pipeline.tokens import line_words, written_tokens
from pipeline.vocabulary import load_vocabulary
from tests.quantities.scoring import CORPUS

VOCABULARY = load_vocabulary()
ENTRIES: list[dict[str, Any]] = tomllib.loads((CORPUS / "quantities_attached.toml").read_text(encoding="utf-8"))[
    "figures"
]


def attached(line: str) -> list[Quantity]:
    tokens = written_tokens(line_words(line))
    return attach_quantities(find_quantities(tokens, Settings()), tokens, VOCABULARY)


def shown(qty: Quantity, expected: str) -> str:
    """The quantity in the form of the corpus, with whichever of the alternatives it has."""
    fields = [field.strip() for field in expected.split("|")]
    found = [f"{qty.kind} {qty.value:g} {qty.unit or '-'}", qty.subject, qty.side or qty.position, qty.thread]
    return " | ".join(
        have or "-" if (have or "-") not in wanted.split("/") else wanted
        for have, wanted in zip(found, fields, strict=True)
    )


@pytest.mark.parametrize("entry", ENTRIES, ids=lambda entry: entry["say"][:50])
def test_figures_find_what_they_belong_to(entry: dict[str, Any]) -> None:
    quantities = attached(entry["say"])
    assert [shown(qty, wanted) for qty, wanted in zip(quantities, entry["expect"], strict=True)] == entry["expect"]


def test_nothing_to_attach_gives_nothing() -> None:
    assert attached("no figure here") == []


@pytest.mark.parametrize(
    ("line", "owners"),
    [
        # a size that stands for its fasteners, and what those get
        (
            "Two bolts through the arm, that's M10. Ball joint nut, thirty-eight foot pounds. And the two M10s are "
            "thirty-two.",
            ["bolt", "ball joint nut", "bolt", "bolt"],
        ),
        (
            "The cover is on four M6 screws. The pump nut is twenty newton metres. The M6s get eight.",
            ["screw", "pump nut", "screw", "screw"],
        ),
        # another size, and one that stands for nothing said before
        (
            "Two bolts through the arm, that's M10. Ball joint nut, thirty-eight foot pounds, that's M12 by one.",
            ["bolt", "ball joint nut", "ball joint nut"],
        ),
    ],
)
def test_a_size_stands_for_its_fasteners(line: str, owners: list[str]) -> None:
    assert [qty.subject for qty in attached(line) if qty.kind in ("thread", "torque")] == owners
