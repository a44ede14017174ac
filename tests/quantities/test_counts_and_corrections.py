"""Counts beside sizes, figures that are taken back, and numbers that are no figures, each with what it must leave."""

from __future__ import annotations

from functools import cache

import pytest

from pipeline.punctuation import punctuated
from pipeline.quantities import attach_quantities, find_quantities
from pipeline.quantities.checks import check_quantities
from pipeline.quantities.lost import lost_figures
from pipeline.records import Quantity, Settings, Token
from pipeline.tokens import line_words, written_tokens
from pipeline.vocabulary import Vocabulary, load_vocabulary


@cache
def _vocabulary() -> Vocabulary:
    return load_vocabulary()


def _tokens(text: str, units: str) -> tuple[Token, ...]:
    settings = Settings(units="us" if units == "us" else "imperial")
    return punctuated(written_tokens(line_words(text)), settings)


def _figures(text: str, units: str = "imperial") -> list[Quantity]:
    settings = Settings(units="us" if units == "us" else "imperial")
    tokens = _tokens(text, units)
    return attach_quantities(find_quantities(tokens, settings), tokens, _vocabulary())


def _said(text: str, units: str = "imperial") -> list[str]:
    """Every figure of a text but counts, "10 N·m" or "10-12 N·m"."""
    return [
        f"{qty.value:g}{'' if qty.high is None else f'-{qty.high:g}'} {qty.unit}".strip()
        for qty in _figures(text, units)
        if qty.kind != "count"
    ]


def _counts(text: str) -> list[float]:
    return [qty.value for qty in _figures(text) if qty.kind == "count"]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Five bolts hold the leg on, four thirteen mil and one hidden up under the trim tab.", ["13 mm"]),
        ("three seventeen mil and one nineteen", ["17 mm", "19 mm"]),
        ("five eight mil and one ten mil", ["8 mm", "10 mm"]),
        ("four nineteen mil nuts and one twenty two", ["19 mm", "22 mm"]),
        ("the new one twenty mil long", ["20 mm"]),
        ("two ten mil bolts and four twelve mil", ["10 mm", "12 mm"]),
        ("shimmed the gear on the left with two thirty thou shims", ["30 thou"]),
        ("two fifty thou washers and one ten thou washer", ["50 thou", "10 thou"]),
        ("so engine mount bolts there's two fourteen mil ones take those out", ["14 mm"]),
        ("the battery is a new one twelve volt", ["12 V"]),
        ("I fitted a new one twelve volt regulator under the seat.", ["12 V"]),
        # one number
        ("The shim is two thirty thou.", ["230 thou"]),
        ("the spring is two fourteen mil long", ["214 mm"]),
        ("That's a one twelve volt supply", ["112 V"]),
        ("The bore is three ten thou over", ["310 thou"]),
    ],
)
def test_a_count_before_a_size_is_no_part_of_it(text: str, expected: list[str]) -> None:
    assert _said(text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("the other three went back in, twenty three newton metres on the clamp bolt", ["23 N·m"]),
        ("poly V with eight ribs and a motor", []),
        ("two torx screws, t twenty seven, and the gap is twenty thou", ["20 thou"]),
        ("the seal housing is out of one thirty second gasket paper", ["0.03125 in"]),
        ("Injectors, the other two went back in, ten newton metres", ["10 N·m"]),
        ("the last two came out at forty newton metres", ["40 N·m"]),
        ("The big ones are ten newton metres and the small ones six. I've done four.", ["10 N·m", "6 N·m"]),
        ("hay dogs theres four of em two on each side", []),
        ("The case screws: I've lost two out of the eight.", []),
        ("four grams of grease, about a third full", ["4 g"]),
        ("twelve bolts with an eight mil head, but somebody has put back only ten.", ["8 mm"]),
        ("it's minus eleven outside and the block heater is on", []),
        ("So it's a hundred and four in town today and my truck's blowing hot air", []),
        ("the sixteen kilo bike is packed, tomorrow at six we go to the train", ["16 kg"]),
        # those are figures
        ("the first two bolts are ten newton metres, the last ones twelve newton metres", ["10 N·m", "12 N·m"]),
        ("The air screw's out two and a half", ["2.5 turn"]),
        ("M2 screws, four of them", ["2 mm"]),
    ],
)
def test_numbers_that_say_how_many_are_no_figures(text: str, expected: list[str]) -> None:
    assert _said(text) == expected


