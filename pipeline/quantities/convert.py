"""Figures as a reader sees them: unambiguous numbers, and the customary conversions."""

from __future__ import annotations

from fractions import Fraction
from math import floor, log10

from pipeline.quantities.garbled import unit_doubtful
from pipeline.quantities.units import convert, unit_named
from pipeline.records import Quantity

# unit -> the units a reader may want beside it
CUSTOMARY = {
    "N·m": ("lbf·ft",),
    "lbf·ft": ("N·m",),
    "lbf·in": ("N·m",),
    "kgf·m": ("N·m", "lbf·ft"),
    "kgf·cm": ("N·m",),
    "psi": ("bar", "kPa"),
    "bar": ("psi", "kPa"),
    "kPa": ("bar", "psi"),
    "thou": ("mm",),
    "in": ("mm",),
    "mm": ("in",),
    "cm": ("in",),
    "µm": ("thou",),
    "°C": ("°F",),
    "°F": ("°C",),
    "lb": ("kg",),
    "oz": ("g",),
    "kg": ("lb",),
    "mph": ("km/h",),
    "km/h": ("mph",),
    "pt_imp": ("mL",),
    "pt_US": ("mL",),
    "qt_imp": ("L",),
    "qt_US": ("L",),
    "gal_imp": ("L",),
    "gal_US": ("L",),
    "fl_oz_imp": ("mL",),
    "fl_oz_US": ("mL",),
    "mL": ("fl_oz_imp", "fl_oz_US"),
    "L": ("pt_imp", "qt_US"),
}
# canonical unit -> as printed, where the two differ
PRINTED = {
    "fl_oz_US": "US fl oz",
    "fl_oz_imp": "imp fl oz",
    "pt_US": "US pt",
    "pt_imp": "imp pt",
    "qt_US": "US qt",
    "qt_imp": "imp qt",
    "gal_US": "US gal",
    "gal_imp": "imp gal",
    "deg": "°",
    "turn": "turn",
}
# unit -> (from this value on, how many of it, the larger unit)
_LARGE = {"Ω": ((1e6, 1e6, "MΩ"), (1e4, 1e3, "kΩ"))}
_IMPERIAL = "imp "
# Thirds, sixths and twelfths are written as such where people say them: "a third of a pint", "a twelfth of a turn".
_MOST_THIRDS = 20
_SUFFIX = {"percentage": "%", "grit": "grit", "teeth": "teeth", "ratio": ": 1"}
_INCH_PARTS = 64


def format_number(value: float) -> str:
    """Figures with a decimal point and no thousands mark, so that no reader takes one for the other.

    >>> format_number(1000.0), format_number(0.15), format_number(33.895448)
    ('1000', '0.15', '33.8954')
    >>> format_number(1 / 3), format_number(5 / 3)
    ('1/3', '1 2/3')
    >>> format_number(1 / 12), format_number(0.0833)
    ('1/12', '0.0833')
    """
    for most in (3, 12):
        thirds = Fraction(value).limit_denominator(most)
        if thirds.denominator in (3, 6, 12) and value < _MOST_THIRDS and abs(thirds - Fraction(value)) < 1e-6:
            whole, part = divmod(thirds, 1)
            return f"{whole} {part}" if whole else str(part)
    text = f"{value:.6g}" if abs(value) < 1e6 else f"{value:.0f}"
    return text if "e" not in text else f"{value:.8f}".rstrip("0").rstrip(".")


def inches(value: float) -> str:
    """Inches as a workshop writes them: 64ths where they come out even, else decimals."""
    exact = Fraction(value).limit_denominator(100_000)
    if exact.denominator in (2, 4, 8, 16, 32, 64):
        whole, part = divmod(exact, 1)
        return f"{whole} {part}" if whole else str(part)
    return format_number(value)


def _turns(value: float) -> str:
    """Turns as they are said: a twelfth, a sixteenth and the like, else decimals.

    >>> _turns(1 / 12), _turns(0.5), _turns(2.25), _turns(1.4)
    ('1/12', '0.5', '2.25', '1.4')
    """
    exact = Fraction(value).limit_denominator(16)
    if value < 1 and exact.denominator > 4 and exact.denominator % 5 and abs(exact - Fraction(value)) < 1e-5:
        return str(exact)
    return format_number(value)


def format_amount(value: float, high: float | None, unit: str) -> str:
    """A value or range with its unit as printed.

    >>> format_amount(25.0, None, "N·m"), format_amount(10.0, 12.0, "thou"), format_amount(0.375, None, "in")
    ('25 N·m', '10–12 thou', '3/8 in')
    """
    for least, times, larger in _LARGE.get(unit, ()):
        if value >= least:
            value, high, unit = value / times, None if high is None else high / times, larger
            break
    number = {"in": inches, "turn": _turns}.get(unit, format_number)
    text = number(value) if high is None else f"{number(value)}–{number(high)}"
    printed = PRINTED.get(unit, unit)
    if unit == "turn" and (high or value) > 1:
        printed = "turns"
    if not printed:
        return text
    return f"{text}{printed}" if printed == "°" else f"{text} {printed}"


def format_quantity(qty: Quantity) -> str:
    """The figure as the log prints it, with its hedge: "about 25 N·m", "SAE 10W-40", "M8x1.25".

    A question mark follows a unit that may have been misheard: "10 N·m?".
    """
    hedge = {"at_least": "at least ", "at_most": "at most "}.get(qty.bound, "about " if qty.approximate else "")
    if qty.kind == "thread":
        return qty.thread
    if qty.kind == "viscosity":
        if qty.unit == "wt":
            return f"{format_number(qty.value)} weight" + ("?" if unit_doubtful(qty) else "")
        if not qty.unit:
            return f"ISO VG {qty.value:g}"
        return f"SAE {qty.value:g}W-{qty.high:g}" if qty.high is not None else f"SAE {qty.value:g}"
    if qty.kind in _SUFFIX:
        amount = format_amount(qty.value, qty.high, "")
        return f"{hedge}{amount} {_SUFFIX[qty.kind]}"
    unit = qty.unit
    if qty.si_value is None and not qty.other_readings and (printed := PRINTED.get(unit, "")).startswith(_IMPERIAL):
        unit = printed.removeprefix(_IMPERIAL)  # nobody said whose pints they are
    return hedge + format_amount(qty.value, qty.high, unit) + ("?" if unit_doubtful(qty) else "")


def rounded(value: float, like: float) -> float:
    """A converted value with about as many figures as the spoken one had, never fewer than three.

    >>> rounded(33.8954487, 25), rounded(0.1016, 4)
    (33.9, 0.102)
    """
    figures = max(3, len(format_number(like).replace(".", "").strip("0")))
    if value == 0:
        return 0.0
    return round(value, figures - 1 - floor(log10(abs(value))))


def customary(qty: Quantity) -> list[str]:
    """The same amount in the units a reader may want beside it; empty where the unit was not declared.

    Pints, quarts, gallons and fluid ounces convert only when it is known whose they are.
    """
    if qty.unit not in CUSTOMARY or qty.si_value is None or qty.kind in ("thread", "spanner"):
        return []
    amounts = []
    for unit in CUSTOMARY[qty.unit]:
        if unit_named(unit).si != unit_named(qty.unit).si:
            continue
        value = rounded(convert(qty.value, qty.unit, unit), qty.value)
        high = None if qty.high is None else rounded(convert(qty.high, qty.unit, unit), qty.high)
        number = format_number(value) if high is None else f"{format_number(value)}–{format_number(high)}"
        amounts.append(f"{number} {PRINTED.get(unit, unit)}")
    return amounts
