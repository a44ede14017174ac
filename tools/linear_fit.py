"""Linear models over named features, fitted with numpy alone. No part of the installed package."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Loss = Callable[[Floats], tuple[float, Floats]]
SEEN = 3


@dataclass(frozen=True)
class Table:
    """Rows of features that are there or not: `columns` of all rows one after another, `lengths` of the rows."""

    columns: Ints
    lengths: Ints
    width: int

    def times(self, weights: Floats) -> Floats:
        """The sum of the weights of each row."""
        rows = np.repeat(np.arange(len(self.lengths)), self.lengths)
        return np.bincount(rows, weights[self.columns], minlength=len(self.lengths))

    def back(self, values: Floats) -> Floats:
        """The sum of the values of the rows that have each feature."""
        return np.bincount(self.columns, np.repeat(values, self.lengths), minlength=self.width)


class Columns:
    """The features that stand in at least `SEEN` rows, each with its column."""

    def __init__(self, rows: Sequence[Sequence[str]]) -> None:
        seen = Counter(name for row in rows for name in set(row))
        self.index = {name: place for place, name in enumerate(sorted(n for n, c in seen.items() if c >= SEEN))}

    def table(self, rows: Sequence[Sequence[str]]) -> Table:
        known = [[self.index[name] for name in dict.fromkeys(row) if name in self.index] for row in rows]
        columns = np.array([column for row in known for column in row], dtype=np.int64)
        return Table(columns, np.array([len(row) for row in known], dtype=np.int64), len(self.index))

    def named(self, weights: NDArray[Any]) -> Iterator[tuple[str, Any]]:
        return zip(self.index, weights, strict=True)


def minimise(loss: Loss, size: int, steps: int = 200, memory: int = 12) -> Floats:
    """Limited-memory BFGS with step halving (Nocedal and Wright, Numerical Optimization, 2006, algorithms 7.4, 7.5)."""
    at = np.zeros(size)
    value, slope = loss(at)
    moves: list[tuple[Floats, Floats]] = []
    for _ in range(steps):
        direction = -_curved(slope, moves)
        expected = float(slope @ direction)
        if expected > -1e-6 * max(1.0, abs(value)):
            break
        step = 1.0 if moves else 1.0 / max(1.0, float(np.abs(slope).sum()))
        while True:
            there = at + step * direction
            new_value, new_slope = loss(there)
            if new_value <= value + 1e-4 * step * expected or step < 1e-10:
                break
            step /= 2
        if (new_slope - slope) @ (there - at) > 1e-12:
            moves = [*moves[-memory + 1 :], (there - at, new_slope - slope)]
        at, value, slope = there, new_value, new_slope
    return at


def _curved(slope: Floats, moves: list[tuple[Floats, Floats]]) -> Floats:
    """The slope times an estimate of the inverse curvature."""
    result = slope.copy()
    shares = []
    for move, change in reversed(moves):
        share = float(move @ result) / float(move @ change)
        result -= share * change
        shares.append(share)
    if moves:
        move, change = moves[-1]
        result *= float(move @ change) / float(change @ change)
    for (move, change), share in zip(moves, reversed(shares), strict=True):
        result += move * (share - float(change @ result) / float(move @ change))
    return result


def fit_binary(table: Table, right: NDArray[np.bool_], penalty: float) -> Floats:
    """Logistic regression: a weight a feature."""
    sign = np.where(right, 1.0, -1.0)

    def loss(weights: Floats) -> tuple[float, Floats]:
        margin = sign * table.times(weights)
        error = sign / (1.0 + np.exp(np.clip(margin, -500, 500)))
        cost = np.logaddexp(0.0, -margin).sum() + penalty * (weights @ weights) / 2
        return float(cost), penalty * weights - table.back(error)

    return minimise(loss, table.width)


def fit_classes(table: Table, numbers: Ints, classes: int, penalty: float) -> Floats:
    """Softmax regression: weights of shape (features, classes)."""
    wanted = np.eye(classes)[numbers]

    def loss(flat: Floats) -> tuple[float, Floats]:
        weights = flat.reshape(table.width, classes)
        scores = np.stack([table.times(weights[:, place]) for place in range(classes)], axis=1)
        scores -= scores.max(axis=1, keepdims=True)
        power = np.exp(scores)
        share = power / power.sum(axis=1, keepdims=True)
        cost = -np.log(share[np.arange(len(numbers)), numbers] + 1e-12).sum() + penalty * (flat @ flat) / 2
        slope = np.stack([table.back(share[:, k] - wanted[:, k]) for k in range(classes)], axis=1)
        return float(cost), slope.ravel() + penalty * flat

    return minimise(loss, table.width * classes).reshape(table.width, classes)


def fit_choices(table: Table, groups: Ints, right: Floats, start: Floats, penalty: float) -> Floats:
    """Softmax over the rows of each group, of which at least one is right; `start` is what each row is worth anyway."""
    count = int(groups.max()) + 1

    def loss(weights: Floats) -> tuple[float, Floats]:
        scores = table.times(weights) + start
        top = np.full(count, -np.inf)
        np.maximum.at(top, groups, scores)
        power = np.exp(scores - top[groups])
        total, good = np.bincount(groups, power), np.bincount(groups, power * right) + 1e-9
        slope = power / total[groups] - power * right / good[groups]
        cost = np.log(total / good).sum() + penalty * (weights @ weights) / 2
        return float(cost), table.back(slope) + penalty * weights

    return minimise(loss, table.width)
