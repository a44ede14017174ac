"""Fits the weights by which events choose their parts and their status: `pipeline/data/event_weights.json`.

    python tools/fit_events.py                    writes the weights, from all narrations for tuning
    python tools/fit_events.py --without c_       leaves out narrations whose names begin so and measures on them
    python tools/fit_events.py --readings FOLD.xz ...

The sentence rules propose; the gold of the tuning and development narrations, of the passages and of the corpus says
which proposals are events. Logistic regression for each part of a proposal (with and without punctuation), softmax
for the status and for what a pronoun means, all with a penalty on large weights. The test narrations and the held-out
corpus are never read. The reader network has learned these narrations by heart: give what networks said of them that
had not seen their authors (`read_left_out.py`), or the judge will trust it too much.
"""

from __future__ import annotations

import argparse
import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import measure_facts
import numpy as np
from event_examples import (
    OPEN,
    Example,
    corpus_golds,
    dictionary_golds,
    examples,
    narration_paths,
    passage_golds,
    read_gold,
    use_readings,
    views,
)
from linear_fit import Floats, Rows, Table, fit_binary, fit_choices, fit_classes
from parallel import spread

from pipeline.events.judge import COST_LIMIT, COST_SCALE, WEIGHTS, Judge, RulesOnly
from pipeline.reader.reading import STATUSES

# Snippets and plain sentences are few and short beside the narrations: each counts so many times. So do passages.
SNIPPETS, PASSAGES = 12, 3
# What is shown to be an event with less than even odds is taken: a missed event costs as much as a wrong one. On 110
# narrations left out of learning F1 was .615 here, .621 at -1.15 and .624 at -1.4, where more than a third of the
# entries are wrong.
THRESHOLD = -0.9
PART_PENALTY, STATUS_PENALTY, REFERENT_PENALTY = 10.0, 6.0, 3.0


@dataclass
class Lessons:
    """What is to be learned from one text: features of options, of statuses and of what pronouns may mean."""

    options: Rows = field(default_factory=Rows)
    right: list[bool] = field(default_factory=list)
    told: Rows = field(default_factory=Rows)
    statuses: list[int] = field(default_factory=list)
    meant: Rows = field(default_factory=Rows)
    costs: list[float] = field(default_factory=list)
    marks: list[bool] = field(default_factory=list)
    groups: list[int] = field(default_factory=list)

    def add(self, example: Example) -> None:
        shared = ["bias", *example.question.shared]
        for features, status in zip(example.question.each, example.gold, strict=True):
            if status == OPEN:
                continue
            self.options.add((*shared, *features))
            self.right.append(status != "")
        status = next((status for status in example.gold if status not in ("", OPEN)), "")
        if status:
            self.told.add(shared)
            self.statuses.append(STATUSES.index(status))
        for evidence, costs, right in example.referents:
            for row in evidence:
                self.meant.add(row)
            self.costs += costs
            self.marks += right
            self.groups.append(len(evidence))

    def extend(self, other: Lessons) -> None:
        for rows, more in ((self.options, other.options), (self.told, other.told), (self.meant, other.meant)):
            rows.extend(more)
        self.right += other.right
        self.statuses += other.statuses
        self.costs += other.costs
        self.marks += other.marks
        self.groups += other.groups


def lessons_of(gold: dict[str, Any]) -> Lessons:
    units, found = gold.get("units") or "imperial", Lessons()
    for words, events in views(gold):
        for example in examples(words, events, units):
            found.add(example)
    return found


def all_lessons(golds: Sequence[dict[str, Any]], readings: Sequence[Path] = ()) -> list[Lessons]:
    """What is to be learned from each text, by several processes."""
    return spread(lessons_of, golds, (use_readings, (readings,)))


def fit(texts: Iterable[Lessons]) -> dict[str, Any]:
    """The weights, as the JSON file holds them."""
    found = Lessons()
    for text in texts:
        found.extend(text)
    options, told, meant = Table(found.options), Table(found.told), Table(found.meant)
    parts = fit_binary(options, np.array(found.right), PART_PENALTY)
    statuses = fit_classes(told, np.array(found.statuses), len(STATUSES), STATUS_PENALTY)
    cost = np.minimum(found.costs, COST_LIMIT) / COST_SCALE
    groups = np.repeat(np.arange(len(found.groups)), found.groups)
    referents = fit_choices(meant, groups, np.array(found.marks, dtype=float), -cost, REFERENT_PENALTY)
    return {
        "threshold": THRESHOLD,
        "part": parts_of(options, parts),
        "referent": parts_of(meant, referents),
        "status": {
            name: row
            for name, weights in told.named(statuses)
            if (row := {s: round(float(w), 2) for s, w in zip(STATUSES, weights, strict=True) if abs(w) >= 0.02})
        },
    }


def parts_of(table: Table, weights: Floats) -> dict[str, float]:
    return {name: round(float(weight), 2) for name, weight in table.named(weights) if abs(weight) >= 0.01}


def judge_of(data: dict[str, Any]) -> Judge:
    return Judge(data["part"], data["status"], data["referent"], data["threshold"])


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--without", nargs="*", metavar="NAME", help="narrations to leave out and measure on")
    parser.add_argument("--readings", nargs="+", type=Path, metavar="FILE", help="folds of readings")
    arguments = parser.parse_args()
    without = tuple(arguments.without or ())
    readings = arguments.readings or ()
    use_readings(readings)
    held = [path for path in narration_paths() if without and path.stem.startswith(without)]
    golds = [read_gold(path) for path in narration_paths() if path not in held]
    plain, alone = [*corpus_golds(), *dictionary_golds()], passage_golds()
    lessons = all_lessons([*plain, *alone, *golds], readings)
    rest = lessons[len(plain) + len(alone) :]
    data = fit([*rest, *SNIPPETS * lessons[: len(plain)], *PASSAGES * lessons[len(plain) : -len(rest)]])
    if held:
        for title, decider in (("rules alone", RulesOnly()), ("with these weights", judge_of(data))):
            print(title)
            measure_facts.FINDER.decider = decider
            measure_facts.measure_true_words([read_gold(path) for path in held], None)
        return
    WEIGHTS.write_text(json.dumps(data, indent=0, ensure_ascii=False, sort_keys=True) + "\n", encoding="utf-8")
    print(f"{WEIGHTS}: {len(data['part'])} + {len(data['status'])} + {len(data['referent'])} weights")


if __name__ == "__main__":
    main()
