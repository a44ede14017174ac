"""Figures as people read them: the spoken one first, then what else it is called. Never a specification."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from pipeline.quantities import customary, format_quantity
from pipeline.quantities.garbled import unit_doubtful, unit_garbled
from pipeline.records import BuildLog, Quantity
from pipeline.render.spelling import placed
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
    "ratio": "Ratios",
    "percentage": "Percentages",
    "grit": "Grits",
    "teeth": "Teeth",
}


UNIT_NOT_SAID = "unit not said"


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure ready to be shown.

    `text` is the figure as spoken ("about 190 mL"), `conversion` its equal in other units ("" for none).
    `readings` are all rival values with their unit, the spoken one first; more than one makes it doubtful, and so does
    a unit that was heard as other words. `called`: what the speaker calls its part there.
    """

    qty: Quantity
    text: str
    conversion: str
    readings: tuple[str, ...]
    events: tuple[str, ...]
    called: str = ""

    @property
    def doubtful(self) -> bool:
        """True where the sound or the words leave another value open, or a person should see what was heard."""
        return len(self.readings) > 1 or unit_garbled(self.qty)

    @property
    def in_sentence(self) -> str:
        """The figure inside a sentence: a doubtful one shows every reading, a guessed unit is marked."""
        return f"{self.unmarked}, {UNIT_NOT_SAID}" if self.guessed else self.unmarked

    @property
    def guessed(self) -> bool:
        """True where nobody said the unit."""
        return not self.qty.unit_said

    @property
    def unmarked(self) -> str:
        """The figure as it stands beside others, without the mark of a guessed unit."""
        if len(self.readings) > 1 or unit_doubtful(self.qty):
            return " or ".join(self.readings) + " (doubtful)"
        return self.text

    @property
    def part(self) -> str:
        """The part or fluid it belongs to, by the speaker's word for it."""
        return self.called or self.qty.subject

    @property
    def of_what(self) -> str:
        """The part or fluid with its place and thread."""
        place = placed(self.part, self.qty.position, self.qty.side)
        return " ".join(filter(None, (place, self.qty.thread if self.qty.kind != "thread" else "")))

    @property
    def clock(self) -> str:
        """When it was said."""
        return ms_to_clock(self.qty.start_ms)


def figures_of(log: BuildLog, called: Mapping[str, str] | None = None) -> dict[str, Figure]:
    """Every quantity of the log by its id, with the events it belongs to. `called`: by its id, its part in words."""
    users: dict[str, list[str]] = {}
    for event in log.events:
        for key in event.quantities:
            users.setdefault(key, []).append(event.id)
    words = called or {}
    return {qty.id: _figure(qty, tuple(users.get(qty.id, ())), words.get(qty.id, "")) for qty in log.quantities}


def _figure(qty: Quantity, events: tuple[str, ...], called: str) -> Figure:
    bare = replace(qty, approximate=False, bound="")
    rivals = (format_quantity(replace(bare, value=value, high=None)) for value in qty.other_readings)
    readings = tuple(dict.fromkeys([format_quantity(bare), *rivals]))
    # Which reading is right decides what it equals: a doubtful figure is not converted, nor a guessed unit.
    sure = len(readings) == 1 and not unit_doubtful(qty) and qty.unit_said
    conversion = " = ".join(customary(qty)) if sure else ""
    return Figure(qty, format_quantity(qty), conversion, readings, events, called)


def by_kind(figures: Iterable[Figure]) -> list[tuple[str, list[Figure]]]:
    """Figures under the title of their kind, kinds in the order of `KIND_TITLES`, figures by time.

    Counts are left out: the parts list has them.
    """
    kinds: dict[str, list[Figure]] = {kind: [] for kind in KIND_TITLES}
    for figure in figures:
        kinds.setdefault(figure.qty.kind, []).append(figure)
    return [
        (KIND_TITLES.get(kind, kind.capitalize()), group) for kind, group in kinds.items() if group and kind != "count"
    ]
