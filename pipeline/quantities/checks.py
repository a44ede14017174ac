"""Can it be true? Every check holds a figure against a published table and says which; none corrects anything."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from pipeline.numbers import slip
from pipeline.quantities.convert import format_number, format_quantity
from pipeline.quantities.fasteners import MANUAL, check_pitch, check_spanner, check_torque
from pipeline.quantities.garbled import unit_garbled
from pipeline.quantities.lost import lost_figures
from pipeline.quantities.odd_owners import check_owners
from pipeline.quantities.standards import standard
from pipeline.quantities.units import convert, unit_named
from pipeline.records import Finding, Quantity, Settings, Token
from pipeline.times import ms_to_clock
from pipeline.tokens import bare


def check_quantities(quantities: Sequence[Quantity], settings: Settings, tokens: Sequence[Token] = ()) -> list[Finding]:
    """Findings about figures, in order of time: what was heard, why it is odd, the source, and what to look at.

    `tokens` are those the quantities were found in; brake fluid classes are looked for there.
    """
    findings = [finding for check in CHECKS for finding in check(quantities, settings)]
    findings.extend(_brake_fluid(tokens))
    findings.extend(lost_figures(quantities, tokens))
    return sorted(findings, key=lambda finding: finding.start_ms)


def _undeclared(quantities: Sequence[Quantity], settings: Settings) -> Iterator[Finding]:
    """One finding for all: what is to be done about it is done once."""
    unknown = [qty for qty in quantities if qty.kind == "volume" and qty.si_value is None and settings.units is None]
    if unknown:
        first, more = unknown[0], len(unknown) - 1
        message = (
            f"heard {first.said!r}{f' and {more} more' if more else ''}: imperial and US measures differ (a pint by a "
            f"fifth) and nobody said which, so nothing is converted; say it with --units imperial or --units us "
            f"(NIST SP 811 appendix B)"
        )
        yield Finding("check", "units_undeclared", message, first.start_ms)


def _misheard(quantities: Sequence[Quantity], settings: Settings) -> Iterator[Finding]:
    for qty in quantities:
        if unit_garbled(qty):
            at = ms_to_clock(qty.start_ms)
            message = f"heard {qty.said!r}: {qty.why}, so it is shown as {format_quantity(qty)}; listen again at {at}"
            yield Finding("check", "unit_misheard", message, qty.start_ms)


def _swallowed_to(quantities: Sequence[Quantity], settings: Settings) -> Iterator[Finding]:
    for qty in quantities:
        if qty.kind == "torque" and qty.other_readings == (qty.value - 200, qty.value - 100):
            short, middle = (format_number(value) for value in qty.other_readings)
            message = (
                f"heard {qty.said!r} right after a verb: it may be “to {short}” or “to {middle}”; listen again at "
                f"{ms_to_clock(qty.start_ms)}"
            )
            yield Finding("check", "doubtful_figure", message, qty.start_ms)


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
        if qty.unit != "SAE":
            continue
        tables = (fluids["sae_j300"], fluids["sae_j306"])
        if qty.high is None:
            known = any(qty.value in table["grades"] or qty.value in table["winter"] for table in tables)
        else:
            known = any(qty.value in table["winter"] and qty.high in table["grades"] for table in tables)
        if not known:
            message = (
                f"heard {format_quantity(qty)}: no such grade of engine oil (SAE J300) or gear oil (SAE J306); "
                f"listen again, and {MANUAL}"
            )
            yield Finding("check", "viscosity_grade", message, qty.start_ms)


def _limits(quantities: Sequence[Quantity], settings: Settings) -> Iterator[Finding]:
    """Figures out of any workshop's range, with the teen/ty slip that would bring them back."""
    for qty in quantities:
        for limit in standard("limits")["limit"]:
            if limit["kind"] != qty.kind or not qty.unit:
                continue
            if "subjects" in limit and qty.subject not in limit["subjects"]:
                continue
            if qty.subject.split()[-1:] and qty.subject.split()[-1] in limit.get("not_of", ()):
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
            message = f"heard {format_quantity(qty)}: {limit['message']}{maybe} ({limit['source']}); {MANUAL}"
            yield Finding("check", f"{qty.kind}_range", message, qty.start_ms)
            break


def _conflicts(quantities: Sequence[Quantity], settings: Settings) -> Iterator[Finding]:
    """Two different figures for the same thing, said more than half a minute apart (stages are said in one go)."""
    generic = standard("limits")["generic_subjects"]
    last: dict[tuple[str, ...], Quantity] = {}
    for qty in quantities:
        if qty.kind not in ("torque", "pressure", "viscosity") or not qty.subject or qty.subject in generic:
            continue
        key = (qty.kind, qty.subject, qty.side, qty.position, qty.thread)
        earlier = last.get(key)
        last[key] = qty
        if earlier is None or _same(earlier, qty) or qty.start_ms - earlier.start_ms < _STAGES_MS:
            continue
        message = (
            f"heard {format_quantity(qty)} for the {qty.subject}, and {format_quantity(earlier)} before: one of them "
            f"is for something else, or was misheard; {MANUAL}"
        )
        yield Finding("check", "two_figures", message, qty.start_ms)


_STAGES_MS = 30_000


def _same(one: Quantity, other: Quantity) -> bool:
    """Whether two figures of a kind agree within 3 %, or one range holds the other."""
    if one.kind == "viscosity" or one.si_unit != other.si_unit:
        return (one.value, one.high, one.unit) == (other.value, other.high, other.unit)
    low = max(_in_si(one), _in_si(other))
    high = min(one.si_high or _in_si(one), other.si_high or _in_si(other))
    return low <= high * 1.03


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
CHECKS: list[Check] = [
    check_torque,
    check_pitch,
    check_spanner,
    _undeclared,
    _misheard,
    _swallowed_to,
    _tenths,
    _viscosity,
    _limits,
    _conflicts,
    check_owners,
]
