"""Can it be true? Every check holds a figure against a published table and says which; none corrects anything."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence

from pipeline.numbers import slip
from pipeline.quantities.bands import torque_band
from pipeline.quantities.convert import format_number, format_quantity
from pipeline.quantities.standards import standard
from pipeline.quantities.units import convert, unit_named
from pipeline.records import Finding, Quantity, Settings, Token
from pipeline.tokens import bare

_MANUAL = "check the maker's manual"


def check_quantities(quantities: Sequence[Quantity], settings: Settings, tokens: Sequence[Token] = ()) -> list[Finding]:
    """Findings about figures, in order of time: what was heard, why it is odd, the source, and what to look at.

    `tokens` are those the quantities were found in; brake fluid classes are looked for there.
    """
    findings = [finding for check in CHECKS for finding in check(quantities, settings)]
    findings.extend(_brake_fluid(tokens))
    return sorted(findings, key=lambda finding: finding.start_ms)


def _torque(quantities: Sequence[Quantity], settings: Settings) -> Iterator[Finding]:
    """Torque against thread size and property class, with the teen/ty slip that would make it ordinary."""
    for qty in quantities:
        band = torque_band(qty.thread) if qty.kind == "torque" and qty.thread else None
        if band is None:
            continue
        newton_metres = convert(qty.high or qty.value, qty.unit, "N·m")
        heard = f"heard {format_quantity(qty)} on {qty.thread}"
        usual = f"about {format_number(round(band.usual, 1))} N·m is usual for class 8.8 steel"
        better = [value for value in slip(qty.value) if band.low <= convert(value, qty.unit, "N·m") <= band.caution]
        maybe = f"; was it {format_number(better[0])} {qty.unit}?" if better else ""
        if newton_metres > band.broken:
            message = f"{heard}: the bolt would break first; {usual}{maybe} ({band.source}); {_MANUAL}"
            yield Finding("caution", "torque_too_high", message, qty.start_ms)
        elif newton_metres > band.caution:
            message = f"{heard}: high for the size; {usual}{maybe} ({band.source}); {_MANUAL}"
            yield Finding("check", "torque_high", message, qty.start_ms)
        elif newton_metres < band.low:
            odd = f"{heard}: low for the size, as in aluminium or on a pinch bolt"
            message = f"{odd}; {usual}{maybe} ({band.source}); {_MANUAL}"
            yield Finding("check" if better else "note", "torque_low", message, qty.start_ms)


def _undeclared(quantities: Sequence[Quantity], settings: Settings) -> Iterator[Finding]:
    for qty in quantities:
        if qty.kind == "volume" and qty.si_value is None and settings.units is None:
            message = (
                f"heard {qty.said!r}: imperial and US measures differ (a pint by a fifth) and none was declared, so it "
                f'is not converted; set units = "imperial" or "us" (NIST SP 811 appendix B)'
            )
            yield Finding("check", "units_undeclared", message, qty.start_ms)


def _tenths(quantities: Sequence[Quantity], settings: Settings) -> Iterator[Finding]:
    for qty in quantities:
        if qty.kind in ("length", "clearance") and qty.other_readings and "tenth" in qty.said.lower():
            message = f"heard {qty.said!r}: a tenth may be 0.1 mm or a ten-thousandth of an inch (0.0025 mm); say which"
            yield Finding("check", "tenth", message, qty.start_ms)


def _viscosity(quantities: Sequence[Quantity], settings: Settings) -> Iterator[Finding]:
    fluids = standard("fluids")
    for qty in quantities:
        if qty.kind != "viscosity":
            continue
        if qty.unit == "wt":
            continue
        tables = (fluids["sae_j300"], fluids["sae_j306"])
        if qty.high is None:
            known = any(qty.value in table["grades"] or qty.value in table["winter"] for table in tables)
        else:
            known = any(qty.value in table["winter"] and qty.high in table["grades"] for table in tables)
        if not known:
            message = (
                f"heard {format_quantity(qty)}: no such grade of engine oil (SAE J300) or gear oil (SAE J306); "
                f"listen again, and {_MANUAL}"
            )
            yield Finding("check", "viscosity_grade", message, qty.start_ms)


def _pitch(quantities: Sequence[Quantity], settings: Settings) -> Iterator[Finding]:
    """Pitch against diameter: ISO 261, and the inch series."""
    for qty in quantities:
        metric = re.fullmatch(r"M([\d.]+)(?:x([\d.]+))?", qty.thread) if qty.kind == "thread" else None
        if metric is None:
            continue
        entry = standard("threads")["metric"].get(metric[1])
        if entry is None:
            message = f"heard {qty.thread}: not a preferred size of ISO 262; listen again"
            yield Finding("note", "thread_size", message, qty.start_ms)
        elif metric[2] and float(metric[2]) not in (entry["coarse"], *entry["fine"]):
            pitches = ", ".join(format_number(pitch) for pitch in (entry["coarse"], *entry["fine"]))
            message = f"heard {qty.thread}: pitches for M{metric[1]} are {pitches} (ISO 261); listen again"
            yield Finding("check", "thread_pitch", message, qty.start_ms)


def _spanner(quantities: Sequence[Quantity], settings: Settings) -> Iterator[Finding]:
    for qty in quantities:
        metric = re.fullmatch(r"M([\d.]+)(?:x[\d.]+)?", qty.thread) if qty.kind == "spanner" else None
        entry = standard("threads")["metric"].get(metric[1]) if metric else None
        if entry is None or qty.unit != "mm":
            continue
        sizes = sorted({*entry["spanner_iso"], *entry["spanner_din"], *entry["spanner_jis"], *entry["key"]})
        if qty.value not in sizes:
            listed = ", ".join(format_number(size) for size in sizes)
            message = (
                f"heard a {format_quantity(qty)} spanner with {qty.thread}: sizes for it are {listed} mm "
                "(ISO 272, old DIN, JIS, socket keys ISO 4762); listen again"
            )
            yield Finding("check", "spanner_thread", message, qty.start_ms)


def _limits(quantities: Sequence[Quantity], settings: Settings) -> Iterator[Finding]:
    """Figures out of any workshop's range, with the teen/ty slip that would bring them back."""
    for qty in quantities:
        for limit in standard("limits")["limit"]:
            if limit["kind"] != qty.kind or not qty.unit:
                continue
            if "subjects" in limit and qty.subject not in limit["subjects"]:
                continue
            if unit_named(qty.unit).si != unit_named(limit["unit"]).si or not unit_named(qty.unit).si:
                continue
            value = convert(qty.value, qty.unit, limit["unit"])
            if limit["low"] <= value <= limit["high"]:
                continue
            better = [
                other
                for other in slip(qty.value)
                if limit["low"] <= convert(other, qty.unit, limit["unit"]) <= limit["high"]
            ]
            maybe = f"; was it {format_number(better[0])} {qty.unit}?" if better else ""
            message = f"heard {format_quantity(qty)}: {limit['message']}{maybe} ({limit['source']}); {_MANUAL}"
            yield Finding("check", f"{qty.kind}_range", message, qty.start_ms)
            break