@pytest.mark.parametrize(
    ("text", "expected", "count"),
    [
        ("Cylinder head nuts four, eighteen newton metre.", ["18 N·m"], [4]),
        ("Crankcase bolts twelve, fifteen newton metre", ["15 N·m"], [12]),
        ("Cover screws five, eight newton metres", ["8 N·m"], [5]),
        ("The locknut is seventeen, twenty five newton metres", ["17 mm", "25 N·m"], []),
        ("tighten it to ten, twelve newton metres", ["10-12 N·m"], []),
    ],
)
def test_a_count_may_stand_behind_fasteners(text: str, expected: list[str], count: list[float]) -> None:
    assert _said(text) == expected
    assert _counts(text) == count


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Head bolts, forty newton metres plus ninety plus ninety", ["40 N·m", "90 deg", "90 deg"]),
        ("Flywheel bolts sixty newton metres plus another ninety", ["60 N·m", "90 deg"]),
        ("twenty three newton metres on the clamp bolt, plus ninety.", ["23 N·m", "90 deg"]),
        ("Head bolts, thirty foot pounds, then fifty five, then ninety degrees.", ["30 lbf·ft", "55 lbf·ft", "90 deg"]),
        ("Main caps, twenty foot pounds, then forty, then sixty", ["20 lbf·ft", "40 lbf·ft", "60 lbf·ft"]),
        ("four litres of oil plus ninety mil of additive", ["4 L", "90 mL"]),
    ],
)
def test_stages_of_a_torque(text: str, expected: list[str]) -> None:
    assert _said(text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Flange bolts forty newton metres. No, not forty, fifty newton metres.", ["50 N·m"]),
        ("Tighten the caliper bolts to thirty, no not thirty, thirty five newton metres", ["35 N·m"]),
        ("The gap is not twenty thou, twenty five thou", ["25 thou"]),
        ("I tightened with eighty newton metres. Ah, wait, no, not eighty. Eighty five. Sorry.", ["85 N·m"]),
        ("Two litres, not two, three litres of gearbox oil", ["3 L"]),
        ("The pressure is six bar. No wait, six is for the other boiler, this one is four", ["4 bar"]),
        ("twenty newton metres. No wait, twenty is for the other one, this is twenty five.", ["25 N·m"]),
        ("three litres of oil. Hang on, three is what the manual says, I only got two in", ["2 L"]),
        ("The boiler takes eleven litres, no, that's what the book says, I only got nine in", ["9 L"]),
        ("Head bolts to forty foot pounds. No, ignore that, I was reading the wrong line, thirty.", ["30 lbf·ft"]),
        ("Twelve thou nip on the stem seals, no, forget that, there's no stem seals on these.", []),
        ("I did it to twenty bar, no, that's psi, sorry, twenty psi", ["20 psi"]),
        ("Torqued the nut to forty newton metres, no sorry, foot pounds, forty foot pounds", ["40 lbf·ft"]),
        ("Torqued it to fifty, that's foot pounds, no inch pounds", ["50 lbf·in"]),
        ("Filled the sump with two litres, no sorry, pints, two pints", ["2 pt_imp"]),
        # nothing is taken back
        ("Torqued the bolts to fifteen foot pounds. Fifteen's what the book says.", ["15 lbf·ft", "15 lbf·ft"]),
        (
            "It's ten thou on the inlet, not more than ten, and twelve thou on the exhaust",
            ["10 thou", "10 thou", "12 thou"],
        ),
        ("twenty bar, that's two hundred and ninety psi", ["20 bar", "290 psi"]),
    ],
)
def test_what_is_taken_back_is_not_kept(text: str, expected: list[str]) -> None:
    assert _said(text) == expected


