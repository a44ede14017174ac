"""Checks of threads: torque for the size, pitch for the diameter, spanner for the thread."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from fractions import Fraction
from math import isclose

from pipeline.numbers import slip
from pipeline.quantities.bands import torque_band
from pipeline.quantities.convert import format_number, format_quantity, inches
from pipeline.quantities.standards import standard
from pipeline.quantities.units import convert
from pipeline.records import Finding, Quantity, Settings

MANUAL = "check the maker's manual"
_METRIC = re.compile(r"M([\d.]+)(?:x([\d.]+))?")
_INCH = re.compile(r"((?:\d+ )?\d+(?:/\d+)?)(?:-(\d+))?(?: (\w+))?")
# Series of threads -> the key of the table they share.
_SERIES = {"CEI": "BSC", "BSPT": "BSP", "BSPP": "BSP"}


def check_torque(quantities: Sequence[Quantity], settings: Settings) -> Iterator[Finding]:
    """Torque against thread size and property class, with the teen/ty slip that would make it ordinary."""
    for qty in quantities:
        band = torque_band(qty.thread) if qty.kind == "torque" and qty.thread else None
        if band is None:
            continue
        newton_metres = convert(qty.high or qty.value, qty.unit, "N·m")
        heard = f"heard {format_quantity(qty)} on {qty.thread}"
        usual = f"about {format_number(round(band.usual, 1))} N·m is usual for ordinary steel (class 8.8 or grade 5)"
        better = [value for value in slip(qty.value) if band.low <= convert(value, qty.unit, "N·m") <= band.caution]
        maybe = f"; was it {format_number(better[0])} {qty.unit}?" if better else ""
        if newton_metres > band.broken:
            message = f"{heard}: the bolt would break first; {usual}{maybe} ({band.source}); {MANUAL}"
            yield Finding("caution", "torque_too_high", message, qty.start_ms)
        elif newton_metres > band.caution:
            message = f"{heard}: high for the size; {usual}{maybe} ({band.source}); {MANUAL}"
            yield Finding("check", "torque_high", message, qty.start_ms)
        elif newton_metres < band.low:
            odd = f"{heard}: low for the size, as in aluminium or on a pinch bolt"
            message = f"{odd}; {usual}{maybe} ({band.source}); {MANUAL}"
            yield Finding("check" if better else "note", "torque_low", message, qty.start_ms)


def check_pitch(quantities: Sequence[Quantity], settings: Settings) -> Iterator[Finding]:
    """Pitch against diameter: ISO 261 for metric, the series' own tables for inch threads."""
    for qty in quantities:
        if qty.kind != "thread":
            continue
        metric = _METRIC.fullmatch(qty.thread)
        message = _metric_pitch(qty, metric) if metric else _inch_pitch(qty)
        if message:
            yield Finding("check", "thread_pitch", message, qty.start_ms)


def _metric_pitch(qty: Quantity, metric: re.Match[str]) -> str:
    entry = standard("threads")["metric"].get(metric[1])
    if entry is None:
        return f"heard {qty.thread}: no size that is in common use (ISO 262); listen again"
    pitches = [entry["coarse"], *entry["fine"]]
    if not metric[2] or float(metric[2]) in pitches:
        return ""
    return f"heard {qty.thread}: pitches for M{metric[1]} are {_listed(pitches)} mm (ISO 261); listen again"


def _inch_pitch(qty: Quantity) -> str:
    inch = _INCH.fullmatch(qty.thread)
    if inch is None or not inch[3]:
        return ""
    name = _SERIES.get(inch[3], inch[3])
    tables = standard("threads")["inch"]
    in_series = sorted(size for size, entry in tables.items() if name in entry)
    if not in_series or name == "UNEF":
        return ""
    if inch[1] not in in_series:
        return f"heard {qty.thread}: no usual size of {inch[3]} ({_INCH_SOURCE}); listen again"
    pitches = tables[inch[1]][name]
    if not inch[2] or int(inch[2]) in pitches:
        return ""
    known = f"{inch[1]} {inch[3]} has {_listed(pitches)} threads to the inch"
    return f"heard {qty.thread}: {known} ({_INCH_SOURCE}); listen again"


_INCH_SOURCE = "BS 84, BS 811, ASME B1.1, ISO 228-1"


def check_spanner(quantities: Sequence[Quantity], settings: Settings) -> Iterator[Finding]:
    """Spanner against the thread said with it: ISO 272, old DIN, JIS, socket keys; AF and Whitworth jaws."""
    for qty in quantities:
        if qty.kind != "spanner" or not qty.thread:
            continue
        metric = _METRIC.fullmatch(qty.thread)
        message = _metric_spanner(qty, metric) if metric else _inch_spanner(qty)
        if message:
            yield Finding("check", "spanner_thread", message, qty.start_ms)


def _metric_spanner(qty: Quantity, metric: re.Match[str]) -> str:
    entry = standard("threads")["metric"].get(metric[1])
    if entry is None:
        return ""
    sizes = sorted({*entry["spanner_iso"], *entry["spanner_din"], *entry["spanner_jis"], *entry["key"]})
    jaw_mm = qty.value * 25.4 if qty.unit == "in" else qty.value
    if any(isclose(jaw_mm, size, abs_tol=0.2) for size in sizes):
        return ""
    return (
        f"heard a {format_quantity(qty)} spanner with {qty.thread}: sizes for it are {_listed(sizes)} mm "
        "(ISO 272, old DIN, JIS, socket keys of ISO 4762); listen again"
    )


def _inch_spanner(qty: Quantity) -> str:
    inch = _INCH.fullmatch(qty.thread)
    entry = standard("threads")["inch_spanner"].get(inch[1]) if inch else None
    if inch is None or entry is None or qty.unit != "in" or inch[3] not in ("UNF", "UNC", "BSW", "BSF"):
        return ""
    if inch[3] in ("UNF", "UNC"):
        size = Fraction(0) + sum(Fraction(part) for part in entry.get("af_in", "0").split())
        if not size or isclose(float(size), qty.value, abs_tol=0.01):
            return ""
        expected = f"{inches(float(size))} AF (ASME B18.2.1, BS 1768)"
    else:
        # Whitworth spanners are marked with the thread: the same size, or one size down or up between BSW and BSF.
        sizes = list(standard("threads")["inch_spanner"])
        place = sizes.index(inch[1])
        marks = sizes[max(0, place - 1) : place + 2]
        if any(isclose(float(Fraction(mark)), qty.value, abs_tol=0.001) for mark in marks):
            return ""
        expected = f"a Whitworth spanner marked {' or '.join(marks)} (jaw sizes of BSW and BSF)"
    return f"heard a {format_quantity(qty)} spanner with {qty.thread}: it takes {expected}; listen again"


def _listed(numbers: Sequence[float]) -> str:
    return ", ".join(format_number(number) for number in numbers)
