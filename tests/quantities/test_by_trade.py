"""What one trade says without its unit, figures that are said short, and what only looks like them."""

from __future__ import annotations

import pytest

from pipeline.records import Settings, UnitSystem
from tests.quantities.sayings import find_in
from tests.quantities.scoring import key_of, read_key

SAID: list[tuple[str, UnitSystem, list[str]]] = [
    # parts, and sizes without their point
    ("Seats are a sixteenth of an inch, and sixteenth of an inch wide on the inlet.", "imperial", ["0.0625 in"] * 2),
    ("The eighth one was the worst of the lot.", "imperial", []),
    ("It was out three sixteenths of an inch. I got it to a thirty-second.", "imperial", ["0.1875 in", "0.03125 in"]),
    ("The micrometer says twenty five oh one two on the seat.", "imperial", ["25.012 mm"]),
    ("The mic says one seven five oh three.", "us", ["1.7503 in"]),
    ("The job number is one seven five oh three.", "us", []),
    ("The gap's point three, the bottom one point five.", "imperial", ["clearance 0.3 mm", "clearance 0.5 mm"]),
    ("The shim is one point five millimetres.", "imperial", ["1.5 mm"]),
    ("Between five thousand and fifty-five hundred rpm.", "imperial", ["speed 5000..5500 rpm"]),
    ("Two thousand and fifty rpm.", "imperial", ["speed 2050 rpm"]),
    ("Two oh four millimetres, and two oh four and a half's the limit.", "imperial", ["204 mm", "204.5 mm"]),
    # units said late, early and once
    ("Six, eight, nine. Newton metres, that's the stem.", "imperial", [f"torque {n} N·m" for n in (6, 8, 9)]),
    ("I counted nine. Turns out I was wrong.", "imperial", []),
    ("Minus five to minus fifteen microns.", "imperial", ["5..15 µm"]),
    ("Minus five degrees, and minus fifteen microns on the shaft.", "imperial", ["temperature -5 °C", "15 µm"]),
    ("Wants to be thou and a half bigger than the shaft.", "imperial", ["1.5 thou"]),
    ("Half a litre to twenty-five litres of petrol.", "imperial", ["volume 0.5 L", "volume 25 L"]),
    ("It takes half a litre to one litre of oil.", "imperial", ["volume 0.5..1 L"]),
    ("For round bar from five up to twenty-five millimetres.", "imperial", ["5..25 mm"]),
    ("Three eighths or nine and a half mil.", "imperial", ["0.375 in", "9.5 mm"]),
    ("The plug's gapped at point nine and thirty newton metres.", "imperial", ["clearance 0.9 mm", "torque 30 N·m"]),
    ("Ten psi for five minutes and it dropped to eight.", "imperial",
     ["pressure 10 psi", "duration 5 min", "pressure 8 psi"]),
    ("Six metres of line on it, two point four thick.", "imperial", ["6 m", "2.4 mm"]),
    ("The blank is forty across, with minus thirty microns.", "imperial", ["40 mm", "30 µm"]),
    ("It climbs to six hundred turns.", "imperial", ["speed 600 rpm"]),
    ("I gave it six turns.", "imperial", ["angle 6 turn"]),
    # by trade
    ("I cut the seats at forty-five.", "us", ["angle 45 deg"]),
    ("The cam's got four forty lift on the intake.", "us", ["440 thou"]),
    ("The timing's at six before.", "us", ["angle 6 deg"]),
    ("The cover comes off before six, and I cut myself at forty-five, of all ages.", "us", []),
    ("You could post a point four feeler under it.", "imperial", ["0.4 mm"]),
    ("At this point four feelers fell out.", "imperial", []),
    ("The measuring room is at twenty, always.", "imperial", ["temperature 20 °C"]),
    ("The plug in it's a nineteen.", "imperial", ["spanner 19 mm"]),
    ("The clamp nuts are seventeen, and twenty newton metres.", "imperial", ["spanner 17 mm", "torque 20 N·m"]),
    ("The nuts are twenty newton metres.", "imperial", ["torque 20 N·m"]),
    ("M3 grub screws, with a one and a half key.", "imperial", ["thread 3 mm", "spanner 1.5 mm"]),
    ("The bolts are M6, thirty long.", "imperial", ["thread 6 mm", "30 mm"]),
    ("Travel was at one-sixty.", "us", ["160 mm"]),
    ("We travel at sixty miles an hour.", "us", ["speed 60 mph"]),
    ("The key's quarter square.", "imperial", ["0.25 in"]),
    ("Two thou out, and I cut it in half.", "imperial", ["2 thou"]),
    ("Held by two thirteens at twenty newton metres.", "imperial", ["spanner 13 mm", "torque 20 N·m"]),
    ("The screws are torx twenty fives in the hub.", "imperial", []),
    ("Valves, cold. The intake I like at four.", "us", ["clearance 4 thou"]),
    ("The blocks sit an eighth of an inch off the rim.", "imperial", ["clearance 0.125 in"]),
    ("I took an eighth of an inch off the rim.", "imperial", ["0.125 in"]),
    ("There's a tenth of play in the wheel.", "imperial", ["clearance 0.1 mm"]),
    ("A tenth of the price.", "imperial", []),
    ("The lever bolts are four mils, thirty-five inch-pounds.", "us", ["spanner 4 mm", "torque 35 lbf·in"]),
    ("The gap's four mils.", "us", ["clearance 4 thou"]),
    ("The oil came up to fifty-five pounds.", "us", ["pressure 55 psi"]),
    ("Number two mill engine.", "imperial", []),
    ("Two weights I shifted.", "imperial", []),
    ("I hardened the cutter at eight hundred for ten minutes.", "imperial", ["temperature 800 °C", "duration 10 min"]),
    ("The cutter at eight hundred, and slow.", "imperial", ["speed 800 rpm"]),
]  # fmt: skip


@pytest.mark.parametrize(("line", "units", "figures"), SAID)
def test_what_a_trade_says_short(line: str, units: UnitSystem, figures: list[str]) -> None:
    wanted = [read_key(figure if figure[0].isalpha() else f"length {figure}") for figure in figures]
    assert [key_of(qty) for qty in find_in(line, Settings(units=units))] == wanted


@pytest.mark.parametrize(
    ("line", "owners"),
    [
        ("The shaft's got a groove in it where the bearing spun, ninety thou deep.", ["groove"]),
        ("The groove is clean and the shaft is ten millimetres long.", ["shaft"]),
        ("The nut's a thirty two and the driveshaft it sits on is an M24.", ["nut", "driveshaft"]),
        ("The screw has a seat for the bearing that must be twenty-five millimetres.", ["seat"]),
        ("The tank that feeds the ram takes twenty litres of oil.", ["oil"]),
        ("The o ring is two millimetres.", ["o-ring"]),
        ("Foot nuts are seven newton metres.", ["foot nut"]),
        ("I put my foot on it, and the nuts are seven newton metres.", ["nut"]),
    ],
)
def test_the_build_of_the_sentence_tells_the_owner(line: str, owners: list[str]) -> None:
    assert [qty.subject for qty in find_in(line, Settings())] == owners
