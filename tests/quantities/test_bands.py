"""Torque bands and thread tables against published ones, each with its source."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest

from pipeline.errors import WitnessmarkError
from pipeline.quantities.bands import short_form_nm, stress_area_mm2, torque_band
from pipeline.quantities.standards import standard
from pipeline.quantities.units import convert

# DIN 13 part 13, total friction 0.14, as printed in a machine builder's manual: size -> 8.8, 10.9, 12.9, N·m.
DIN_13 = {
    "M4": (3.0, 4.4, 5.1),
    "M5": (5.9, 8.7, 10),
    "M6": (10, 15, 18),
    "M8": (25, 36, 43),
    "M10": (49, 72, 84),
    "M12": (85, 125, 145),
    "M14": (135, 200, 235),
    "M16": (210, 310, 365),
    "M18": (300, 430, 500),
    "M20": (425, 610, 710),
    "M22": (580, 820, 960),
    "M24": (730, 1050, 1220),
    "M8x1": (27, 39, 46),
    "M10x1.25": (52, 76, 90),
    "M12x1.25": (93, 135, 160),
    "M14x1.5": (145, 215, 255),
    "M16x1.5": (225, 330, 390),
}
# Dubbel, Taschenbuch fuer den Maschinenbau, 18th edition, p. G175, as quoted in a gripper manual: class 8.8, N·m.
DUBBEL = {
    "M4": 2.8,
    "M5": 5.5,
    "M6": 9.5,
    "M8": 23,
    "M10": 46,
    "M12": 79,
    "M14": 125,
    "M16": 195,
    "M18": 280,
    "M20": 390,
}
# VDI 2230:2001, friction 0.12, 90 % of the yield point: class 8.8, N·m.
VDI_2230 = {"M8x1": 26.1, "M10x1.25": 51, "M12x1.25": 90, "M14x1.5": 142, "M16x1.5": 218}
# US Army TM 9-2320-362-14&P table F-1 (public domain), dry: lbf·ft, metric column for grade 5.
TM_F1_METRIC = {"M6": 10, "M8": 20, "M10": 40, "M12": 70, "M14": 113, "M16": 176, "M20": 343}
# FAA AC 43.13-1B table 7-1 (public domain), oil-free cadmium threads, tension nuts: lbf·in recommended, low and high.
FAA = {"1/4-28": (50, 70), "5/16-24": (100, 140), "3/8-24": (160, 190), "7/16-20": (450, 500), "1/2-20": (480, 690)}
# Maker's general torque table by spanner size (JIS steel, clean and dry), N·m: below the short form, as it should be.
MAKER_GENERAL = {"M5": 5, "M6": 8, "M8": 18, "M10": 36, "M12": 43}


def pitch_of(thread: str) -> tuple[float, float]:
    size, _, pitch = thread.removeprefix("M").partition("x")
    return float(size), float(pitch or standard("threads")["metric"][size]["coarse"])


@pytest.mark.parametrize("thread", DIN_13)
def test_short_form_agrees_with_din_13_within_six_percent(thread: str) -> None:
    for property_class, printed in zip(("8.8", "10.9", "12.9"), DIN_13[thread], strict=True):
        assert short_form_nm(*pitch_of(thread), property_class) == pytest.approx(printed, rel=0.06)


@pytest.mark.parametrize(("thread", "printed"), [*DUBBEL.items(), *VDI_2230.items()])
def test_short_form_is_near_the_other_handbooks(thread: str, printed: float) -> None:
    assert short_form_nm(*pitch_of(thread), "8.8") == pytest.approx(printed, rel=0.15)


@pytest.mark.parametrize(("thread", "printed"), [*DUBBEL.items(), *VDI_2230.items(), *MAKER_GENERAL.items()])
def test_published_torques_lie_inside_the_band(thread: str, printed: float) -> None:
    band = torque_band(thread)
    assert band is not None
    assert band.low <= printed <= band.caution


@pytest.mark.parametrize(("thread", "lbf_ft"), TM_F1_METRIC.items())
def test_army_metric_torques_lie_inside_the_band(thread: str, lbf_ft: float) -> None:
    band = torque_band(thread)
    assert band is not None
    assert band.low <= convert(lbf_ft, "lbf·ft", "N·m") <= band.caution


@pytest.mark.parametrize(("thread", "lbf_in"), FAA.items())
def test_aircraft_torques_of_inch_threads_are_never_called_impossible(thread: str, lbf_in: tuple[int, int]) -> None:
    size = thread.partition("-")[0]
    band = torque_band(f"{size} UNF")
    assert band is not None
    low, high = (convert(value, "lbf·in", "N·m") for value in lbf_in)
    assert band.low * 0.8 <= low < high <= band.caution


def test_class_12_9_is_high_but_never_impossible() -> None:
    for thread, (_, strong, strongest) in DIN_13.items():
        band = torque_band(thread)
        assert band is not None
        assert band.caution < strong < strongest < band.broken


# ISO 898-1 stress areas in mm2, as printed by an engineering reference.
STRESS_AREAS = {"4": 8.78, "5": 14.2, "6": 20.1, "8": 36.6, "10": 58.0, "12": 84.3, "16": 157, "20": 245}


@pytest.mark.parametrize(("size", "area"), STRESS_AREAS.items())
def test_stress_areas_are_the_printed_ones(size: str, area: float) -> None:
    entry = standard("threads")["metric"][size]
    assert stress_area_mm2(float(size), entry["coarse"]) == pytest.approx(area, rel=5e-3)


def test_the_metric_table_holds_together() -> None:
    table = standard("threads")["metric"]
    for size, entry in table.items():
        assert stress_area_mm2(float(size), entry["coarse"]) == pytest.approx(entry["stress_area_mm2"], rel=5e-3)
        assert all(pitch != entry["coarse"] and pitch < float(size) for pitch in entry["fine"])
    sizes = [float(size) for size in table]
    assert sizes == sorted(sizes)
    assert all(
        table[small]["spanner_iso"][0] < table[large]["spanner_iso"][0]
        for small, large in pairwise(["5", "6", "8", "10", "12", "14", "16", "18", "20", "22", "24"])
    )


def test_spanner_sizes_are_those_of_iso_272_din_and_jis() -> None:
    """ISO 272 / old DIN 931 / JIS small hexagon, by a maker's JIS-to-ISO table."""
    table = standard("threads")["metric"]
    assert {size: table[size]["spanner_iso"][0] for size in ("6", "8", "10", "12", "14")} == {
        "6": 10,
        "8": 13,
        "10": 16,
        "12": 18,
        "14": 21,
    }
    assert [table[size]["spanner_din"][0] for size in ("10", "12", "14")] == [17, 19, 22]
    assert [table[size]["spanner_jis"][0] for size in ("8", "10", "12", "14")] == [12, 14, 17, 19]


