"""Figures whose unit is not said: taken over from the figure before, or the only one that the talk leaves."""

from __future__ import annotations

import pytest

from pipeline.records import Settings, UnitSystem
from tests.quantities.sayings import find_in
from tests.quantities.scoring import found_in, key_of, read_key, unpunctuated

SAID = [
    ("It wants three hundred mil of oil, it takes one point nine altogether.", ["volume 300 mL", "volume 1.9 L"]),
    ("Ten mil of oil in each, then one point five more.", ["volume 10 mL", "volume 1.5 mL"]),
    ("the disc is twenty two mil thick and the minimum is twenty so that's fine", ["length 22 mm", "length 20 mm"]),
    ("the pump's at eight hundred psi, and it should be a thousand", ["pressure 800 psi", "pressure 1000 psi"]),
    ("the motor's pulling six amps and it's rated at 7.5 on the plate", ["current 6 A", "current 7.5 A"]),
    ("a fifty two tooth chainring and a thirty nine on the inside", ["teeth 52", "teeth 39"]),
    ("the lower nut is eighty foot pounds. Upper one, fifty.", ["torque 80 lbf·ft", "torque 50 lbf·ft"]),
    ("the case went in the oven at one eighty", ["temperature 180 °C"]),
    ("the plug is gapped at nought point six", ["clearance 0.6 mm"]),
    ("I put the micrometer on it and it's three point four", ["length 3.4 mm"]),
    ("the leg is filled with a hundred and fifty of fork oil", ["volume 150 mL"]),
    ("the front one is at sixty five, psi", ["pressure 65 psi"]),
    ("four head nuts, thirteen mil, and a quarter turn each", ["count 4", "spanner 13 mm", "angle 0.25 turn"]),
    ("cut a new thread with a six millimetre tap", ["thread 6 mm"]),
    ("two hundred and fifty mil came out", ["volume 250 mL"]),
    ("block's been tanked, bored forty over, and painted", ["length 40 thou"]),
    ("it's minus twenty out there this morning", ["temperature -20 °C"]),
    ("there's four eights holding the cover on, undo those", ["spanner 8 mm"]),
    ("I undid the seventeens first", ["spanner 17 mm"]),
    ("backed it off an 8th of a turn and stopped", ["angle 0.125 turn"]),
    ("I reamed it to 11 16ths, and fitted it", ["length 0.6875 in"]),
    ("it needs baking at a hundred, and 80 degrees centigrade", ["temperature 180 °C"]),
    ("topped off the diff, two pints, eighty ninety", ["volume 2 pt_imp", "viscosity 80..90 SAE"]),
    ("engine oil, a litre and a half, ten thirty, leg upright", ["volume 1.5 L", "viscosity 10..30 SAE"]),
    ("The gland nuts are done up. Just with the spanner, thirteen and fifteen.", ["spanner 13 mm", "spanner 15 mm"]),
    ("Done up with a torque wrench, the spanner's put away, fifteen.", ["torque 15 N·m"]),
    ("Flange bolts, half-inch, three-quarter wrench.", ["thread 0.5 in", "spanner 0.75 in"]),
    ("tyres are twenty eight, thirty two psi, front and rear", ["pressure 28 psi", "pressure 32 psi"]),
    ("idle's seventeen fifty revs, and right now it's at twenty nine", ["speed 1750 rpm", "speed 2900 rpm"]),
    ("air screws, turn and a half out", ["angle 1.5 turn"]),
    ("the gear goes in water, ten minutes at a hundred", ["duration 10 min", "temperature 100 °C"]),
    ("then temper at two hundred for two hours", ["temperature 200 °C", "duration 2 h"]),
    ("I ran it at two thousand for ten minutes", ["speed 2000 rpm", "duration 10 min"]),
    ("the sender's about two hundred ohms at ninety five", ["resistance 200 Ω", "temperature 95 °C"]),
    ("thirty two to one for the first tank and then back to fifty", ["ratio 32", "ratio 50"]),
    ("high idle's two thousand one fifty and low's eight hundred revs", ["speed 2150 rpm", "speed 800 rpm"]),
    ("two thousand revs, one fifty bar", ["speed 2000 rpm", "pressure 150 bar"]),
    ("five kilos eight hundred for the tank", ["mass 5.8 kg"]),
    ("the seats are forty five degrees and a sixteenth wide", ["angle 45 deg", "length 0.0625 in"]),
    ("a turn and an eighth out on the needle", ["angle 1.125 turn"]),
    ("I stretched them from thirty one mil to thirty three", ["length 31 mm", "length 33 mm"]),
    ("anything from ten to twelve thou will do", ["length 10..12 thou"]),
    ("the shaft seal's a fifteen by twenty four by five", ["length 15 mm", "length 24 mm", "length 5 mm"]),
    ("the cups are twenty seven by eighty two", ["length 27 mm", "length 82 mm"]),
    ("the deck belt's half inch by ninety six", ["length 0.5 in", "length 96 in"]),
    ("the studs are half inch by thirteen", ["thread 0.5 in"]),
    ("the spindle nose is inch and three eighths by eight, Whit form", ["thread 1.375 in"]),
    ("the leadscrew's three quarters, eight to the inch", ["thread 0.75 in"]),
    ("an inch and three eighths long and eight wide", ["length 1.375 in", "length 8 in"]),
    ("five-eighths studs, inch socket", ["thread 0.625 in", "spanner 1 in"]),
    ("the socket's an inch too deep", ["length 1 in"]),
    ("charged the battery at two amps and it's only 11.9", ["current 2 A", "voltage 11.9 V"]),
    ("the sleeve went on the starter shaft and it's 11.9 mil", ["length 11.9 mm"]),
    ("the trim fuse is a twenty", ["current 20 A"]),
    ("the pressure's twenty-eight hundred with the trigger pulled", ["pressure 2800 psi"]),
    ("it took two hundred litres of forty six, all of it", ["volume 200 L", "viscosity 46"]),
    ("chain's at point seven five so it's due", ["percentage 0.75"]),
    ("the chain slack's ten mil and the link's worn to point seven five", ["clearance 10 mm", "length 0.75 mm"]),
    ("the chain's got half an inch of up and down", ["clearance 0.5 in"]),
    ("the tyres want twelve pound for the field", ["pressure 12 psi"]),
    ("we run ten pounds in the left rear", ["pressure 10 psi"]),
    ("an inch and a quarter with six pounds hanging on it", ["length 1.25 in", "mass 6 lb"]),
    ("I've took a mil and a half off the skirt", ["length 1.5 mm"]),
    ("head bolts, first thirty-five, then turn sixty degrees", ["torque 35 N·m", "angle 60 deg"]),
    ("turn it thirty degrees, then sixty degrees", ["angle 30 deg", "angle 60 deg"]),
    ("start battery's at twelve six second one's twelve two", ["voltage 12.6 V", "voltage 12.2 V"]),
    ("the chain's forty-two on sixteen", ["teeth 42", "teeth 16"]),
    ("change wheels, a twenty driving a sixty five", ["teeth 20", "teeth 65"]),
    ("then 25 minutes in the booth at 60", ["duration 25 min", "temperature 60 °C"]),
    ("compression's one thirty-five left, one forty-two right", ["pressure 135 psi", "pressure 142 psi"]),
    ("the compression spring's a hundred and ten long", ["length 110 mm"]),
    ("timing's two degrees advanced at idle and all in by twenty two hundred", ["angle 2 deg", "speed 2200 rpm"]),
    ("it runs at forty to one and the bolts are M8 at twenty five", ["ratio 40", "thread 8 mm", "torque 25 N·m"]),
    ("the bore wants to be forty H7", ["length 40 mm"]),
    ("the chain's at nought point seven five on the checker", ["percentage 0.75 %"]),
    ("the diff ratio's four point one", ["ratio 4.1"]),
    ("count the turns as it comes off. I got twelve and a half", ["angle 12.5 turn"]),
    ("tilt the table to thirty", ["angle 30 deg"]),
    ("I cut it with the fifty two hole saw", ["length 52 mm"]),
    ("a three-eighths pipe thread in the cooler", ["thread 0.375 in"]),
    ("it does three and a half thousand revs, and I run it at five", ["speed 3500 rpm", "speed 5000 rpm"]),
    ("the shaft is turned to 30.2 and it's ten microns under", ["length 30.2 mm", "length 10 µm"]),
    ("the cut goes down to zero eight millimetres", ["length 0.8 mm"]),
    ("it's seven inches oh thirty deep", ["length 7.03 in"]),
    ("the oil is ten w forty thirty three litres of it", ["viscosity 10..40 SAE", "volume 33 L"]),
    (
        "torque 22 newton metres. tyres are at thirty, both at 30 psi",
        ["torque 22 N·m", "pressure 30 psi", "pressure 30 psi"],
    ),
    ("it's thirty two hundred to thirty four psi", ["pressure 3200..3400 psi"]),
    ("the motor's a two horse, fourteen forty on the plate", ["speed 1440 rpm"]),
    ("the trim fuse is a twenty", ["current 20 A"]),
    ("the pressure's twenty-eight hundred with the trigger pulled", ["pressure 2800 psi"]),
    ("it took two hundred litres of forty six, all of it", ["volume 200 L", "viscosity 46"]),
    ("the stem's seven mil and the guide is seven oh five", ["length 7 mm", "length 7.05 mm"]),
    ("it should be 24.6 mm and it's twenty-four eight", ["length 24.6 mm", "length 24.8 mm"]),
    ("the ring's twenty mil wide and the engine does seven oh five revs", ["length 20 mm", "speed 705 rpm"]),
    ("tyre pressures are 1.7 in the front and 1.9 in the back", ["pressure 1.7 bar", "pressure 1.9 bar"]),
    ("tyre pressures are 28 in the front and 32 in the back", ["pressure 28 psi", "pressure 32 psi"]),
    ("valve clearances are sixteen inlet and eighteen exhaust", ["clearance 16 thou", "clearance 18 thou"]),
    ("break the edges nought point two by forty-five", ["length 0.2 mm", "angle 45 deg"]),
    ("the pedal thread is nine sixteenths", ["thread 0.5625 in"]),
    ("the nose is an inch and a half by eight Whitworth", ["thread 1.5 in"]),
    ("the spacer's twenty mil by thirty by seven", ["length 20 mm", "length 30 mm", "length 7 mm"]),
    ("the belt's giving a good inch", ["length 1 in"]),
    ("the rim is out a full millimetre", ["length 1 mm"]),
    ("Inch of travel at the pedal", ["length 1 in"]),
    ("I found a thirty second total on the gauge", ["length 0.03125 in"]),
    ("the chain's got half an inch of up and down at the tight spot", ["clearance 0.5 in"]),
    ("it's drawing an amp at idle", ["current 1 A"]),
]
# A number that counts what was named, or tells a year, a time or a label, takes no unit.
COUNTS = [
    ("the chain's on the second shelf, and I have forty on order", 0),
    ("he'll want a two by four and a six by six", 0),
    ("the fuse box is a good twenty years old", 0),
    ("it's a Torx fifty and the height's notch four", 0),
    ("twenty pounds for a new gasket set", 0),
    ("it's thirty newton metres for the bolts and I did all four", 1),
    ("the rear is twenty five psi. The two of them came off together", 1),
    ("that's ten mil thick and it was made in 1958", 1),
    ("it was ten newton metres, and the other two are missing", 1),
    ("the gap is four thou and I've got a new one", 1),
    ("I heated the case in the oven and both of them dropped in", 0),
    ("he's in his forties and he has tens of bolts", 0),
    ("ring me on the twenty first about the bolts", 0),
    ("the two M6 bolts are in, and the bevel gears came off, thirty of them", 1),
    ("I gave a hundred and fifty for it at thirty psi", 1),
    ("the thread is ten millimetres long", 1),
    ("it runs for a thirty second burst", 1),
    ("a good day for it, and a full shed", 0),
    ("the pressure is fine and there are nine hundred of them", 0),
    ("fourteen forty of them came in the post", 0),
    ("valve clearances are done and I've got twelve of them left", 0),
    ("because I am fifty-eight and it weighs ten kilos", 1),
    ("back it off two turns and count to ten", 1),
    ("tyres are 28 by one and a half, all new", 0),
    ("it's thirty newton metres in a minute, hang on", 1),
    ("the thermostat is one I took to bits at four o'clock", 0),
]


