"""Fits the weights by which events choose their parts and their status: `pipeline/data/event_weights.json`.

    python tools/fit_events.py                    writes the weights, from all narrations for tuning
    python tools/fit_events.py --without c_       leaves out narrations whose names begin so and measures on them
    python tools/fit_events.py --readings FOLD.npz ...

The sentence rules propose; the gold of the tuning and development narrations and of the corpus in tests/ says which
proposals are events. Logistic regression for each part of a proposal (with and without punctuation), softmax for the
status and for what a pronoun means, all with a penalty on large weights. The test narrations and the held-out corpus
are never read. The reader network has learned these narrations by heart: give what networks said of them that had not
seen their authors (`train_reader.py --folds`), or the judge will trust it too much.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import measure_facts
import narration as narrations
import numpy as np
from linear_fit import Columns, Floats, fit_binary, fit_choices, fit_classes
from parallel import spread
from recorded_reading import RecordedReader

from pipeline.events.inflect import verb_forms
from pipeline.events.judge import COST_LIMIT, COST_SCALE, WEIGHTS, Decider, Judge, Question, RulesOnly
from pipeline.events.options import LOOSE
from pipeline.events.rules import read_tables
from pipeline.reader.reading import STATUSES
from pipeline.records import Word
from pipeline.tokens import line_words

ROOT = Path(__file__).resolve().parent.parent
FOLDER = ROOT / "tools" / "narrations"
# A verb may stand so many words outside the words that a gold event rests on.
NEAR = 3
# Snippets and plain sentences are few and short beside the narrations: each counts so many times.
SNIPPETS = 4
# What is shown to be an event with less than even odds is taken: a missed event costs as much as a wrong one.
THRESHOLD = -0.9
PART_PENALTY, STATUS_PENALTY, REFERENT_PENALTY = 10.0, 6.0, 3.0

Referent = tuple[list[list[str]], list[float], list[bool]]


@dataclass
class Example:
    """A question with the tokens of its verb and its end; `gold` has for each option the status of its event or ""."""

    question: Question
    at: int
    end: int
    gold: list[str] = field(default_factory=list)
    referents: list[Referent] = field(default_factory=list)


class Recorder:
    """Notes every question, and answers as another decider does."""

    def __init__(self, decider: Decider) -> None:
        self.decider = decider
        self.questions: list[Question] = []
        self.meant: dict[int, tuple[list[str], list[float], list[list[str]]]] = {}

    def decide(self, question: Question) -> list[tuple[int, str]]:
        self.questions.append(question)
        return self.decider.decide(question)

    def weight(self, question: Question, option: int) -> float:
        return self.decider.weight(question, option)

    def referent(self, at: int, names: list[str], costs: list[float], evidence: list[list[str]]) -> int:
        self.meant[at] = (names, costs, evidence)
        return self.decider.referent(at, names, costs, evidence)


def same_action(action: str, gold: str) -> bool:
    return action == gold or {action, gold} == {"tighten", "torque"} or (action, gold) == ("inspect", "measure")


def same_part(name: str, gold: str) -> bool:
    return measure_facts.part_name(name) == measure_facts.part_name(gold)


def examples(words: Sequence[Word], gold: list[dict[str, Any]], units: str) -> list[Example]:
    """What the rules propose for a text, each with the gold events that it is."""
    recorder = Recorder(RulesOnly())
    finder = measure_facts.FINDER
    shipped, finder.decider = finder.decider, recorder
    measure_facts.events_found(words, "us" if units == "us" else "imperial")
    finder.decider = shipped
    found = []
    for question in recorder.questions:
        predicate, token_of = question.predicate, question.token_of
        last = token_of[max(predicate.verb, predicate.end - 1)]
        found.append(Example(question, token_of[predicate.verb], last, [""] * len(question.options)))
    taken: set[tuple[int, int]] = set()
    for event in gold:
        best = _best(event, found, taken)
        if best is not None:
            taken.add(best)
            found[best[0]].gold[best[1]] = event["status"]
        for example in found:
            predicate = example.question.predicate
            inside = event["start_word"] <= example.at < event["end_word"]
            if not inside or not same_action(predicate.action, event["action"]):
                continue
            for phrase in predicate.objects:
                names, costs, evidence = recorder.meant.get(phrase.start, ([], [], []))
                right = [same_part(name, event["part"]) for name in names]
                if phrase.is_pronoun and any(right):
                    example.referents.append((evidence, costs, right))
    return found


def _best(event: dict[str, Any], found: list[Example], taken: set[tuple[int, int]]) -> tuple[int, int] | None:
    """The example and the option that a gold event is, by place, or None."""
    ranked = []
    low, high = event["start_word"] - NEAR, event["end_word"] + NEAR
    for number, example in enumerate(found):
        if not (low <= example.at < high or low <= example.end < high):
            continue
        question, voice = example.question, example.question.predicate.voice
        inside = event["start_word"] <= example.at < event["end_word"]
        for index, option in enumerate(question.options):
            if (number, index) in taken or not (inside or option.chosen or voice in LOOSE):
                continue
            if same_action(question.actions[index], event["action"]) and same_part(option.part.name, event["part"]):
                rank = (inside, voice != "implied", option.chosen != "", -option.recency, -number)
                ranked.append((rank, (number, index)))
    return max(ranked)[1] if ranked else None


def views(gold: dict[str, Any]) -> list[tuple[Sequence[Word], list[dict[str, Any]]]]:
    """The words as written and without punctuation, each with the events at their words."""
    words = line_words(gold["reference"])
    kept = [index for index, word in enumerate(words) if measure_facts.bare_words([word])]
    moved = np.searchsorted(kept, np.arange(len(words) + 1))
    events = [
        {**event, "start_word": int(moved[event["start_word"]]), "end_word": int(moved[event["end_word"]])}
        for event in gold["events"]
    ]
    return [(words, gold["events"]), (measure_facts.bare_words(words), events)]


def read_gold(path: Path) -> dict[str, Any]:
    narration = narrations.read_narration(path)
    return narrations.gold(narration, [0] * len(narration.words), "", None)


def corpus_golds() -> list[dict[str, Any]]:
    """The snippets of the corpus, whose events may rest on any of their words."""
    sys.path.insert(0, str(ROOT))
    from tests.events.scoring import CORPUS, read_corpus

    found = []
    for snippet in read_corpus(CORPUS / "events.toml"):
        span = {"start_word": 0, "end_word": len(snippet.said.split())}
        events = [{"action": g.action, "part": g.part, "status": g.status, **span} for g in snippet.gold]
        found.append({"name": "corpus", "reference": snippet.said, "events": events, "units": "imperial"})
    return found


def dictionary_golds() -> list[dict[str, Any]]:
    """Each verb of verbs.toml in plain sentences that tell of an event, ask for one or wish for one.

    Few verbs stand in narrations often enough to be learned from them; what the table says of a verb is known.
    """
    tables = read_tables()
    found: list[dict[str, Any]] = []

    def add(said: str, action: str = "", status: str = "done") -> None:
        span = {"start_word": 0, "end_word": len(said.split())}
        events = [{"action": action, "part": "lever", "status": status, **span}] if action else []
        found.append({"name": "dictionary", "reference": said, "events": events, "units": "imperial"})

    def done(verb: str) -> str:
        head, _, last = verb.rpartition(" ")
        forms = verb_forms(last.removeprefix("re-"), tables["irregular"])
        form = [form for form, tags in forms.items() if "pp" in tags][0 if last == "fit" else -1]
        return f"{head} {'re' if last.startswith('re-') else ''}{form}".strip()

    for verb, action in tables["plain"].items():
        if action:
            add(f"We have {done(verb)} the lever.", action, tables["verb_status"].get(verb, "done"))
            add(f"Could you have {done(verb)} the lever?")
            add(f"Maybe somebody should have {done(verb)} the lever.")
    for key, action in tables["phrasal"].items():
        verb, _, particle = key.partition(" ")
        if action and particle:
            moved = verb in ("go", "come")
            add(
                f"The lever has {done(verb)} {particle}." if moved else f"We have {done(verb)} {particle} the lever.",
                action,
            )
            add(f"He wishes they would {key} the lever.")
    for verb in tables["motion"]:
        if verb not in ("have", "come", "go", "settle"):
            add(f"We have {done(verb)} the lever back on.", "fit")
            add(f"We have {done(verb)} the lever on the bench.")
    return found


def use_readings(paths: Sequence[Path]) -> None:
    """From here on the finder takes what networks said of narrations by authors they had not seen."""
    if paths:
        measure_facts.FINDER.reader = RecordedReader(paths, measure_facts.FINDER.reader)


def examples_of(gold: dict[str, Any]) -> list[Example]:
    units = gold.get("units") or "imperial"
    return [example for words, events in views(gold) for example in examples(words, events, units)]


def all_examples(golds: Sequence[dict[str, Any]], readings: Sequence[Path] = ()) -> list[Example]:
    """What the rules propose for all texts, by several processes."""
    return [example for found in spread(examples_of, golds, (use_readings, (readings,))) for example in found]


def fit(found: Sequence[Example]) -> dict[str, Any]:
    """The weights, as the JSON file holds them."""
    rows, right = [], []
    for example in found:
        for features, status in zip(example.question.each, example.gold, strict=True):
            rows.append(["bias", *example.question.shared, *features])
            right.append(status != "")
    columns = Columns(rows)
    parts = fit_binary(columns.table(rows), np.array(right), PART_PENALTY)
    told = [(example, status) for example in found if (status := next(filter(None, example.gold), ""))]
    shared = [["bias", *example.question.shared] for example, _ in told]
    status_columns = Columns(shared)
    numbers = np.array([STATUSES.index(status) for _, status in told])
    statuses = fit_classes(status_columns.table(shared), numbers, len(STATUSES), STATUS_PENALTY)
    meant = [referent for example in found for referent in example.referents]
    evidence = [row for each, _, _ in meant for row in each]
    referent_columns = Columns(evidence)
    cost = np.minimum([cost for _, costs, _ in meant for cost in costs], COST_LIMIT) / COST_SCALE
    groups = np.repeat(np.arange(len(meant)), [len(each) for each, _, _ in meant])
    marks = np.concatenate([np.array(row, dtype=float) for _, _, row in meant])
    referents = fit_choices(referent_columns.table(evidence), groups, marks, -cost, REFERENT_PENALTY)
    return {
        "threshold": THRESHOLD,
        "part": parts_of(columns, parts),
        "referent": parts_of(referent_columns, referents),
        "status": {
            name: row
            for name, weights in status_columns.named(statuses)
            if (row := {s: round(float(w), 2) for s, w in zip(STATUSES, weights, strict=True) if abs(w) >= 0.02})
        },
    }


def parts_of(columns: Columns, weights: Floats) -> dict[str, float]:
    return {name: round(float(weight), 2) for name, weight in columns.named(weights) if abs(weight) >= 0.01}


def judge_of(data: dict[str, Any]) -> Judge:
    return Judge(data["part"], data["status"], data["referent"], data["threshold"])


def narration_paths() -> list[Path]:
    return sorted([*(FOLDER / "tuning").glob("*.txt"), *(FOLDER / "dev").glob("*.txt")])


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
    plain = all_examples([*corpus_golds(), *dictionary_golds()])
    data = fit([*all_examples(golds, readings), *SNIPPETS * plain])
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
