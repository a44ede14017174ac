"""Measures and calibrates the second hearing on spoken narrations. No part of the installed package.

    python tools/measure_second_hearing.py gather dev  DEV.json  [--every 3]   put everything doubtful to the sound
    python tools/measure_second_hearing.py gather test TEST.json [--workers 2] [--generous 3]
    python tools/measure_second_hearing.py gather tuning OUT.json --heard HEARD.jsonl.gz
    python tools/measure_second_hearing.py cost                   its time beside that of hearing, on the samples
    python tools/measure_second_hearing.py fit DEV.json           weights for pipeline/data/second_hearing.toml
    python tools/measure_second_hearing.py report TEST.json                    with and without, by voice and noise

The narrations, their voices and noise are those of `hear_narrations.py`, which must have heard the set before: what was
heard comes from tests/samples/narrations_SET.jsonl.gz, the sound is made again from the same seeds. What was gathered
last lies in tests/second_hearing/recorded/evidence_SET.json.gz: `fit` and `report` take it and need no sound.
"""

from __future__ import annotations

import argparse
import gzip
import itertools
import json
import re
from collections import Counter, defaultdict
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np
from gather_second_hearing import cost, gather
from spoken_sets import letters, recorded_rows

from pipeline.numbers import speak_number
from pipeline.second_hearing.calibration import Calibration, shipped_calibration
from pipeline.second_hearing.hear_again import TERMS_A_MINUTE, UNHEARD_A_MINUTE, UNITS_A_MINUTE, allowed

DECISIONS = ("auto", "ask", "keep")
OTHERS = ("heard", "rival")


# --- fitting --------------------------------------------------------------------------------------------------------


def table(contests: Sequence[dict[str, Any]], names: Sequence[str]) -> tuple[list[Any], list[int]]:
    """Evidence of each contest, shape (options, names + bias), and the index of the right option, -1 for none."""
    rows, answers = [], []
    for contest in contests:
        rows.append(np.array([[*(option[name] for name in names), 1.0] for option in contest["evidence"]]))
        labels = contest["labels"]
        answers.append(next((place for place, label in enumerate(labels) if label in ("right", "spacing")), -1))
    return rows, answers


def choose_weights(rows: Sequence[Any], answers: Sequence[int], penalty: float = 0.3) -> Any:
    """Weights of a conditional logit with "none of them" at odds of 1, by gradient ascent with line search."""
    beta = np.zeros(rows[0].shape[1])

    def loss_and_slope(weights: Any) -> tuple[float, Any]:
        loss, slope = penalty * float((weights[:-1] ** 2).sum()) / 2, np.append(penalty * weights[:-1], 0.0)
        for row, answer in zip(rows, answers, strict=True):
            scores = np.append(np.clip(row @ weights, -40, 40), 0.0)
            top = scores.max()
            chances = np.exp(scores - top)
            chances /= chances.sum()
            loss -= float(np.log(max(chances[answer], 1e-12)))
            slope += row.T @ chances[:-1] - (row[answer] if answer >= 0 else 0.0)
        return loss, slope

    loss, slope = loss_and_slope(beta)
    inverse = np.eye(len(beta)) * 0.01
    for _ in range(300):  # BFGS
        step = -inverse @ slope
        size = 1.0
        while size > 1e-6:
            fresh = beta + size * step
            fresh_loss, fresh_slope = loss_and_slope(fresh)
            if fresh_loss < loss + 1e-4 * size * float(slope @ step):
                break
            size /= 2
        else:
            break
        moved, turned = fresh - beta, fresh_slope - slope
        if (curve := float(moved @ turned)) > 1e-12:
            left = np.eye(len(beta)) - np.outer(moved, turned) / curve
            inverse = left @ inverse @ left.T + np.outer(moved, moved) / curve
        done = abs(loss - fresh_loss) < 1e-9
        beta, loss, slope = fresh, fresh_loss, fresh_slope
        if done:
            break
    return beta


