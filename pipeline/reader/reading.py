"""What the reader network says of one text: of each word, and of pairs of words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float32]
ACTIONS = (
    "fit",
    "remove",
    "renew",
    "tighten",
    "torque",
    "slacken",
    "fill",
    "drain",
    "top_up",
    "lubricate",
    "clean",
    "coat",
    "polish",
    "measure",
    "adjust",
    "inspect",
    "repair",
    "connect",
    "disconnect",
    "route",
    "bleed",
    "test",
    "align",
    "mark",
    "cut",
    "drill",
    "weld",
    "machine",
    "seal",
    "assemble",
    "dismantle",
)
STATUSES = (
    "done",
    "planned",
    "provisional",
    "advised",
    "negated",
    "past",
)
KINDS = (
    "provisional",
    "loose",
    "promised",
    "one_side_only",
    "not_closed",
    "no_figure",
    "waiting",
)
# What a number may be a figure of.
FIGURES = (
    "volume", "torque", "pressure", "length", "clearance", "thread", "spanner", "angle", "viscosity", "temperature",
    "duration", "mass", "voltage", "current", "resistance", "speed", "ratio", "percentage", "grit", "teeth",
)  # fmt: skip
# What may stand behind a word; words without punctuation get theirs from the network.
MARKS = ("", ",", ".")
VERB_PART, VERB_PLACE, PART_PLACE, FIGURE_OWNER, FIGURE_EVENT = range(5)
UNRELATED = -16.0
_LOWEST, _HIGHEST, _FARTHEST_BEHIND = -8, 8, 6


def step(score: float) -> int:
    """A score as a whole step, as evidence names it."""
    return max(_LOWEST, min(_HIGHEST, round(score)))


def behind(score: float, best: float) -> int:
    """By how many steps a score is less than the best."""
    return min(_FARTHEST_BEHIND, round(best - score))


class Pairs(Protocol):
    """Scores of pairs of words; above nought where the second is what the first is about."""

    def score(self, role: int, first: int, second: int) -> float:
        """`role` is VERB_PART, VERB_PLACE, PART_PLACE, FIGURE_OWNER or FIGURE_EVENT."""

    def around(self, role: int, first: int, low: int, high: int) -> Floats:
        """The scores of the words `low`..`high` as what the word `first` is about."""


@dataclass(frozen=True)
class Reading:
    """Scores for the tokens of one text, as natural logarithms of odds.

    `actions` [tokens, 1 + actions], `statuses` [tokens, statuses], `ends` [tokens, 1 + loose ends], `figures` [tokens,
    1 + kinds of figures]; column 0 of all but the statuses is "nothing".
    """

    actions: Floats
    statuses: Floats
    ends: Floats
    figures: Floats
    pairs: Pairs

    def action(self, action: str, tokens: Sequence[int]) -> float:
        """How much the best of the tokens speaks for an action, against its telling nothing."""
        column = ACTIONS.index(action) + 1
        return max(float(self.actions[at, column] - self.actions[at, 0]) for at in tokens)

    def telling(self, tokens: Sequence[int]) -> tuple[int, str, float]:
        """(token, action, score) of the strongest action that any of the tokens tells."""
        scores = self.actions[list(tokens), 1:] - self.actions[list(tokens), :1]
        row, column = np.unravel_index(int(scores.argmax()), scores.shape)
        return tokens[int(row)], ACTIONS[int(column)], float(scores[row, column])

    def figure(self, tokens: Sequence[int]) -> dict[str, float]:
        """Kind -> probability that the number over these tokens is such a figure; "" for none of the build."""
        scores = self.figures[list(tokens)].mean(0)
        odds = np.exp(scores - scores.max())
        return dict(zip(("", *FIGURES), map(float, odds / odds.sum()), strict=True))

    def status(self, token: int) -> tuple[str, float]:
        """The status of what the token tells, and by how much it leads."""
        scores = self.statuses[token]
        first, second = np.sort(scores)[::-1][:2]
        return STATUSES[int(scores.argmax())], float(first - second)
