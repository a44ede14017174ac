"""Figures whose unit was read from other words, as everybody after this stage may ask: the words stay the evidence."""

from __future__ import annotations

from pipeline.records import Quantity

# One of these stands in the `why` of every figure that was read this way.
CAN_ONLY_BE = "can only be"
MAY_BE = "may stand for"


def unit_garbled(qty: Quantity) -> bool:
    """Whether the unit was read from words that are no unit ("10 new demeters"): always shown to a person."""
    return CAN_ONLY_BE in qty.why or unit_doubtful(qty)


def unit_doubtful(qty: Quantity) -> bool:
    """Whether such words may mean something else too: shown with a question mark."""
    return MAY_BE in qty.why
