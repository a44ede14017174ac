"""What the rules propose for a text with gold events: the questions that the judge of events learns from.

No part of the installed package.
"""

from __future__ import annotations

import sys
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import measure_facts
import narration as narrations
import numpy as np
from numpy.typing import NDArray
from recorded_reading import RecordedReader

from pipeline.events.inflect import verb_forms
from pipeline.events.judge import Decider, Question, RulesOnly
from pipeline.events.options import LOOSE
from pipeline.events.rules import read_tables
from pipeline.records import Word
from pipeline.tokens import line_words

ROOT = Path(__file__).resolve().parent.parent
FOLDER = ROOT / "tools" / "narrations"
# A verb may stand so many words outside the words that a gold event rests on.
NEAR = 3
# What plain sentences are about, in turn.
PLAIN_PARTS = ("lever", "bracket", "cover", "spring", "bearing", "chain", "bolt", "tank", "cable", "gasket", "shaft")
# An option that is another proposal of a gold event.
OPEN = "?"

Referent = tuple[list[list[str]], list[float], list[bool]]


@dataclass
class Example:
    """A question with the tokens of its verb and its end; `gold`: each option's status, "" for no event, or `OPEN`."""

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
        best = best_option(event, found, taken)
        if best is not None:
            taken.add(best)
            found[best[0]].gold[best[1]] = event["status"]
        _leave_open(event, found, taken)
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


def _leave_open(event: dict[str, Any], found: list[Example], taken: set[tuple[int, int]]) -> None:
    """Other proposals of the same event are neither right nor wrong: what is told twice is told once in the log."""
    for number, example in enumerate(found):
        if not event["start_word"] - NEAR <= example.at < event["end_word"] + NEAR:
            continue
        question = example.question
        for index, option in enumerate(question.options):
            same = same_action(question.actions[index], event["action"]) and same_part(option.part.name, event["part"])
            if same and not example.gold[index] and (number, index) not in taken:
                example.gold[index] = OPEN


def best_option(event: dict[str, Any], found: list[Example], taken: set[tuple[int, int]]) -> tuple[int, int] | None:
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
    moved = bare_places(words)
    events = [
        {**event, "start_word": int(moved[event["start_word"]]), "end_word": int(moved[event["end_word"]])}
        for event in gold["events"]
    ]
    return [(words, gold["events"]), (measure_facts.bare_words(words), events)]


def bare_places(words: Sequence[Word]) -> NDArray[np.intp]:
    """The place of each word among those that are left without punctuation."""
    kept = [index for index, word in enumerate(words) if measure_facts.bare_words([word])]
    return np.searchsorted(kept, np.arange(len(words) + 1))


def read_gold(path: Path) -> dict[str, Any]:
    """The gold facts of a narration; its figures are numbered as its events refer to them."""
    return _gold(narrations.read_narration(path), alone=False)


def passage_golds() -> list[dict[str, Any]]:
    """The gold facts of the passages to learn from, each told by itself."""
    return [_gold(passage, alone=True) for passage in narrations.passages(FOLDER / "passages", held=False)]


def _gold(narration: narrations.Narration, alone: bool) -> dict[str, Any]:
    gold = narrations.gold(narration, [0] * len(narration.words), "", None)
    figures = [{**qty, "id": number} for number, qty in enumerate(gold["quantities"])]
    return {**gold, "alone": alone, "quantities": figures}


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
        part = PLAIN_PARTS[len(found) % len(PLAIN_PARTS)]
        said = said.replace("lever", part)
        span = {"start_word": 0, "end_word": len(said.split())}
        events = [{"action": action, "part": part, "status": status, **span}] if action else []
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


def narration_paths() -> list[Path]:
    return sorted([*(FOLDER / "tuning").glob("*.txt"), *(FOLDER / "dev").glob("*.txt")])
