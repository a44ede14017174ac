"""Figures whose unit was read from other words, as everybody after this stage may ask: the words stay the evidence."""

from __future__ import annotations

from pipeline.records import Quantity


def unit_garbled(qty: Quantity) -> bool:
    """Whether the unit was read from words that are no unit ("10 new demeters"): always shown to a person."""
    return qty.unit_heard != ""


def unit_doubtful(qty: Quantity) -> bool:
    """Whether such words may mean something else too: shown with a question mark."""
    return not qty.unit_sure
