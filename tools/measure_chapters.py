"""Measures where chapters are cut, and fits the weights of the evidence for a cut. No part of the installed package.

    python tools/measure_chapters.py             development and test narrations, F1 within 10 s, Pk, WindowDiff
    python tools/measure_chapters.py --verbose   each narration with the boundaries found and wanted
    python tools/measure_chapters.py --fit       weights from the development narrations, each left out in turn

Narrations are written texts spoken without sound, in four ways: with a stop before each chapter or with pauses
wherever there is work to do; with punctuation or, as automatic captions are, without. Others were spoken by synthetic
voices and really heard. Weights are fitted to the development narrations alone.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path

import numpy as np
import numpy.typing as npt

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))

from pipeline.chapters import cut, evidence, find_chapters  # noqa: E402
from pipeline.chapters.terms import find_terms  # noqa: E402
from pipeline.chapters.units import cut_utterances  # noqa: E402
from pipeline.tokens import written_tokens  # noqa: E402
from pipeline.vocabulary import load_vocabulary  # noqa: E402
from tests.chapters.narrations import SETS, Spoken, spoken_set  # noqa: E402
from tests.chapters.scores import Agreement, agreement  # noqa: E402

VOCABULARY = load_vocabulary()
# No narration has a boundary that a weight of the other sign would explain.
NEGATIVE, FREE = ("bridged", "farewell"), ("bias", "bridged", "farewell")


def found_ms(spoken: Spoken) -> list[int]:
    tokens = written_tokens(spoken.words)
    chapters = find_chapters(
        spoken.words, tokens, (), VOCABULARY, spoken.duration_ms, segment_starts=spoken.segment_starts
    )
    return [chapter.start_ms for chapter in chapters[1:]]


def measure(spoken: Sequence[Spoken], verbose: bool) -> Agreement:
    total = Agreement()
    for one in spoken:
        found = found_ms(one)
        total += agreement(found, one.gold_ms, one.duration_ms)
        if verbose:
            found_s, gold_s = ([ms // 1000 for ms in times] for times in (found, one.gold_ms))
            print(f"  {one.name} ({one.manner}): found {found_s} wanted {gold_s}")
    return total


def rows(spoken: Spoken) -> tuple[npt.NDArray[np.float64], npt.NDArray[np.bool_]]:
    """Evidence at the gold boundaries and at the places at least 10 s away from any."""
    tokens = written_tokens(spoken.words)
    units = cut_utterances(tokens, spoken.segment_starts)
    topics = evidence.find_topics(units, tokens, find_terms(tokens, VOCABULARY))
    table = evidence.features(units, topics)
    numbers = range(1, len(units))
    gold = {min(numbers, key=lambda n: abs(units[n].start_ms - ms)) for ms in spoken.gold_ms}
    far = [n for n in numbers if all(abs(units[n].start_ms - ms) >= 10_000 for ms in spoken.gold_ms)]
    used = sorted(gold | set(far))
    return table[used], np.array([n in gold for n in used])


def fit(
    tables: Sequence[tuple[npt.NDArray[np.float64], npt.NDArray[np.bool_]]], penalty: float = 3.0
) -> dict[str, float]:
    """Logistic regression with an L2 penalty, by gradient steps that keep each weight within its bounds."""
    table = np.vstack([rows for rows, _ in tables])
    sign = 2.0 * np.concatenate([gold for _, gold in tables]) - 1.0
    low = np.array([-np.inf if name in FREE else 0.0 for name in evidence.FEATURES])
    high = np.array([0.0 if name in NEGATIVE else np.inf for name in evidence.FEATURES])
    weights = np.zeros(table.shape[1])
    step = 4.0 / (np.linalg.norm(table, 2) ** 2 + 4 * penalty)
    shrink = np.full(len(weights), penalty)
    shrink[0] = 0.0
    for _ in range(20_000):
        wrong = 1 / (1 + np.exp(table @ weights * sign))
        gradient = -(table.T @ (sign * wrong)) + shrink * weights
        weights = np.clip(weights - step * gradient, low, high)
    return {name: round(float(weight), 2) for name, weight in zip(evidence.FEATURES, weights, strict=True)}


def fit_and_measure() -> None:
    spoken = [one for which in SETS["development"] for one in spoken_set(which)]
    tables = {id(one): rows(one) for one in spoken}
    names = sorted({one.name for one in spoken})
    total = Agreement()
    for name in names:
        cut.WEIGHTS = fit([tables[id(one)] for one in spoken if one.name != name])
        total += measure([one for one in spoken if one.name == name], verbose=False)
    print(f"each narration left out in turn ({len(names)} narrations): {total}")
    print("weights from all:", fit(list(tables.values())))


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--fit", action="store_true")
    parser.add_argument("--verbose", action="store_true")
    options = parser.parse_args()
    if options.fit:
        fit_and_measure()
        return
    for purpose, sets in SETS.items():
        for which in sets:
            spoken = spoken_set(which)
            manners = dict.fromkeys(one.manner for one in spoken)
            for manner in manners if len(manners) > 1 else ():
                chosen = [one for one in spoken if one.manner == manner]
                print(f"{purpose:<12} {which:<14} {manner:<30} {measure(chosen, options.verbose)}")
            print(f"{purpose:<12} {which:<14} {'all':<30} {measure(spoken, verbose=False)}")


if __name__ == "__main__":
    main()
