"""Units heard as other words: read where nothing else makes sense, always shown to a person, never made up."""

from __future__ import annotations

import pytest

from pipeline.quantities import check_quantities, find_quantities, format_quantity
from pipeline.quantities.alike import alike
from pipeline.quantities.garbled import unit_garbled
from pipeline.records import Settings
from pipeline.tokens import line_words, written_tokens
from tests.quantities.sayings import read_sayings
from tests.quantities.scoring import found_in, unpunctuated

# What was heard -> the figures as they are shown. A question mark: it may be something else.
HEARD = [
    ("I've torqued those to 10 new demeters, working across", ["10 N·m"]),
    ("that's tight, 25 new demeters", ["25 N·m"]),
    ("the four outer bolts are torqued to 14 newton members", ["4", "14 N·m"]),
    ("the sump plug is tight, 30 newton mebbers", ["30 N·m"]),
    ("I did the caliper bolts up to 35 noodle meters", ["35 N·m?"]),
    ("the axle nut is done up to 40 foot pans", ["40 lbf·ft"]),
    ("tighten the wheel nuts to 80 foot browns", ["80 lbf·ft?"]),
    ("it takes 650cc of 80-week gear oil", ["650 mL", "80 weight"]),
    ("the end float is 8th out", ["8 thou"]),
    ("it came to, let me see, 8th out, and between 5 and 10th out is what I want", ["8 thou", "5–10 thou?"]),
    ("the end float is 8 thou, it should be between 5 and 10 now", ["8 thou", "5–10 thou?"]),
    ("the gap came out at 12$ on the top and 14$ on the second", ["12 thou", "14 thou?"]),
    ("I want a new plug gapped at $20.", ["20 thou"]),
    ("the squish was 22-thousand with a bit of solder", ["22 thou"]),
    ("the float height is 21 millinitres, I checked it twice", ["21 mm?"]),
    ("it's putting out 14.2 rolls at the battery", ["14.2 V?"]),
    ("Engine oil, a litter and a quarter of 2050", ["1.25 L?", "SAE 20W-50"]),
    ("I set the gib screws to an hour and a half all along", ["1.5 thou?"]),
    ("those caps are torqued to 25m with a 6mm hex key", ["25 N·m", "6 mm"]),
    ("undo it with a 13 mile socket", ["13 mm"]),
    ("I've got half a valve end float there on the dial gauge", ["0.5 thou"]),
    ("it was out by four though at the far end", ["4 thou?"]),
    ("it measured 0.1 owns across the coil", ["0.1 Ω?"]),
    ("the tank was pressure tested at free psi under water", ["3 psi?"]),
    ("the tool rest was set to millimetres from the wheel", ["2 mm?"]),
    ("the tappets will be too now inlet", ["2 thou?"]),
    ("I set the jib screws to now and a half all along", ["1.5 thou?"]),
]
# Ordinary speech beside numbers and beside words that ask for figures.
ORDINARY = [
    "it's 25m from the workshop to the bolt shop",
    "the hose is 2 m long and it's bolted up",
    "I walked 3 miles to the shop for bolts",
    "the backlash took me an hour and a half to get right",
    "there were 14 new bolts in the bag and 25 neat washers",
    "I've got 3 now and the gaps are the same on all of them",
    "we're about 20 minutes in and the bolts are all torqued",
    "that's 12 now, and the rest of the bolts tomorrow",
    "I rode it 55 kilometres with the new tyres",
    "the tyres are a year old and they cost $20 each",
    "the 2 sides of the gearbox take the same oil",
    "about a week and a half for the oil seals to come",
    "the 16 valve head has its own bolts",
    "a little and a half-hearted go at the oil filter",
    "the vernier was set to millimetres before I measured the bore",
    "the engine was too loud and the valve gear was too loose",
    "we want for nothing and the tyres are at the shop",
    "there are three little holes for the spring and the grease",
    "the pump head goes to one side",
]


def shown(line: str) -> list[str]:
    return [format_quantity(qty) for qty in found_in(line)]


@pytest.mark.parametrize(("line", "figures"), HEARD)
def test_a_garbled_unit_is_read_and_asked_about(line: str, figures: list[str]) -> None:
    assert shown(line) == figures
    quantities = found_in(line)
    garbled = [qty for qty in quantities if unit_garbled(qty)]
    findings = [
        item for item in check_quantities(quantities, Settings(units="imperial")) if item.rule == "unit_misheard"
    ]
    assert len(findings) == len(garbled) > 0
    assert all(item.level == "check" and "listen again at 0:0" in item.message for item in findings)


@pytest.mark.parametrize("line", ORDINARY)
def test_ordinary_speech_has_no_garbled_units(line: str) -> None:
    assert not [qty for qty in found_in(line) if unit_garbled(qty)]
    assert not [qty for qty in found_in(unpunctuated(line)) if unit_garbled(qty)]


def test_no_unit_of_clean_sayings_is_taken_for_a_garble() -> None:
    lines = [saying.text for name in ("figures_dev2.toml",) for saying in read_sayings(name)]
    assert not [qty for line in lines for qty in found_in(line) if unit_garbled(qty)]


# A unit without its figure, and talk of units.
LOST = [
    ("the bolts have thread lock on them to Newton meters", True),
    ("the pinch bolts are rate newton metres", True),
    ("the end cap goes on, and goes out for newton letters", True),
    ("the wrench reads in newton metres and in foot pounds", False),
    ("to convert foot pounds to newton metres", False),
    ("up to ten newton metres", False),
]


@pytest.mark.parametrize(("line", "lost"), LOST)
def test_a_unit_whose_figure_was_lost_is_asked_about(line: str, lost: bool) -> None:
    tokens = written_tokens(line_words(line))
    findings = check_quantities(find_quantities(tokens, Settings()), Settings(), tokens)
    assert any(item.rule == "figure_lost" and "listen again at" in item.message for item in findings) == lost


def test_a_swallowed_to_is_kept_in_sight() -> None:
    (qty,) = found_in("they're torqued 210 newton metres")
    assert (qty.value, qty.other_readings) == (210, (10, 110))
    assert [item.rule for item in check_quantities([qty], Settings())] == ["doubtful_figure"]
    (qty,) = found_in("they're torqued to 210 newton metres")
    assert not qty.other_readings


def test_the_garble_is_inside_the_figure() -> None:
    """Nothing after this stage makes a part of the garbled words."""
    (qty,) = found_in("torqued to 10 new demeters, working across")
    assert (qty.start_word, qty.end_word, qty.said) == (2, 5, "10 new demeters,")


def test_likeness_of_sounds() -> None:
    near, far = alike("new demeters", ("newton metres", "foot pounds"))
    assert near > 0.8
    assert far < 0.5
    assert alike("newton metres", ("newton metres",)) == (1.0,)
    assert alike("", ("thou",)) == (0.0,)
