"""Figures of things that can have no such figure: the torque of a washer, the pressure of a bolt."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from pipeline.numbers.words import word_set
from pipeline.quantities.convert import format_quantity
from pipeline.records import Finding, Quantity, Settings
from pipeline.times import ms_to_clock

_FASTENERS = word_set("bolt nut screw stud washer circlip clip pin rivet")
_SOFT = word_set("washer gasket seal o-ring shim felt paper cable hose chain belt")
_FLUIDS = word_set("oil fluid grease coolant petrol fuel water paraffin antifreeze sealant")
# kind of figure -> last words of what can have none
_NEVER = {
    "torque": _SOFT | _FLUIDS,
    "pressure": _FASTENERS,
    "volume": _FASTENERS,
    "voltage": _FASTENERS | _FLUIDS,
    "current": _FASTENERS | _FLUIDS,
    "speed": _FASTENERS,
}


def check_owners(quantities: Sequence[Quantity], settings: Settings) -> Iterator[Finding]:
    """A figure with an owner that can have none: the unit, or what it is of, is wrong."""
    del settings
    for qty in quantities:
        if not qty.subject or qty.subject.lower().split()[-1] not in _NEVER.get(qty.kind, frozenset()):
            continue
        unit = "" if qty.unit_said else ", whose unit nobody said,"
        message = (
            f"heard {format_quantity(qty)}{unit} with the {qty.subject}: one of the two is wrong; listen again at "
            f"{ms_to_clock(qty.start_ms)}"
        )
        yield Finding("check", "odd_owner", message, qty.start_ms)
