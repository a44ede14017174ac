"""What the second hearing hands on, and doubtful figures marked with both readings."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from pipeline.quantities import check_quantities, format_quantity
from pipeline.quantities.units import to_si
from pipeline.records import Correction, Finding, Quantity, Settings, Word
from pipeline.second_hearing.figures import FigureDoubt
from pipeline.times import ms_to_clock

# Words shown on either side of a doubtful figure.
_BESIDE = 3
# Findings about one figure alone that mean: nobody did that.
_IMPOSSIBLE = ("torque_too_high", "viscosity_grade")


@dataclass(frozen=True, slots=True)
class SecondHearing:
    """All corrections, heard again or not; findings; figures that the sound leaves open."""

    corrections: tuple[Correction, ...]
    findings: tuple[Finding, ...] = ()
    doubts: tuple[FigureDoubt, ...] = ()


def mark_doubtful(quantities: Sequence[Quantity], doubts: Sequence[FigureDoubt]) -> list[Quantity]:
    """Quantities with the other readings of those whose figure is doubtful; all others as they are.

    The value stays as heard, unless it cannot be (a torque that breaks the thread, a grade that no oil has) and
    another reading can; then that one is taken and what was heard is kept beside it.
    """
    marked = []
    for qty in quantities:
        for doubt in doubts:
            if _is_about(doubt, qty):
                qty = _with_readings(qty, doubt)
        marked.append(qty)
    return marked


def _is_about(doubt: FigureDoubt, qty: Quantity) -> bool:
    overlaps = doubt.start_word < qty.end_word and qty.start_word < doubt.end_word
    return overlaps and doubt.heard in (qty.value, qty.high)


def _with_readings(qty: Quantity, doubt: FigureDoubt) -> Quantity:
    why = f"{qty.why}; {doubt.why}" if qty.why else doubt.why
    possible = [value for value in doubt.others if _can_be(qty, value)]
    if qty.high is None and possible and not _can_be(qty, qty.value):
        others = tuple(value for value in (qty.value, *doubt.others) if value != possible[0])
        si = None if qty.si_value is None else to_si(Fraction(repr(possible[0])), qty.unit)
        taken = f"{format_quantity(qty)} cannot be, so {possible[0]:g} is taken"
        return replace(
            qty,
            value=possible[0],
            other_readings=tuple(dict.fromkeys((*qty.other_readings, *others))),
            si_value=None if si is None else float(si),
            why=f"{why}; {taken}",
        )
    return replace(qty, other_readings=tuple(dict.fromkeys((*qty.other_readings, *doubt.others))), why=why)


def _can_be(qty: Quantity, value: float) -> bool:
    findings = check_quantities([replace(qty, value=value)], Settings(units="imperial"))
    return not any(finding.rule in _IMPOSSIBLE or finding.rule == f"{qty.kind}_range" for finding in findings)


def doubt_findings(
    doubts: Iterable[FigureDoubt], quantities: Sequence[Quantity], words: Sequence[Word]
) -> list[Finding]:
    """One finding a doubtful figure: both readings with their unit, and where to listen."""
    findings = []
    for doubt in doubts:
        qty = next((qty for qty in quantities if _is_about(doubt, qty)), None)
        readings = [f"{value:g}" for value in (doubt.heard, *doubt.others)]
        if qty is not None and doubt.heard == qty.value and qty.high is None:
            last = replace(qty, value=doubt.others[-1], approximate=False, bound="")
            readings[-1] = format_quantity(last)
        start_ms = words[doubt.start_word].start_ms
        around = " ".join(word.text for word in words[max(0, doubt.start_word - _BESIDE) : doubt.end_word + _BESIDE])
        message = f"{' or '.join(readings)}: listen at {ms_to_clock(start_ms)} to “{around}” ({doubt.why})"
        findings.append(Finding("check", "doubtful_figure", message, start_ms))
    return findings
