"""Linear models over named features that are there or not. No part of the installed package; needs scipy.

Logistic regression, softmax regression and conditional logistic regression (Train, Discrete Choice Methods with
Simulation, 2009, chapter 3), all with a penalty on large weights, by scipy's L-BFGS-B.
"""

from __future__ import annotations

from array import array
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import minimize
from scipy.sparse import csr_matrix

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Loss = Callable[[Floats], tuple[float, Floats]]
SEEN = 3


@dataclass
class Rows:
    """Rows of features by name, kept as numbers: many of them go from one process to another in little time."""

    names: dict[str, int] = field(default_factory=dict)
    columns: array[int] = field(default_factory=lambda: array("i"))
    lengths: array[int] = field(default_factory=lambda: array("i"))

    def __len__(self) -> int:
        return len(self.lengths)

    def add(self, row: Iterable[str]) -> None:
        before = len(self.columns)
        self.columns.extend(self.names.setdefault(name, len(self.names)) for name in dict.fromkeys(row))
        self.lengths.append(len(self.columns) - before)

    def extend(self, other: Rows) -> None:
        place = np.array([self.names.setdefault(name, len(self.names)) for name in other.names], dtype=np.intc)
        self.columns.frombytes(place[np.frombuffer(other.columns, dtype=np.intc)].tobytes())
        self.lengths.extend(other.lengths)


def rows_of(rows: Iterable[Iterable[str]]) -> Rows:
    found = Rows()
    for row in rows:
        found.add(row)
    return found


class Table:
    """Rows by the features that stand in at least `least` of them; `names` in order."""

    def __init__(self, rows: Rows, least: int = SEEN) -> None:
        columns = np.frombuffer(rows.columns, dtype=np.intc)
        seen = np.bincount(columns, minlength=len(rows.names))
        self.names = sorted({name for name, at in rows.names.items() if seen[at] >= least})
        place = np.full(len(rows.names), -1, dtype=np.intc)
        for number, name in enumerate(self.names):
            place[rows.names[name]] = number
        owner = np.repeat(np.arange(len(rows), dtype=np.intc), np.frombuffer(rows.lengths, dtype=np.intc))
        kept = place[columns] >= 0
        ends = np.cumsum(np.bincount(owner[kept], minlength=len(rows)))
        shape = (len(rows), len(self.names))
        ones = np.ones(int(kept.sum()))
        self._rows = csr_matrix((ones, place[columns[kept]], np.concatenate([[0], ends])), shape=shape)
        self._columns = self._rows.T.tocsr()

    def times(self, weights: Floats) -> Floats:
        """The sum of the weights of each row; `weights` is [features] or [features, classes]."""
        total: Floats = self._rows @ weights
        return total

    def back(self, values: Floats) -> Floats:
        """The sum of the values of the rows that have each feature; `values` is [rows] or [rows, classes]."""
        total: Floats = self._columns @ values
        return total

    def named(self, weights: NDArray[Any]) -> Iterator[tuple[str, Any]]:
        return zip(self.names, weights, strict=True)


def minimise(loss: Loss, start: Floats, steps: int = 200) -> Floats:
    """Where a smooth loss, given with its slope, is least."""
    found = minimize(loss, start, jac=True, method="L-BFGS-B", options={"maxiter": steps, "maxcor": 12, "ftol": 1e-7})
    at: Floats = found.x
    return at


def fit_binary(table: Table, right: NDArray[np.bool_], penalty: float) -> Floats:
    """Logistic regression: a weight a feature."""
    sign = np.where(right, 1.0, -1.0)

    def loss(weights: Floats) -> tuple[float, Floats]:
        margin = sign * table.times(weights)
        error = sign / (1.0 + np.exp(np.clip(margin, -500, 500)))
        cost = np.logaddexp(0.0, -margin).sum() + penalty * (weights @ weights) / 2
        return float(cost), penalty * weights - table.back(error)

    return minimise(loss, np.zeros(len(table.names)))


def fit_classes(table: Table, numbers: Ints, classes: int, penalty: float) -> Floats:
    """Softmax regression: weights of shape (features, classes)."""
    wanted = np.eye(classes)[numbers]

    def loss(flat: Floats) -> tuple[float, Floats]:
        scores = table.times(flat.reshape(-1, classes))
        scores -= scores.max(axis=1, keepdims=True)
        power = np.exp(scores)
        share = power / power.sum(axis=1, keepdims=True)
        cost = -np.log(share[np.arange(len(numbers)), numbers] + 1e-12).sum() + penalty * (flat @ flat) / 2
        return float(cost), table.back(share - wanted).ravel() + penalty * flat

    return minimise(loss, np.zeros(len(table.names) * classes)).reshape(-1, classes)


def fit_choices(
    table: Table, groups: Ints, right: Floats, start: Floats | float, penalty: float,
    counts: Sequence[float] | None = None,
) -> Floats:  # fmt: skip
    """Conditional logistic regression: which of the rows of each group it is.

    At least one row of a group is right; `start` is what each row is worth anyway, `counts` how much each group counts.
    """
    count = int(groups.max()) + 1
    weight = np.ones(count) if counts is None else np.array(counts)

    def loss(weights: Floats) -> tuple[float, Floats]:
        scores = table.times(weights) + start
        top = np.full(count, -np.inf)
        np.maximum.at(top, groups, scores)
        power = np.exp(scores - top[groups])
        total, good = np.bincount(groups, power), np.bincount(groups, power * right) + 1e-9
        slope = weight[groups] * (power / total[groups] - power * right / good[groups])
        cost = weight @ np.log(total / good) + penalty * (weights @ weights) / 2
        return float(cost), table.back(slope) + penalty * weights

    return minimise(loss, np.zeros(len(table.names)))
