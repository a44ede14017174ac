"""Numbers that take no unit of what stands beside them, or another one, family by family; and whose they are."""

from __future__ import annotations

from collections import Counter

import pytest

from pipeline.records import Settings, UnitSystem
from tests.quantities.sayings import find_in
from tests.quantities.scoring import key_of, read_key

SAID: list[tuple[str, UnitSystem, list[str]]] = [
    # parts of an inch beside thou and tenths
    ("Sleeve's two and a half, and I'm taking thirty thou a cut off it.", "imperial",
     ["length 2.5 in", "length 30 thou"]),
    ("Crank pin is one and three quarters, less two thou.", "imperial", ["length 1.75 in", "length 2 thou"]),
    ("Bush came up seven eighths less a tenth, and the reamer's seven eighths.",
     "imperial", ["length 0.875 in", "length 0.1 thou", "length 0.875 in"]),
    ("the boss on the loom is one and a quarter and I take twenty five thou a pass", "imperial",
     ["length 1.25 in", "length 25 thou"]),
    ("The shims are one and a half and fifteen thou.", "imperial", ["length 1.5 thou", "length 15 thou"]),
    ("One shim is two and a half thou, the other is four and a half.", "imperial",
     ["length 2.5 thou", "length 4.5 thou"]),
    # whole sizes beside microns
    ("Plunger is twenty five and eight microns.", "imperial", ["length 25 mm", "length 8 µm"]),
    ("Sewing machine shaft's sixteen across, and it's four microns under.", "imperial",
     ["length 16 mm", "length 4 µm"]),
    ("the spindle is thirty less nine microns", "imperial", ["length 30 mm", "length 9 µm"]),
    ("three and five microns of runout on the two ends", "imperial", ["length 3 µm", "length 5 µm"]),
    ("The lap takes ten and twelve microns off each time.", "imperial", ["length 10 µm", "length 12 µm"]),
    # gaps of whole numbers
    ("They're three for the inlet and five for the exhaust, thou I mean, and cold.",
     "imperial", ["clearance 3 thou", "clearance 5 thou"]),
    ("Tractor tappets: I found nine on the inlet and fourteen on the exhaust.",
     "imperial", ["clearance 9 thou", "clearance 14 thou"]),
    ("I had eight on the intake and twelve on the exhaust so both get touched.",
     "imperial", ["clearance 8 thou", "clearance 12 thou"]),
    ("points fifteen they were and the spark was weak", "imperial", ["clearance 15 thou"]),
    ("The valve gap is point one five inlet and point two exhaust.",
     "imperial", ["clearance 0.15 mm", "clearance 0.2 mm"]),
    ("There's four bolts on the inlet and six on the exhaust.", "imperial", []),
    # spanners by their bolts
    ("Sump bolt nineteen, thirty newton metres.", "imperial", ["spanner 19 mm", "torque 30 N·m"]),
    ("Blade nut twenty-two, sixty newton metres, and a new washer.", "imperial", ["spanner 22 mm", "torque 60 N·m"]),
    ("Cover screws are ten head and the drain nipple is eight and only five newton metres.",
     "imperial", ["spanner 10 mm", "spanner 8 mm", "torque 5 N·m"]),
    ("Head bolts seventeen, then thirty newton metres.", "imperial", ["torque 17 N·m", "torque 30 N·m"]),
    # pressures on a gauge, and what opens at one
    ("Put the gauge on the loader pump and it shows eighteen hundred.", "imperial", ["pressure 1800 psi"]),
    ("The injector popped at twenty two hundred.", "imperial", ["pressure 2200 psi"]),
    ("The relief on the log splitter opens at two thousand.", "imperial", ["pressure 2000 psi"]),
    ("The engine idles at nine hundred with the gauge off.", "imperial", ["speed 900 rpm"]),
    # money
    ("A pump for it is sixty two pounds from the trade counter.", "imperial", []),
    ("A gasket set is twenty pounds delivered.", "imperial", []),
    ("The seal was two cedis, and the bearing fifty rupees.", "imperial", []),
    ("The pump gives forty pounds at the gauge.", "imperial", ["pressure 40 psi"]),
    # no figures
    ("The tyre's a 37, I've pumped that to 65 psi.", "imperial", ["pressure 65 psi"]),
    ("Tyre's at thirty, pumped it to thirty-five psi.", "imperial", ["pressure 30 psi", "pressure 35 psi"]),
    ("The shifters are two by ten, and the cable's new.", "imperial", []),
    ("The box is two by ten inches.", "imperial", ["length 2 in", "length 10 in"]),
    ("He built it in '38, out of an old mangle.", "imperial", []),
    ("This is the sixty cc saw, and it takes forty cc of oil.", "imperial", ["volume 40 mL"]),
    ("Did I say thirty? It's the gland nut, forty newton metres.", "imperial", ["torque 40 N·m"]),
    ("The lad asked me what a thou is.", "imperial", []),
    # ranges and tolerances
    ("Pit in the liner is point one deep, or point two.", "imperial", ["length 0.1..0.2 mm"]),
    ("The coolant opened it at eighty, eighty-one.", "imperial", ["temperature 80..81 °C"]),
    ("Tickover is nine hundred, plus minus fifty.", "imperial", ["speed 900 rpm", "speed 50 rpm"]),
    ("Idle is eight hundred rpm when it's hot plus minus fifty.", "imperial", ["speed 800 rpm", "speed 50 rpm"]),
    # wholes, and units that are said behind
    ("Half a pint of straight thirty... no, tell a lie, a whole pint.",
     "imperial", ["viscosity 30 SAE", "volume 1 pt_imp"]),
    ("Half a pint of straight thirty, and a whole pint of paraffin.",
     "imperial", ["volume 0.5 pt_imp", "viscosity 30 SAE", "volume 1 pt_imp"]),
    ("The seat is seventy-four point five from the axle, in centimetres of course.", "imperial", ["length 74.5 cm"]),
    # what was asked, and short revs
    ("How many teeth on the pulley? Forty-two.", "imperial", ["teeth 42"]),
    ("Chainsaw tach shows twelve five and the limit is thirteen five.",
     "imperial", ["speed 12500 rpm", "speed 13500 rpm"]),
    ("The holes are M6, and I drill them eighteen deep, the others twenty deep.",
     "imperial", ["thread 6 mm", "length 18 mm", "length 20 mm"]),
]  # fmt: skip