@pytest.mark.parametrize(
    ("text", "lost"),
    [
        ("thirty five foot pounds no wait thirty foot pounds", False),
        ("Torqued the nut to forty newton metres, no sorry, foot pounds, forty foot pounds", False),
        ("so that one is torqued to newton metres", True),
    ],
)
def test_a_figure_that_was_taken_back_is_not_lost(text: str, lost: bool) -> None:
    assert bool(list(lost_figures(_figures(text), _tokens(text, "imperial")))) is lost


def test_a_unit_said_with_the_wrong_figure_was_said() -> None:
    text = (
        "crosswise to twenty five foot pounds. No, sorry, I tell a lie, the big ones are twenty five and the little "
        "ones eighteen."
    )
    assert [(qty.value, qty.unit, qty.unit_said) for qty in _figures(text)] == [
        (25, "lbf·ft", True),
        (18, "lbf·ft", True),
    ]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("two hundred and twenty volts, fifty three hertz and now it is fifty one point five.", ["220 V"]),
        ("The capacitor should be twenty five microfarad and it is showing eighteen", []),
        ("The spring is thirty newtons, should be forty.", []),
        ("the nut gets thirty newtons", ["30 N·m"]),
        ("the battery's tested at four hundred and ten cold crank it's a five fifty battery", []),
        ("battery is twelve volt nine amp hours and the other is seven", ["12 V"]),
        (
            "It charges at fourteen volts at three thousand revs. Before, it was only eleven.",
            ["14 V", "3000 rpm", "11 V"],
        ),
        ("Idle is set at twelve hundred revs. Timing is at twenty eight.", ["1200 rpm"]),
        ("it idles at nine hundred rpm, and the limiter was at thirty four hundred", ["900 rpm", "3400 rpm"]),
        ("Axle nuts fifty newton metre. Brake rod adjusted, pedal free travel about twenty.", ["50 N·m", "20 mm"]),
        ("the bore is one point two five and two thou under", ["1.25 in", "2 thou"]),
        ("two hundred mil of paraffin. Way oil sixty eight in the oiler.", ["200 mL", "68"]),
        ("two hundred mil of paraffin. Way oil fifty in the oiler.", ["200 mL", "50 mL"]),
        ("bore is three point three seven five and then a half a thou over", ["3.375 in", "0.5 thou"]),
        ("Sprocket nut to eighty newton metres. Chain adjusted, slack about thirty.", ["80 N·m", "30 mm"]),
        ("It's a two litre diesel and it takes five litres of oil", ["5 L"]),
        ("two point five litre turbo van", []),
        ("I put two litres of diesel in it", ["2 L"]),
        (
            "I've cut the end out, about three hundred mil of it, and let in a fifty by twenty five box",
            ["300 mm", "50 mm", "25 mm"],
        ),
        ("I drained the oil and about three hundred mil of it came out", ["300 mL"]),
    ],
)
def test_units_are_lent_to_what_is_of_their_kind(text: str, expected: list[str]) -> None:
    assert _said(text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("low side's at 32 high side's 225 and the line's sweating like it's supposed to", ["32 psi", "225 psi"]),
        (
            "gauges on, and the low side's sitting at sixty-five pounds and the high side's at one-forty",
            ["65 psi", "140 psi"],
        ),
        ("My machine pulled out eleven ounces of refrigerant, and this truck holds two pounds even", ["11 oz", "2 lb"]),
        ("half an ounce of oil in the drier", ["0.5 fl_oz_US"]),
        ("the low side of the bench is at thirty two inches", ["32 in"]),
    ],
)
def test_air_conditioning(text: str, expected: list[str]) -> None:
    assert _said(text, "us") == expected


