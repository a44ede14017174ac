"""Figures as people read them: the spoken one first, then what else it is called. Never a specification."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from pipeline.records import BuildLog, Quantity
from pipeline.times import ms_to_clock

KIND_TITLES = {
    "volume": "Volumes",
    "torque": "Torques",
    "pressure": "Pressures",
    "length": "Lengths",
    "clearance": "Clearances",
    "thread": "Threads",
    "spanner": "Spanner sizes",
    "angle": "Angles",
    "viscosity": "Viscosities",
    "temperature": "Temperatures",
    "duration": "Times",
    "mass": "Masses",
    "voltage": "Voltages",
    "current": "Currents",
    "resistance": "Resistances",
    "speed": "Speeds",
    "count": "Counts",
    "ratio": "Ratios",
    "percentage": "Percentages",
    "grit": "Grits",
    "teeth": "Teeth",
}

_BOUNDS = {"at_least": "at least ", "at_most": "at most ", "": ""}


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure ready to be shown.

    `text` is the figure as spoken ("about 190 mL"), `conversion` its equal in other units ("" for none).
    `readings` are all rival values with their unit, the spoken one first; more than one makes it doubtful.
    """

    qty: Quantity
    text: str
    conversion: str
    readings: tuple[str, ...]
    events: tuple[str, ...]

    @property
    def doubtful(self) -> bool:
        """True where the sound or the words leave another value open."""
        return len(self.readings) > 1

    @property
    def in_sentence(self) -> str:
        """The figure inside a sentence: a doubtful one shows every reading."""
        return " or ".join(self.readings) + " (doubtful)" if self.doubtful else self.text

    @property
    def clock(self) -> str:
        """When it was said."""
        return ms_to_clock(self.qty.start_ms)


def figures_of(log: BuildLog) -> dict[str, Figure]:
    """Every quantity of the log by its id, with the events it belongs to."""
    users: dict[str, list[str]] = {}
    for event in log.events:
        for key in event.quantities:
            users.setdefault(key, []).append(event.id)
    return {qty.id: _figure(qty, tuple(users.get(qty.id, ()))) for qty in log.quantities}


def _figure(qty: Quantity, events: tuple[str, ...]) -> Figure:
    bare = replace(qty, approximate=False, bound="")
    rivals = (_value_text(replace(bare, value=value, high=None)) for value in qty.other_readings)
    about = "about " if qty.approximate else ""
    return Figure(
        qty=qty,
        text=f"{_BOUNDS[qty.bound]}{about}{_value_text(bare)}",
        conversion=_conversion(qty),
        readings=tuple(dict.fromkeys([_value_text(bare), *rivals])),
        events=events,
    )


def _value_text(qty: Quantity) -> str:
    high = "" if qty.high is None else f"–{qty.high:g}"
    return f"{qty.value:g}{high}\u00a0{qty.unit}".strip()


def _conversion(qty: Quantity) -> str:
    if qty.si_value is None or qty.si_unit == qty.unit:
        return ""
    return f"{qty.si_value:.3g}\u00a0{qty.si_unit}"


def by_kind(figures: Iterable[Figure]) -> list[tuple[str, list[Figure]]]:
    """Figures under the title of their kind, kinds in the order of `KIND_TITLES`, figures by time."""
    kinds: dict[str, list[Figure]] = {kind: [] for kind in KIND_TITLES}
    for figure in figures:
        kinds.setdefault(figure.qty.kind, []).append(figure)
    return [(KIND_TITLES.get(kind, kind.capitalize()), group) for kind, group in kinds.items() if group]
