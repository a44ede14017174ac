"""Which part a verb group is about, whether it happened and how: decided by weights learned from gold narrations."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Protocol

from pipeline.events.options import Option
from pipeline.events.predicate import Predicate
from pipeline.reader.reading import STATUSES

WEIGHTS = Path(__file__).resolve().parent.parent / "data" / "event_weights.json"
# A cost in words (see focus.py) is worth this much of a weight.
COST_SCALE, COST_LIMIT = 30.0, 160.0


@dataclass(slots=True)
class Question:
    """What is asked about one predicate: features `shared` by all its options and those of `each` option.

    `actions` holds the action of each option, `rules` the indexes of the options that the sentence rules chose,
    `token_of` the token of each unit.
    """

    predicate: Predicate
    options: list[Option]
    actions: list[str]
    shared: list[str]
    each: list[list[str]]
    rules: list[int] = field(default_factory=list)
    token_of: list[int] = field(default_factory=list)


class Decider(Protocol):
    """Anything that answers a question with (index of the option, status) pairs."""

    def decide(self, question: Question) -> list[tuple[int, str]]:
        """The options that are events, each with its status."""

    def weight(self, question: Question, option: int) -> float:
        """How much speaks for an option of a question, beside its others."""

    def referent(self, at: int, names: list[str], costs: list[float], evidence: list[list[str]]) -> int:
        """The index of the part that a pronoun at unit `at` means."""


class RulesOnly:
    """Takes what the sentence rules say."""

    def decide(self, question: Question) -> list[tuple[int, str]]:
        """The rules' parts with the rules' status."""
        status = question.predicate.status
        return (
            [(index, status) for index in question.rules] if status != "none" and not question.predicate.doubt else []
        )

    def weight(self, question: Question, option: int) -> float:
        """What the rules chose first is first."""
        return -float(question.rules.index(option)) if option in question.rules else -float(len(question.options))

    def referent(self, at: int, names: list[str], costs: list[float], evidence: list[list[str]]) -> int:
        """The one that costs least."""
        del at, names, evidence
        return min(range(len(costs)), key=costs.__getitem__)


class Judge:
    """Weighs the evidence: an option is an event where its features add up to more than the threshold."""

    def __init__(
        self, pair: Mapping[str, float], status: Mapping[str, Mapping[str, float]],
        referent: Mapping[str, float], threshold: float,
    ) -> None:  # fmt: skip
        self._pair, self._status, self._referent, self._threshold = pair, status, referent, threshold

    def decide(self, question: Question) -> list[tuple[int, str]]:
        """Every option above the threshold, each with its most probable status."""
        gate = self._pair.get("bias", 0.0) + self._sum(question.shared)
        found = [index for index, features in enumerate(question.each) if gate + self._sum(features) > self._threshold]
        if not found:
            return []
        return [(index, self.status(question.shared)) for index in found]

    def weight(self, question: Question, option: int) -> float:
        """How much speaks for an option of a question, beside its others (log odds)."""
        return self._sum(question.each[option])

    def status(self, shared: Sequence[str]) -> str:
        """The most probable status of a predicate that is an event."""
        score = dict.fromkeys(STATUSES, 0.0)
        for name in ("bias", *shared):
            row = self._status.get(name)
            if row:
                for status, weight in row.items():
                    score[status] += weight
        return max(score, key=lambda status: score[status])

    def referent(self, at: int, names: list[str], costs: list[float], evidence: list[list[str]]) -> int:
        """The part with the heaviest evidence, less what its distance costs."""
        del at, names
        weights = self._referent
        scores = [
            sum(weights.get(name, 0.0) for name in features) - min(cost, COST_LIMIT) / COST_SCALE
            for cost, features in zip(costs, evidence, strict=True)
        ]
        return max(range(len(scores)), key=scores.__getitem__)

    def _sum(self, features: Sequence[str]) -> float:
        weights = self._pair
        return sum(weights.get(name, 0.0) for name in features)


@cache
def load_judge() -> Judge:
    """The judge with the shipped weights."""
    data = json.loads(WEIGHTS.read_text(encoding="utf-8"))
    return Judge(data["part"], data["status"], data["referent"], data["threshold"])
