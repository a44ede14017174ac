"""What a number whose unit nobody says may be: its unit by default for each kind, and what is usual at the bench."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from math import log2

from pipeline.quantities.scan import Bare, Found, Scan

# Kind -> unit where nobody says it, as a rule and to an American, and what is usual at the bench.
DEFAULTS: dict[str, tuple[str, str, float, float]] = {
    "torque": ("N·m", "lbf·ft", 2, 250),
    "temperature": ("°C", "°F", 30, 350),
    "pressure": ("psi", "psi", 3, 220),
    "length": ("mm", "in", 0.05, 300),
    "volume": ("mL", "mL", 30, 1500),
    "voltage": ("V", "V", 1, 260),
    "current": ("A", "A", 1, 100),
    "resistance": ("Ω", "Ω", 0.2, 20000),
    "speed": ("rpm", "rpm", 300, 12000),
    "spanner": ("mm", "in", 5, 36),
    "viscosity": ("SAE", "SAE", 5, 250),
    "grit": ("", "", 40, 3000),
    "teeth": ("", "", 9, 130),
    "angle": ("turn", "turn", 0.1, 0.9),
}
# Kinds whose unit a speaker keeps to.
_KEPT = frozenset({"torque", "pressure", "temperature"})
# Grades of oil and the unit of each: gear oils by weight, engine oils by SAE, machine oils by ISO.
GRADES = {
    **dict.fromkeys((10, 20, 30, 40, 50), "SAE"),
    **dict.fromkeys((75, 80, 85, 90, 140), "wt"),
    **dict.fromkeys((32, 46, 68, 100, 150, 220), ""),
}
# Nobody divides an inch or a millimetre so.
_OF_NO_INCH = frozenset({3, 5, 6, 7, 9})
# With more decimals than these a size is in inches; with as many it may be.
_INCH_PLACES = 3
# A pressure with a decimal, below so many, is in bar.
_MOST_BAR = 10
_GRITS = frozenset(
    {40, 60, 80, 100, 120, 150, 180, 220, 240, 280, 320, 360, 400, 500, 600, 800, 1000, 1200, 1500, 2000}
)


def as_large(bare: Bare, found: Found) -> bool:
    """Whether a number can be a jaw, a gear or a grade where such a figure would lend its unit."""
    if found.kind == "spanner":
        return bare.high is None and 3 <= bare.value <= 65 if found.unit == "mm" else bare.value < 3
    if found.kind == "teeth":
        return bare.value.denominator == 1 and bare.value >= 5
    return bare.value in _GRITS if found.kind == "grit" else True


def default_unit(scan: Scan, bare: Bare, kind: str, said: Mapping[str, Found]) -> str:
    """The unit of such a figure where nobody says it; `said`: kind -> the last figure of it with its unit."""
    american = scan.settings.units == "us"
    unit = DEFAULTS[kind][0]
    told = scan.declaration(kind, bare.start)
    if told is not None and not (told.unit == "thou" and bare.value < 1 and bare.shape == "decimal"):
        return told.unit  # in talk of thou ".015" is still an inch's
    if kind in _KEPT and kind in said:
        return said[kind].unit
    if kind == "viscosity":
        return GRADES.get(int(bare.value), unit)
    if kind in ("length", "spanner"):
        halves = (2, 4, 8, 16, 32) if american else (4, 8, 16, 32)
        inches = bare.shape in ("fraction", "mixed") and bare.value.denominator in halves
        fine = 10**_INCH_PLACES % bare.value.denominator != 0 and bare.shape == "decimal"
        return "in" if inches or fine else unit
    if kind == "pressure" and not american and bare.shape == "decimal" and bare.value < _MOST_BAR:
        return "bar"
    return _by_system(scan, kind)


def heat_unit(scan: Scan) -> str:
    """The unit of a temperature where nobody says it."""
    return _by_system(scan, "temperature")


def torque_unit(scan: Scan, bare: Bare | None = None) -> str:
    """The unit of a torque where nobody says it: the one for all, or that of the last one before a number."""
    stop = bare.start if bare is not None else 0
    if (told := scan.declaration("torque", stop)) is not None:
        return told.unit
    said = [found.unit for found in scan.found if found.kind == "torque" and found.end <= stop]
    return said[-1] if said else _by_system(scan, "torque")


def _by_system(scan: Scan, kind: str) -> str:
    """The unit by default of a kind, to an American another."""
    unit, american_unit, _, _ = DEFAULTS[kind]
    return american_unit if scan.settings.units == "us" else unit


def in_thousandths(bare: Bare) -> bool:
    """Whether a size with three decimals, in inches or millimetres: "one point four nine eight"."""
    exact = 1000 % bare.value.denominator == 0 and bare.value.denominator > 100
    return bare.shape == "decimal" and (exact or bare.places == _INCH_PLACES)


def few_inches(bare: Bare, american: bool) -> bool:
    """Whether a size with three decimals is so small that nobody gives it in microns where nobody works in metric."""
    return Fraction(1, 10) <= bare.value < (12 if american else 2)


def _as_before(bare: Bare, kind: str, said: Mapping[str, Found]) -> bool:
    """Whether a figure of that size was said of the kind, however long ago."""
    last = said.get(kind) if kind in _KEPT else None
    return last is not None and last.value > 0 and Fraction(1, 2) <= bare.value / last.value <= 2


def possible(bare: Bare, kind: str, said: Mapping[str, Found]) -> bool:
    """Whether a number can be such a figure at all where only the talk says so."""
    _, _, low, high = DEFAULTS[kind]
    if _as_before(bare, kind, said):
        return True
    if kind == "grit":
        return bare.value in _GRITS
    if kind == "length" and bare.shape == "fraction" and bare.value.denominator in _OF_NO_INCH:
        return False  # "more than one third"
    if kind == "viscosity":
        return bare.value in GRADES and bare.high is None
    if kind == "angle":
        return bare.shape == "fraction" and bare.value < 1 and bare.high is None
    if kind == "spanner" and bare.high is not None:
        return False
    if kind == "teeth" and bare.value.denominator != 1:
        return False
    return low / 3 <= (bare.value * 25 if kind in ("spanner", "length") and bare.value < 1 else bare.value) <= high * 3


def has_part(bare: Bare) -> bool:
    """Whether a number has a part beside its whole."""
    return bare.value.denominator != 1


def usual(bare: Bare, kind: str, how: str, said: Mapping[str, Found]) -> Iterator[str]:
    """Whether such a figure is of a usual size; `how` its unit is known: asked or lent."""
    yield f"{how} {kind}"
    if kind not in DEFAULTS:
        return
    _, _, low, high = DEFAULTS[kind]
    usual = low <= bare.value <= high or _as_before(bare, kind, said)
    if kind in ("grit", "viscosity"):
        usual = bare.value in (_GRITS if kind == "grit" else GRADES)
    if kind in ("spanner", "teeth", "grit") and bare.value.denominator != 1:
        usual = False
    yield f"{how} {kind} {'usual' if usual else 'odd'}"
    part = " with a part" if has_part(bare) else ""
    if part:
        yield f"{how} {kind} with a part"
    if bare.value > 0:
        yield f"{kind} about {2.0 ** round(log2(float(bare.value))):g}{part}"
