"""Chooses the starts of chapters together: the cheapest division of the whole recording, by dynamic programming.

Cost of a division: for each chapter, how badly its words hold together (Utiyama and Isahara, "A statistical model for
domain-independent text segmentation", ACL 2001: minus the log probability of its words under its own smoothed word
counts), how far its length is from the usual one, and, taken off, the evidence for a turn at its start.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from pipeline.chapters.evidence import FEATURES, Topics, features, is_introduced
from pipeline.chapters.units import Utterance

SHORTEST_MS = 10_000
# Logistic regression on the development narrations (tools/measure_chapters.py --fit).
WEIGHTS = {
    "bias": -3.4,
    "pause": 4.6,
    "opener": 1.25,
    "phrase": 0.95,
    "closer": 0.5,
    "announced": 0.25,
    "naming": 0.4,
    "bridged": -0.5,
    "moved": 0.8,
    "farewell": -0.75,
}
# Found together with them by trying a grid on the same narrations, each left out of the fit in turn.
COHESION = 0.2
LENGTH = 1.5
# A recording opens with a few words on what is going to be done: a short first chapter costs nothing, and is worth
# this much, or half of it where the speaker does not say so.
INTRODUCTION_MS = 18_000
INTRODUCTION = 2.5
_SMOOTHING = 1.0


def usual_length_ms(duration_ms: int) -> float:
    """Length of a chapter that people choose: 42 s in 5 minutes, 1 min in 10, 1.7 min in 30, 2.4 min in 60.

    The square root is our own choice, no source: longer recordings are cut into more and longer chapters.
    """
    minutes = max(duration_ms / 60_000, 0.5)
    return duration_ms / max(3.0, 3.2 * math.sqrt(minutes))


def _cohesion(topics: Topics, longest: int) -> npt.NDArray[np.float64]:
    """Cost of utterances [i, j) as one chapter; infinite beyond `longest` utterances."""
    number = len(topics.stems)
    keys = [[*stems, *places] for stems, places in zip(topics.stems, topics.places, strict=True)]
    kinds = len({key for unit in keys for key in unit}) or 1
    cost = np.full((number + 1, number + 1), np.inf)
    for start in range(number):
        counts: dict[str, int] = {}
        total, likelihood = 0, 0.0
        for end in range(start + 1, min(number, start + longest) + 1):
            for key in keys[end - 1]:
                n = counts.get(key, 0)
                likelihood += (n + 1) * math.log(n + 1 + _SMOOTHING) - n * math.log(n + _SMOOTHING)
                counts[key] = n + 1
                total += 1
            cost[start, end] = total * math.log(total + _SMOOTHING * kinds) - likelihood
    return cost


def _length_costs(starts: npt.NDArray[np.float64], target_ms: float, introduced: bool) -> npt.NDArray[np.float64]:
    """Cost of the length of a chapter from start i to start j: the squared logarithm of how far it is from usual."""
    lengths = np.maximum(starts[None, :] - starts[:, None], 1.0)
    cost = LENGTH * np.log(lengths / target_ms) ** 2
    first_ms = max(INTRODUCTION_MS, 0.3 * target_ms)
    introduction = LENGTH * np.log(lengths[0] / first_ms) ** 2 - INTRODUCTION * (1.0 if introduced else 0.5)
    cost[0] = np.minimum(cost[0], introduction)
    cost[lengths < SHORTEST_MS] = np.inf
    return np.asarray(cost)


def division_costs(
    units: Sequence[Utterance], topics: Topics, duration_ms: int, target_ms: float
) -> npt.NDArray[np.float64]:
    """Cost of a chapter from utterance i up to utterance j, for every pair; infinite where it would be too short."""
    number = len(units)
    starts = np.array([0, *(unit.start_ms for unit in units[1:]), duration_ms], dtype=float)
    evidence = features(units, topics) @ np.array([WEIGHTS[name] for name in FEATURES])
    longest = number if number <= 400 else max(60, int(5 * number * target_ms / duration_ms))
    cost = COHESION * _cohesion(topics, longest) + _length_costs(starts, target_ms, is_introduced(units))
    cost[:number] -= evidence[:, None]
    return cost


def choose_starts(cost: npt.NDArray[np.float64], least: int, most: int) -> list[int]:
    """Utterances that begin chapters: the cheapest division into `least` to `most` chapters, fewer if need be."""
    number = len(cost) - 1
    best = np.full(number + 1, np.inf)
    best[0] = 0.0
    backs: list[npt.NDArray[np.intp]] = []
    totals: list[float] = []
    for _ in range(min(most, number)):
        through = best[:, None] + cost
        backs.append(through.argmin(axis=0))
        best = through[backs[-1], np.arange(number + 1)]
        totals.append(float(best[number]))
    possible = [k for k, total in enumerate(totals, start=1) if math.isfinite(total)]
    wanted = [k for k in possible if k >= least] or possible[-1:]
    if not wanted:
        return [0]
    chapters = min(wanted, key=lambda k: totals[k - 1])
    starts: list[int] = []
    at = number
    for level in range(chapters - 1, -1, -1):
        at = int(backs[level][at])
        starts.append(at)
    return starts[::-1]