def test_threads_per_inch_are_the_series_own() -> None:
    """BSW and UNC share threads per inch except at 1/2 inch: 12 against 13."""
    table = standard("threads")["inch"]
    differing = [
        size for size, entry in table.items() if "BSW" in entry and "UNC" in entry and entry["BSW"] != entry["UNC"]
    ]
    assert differing == ["1/2"]
    assert (table["1/2"]["BSW"], table["1/2"]["UNC"]) == ([12], [13])
    assert [table[size]["BSP"] for size in ("1/8", "1/4", "1/2", "1")] == [[28], [19], [14], [11]]


def test_machine_screws_follow_their_formula() -> None:
    """ASME B1.1: major diameter 0.060 + 0.013 n inches."""
    for number, entry in standard("threads")["numbered"].items():
        assert math.isclose(entry["diameter_in"], 0.060 + 0.013 * int(number), abs_tol=1e-9)


def test_ba_threads_follow_their_formula() -> None:
    """BS 93: pitch 0.9^n mm, major diameter 6 p^1.2 mm, rounded to a tenth."""
    for number, diameter in standard("threads")["ba_diameter_mm"].items():
        assert diameter == pytest.approx(6 * (0.9 ** int(number)) ** 1.2, abs=0.06)


def test_a_table_that_is_not_there_lists_those_that_are() -> None:
    with pytest.raises(WitnessmarkError, match="fluids, limits, threads, torque"):
        standard("gears")


@pytest.mark.parametrize("name", ["fluids", "limits", "threads", "torque"])
def test_every_table_names_its_source(name: str) -> None:
    text = str(standard(name))
    assert "source" in text
    for limit in standard(name).get("limit", []):
        assert limit["source"]
        assert limit["low"] < limit["high"]