@pytest.mark.parametrize(("line", "figures"), SAID)
def test_the_unit_is_worked_out(line: str, figures: list[str]) -> None:
    wanted = [read_key(figure) for figure in figures]
    assert [key_of(qty) for qty in found_in(line)] == wanted
    assert all(qty.why for qty in found_in(line) if qty.said in ("1000", "a thousand", "fifty.", "twenty"))


@pytest.mark.parametrize(("line", "count"), COUNTS)
def test_counts_and_labels_take_no_unit(line: str, count: int) -> None:
    for text in (line, unpunctuated(line)):
        assert len([qty for qty in found_in(text) if qty.kind != "count"]) == count


@pytest.mark.parametrize(
    ("line", "units", "figures"),
    [
        ("The stock's six by ten, three-quarter thick.", "us", ["length 6 in", "length 10 in", "length 0.75 in"]),
        ("The stock's 12 mm thick, sixty by ninety.", "us", ["length 12 mm", "length 60 mm", "length 90 mm"]),
        ("The stock's sixty by ninety, all milled.", "imperial", ["length 60 mm", "length 90 mm"]),
    ],
)
def test_stock_is_measured_in_inches_by_an_american_who_names_no_metric_unit(
    line: str, units: UnitSystem, figures: list[str]
) -> None:
    found = find_in(line, Settings(units=units))
    assert [key_of(qty) for qty in found] == [read_key(figure) for figure in figures]