def _conflicts(quantities: Sequence[Quantity], settings: Settings) -> Iterator[Finding]:
    """Two different figures for the same thing."""
    first: dict[tuple[str, ...], Quantity] = {}
    for qty in quantities:
        if qty.kind not in _SETTLED or not qty.subject:
            continue
        key = (qty.kind, qty.subject, qty.side, qty.position, qty.thread)
        earlier = first.setdefault(key, qty)
        if earlier is qty or _same(earlier, qty):
            continue
        message = (
            f"heard {format_quantity(qty)} for the {qty.subject}, and {format_quantity(earlier)} before: "
            f"one of them is for something else or was misheard; {_MANUAL}"
        )
        yield Finding("check", "two_figures", message, qty.start_ms)
        first[key] = qty


_SETTLED = frozenset({"torque", "pressure", "clearance", "viscosity"})


def _same(one: Quantity, other: Quantity) -> bool:
    if one.unit != other.unit and (one.si_value is None or other.si_value is None or one.si_unit != other.si_unit):
        return one.kind != other.kind
    low, high = sorted((_in_si(one), _in_si(other)))
    return high - low <= 0.03 * abs(high)


def _in_si(qty: Quantity) -> float:
    return qty.value if qty.si_value is None else qty.si_value


def _brake_fluid(tokens: Sequence[Token]) -> Iterator[Finding]:
    """ "DOT five": silicone, or a lost "point one": always asked (FMVSS 116, 49 CFR 571.116)."""
    words = [bare(token.text) for token in tokens]
    for place, word in enumerate(words):
        following = words[place + 1] if place + 1 < len(words) else ""
        if word in ("dot5", "dot-5") or (word == "dot" and following in ("5", "five")):
            after = words[place + (1 if word != "dot" else 2) : place + (2 if word != "dot" else 3)]
            if after in (["point"], ["1"]):
                continue
            message = (
                "heard 'DOT five': DOT 5 is silicone and DOT 5.1 is glycol, and they must not meet in one brake "
                "system; if 'point one' was lost here, put it right (FMVSS 116, 49 CFR 571.116); read the bottle "
                "and the reservoir cap"
            )
            yield Finding("caution", "dot_five", message, tokens[place].start_ms)


Check = Callable[[Sequence[Quantity], Settings], Iterator[Finding]]
CHECKS: list[Check] = [_torque, _undeclared, _tenths, _viscosity, _pitch, _spanner, _limits, _conflicts]