@pytest.mark.parametrize(
    ("text", "places"),
    [
        ("Pads on the left are down to three mil, the right ones have five mil left.", ["left", "right"]),
        ("Shoes on the nearside are at two mil, the offside ones had four mil left.", ["nearside", "offside"]),
        ("tyres on the back four mil, the fronts two mil", ["rear", "front"]),
        ("The head bolts are thirty foot pounds and the outer four are twenty.", ["", "outer"]),
        ("the front bearing got up to forty one degrees, rear was thirty six", ["front", "rear"]),
        ("Front tyre is at thirty two psi, rear was twenty eight", ["front", "rear"]),
        ("Inlet two thou, exhaust four thou, stone cold.", ["inlet", "exhaust"]),
        ("tyres thirty two front thirty rear", ["front", "rear"]),
        ("front disc nineteen mil, rear disc ten", ["front", "rear"]),
        ("The four rear ones are sixty five psi and the front tyres sixty", ["rear", "front"]),
        ("it's half a thou left to right and one thou front to back", ["", ""]),
        ("75 psi in the back tyre and 70 in the front", ["rear", "front"]),
        ("five thou on the left and three on the right", ["left", "right"]),
    ],
)
def test_places_of_two_figures(text: str, places: list[str]) -> None:
    assert [qty.side or qty.position for qty in _figures(text) if qty.kind != "count"] == places


@pytest.mark.parametrize(
    ("text", "owners"),
    [
        ("Front brake pads three mil, rear brake pads five", ["front brake pad", "rear brake pad"]),
        ("upper ball joint fifty newton metres, lower seventy", ["upper ball joint", "lower ball joint"]),
        ("Left bearing runs at forty degrees, right one was thirty six", ["bearing", "bearing"]),
        ("valve clearances are eight thou inlet and ten thou exhaust", ["valve", "valve"]),
        ("Flywheel nut is sixty newton metres. Twenty on the four cover screws.", ["flywheel nut", "cover screw"]),
        ("Flywheel nut is sixty newton metres. Twenty on the small wrench.", ["flywheel nut", "flywheel nut"]),
        ("I've got 35 psi on the low side and the high side's at 140", ["low side", "high side"]),
    ],
)
def test_owners_of_two_figures(text: str, owners: list[str]) -> None:
    assert [qty.subject for qty in _figures(text) if qty.kind != "count"] == owners


@pytest.mark.parametrize(
    ("text", "bound"),
    [
        ("Free length thirty eight millimetres, limit is thirty six.", ""),
        ("Runout is two hundredths, the limit is five hundredths.", "at_most"),
    ],
)
def test_a_limit_below_what_was_read_is_no_upper_one(text: str, bound: str) -> None:
    assert [qty.bound for qty in _figures(text)][-1] == bound
    assert [qty.role for qty in _figures(text)] == ["", "limit"]


@pytest.mark.parametrize(
    ("text", "roles"),
    [
        ("Rim runs now one millimetre out, before it was four.", ["", "old"]),
        ("End float was twenty thou so I put a thicker thrust washer in and now it's eight.", ["old", ""]),
        ("The air gap was one point two millimetres, I set it to zero point four.", ["old", ""]),
        ("The drum I measured, ninety point four, allowed is ninety point five.", ["found", "limit"]),
        ("it's eight hundredths, the limit's fifteen", ["", "limit"]),
        ("The bore was forty mil and the shaft was thirty nine", ["", ""]),
        ("That's what the book says, three litres. I only got two litres in", ["wanted", ""]),
    ],
)
def test_before_and_after(text: str, roles: list[str]) -> None:
    assert [qty.role for qty in _figures(text)] == roles


def test_a_pint_of_nobody_knows_where_lends_no_more() -> None:
    settings = Settings()
    tokens = punctuated(written_tokens(line_words("took about five pints, I only got four in")), settings)
    assert [(qty.unit, qty.si_value) for qty in find_quantities(tokens, settings)] == [("pt_imp", None)] * 2


@pytest.mark.parametrize(("text", "odd"), [("a hundred litre tank", False), ("a hundred litres in the gearbox", True)])
def test_a_tank_may_hold_more_than_a_gearbox(text: str, odd: bool) -> None:
    rules = {finding.rule for finding in check_quantities(_figures(text), Settings(units="imperial"))}
    assert ("volume_range" in rules) is odd
