"""Kinds and units that leave no doubt: threads of bolts, spanners of nuts, gaps, revs, units said later."""

import pytest

from pipeline.records import Settings, UnitSystem
from tests.quantities.sayings import find_in
from tests.quantities.scoring import key_of, read_key

# Each should has its should-not behind it.
SAID: list[tuple[str, UnitSystem, list[str]]] = [
    ("The cylinder nuts are five sixteenths.", "imperial", ["thread 0.3125 in"]),
    ("The cylinder nuts are half inch AF.", "imperial", ["spanner 0.5 in"]),
    (
        "Coupling bolts are sixteen mil with a twenty four spanner.",
        "imperial",
        ["thread 16 mm", "spanner 24 mm"],
    ),
    ("Undo it with a ten and a thirteen spanner.", "imperial", ["spanner 10 mm", "spanner 13 mm"]),
    ("Bell housing bolts are half-inch, coarse.", "us", ["thread 0.5 in"]),
    ("Blades, fifteen-sixteenths bolt heads, forty-five foot pounds.", "us", ["spanner 0.9375 in", "torque 45 lbf·ft"]),
    ("The flywheel nut is twenty two and one hundred newton metres.", "imperial", ["spanner 22 mm", "torque 100 N·m"]),
    ("The flywheel nut is twenty, then one hundred newton metres.", "imperial", ["torque 20 N·m", "torque 100 N·m"]),
    ("The adjuster's locknut is seventeen, twenty-five newton metres.", "imperial", ["spanner 17 mm", "torque 25 N·m"]),
    ("You hold the flats with a thirteen.", "imperial", ["spanner 13 mm"]),
    ("I gave em forty foot pounds.", "imperial", ["torque 40 lbf·ft"]),
    ("The plug is one nineteen spanner.", "imperial", ["spanner 19 mm"]),
    ("Plug's gapped at twenty-two, should be twenty.", "us", ["clearance 22 thou", "clearance 20 thou"]),
    ("The plug is gapped at nought point six.", "us", ["clearance 0.6 mm"]),
    ("Check the runout. Eight hundredths of a millimetre.", "imperial", ["length 0.08 mm"]),
    ("Two and a half inches of play at the rim.", "imperial", ["clearance 2.5 in"]),
    ("Two and a half inches of hose.", "imperial", ["length 2.5 in"]),
    ("Endplay, and we went from nineteen to eight.", "us", ["clearance 19 thou", "clearance 8 thou"]),
    ("I went from nineteen to eight of them.", "us", []),
    (
        "A hundred and ten on the roof, one thirty on the wings. Microns.",
        "imperial",
        ["length 110 µm", "length 130 µm"],
    ),
    ("Two bolts on the roof. Microns.", "imperial", []),
    ("Camber was minus one and a half here.", "imperial", ["angle -1.5 deg"]),
    ("It was minus twenty out there.", "imperial", ["temperature -20 °C"]),
    ("Water's at ninety-six.", "imperial", ["temperature 96 °C"]),
    ("The water's in, two litres.", "imperial", ["volume 2 L"]),
    ("The starter draws three hundred and ten.", "imperial", ["current 310 A"]),
    ("I do them up to seventeen.", "imperial", ["torque 17 N·m"]),
    ("It idles at 1,500 turns.", "imperial", ["speed 1500 rpm"]),
    ("The coil is 1,500 turns of wire.", "imperial", []),
    (
        "Wide open throttle, thirty-three hundred rpm, and now it's thirty-five fifty.",
        "us",
        ["speed 3300 rpm", "speed 3550 rpm"],
    ),
    (
        "Flat out it's thirteen thousand rpm and the sticker says thirteen two.",
        "imperial",
        ["speed 13000 rpm", "speed 13200 rpm"],
    ),
    ("The book says eighteen to two thousand psi.", "us", ["pressure 1800..2000 psi"]),
    ("I gave the gearbox twenty six ounces by the pump no twenty eight", "us", ["volume 28 fl_oz_US"]),
    ("It is thirty thou on number one and no two cylinders are alike", "imperial", ["length 30 thou"]),
    ("That's two inches and a thirty second.", "us", ["length 2.03125 in"]),
    ("There's a volt and a half away in that cable.", "imperial", ["voltage 1.5 V"]),
    ("Leave the first one twenty minutes.", "imperial", ["duration 20 min"]),
    ("The ram had three-eighths of drop.", "imperial", ["length 0.375 in"]),
    ("Carbs one and two pulled nine inches of vacuum.", "us", []),
    ("The vacuum hose is nine inches.", "us", ["length 9 in"]),
    ("The rope's an eighth inch by forty inches.", "us", ["length 0.125 in", "length 40 in"]),
    ("The batteries are resting at twelve six.", "imperial", ["voltage 12.6 V"]),
    ("It opens at one twenty-three bar. Ours opens at ninety.", "imperial", ["pressure 123 bar", "pressure 90 bar"]),
    ("The thermostat opens at ninety.", "imperial", ["temperature 90 °C"]),
    ("It mikes at eight hundred seventy-four.", "us", ["length 874 thou"]),
    ("A hundred and fifty pounds, that's an engine with four hundred thousand on it.", "imperial", []),
]


@pytest.mark.parametrize(("line", "units", "figures"), SAID)
def test_the_kind_is_sure(line: str, units: UnitSystem, figures: list[str]) -> None:
    found = [qty for qty in find_in(line, Settings(units=units)) if qty.kind != "count"]
    assert [key_of(qty) for qty in found] == [read_key(figure) for figure in figures]
