"""The shipped weights against evidence from voices and narrations that they were not fitted on.

`recorded/evidence_test.json.gz` was gathered by `tools/measure_second_hearing.py`: six narrations by four voices, clean
and in workshop noise (72 recordings, 244 minutes).
"""

import gzip
import json
from collections import Counter
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from pipeline.second_hearing.calibration import shipped_calibration

RECORDED = Path(__file__).resolve().parent / "recorded"


@cache
def evidence() -> list[dict[str, Any]]:
    rows: list[dict[str, Any]] = json.loads(gzip.decompress((RECORDED / "evidence_test.json.gz").read_bytes()))
    return rows


@cache
def scored_terms() -> list[tuple[float, str, bool]]:
    """(score, label, proposed by text) of the best option of each contest."""
    calibration = shipped_calibration()
    found = []
    for result in evidence():
        for contest in result["terms"]:
            odds = [calibration.odds("term", each) for each in contest["evidence"]]
            best = max(range(len(odds)), key=lambda place: odds[place])
            found.append((odds[best] / (1 + sum(odds)), contest["labels"][best], contest["proposed"]))
    return [item for item in found if item[1] != "spacing"]


def test_fewer_wrong_and_more_right_terms_than_text_alone() -> None:
    calibration = shipped_calibration()
    before, after = Counter[tuple[str, str]](), Counter[tuple[str, str]]()
    for result in evidence():
        for contest in result["terms"]:
            if contest["before"] is not None:
                corr = result["before"][contest["before"]]
                before[corr["decision"], corr["label"]] += 1
    for score, label, proposed in scored_terms():
        auto = score >= (calibration.auto if proposed else calibration.auto_guarded)
        after["auto" if auto else "ask" if score >= calibration.ask else "keep", label] += 1
    assert after["auto", "right"] > 1.5 * before["auto", "right"]
    assert after["auto", "right"] / (after["auto", "right"] + after["auto", "wrong"]) > 0.9
    assert after["ask", "wrong"] < 0.75 * before["ask", "wrong"]
    assert after["auto", "right"] + after["ask", "right"] > 0.9 * (before["auto", "right"] + before["ask", "right"])


@pytest.mark.parametrize(("low", "high"), [(0.0, 0.1), (0.1, 0.3), (0.3, 0.6), (0.6, 0.8), (0.8, 1.0)])
def test_scores_are_probabilities(low: float, high: float) -> None:
    inside = [(score, label == "right") for score, label, _ in scored_terms() if low <= score < high]
    assert len(inside) > 100
    said = sum(score for score, _ in inside) / len(inside)
    came_true = sum(right for _, right in inside) / len(inside)
    assert came_true == pytest.approx(said, abs=0.14)


def test_few_right_figures_are_doubted_and_most_wrong_ones_are() -> None:
    calibration = shipped_calibration()
    right, wrong = Counter[bool](), Counter[bool]()
    clean = Counter[bool]()
    for result in evidence():
        places: dict[tuple[int, int], tuple[str, bool]] = {}
        for figure in result["figures"]:
            doubted = calibration.is_doubtful(figure["evidence"])
            label, before = places.get(tuple(figure["place"]), ("", False))
            label = "rival" if "rival" in (label, figure["label"]) else figure["label"] or label
            places[tuple(figure["place"])] = label, doubted or before
        for label, doubted in places.values():
            if label == "heard":
                right[doubted] += 1
                clean[doubted] += result["snr"] is None
            elif label == "rival":
                wrong[doubted] += 1
    assert clean[True] / clean.total() <= 0.05
    assert right[True] / right.total() <= 0.06
    assert wrong[True] / wrong.total() > 0.5