def fit(results: list[dict[str, Any]]) -> None:
    names = ["text", "support", "pieces"]
    rows, answers = table([contest for result in results for contest in result["terms"]], names)
    beta = choose_weights(rows, answers)
    print(f"[term]  # {len(rows)} contests, {sum(answer >= 0 for answer in answers)} with the right term among them")
    for name, weight in zip([*names, "bias"], beta, strict=True):
        print(f"{name} = {weight:.3f}")
    units = [unit for result in results for unit in result["units"]]
    names = ["sound", "prior", "alike", "doubt"]
    rows, answers = table(
        [{"evidence": [unit["evidence"]], "labels": ["right" if unit_label(unit) else ""]} for unit in units], names
    )
    beta = choose_weights(rows, answers, penalty=0.1)
    print(f"[unit]  # {len(rows)} contests, {sum(answer >= 0 for answer in answers)} right")
    for name, weight in zip([*names, "bias"], beta, strict=True):
        print(f"{name} = {weight:.3f}")
    plain = [f for result in results for f in result["figures"] if len(f["evidence"]) == 1 and f["label"] in OTHERS]
    rows, answers = table(
        [{"evidence": [f["evidence"]], "labels": ["right" if f["label"] == "heard" else ""]} for f in plain], ["digits"]
    )
    beta = choose_weights(rows, answers)
    print(f"[figure]  # {len(rows)} figures, {sum(answer < 0 for answer in answers)} heard wrong")
    print(f"digits = {beta[0]:.3f}\nbias = {beta[1]:.3f}")


def within_time(result: dict[str, Any]) -> dict[str, Any]:
    """The evidence that the product has time for; `--generous` gathers more."""
    chosen = []
    for proposed, a_minute in ((True, TERMS_A_MINUTE), (False, UNHEARD_A_MINUTE)):
        own = sorted((c for c in result["terms"] if c["proposed"] == proposed), key=lambda c: -float(c["value"]))
        chosen += own[: allowed(a_minute, result["spoken_minutes"])]
    units = result["units"][: allowed(UNITS_A_MINUTE, result["spoken_minutes"])]
    return {**result, "terms": chosen, "units": units}


# --- reporting ------------------------------------------------------------------------------------------------------


def rejudge(result: dict[str, Any], calibration: Calibration) -> list[dict[str, Any]]:
    """The corrections after the second hearing, worked out again from the evidence with the weights of now."""
    before = list(result["before"])
    replaced = {contest["before"] for contest in result["terms"]} - {None}
    after = [corr for place, corr in enumerate(before) if place not in replaced]
    for contest in result["terms"]:
        odds = [calibration.odds("term", evidence) for evidence in contest["evidence"]]
        best = int(np.argmax(odds))
        score = odds[best] / (1.0 + sum(odds))
        from_auto = calibration.auto if contest["proposed"] else calibration.auto_guarded
        decision = "auto" if score >= from_auto else "ask" if score >= calibration.ask else "keep"
        after.append({"score": score, "decision": decision, "label": contest["labels"][best]})
    return after


def report(results: list[dict[str, Any]]) -> None:
    calibration = shipped_calibration()
    for result in results:
        result["after"] = rejudge(result, calibration)
        result["doubts"] = [
            figure["place"] for figure in result["figures"] if calibration.is_doubtful(figure["evidence"])
        ]
    minutes = sum(result["minutes"] for result in results)
    spent = sum(result["cpu_s"] for result in results)
    print(f"{len(results)} recordings, {minutes:.0f} min; second hearing {spent / minutes:.2f} CPU s a minute")
    groups: dict[str, list[dict[str, Any]]] = defaultdict(list)
    for result in results:
        for key in ("all", f"voice {result['voice']}", f"noise {result['snr'] or 'clean'}"):
            groups[key].append(result)
    _report_terms(groups)
    _report_figures(groups)
    _report_units(results, calibration)
    print("\nreliability: score of terms after the second hearing, corrections, right")
    _bins([(corr["score"], corr["label"] == "right") for r in results for corr in r["after"] if _counts(corr)])
    print("reliability: doubt of figures, figures, heard wrong")
    doubts = [(calibration.figure_doubt(f["evidence"]), f["label"] == "rival") for r in results for f in r["figures"]]
    _bins(doubts)


def _counts(corr: dict[str, Any]) -> bool:
    return bool(corr["label"] != "spacing")


def _bins(pairs: Sequence[tuple[float, bool]]) -> None:
    edges = [0.0, 0.02, 0.05, 0.12, 0.2, 0.4, 0.6, 0.8, 0.9, 1.01]
    for low, high in itertools.pairwise(edges):
        inside = [right for chance, right in pairs if low <= chance < high]
        if inside:
            print(f"{low:.2f}-{min(high, 1):.2f}  {len(inside):>5}  {np.mean(inside):.3f}")


