"""The closed table of units (vocab/figures/units.toml) and exact conversion."""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import Any

from pipeline.errors import WitnessmarkError
from pipeline.numbers import cut
from pipeline.records import Settings
from pipeline.resources import resource_folder

IGNORED = "ignored"
_NO_KIND = ("source", "undeclared", "ignored")


@dataclass(frozen=True, slots=True)
class Unit:
    """A canonical unit. `si` is what it converts into: value in `si` = (value + offset) * factor ("" if nothing)."""

    name: str
    kind: str
    si: str = ""
    factor: Fraction = Fraction(1)
    offset: Fraction = Fraction(0)


@dataclass(frozen=True, slots=True)
class Alias:
    """A way of saying or writing a unit: a unit, an undeclared one, or a choice, told apart by `target`.

    `times` is the factor into the canonical unit ("microns" 1, "milliamps" 0.001). `raw` is not "" where capitals
    matter.
    """

    words: tuple[str, ...]
    target: str
    times: Fraction = Fraction(1)
    raw: str = ""
    written: bool = False


@dataclass(frozen=True, slots=True)
class UnitTable:
    """All units by canonical name, all aliases by their first word, longest first."""

    units: dict[str, Unit]
    aliases: dict[str, tuple[Alias, ...]]
    undeclared: dict[str, dict[str, str]]
    choices: dict[str, dict[str, Any]]


@cache
def figures_data(name: str) -> dict[str, Any]:
    """One of the data files of vocab/figures, as it stands: shared, so only to be read."""
    return tomllib.loads((resource_folder("vocab") / "figures" / f"{name}.toml").read_text(encoding="utf-8"))


def product(text: str) -> Fraction:
    """Exact value of a product of decimals.

    >>> product("0.5*3/4")
    Fraction(3, 8)
    """
    value = Fraction(1)
    for sign, number in re.findall(r"([*/]?)(-?[\d.]+)", text):
        value = value / Fraction(number) if sign == "/" else value * Fraction(number)
    return value


@cache
def unit_table() -> UnitTable:
    """The shipped table, read once."""
    data = figures_data("units")
    units: dict[str, Unit] = {}
    found: list[Alias] = []
    for kind, entries in data.items():
        if kind == "source":
            continue
        for name, entry in entries.items():
            target = entry.get("as", IGNORED if kind == IGNORED else name)
            if kind not in _NO_KIND and "as" not in entry:
                units[name] = Unit(
                    name,
                    kind,
                    entry.get("si", ""),
                    product(entry.get("factor", "1")),
                    Fraction(entry.get("offset", "0")),
                )
            found.extend(_aliases(entry, target, product(entry.get("times", "1"))))
    choices = {name: entry for name, entry in figures_data("choices").items() if name != "source"}
    for name, choice in choices.items():
        written = choice.get("written", [])
        found.extend(Alias(_words(said), f"choice {name}", written=said in written) for said in choice["said"])
    by_first: dict[str, list[Alias]] = {}
    for alias in found:
        by_first.setdefault(alias.words[0], []).append(alias)
    for name, entry in data["undeclared"].items():
        units[name] = Unit(name, units[entry["imperial"]].kind)
    return UnitTable(
        units,
        {first: tuple(sorted(group, key=lambda alias: -len(alias.words))) for first, group in by_first.items()},
        data["undeclared"],
        choices,
    )


def _aliases(entry: dict[str, Any], target: str, times: Fraction) -> list[Alias]:
    spoken = [form for said in entry.get("said", []) for form in (said, _plural(said))]
    aliases = [Alias(_words(form), target, times) for form in [*spoken, *entry.get("exact", [])]]
    for form in entry.get("written", []):
        capital = form if len(form) == 1 and form.isupper() else ""
        aliases.append(Alias(_words(form), target, times, capital, written=True))
    return aliases


def _plural(said: str) -> str:
    """Plural of the noun of a unit's name: before "per" or "a", else the last word.

    >>> _plural("foot pound"), _plural("pound per square inch"), _plural("inch")
    ('foot pounds', 'pounds per square inch', 'inches')
    """
    head, rest = re.fullmatch(r"(.*?)((?: (?:per|a|an|to the|of a|of an) .*)?)", said).groups()  # type: ignore[union-attr]
    return f"{head}es{rest}" if head.endswith(("ch", "s")) else f"{head}s{rest}"


def _words(form: str) -> tuple[str, ...]:
    # A lone inch mark is cut away where no figure stands before it.
    return tuple(piece.text for piece in cut(form.split())) or (form,)


def unit_named(name: str) -> Unit:
    """A canonical unit.

    Raises:
        WitnessmarkError: no such unit; the message lists those there are.
    """
    units = unit_table().units
    if name not in units:
        raise WitnessmarkError(f"no unit called {name!r}; there are: {', '.join(units)}")
    return units[name]


def declared(name: str, settings: Settings) -> tuple[str, bool]:
    """The unit that an unqualified pint, quart, gallon or fluid ounce means here, and whether that was declared."""
    entry = unit_table().undeclared.get(name)
    if entry is None:
        return name, True
    return entry[settings.units or "imperial"], settings.units is not None


def to_si(value: Fraction, name: str) -> Fraction | None:
    """Value in the SI (or SI-accepted) unit, exactly; None where there is none.

    >>> float(to_si(Fraction(25), "lbf·ft"))
    33.89544870828501
    """
    unit = unit_named(name)
    return (value + unit.offset) * unit.factor if unit.si else None


def convert(value: float, unit: str, other: str) -> float:
    """A value of one unit in another of the same SI unit.

    Raises:
        WitnessmarkError: the units measure different things.

    >>> convert(1, "bar", "psi")
    14.50377377302092
    """
    source, target = unit_named(unit), unit_named(other)
    if source.si != target.si or not source.si:
        raise WitnessmarkError(f"{unit} does not convert into {other}; choose a unit that measures the same")
    exact = (Fraction(repr(value)) + source.offset) * source.factor / target.factor - target.offset
    return float(exact)
