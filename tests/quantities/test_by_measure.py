"""What an ordinary week at the bench says short: levels, strokes, chamfers, rings, oils, and numbers that are none."""

from __future__ import annotations

import pytest

from pipeline.records import Settings, UnitSystem
from tests.quantities.sayings import find_in
from tests.quantities.scoring import key_of, read_key

SAID: list[tuple[str, UnitSystem, list[str]]] = [
    # how far from an edge, how far it moves, what a chamfer is wide
    ("The oil has to be ninety five down from the rim.", "imperial", ["95 mm"]),
    ("Four came down from the rim of the valley.", "imperial", []),
    ("The ram's a fifty bore and four hundred of stroke.", "imperial", ["50 mm", "400 mm"]),
    ("It's the last four hundred of the batch.", "imperial", []),
    ("A chamfer on both ends, two by forty-five degrees.", "imperial", ["2 mm", "angle 45 deg"]),
    ("Two turns, then forty-five degrees.", "imperial", ["angle 2 turn", "angle 45 deg"]),
    # two decimals beside three, digits without their point
    ("The pin measures one point four nine and one point four eight seven, so that's three thou of taper.", "imperial",
     ["1.49 in", "1.487 in", "3 thou"]),
    ("The shim's one point four nine millimetres, and that's three thou too thick.", "imperial", ["1.49 mm", "3 thou"]),
    ("The rotor's one point four thick, it started out at one eight.", "imperial", ["1.4 mm", "1.8 mm"]),
    ("The disc's four point eight, and the limit's four five.", "imperial", ["4.8 mm", "4.5 mm"]),
    ("The hole's one point four across, and there are eight of them.", "imperial", ["1.4 mm"]),
    ("The prop's a nine by seven, and there's a four mil nick in it.", "imperial", ["9 in", "7 in", "4 mm"]),
    ("The prop shaft seal's thirty by forty two by eight.", "imperial", ["30 mm", "42 mm", "8 mm"]),
    ("The left one zero point two five, the right one zero point three mil.", "imperial", ["0.25 mm", "0.3 mm"]),
    # rings that are spanners
    ("You want an inch and an eighth ring on those nuts.", "imperial", ["spanner 1.125 in"]),
    ("The cover bolts take a five-sixteenths Whit ring.", "imperial", ["spanner 0.3125 in"]),
    ("The piston needs a quarter inch ring for the lower groove.", "imperial", ["0.25 in"]),
    # fasteners, then turns
    ("The valve has a locknut seventeen and one turn out gives you more.", "imperial",
     ["spanner 17 mm", "angle 1 turn"]),
    ("One turn and a half out on each screw.", "imperial", ["angle 1.5 turn"]),
    # oils
    ("That's ten-forty going in, and a new washer.", "imperial", ["viscosity 10..40 SAE"]),
    ("It's ten-forty already and no tea.", "imperial", []),
    ("The oil used to be a straight thirty, and twenty in the winter.", "imperial",
     ["viscosity 30 SAE", "viscosity 20 SAE"]),
    ("The oil's a straight thirty, and I have twenty cans in the shed.", "imperial", ["viscosity 30 SAE"]),
    ("Mix is fifty to one and he was running it at about twenty five.", "imperial", ["ratio 50", "ratio 25"]),
    ("I rubbed the tank down with thousand paper.", "imperial", ["grit 1000"]),
    ("A hundred and ten thousand papers on the desk.", "imperial", []),
    ("It came on a nineteen mil axle.", "us", ["19 mm"]),
    ("The gap's nineteen mils.", "us", ["clearance 19 thou"]),
    ("The first nut goes to sixty foot pounds and the upper one's forty, and then a little more.", "imperial",
     ["torque 60 lbf·ft", "torque 40 lbf·ft"]),
    # sprockets side by side
    ("the chainrings are forty-eight thirty-six and twenty-six", "imperial", ["teeth 48", "teeth 36", "teeth 26"]),
    # no figures
    ("I knocked it out with a two by four in the vice.", "imperial", []),
    ("It loses three minutes a day.", "imperial", []),
    ("It lost three minutes while it cooled, so I gave it ten minutes more.", "imperial",
     ["duration 3 min", "duration 10 min"]),
    ("His wife had the baby, three kilos eight hundred.", "imperial", []),
    ("The flywheel weighs three kilos.", "imperial", ["mass 3 kg"]),
    ("They are four pounds for a bag of a hundred.", "imperial", []),
    ("The tyres are at twenty-two psi, so that's another hundred and fifty gone.", "imperial", ["pressure 22 psi"]),
    ("It was at twenty-two psi, and another ten on top.", "imperial", ["pressure 22 psi", "pressure 10 psi"]),
    ("Soak it for half an hour, then two drops of oil, only two.", "imperial", ["duration 0.5 h"]),
    ("One shim's worth twenty bar, so I put two.", "imperial", ["pressure 20 bar"]),
]  # fmt: skip


@pytest.mark.parametrize(("line", "units", "figures"), SAID)
def test_what_a_week_says_short(line: str, units: UnitSystem, figures: list[str]) -> None:
    wanted = [read_key(figure if figure[0].isalpha() else f"length {figure}") for figure in figures]
    assert [key_of(qty) for qty in find_in(line, Settings(units=units))] == wanted