def _report_terms(groups: dict[str, list[dict[str, Any]]]) -> None:
    print("\nterms          garbled  |  text: auto right wrong, ask right wrong  |  with sound: the same")
    for key, group in sorted(groups.items()):
        cells = []
        for when in ("before", "after"):
            count = Counter((corr["decision"], corr["label"]) for result in group for corr in result[when])
            cells.append([count[d, label] for d in ("auto", "ask") for label in ("right", "wrong")])
        print(f"{key:<28} {sum(r['garbled'] for r in group):>5}  | {cells[0]}  | {cells[1]}")
    print("\nshare of garbled terms made right, at the same precision, over thresholds of the score")
    for when in ("before", "after"):
        print(f"{when:<7}", *_recalls(groups["all"], when))


def _report_figures(groups: dict[str, list[dict[str, Any]]]) -> None:
    print("\nfigures with a rival: heard right, of these doubted; heard as the rival, of these doubted")
    for key, group in sorted(groups.items()):
        right: dict[Any, str] = {}
        for number, result in enumerate(group):
            for figure in result["figures"]:
                place = (number, *figure["place"])
                if figure["label"] and right.get(place) != "rival":
                    right[place] = figure["label"]
        doubted = {(number, *place) for number, result in enumerate(group) for place in result["doubts"]}
        cells = [[p for p, label in right.items() if label == wanted] for wanted in ("heard", "rival")]
        print(f"{key:<28}", *(f"{len(cell)} {sum(place in doubted for place in cell)}" for cell in cells), sep="  ")


def unit_label(unit: dict[str, Any]) -> bool:
    """True where one of the units put to the sound was said."""
    said = letters(" ".join(speak_number(float(w)) if w.isdecimal() else w for w in unit["said"].split()))
    wanted = [letters(_in_words(wording)) for wording in unit["wordings"][1:]]
    return any(said == text or re.search(rf"{re.escape(text)}(?!sand)", said) for text in wanted)


def _in_words(wording: str) -> str:
    return " ".join(speak_number(float(word)) if word.isdecimal() else word for word in wording.split())


def _report_units(results: Sequence[dict[str, Any]], calibration: Calibration) -> None:
    count: Counter[tuple[str, bool]] = Counter()
    for result in results:
        for unit in result["units"]:
            score = calibration.probability("unit", unit["evidence"])
            decision = "auto" if score >= calibration.auto else "ask" if score >= calibration.ask_unit else "keep"
            count[decision, unit_label(unit)] += 1
    print(
        "\nunits heard as everyday words:", *(f"{d} right {count[d, True]} wrong {count[d, False]};" for d in DECISIONS)
    )


def _recalls(results: Sequence[dict[str, Any]], when: str) -> list[str]:
    ranked = sorted(
        (-corr["score"], corr["label"]) for result in results for corr in result[when] if corr["label"] != "spacing"
    )
    garbled = sum(result["garbled"] for result in results)
    cells = []
    for wanted in (0.97, 0.95, 0.9, 0.8, 0.7, 0.6):
        best = right = 0
        for count, (_, label) in enumerate(ranked, 1):
            right += label == "right"
            if right / count >= wanted:
                best = right
        cells.append(f"P{wanted:.2f}: {best}/{garbled} = {best / max(1, garbled):.3f} ")
    return cells


def _text(path: Path) -> str:
    data = path.read_bytes()
    return (gzip.decompress(data) if path.suffix == ".gz" else data).decode("utf-8")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    commands = parser.add_subparsers(dest="step", required=True)
    gathering = commands.add_parser("gather")
    gathering.add_argument("set", choices=["dev", "test", "tuning"])
    gathering.add_argument("out", type=Path)
    gathering.add_argument("--every", type=int, default=1, help="of so many recordings take one")
    gathering.add_argument("--only", default="", help="narrations whose name contains this")
    gathering.add_argument("--heard", type=Path, help="what was heard of the set, if not in tests/samples")
    gathering.add_argument("--workers", type=int, default=1, help="processes side by side, one core each")
    gathering.add_argument("--correction", type=Path, help="folder of weights of correction fitted without this set")
    gathering.add_argument("--generous", type=float, default=1.0, help="so many times the contests a minute")
    commands.add_parser("cost")
    for name in ("fit", "report"):
        commands.add_parser(name).add_argument("paths", type=Path, nargs="+")
    args = parser.parse_args()
    if args.step == "gather":
        rows = recorded_rows(args.set, args.every, args.only, args.heard)
        gather(args.set, rows, args.out, args.generous, args.workers, args.correction)
    elif args.step == "cost":
        cost()
    else:
        results = [within_time(result) for path in args.paths for result in json.loads(_text(path))]
        {"fit": fit, "report": report}[args.step](results)


if __name__ == "__main__":
    main()
