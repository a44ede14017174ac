"""How tight a thread of a size usually goes: the short form T = K * D * F as a band.

Source: T = K*D*F as in Shigley and Machinery's Handbook; proof stresses of ISO 898-1. A band tells what is odd. It
is no specification: lubricant, plating, gasket and a thread in aluminium all change it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from math import pi

from pipeline.quantities.standards import standard

_LBF_FT = 1.3558179483314004


@dataclass(frozen=True, slots=True)
class Band:
    """Torques in N·m: below `low` is unusual, above `caution` harder than usual, above `broken` not possible."""

    low: float
    usual: float
    caution: float
    broken: float
    source: str


def stress_area_mm2(diameter_mm: float, pitch_mm: float) -> float:
    """Tensile stress area of a metric thread (ISO 898-1).

    >>> round(stress_area_mm2(8, 1.25), 1)
    36.6
    """
    return pi / 4 * (diameter_mm - 0.9382 * pitch_mm) ** 2


def short_form_nm(
    diameter_mm: float, pitch_mm: float, property_class: str, nut_factor: float = 0.20, share: float = 0.75
) -> float:
    """Torque in N·m by T = K * D * F, with F a share of the proof load.

    >>> round(short_form_nm(8, 1.25, "8.8"), 1)
    25.5
    """
    entry = standard("torque")["property_classes"][property_class]
    proof = entry.get("proof_over_16_mm_MPa", entry["proof_MPa"]) if diameter_mm > 16 else entry["proof_MPa"]
    return float(nut_factor * diameter_mm * share * proof * stress_area_mm2(diameter_mm, pitch_mm) / 1000)


def torque_band(thread: str) -> Band | None:
    """The band for a thread as a quantity names it ("M8", "M8x1", "5/16 UNF"); None for sizes without a table.

    >>> band = torque_band("M8")
    >>> round(band.low), round(band.caution), round(band.broken)
    (10, 34, 107)
    """
    metric = re.fullmatch(r"M([\d.]+)(?:x([\d.]+))?", thread)
    if metric:
        entry = standard("threads")["metric"].get(metric[1])
        if entry is None:
            return None
        return _metric_band(float(metric[1]), float(metric[2] or entry["coarse"]))
    inch = re.match(r"([\d/]+)", thread)
    grades = standard("torque")["inch"].get(inch[1]) if inch and "BSP" not in thread and "NPT" not in thread else None
    if grades is None:
        return None
    usual, strong = (grade * _LBF_FT for grade in grades)
    source = standard("torque")["inch"]["source"]
    return Band(usual * 0.4, usual, strong * 1.2, strong * 3.0, source)


def _metric_band(diameter: float, pitch: float) -> Band:
    form = standard("torque")["short_form"]
    low, caution, broken = form["low"], form["caution"], form["broken"]
    tensile = standard("torque")["property_classes"][broken["class"]]["tensile_MPa"]
    return Band(
        short_form_nm(diameter, pitch, low["class"], low["K"], low["share"]),
        short_form_nm(diameter, pitch, "8.8", form["K_usual"], form["preload_share"]),
        short_form_nm(diameter, pitch, caution["class"], caution["K"], caution["share"]),
        broken["K"] * diameter * tensile * stress_area_mm2(diameter, pitch) / 1000,
        "T = K*D*F with ISO 898-1 proof stress",
    )
