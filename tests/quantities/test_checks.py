"""Findings: what was heard, why it is odd, the source; and silence about what is ordinary."""

from __future__ import annotations

import pytest

from pipeline.quantities import attach_quantities, check_quantities, find_quantities
from pipeline.records import Finding, Quantity, Settings
from pipeline.tokens import line_words, written_tokens
from pipeline.vocabulary import load_vocabulary

VOCABULARY = load_vocabulary()
DECLARED = Settings(units="imperial")


def findings(line: str, settings: Settings = DECLARED) -> list[Finding]:
    tokens = written_tokens(line_words(line))
    quantities = attach_quantities(find_quantities(tokens, settings), tokens, VOCABULARY)
    return check_quantities(quantities, settings, tokens)


# (said, rule, words the message must have)
ODD = [
    (
        "the M8 bolts go to ninety newton metres",
        "torque_high",
        ["90 N·m", "M8", "25.5 N·m", "was it 19 N·m?", "ISO 898-1"],
    ),
    ("M6 bolts to eighty newton metres", "torque_too_high", ["80 N·m", "break", "was it 8 N·m?", "manual"]),
    ("the M10 bolts are fifteen newton metres", "torque_low", ["was it 50 N·m?"]),
    ("the M8 bolts are four newton metres", "torque_low", ["aluminium"]),
    ("three eighths UNF bolts to two hundred foot pounds", "torque_too_high", ["3/8 UNF", "TM 9-2320"]),
    ("an M8 by one point seven five bolt", "thread_pitch", ["1.25, 1, 0.75", "ISO 261"]),
    ("five sixteenths BSF thirty two TPI", "thread_pitch", ["22 threads to the inch", "BS 84"]),
    ("a thirteen mil socket on the M6 bolt", "spanner_thread", ["5, 8, 10 mm", "ISO 272"]),
    ("a half inch spanner on the three eighths UNF bolt", "spanner_thread", ["9/16 AF", "ASME B18.2.1"]),
    ("ten w forty five oil", "viscosity_grade", ["SAE 10W-45", "SAE J300", "SAE J306"]),
    ("SAE 35 in the engine", "viscosity_grade", ["SAE 35"]),
    ("DOT five in the brakes", "dot_five", ["silicone", "DOT 5.1", "49 CFR 571.116"]),
    ("some DOT 5 fluid", "dot_five", ["silicone"]),
    ("a hundred and ninety psi in the front tyre", "pressure_range", ["190 psi"]),
    ("tyre pressure is eight psi", "pressure_range", ["was it 80 psi?"]),
    ("set the valve clearance to four mil", "clearance_range", ["4 mm", "thousandths"]),
    ("heat it to two thousand degrees celsius", "temperature_range", ["2000 °C"]),
    ("an eighty five mil spanner", "spanner_range", ["85 mm"]),
    ("there's twelve hour backlash in the pinion", "unit_misheard", ["12 thou", "can only be thou", "listen again"]),
    ("take a tenth off the bore with the lathe", "tenth", ["0.1 mm", "ten-thousandth"]),
]


@pytest.mark.parametrize(("said", "rule", "words"), ODD, ids=[said for said, *_ in ODD])
def test_odd_figures_are_found(said: str, rule: str, words: list[str]) -> None:
    (finding,) = [finding for finding in findings(said) if finding.rule == rule]
    assert finding.level in ("check", "caution", "note")
    for word in words:
        assert word in finding.message


ORDINARY = [
    "the M8 bolts go to twenty five newton metres",
    "the M6 bolts are ten newton metres with a ten mil socket",
    "M10 bolts, fifty newton metres, fourteen mil spanner",
    "M10 bolts, forty five newton metres, seventeen mil spanner",
    "an M8 by one point two five bolt and an M10 by one point two five",
    "three eighths UNF bolts to thirty foot pounds with a nine sixteenths AF spanner",
    "a five sixteenths Whitworth spanner on the five sixteenths BSW nut",
    "quarter BSF, twenty six TPI",
    "ten w forty in the engine and eighty w ninety in the gearbox",
    "SAE 30 and EP 90",
    "DOT five point one in the brakes, never mix it",
    "DOT 5.1 or DOT 4",
    "twenty eight psi in the front tyre",
    "set the valve clearance to four thou",
    "the plug gap is point seven of a millimetre",
    "half a pint of gear oil",
    "ten newton metres, then twenty, then thirty on the head bolts",
    "heat it to two hundred degrees celsius",
    "forty six teeth and twelve point six volts",
]


@pytest.mark.parametrize("said", ORDINARY)
def test_ordinary_figures_are_left_alone(said: str) -> None:
    assert findings(said) == []


def test_undeclared_measures_are_one_finding() -> None:
    found = findings("a pint of oil and two gallons of fuel", Settings())
    assert [finding.rule for finding in found] == ["units_undeclared"]
    assert "NIST SP 811" in found[0].message and "and 1 more" in found[0].message
    assert findings("a pint of oil and two gallons of fuel", Settings(units="us")) == []


FILLER = "and now we look at the other side of it for a good long while and talk about nothing much at all " * 5


def test_two_figures_for_one_thing_far_apart_are_found() -> None:
    said = f"the drain plug is twenty five newton metres {FILLER} and the drain plug gets thirty five newton metres"
    (finding,) = findings(said)
    assert finding.rule == "two_figures"
    assert "35 N·m for the drain plug, and 25 N·m before" in finding.message


@pytest.mark.parametrize(
    "second",
    [
        "the drain plug is twenty five newton metres",
        "the sump bolts get ten newton metres",
        "the drain plug is 18.4 foot pounds",
    ],
)
def test_the_same_figure_again_is_no_contradiction(second: str) -> None:
    assert findings(f"the drain plug is twenty five newton metres {FILLER} and {second}") == []


def test_findings_come_in_order_of_time_and_never_correct() -> None:
    tokens = written_tokens(line_words("DOT five in the brakes and the M6 bolts to eighty newton metres"))
    quantities = attach_quantities(find_quantities(tokens, DECLARED), tokens, VOCABULARY)
    found = check_quantities(quantities, DECLARED, tokens)
    assert [finding.rule for finding in found] == ["dot_five", "torque_too_high"]
    assert [qty.value for qty in quantities] == [6, 80]


@pytest.mark.parametrize(
    ("kind", "unit", "subject", "odd"),
    [
        ("torque", "N·m", "copper washer", True),
        ("pressure", "psi", "pinch bolt", True),
        ("torque", "N·m", "pinch bolt", False),
        ("pressure", "psi", "oil", False),
    ],
)
def test_an_owner_that_can_have_no_such_figure_is_told(kind: str, unit: str, subject: str, odd: bool) -> None:
    qty = Quantity("q1", kind, 40, None, unit, False, "forty", 0, 1, 0, subject=subject, unit_said=False)
    findings = [found for found in check_quantities([qty], Settings()) if found.rule == "odd_owner"]
    assert bool(findings) == odd
    assert not odd or "whose unit nobody said" in findings[0].message