@pytest.mark.parametrize(("line", "units", "figures"), SAID)
def test_what_a_number_is_beside_others(line: str, units: UnitSystem, figures: list[str]) -> None:
    wanted = Counter(read_key(f"{figure} " if len(figure.split()) == 2 else figure) for figure in figures)
    assert Counter(key_of(qty) for qty in find_in(line, Settings(units=units))) == wanted


@pytest.mark.parametrize(
    ("line", "owners"),
    [
        ("I roughed the bar at forty thou a cut.", [""]),
        ("The bar is forty thou over.", ["bar"]),
        ("I dress the wheel twenty microns at a time.", [""]),
        ("Long screw eight newton metres, short screw five newton metres.", ["long screw", "short screw"]),
        ("High screw one turn, low screw one and a quarter.", ["high screw", "low screw"]),
        ("top ring gap fourteen thou second ring gap twelve and that was that", ["top ring", "second ring"]),
        ("Eighteen foot pounds on the long nuts and twelve on the short nuts.", ["long nut", "short nut"]),
        ("They're four for the inlet and six for the exhaust, thou I mean.", ["inlet", "exhaust"]),
        ("Drive side spokes, a hundred and fifteen kilos.", ["drive side spoke"]),
        ("The spokes on this side, a hundred and fifteen kilos.", ["spoke"]),
        ("The clearance is twelve microns.", [""]),
    ],
)
def test_each_figure_is_of_its_own_thing(line: str, owners: list[str]) -> None:
    assert [qty.subject for qty in find_in(line, Settings())] == owners
