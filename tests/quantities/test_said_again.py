"""Figures that the speaker takes back, denies or says twice: the one that he stays with is kept."""

import pytest

from tests.quantities.scoring import found_in


@pytest.mark.parametrize(
    ("said", "kept"),
    [
        (
            "fifteen foot pounds no wait that's for the steel deck it's twenty two twenty two foot pounds",
            [("torque", 22, "lbf·ft")],
        ),
        ("four bolts in out of the five twenty newton metres", [("torque", 20, "N·m")]),
        ("at eight newton metres no sorry that's six six newton metres", [("torque", 6, "N·m")]),
        ("no no ten is the wrong one this is fourteen fourteen newton metres", [("torque", 14, "N·m")]),
        ("it goes up at thirty thirty foot pounds", [("torque", 30, "lbf·ft")]),
        ("it runs best at fourteen forty rpm", [("speed", 1440, "rpm")]),
        ("Twenty two, no, tell a lie, twenty four foot pounds.", [("torque", 24, "lbf·ft")]),
        ("nut to sixty, sorry, not sixty, that's the lower one, it is forty newton metres", [("torque", 40, "N·m")]),
        ("The spring gets three turns, not three and a half.", [("angle", 3, "turn")]),
        ("Four ohms. No, wait, I have to subtract the cables, three point six ohms.", [("resistance", 3.6, "Ω")]),
        ("It's three thou too thin, well, three mil.", [("length", 3, "mm")]),
        ("Set the topslide over at 30 degrees for the taper, no, 29 and a half.", [("angle", 29.5, "deg")]),
        ("I give it half a turn, and listen. No? Another half turn.", [("angle", 0.5, "turn")] * 2),
        ("The bolts are 8 millimetres, no, sorry, 10 millimetre thread.", [("thread", 10, "mm")]),
        ("I time it at thirty-eight degrees, no, this is the later cam, thirty-six.", [("angle", 36, "deg")]),
        (
            "It's got eighteen degrees of vee, no, sorry, that's the other hull. This is fifteen.",
            [("angle", 15, "deg")],
        ),
        ("ten thou warm oh hang on it's the later head so it's twelve thou", [("length", 12, "thou")]),
        ("That's not four hundred and ten thou, that's four thirty five.", [("length", 435, "thou")]),
        ("Thirty amps on the starter, no, twenty eight.", [("current", 28, "A")]),
        ("It soaked for twenty hours, no, I'm lying, it was thirty hours.", [("duration", 30, "h")]),
        ("Eighteen thou on the inlets, no, that's the old cam, it's fifteen thou.", [("clearance", 15, "thou")]),
        (
            "It's minus twenty degrees C for the ice, it's minus thirty degrees C, my mistake.",
            [("temperature", -30, "°C")],
        ),
        ("Rub it with eighty grit, no, too rough, a hundred and twenty grit.", [("grit", 120, "")]),
        ("The pin's a ten millimetre drill, no, an eight millimetre one.", [("length", 8, "mm")]),
        # a drill in place of a tap: the thread stays
        (
            "An eight mil hole, and after it an M8 tap. No, a 6.8 mm drill.",
            [("length", 8, "mm"), ("thread", 8, "mm"), ("length", 6.8, "mm")],
        ),
        ("Ten newton metres, no more, and then twenty newton metres.", [("torque", 10, "N·m"), ("torque", 20, "N·m")]),
        # said of two things, each figure stays
        (
            "Thirty amps on the starter, no fuse in it, and the coil takes four.",
            [("current", 30, "A"), ("current", 4, "A")],
        ),
        ("Spring is 41.2 mil, limit's 41.8, no, sorry, it's 40.5.", [("length", 41.2, "mm"), ("length", 40.5, "mm")]),
        ("Forty newton metres on the front, no washer there, and forty on the rear.", [("torque", 40, "N·m")] * 2),
        ("twelve bar, twelve, and then eleven bar", [("pressure", 12, "bar")] * 2 + [("pressure", 11, "bar")]),
        # what a machine is filled with has a grade
        ("It'll take eighteen litres of thirty two.", [("volume", 18, "L"), ("viscosity", 32, "")]),
        ("I drained about ninety mil out of the left leg.", [("volume", 90, "mL")]),
    ],
)
def test_the_figure_that_is_meant(said: str, kept: list[tuple[str, float, str]]) -> None:
    assert [(qty.kind, qty.value, qty.unit) for qty in found_in(said) if qty.kind != "count"] == kept
