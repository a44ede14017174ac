"""Learns how much each sign of something left open counts, and which named part a remark is about.

    python tools/fit_loose_ends.py fit                   writes pipeline/data/loose_ends.json
    python tools/fit_loose_ends.py cross                 figures on narrations that were left out of the learning
    python tools/fit_loose_ends.py both --readings FOLD.xz ...       both, by networks that had not seen them

Two models, both linear: whether a clause tells of something left open (logistic regression, one for each kind) and
which of the parts named around it is meant (conditional logistic regression; Train, Discrete Choice Methods with
Simulation, 2009, chapter 3). Both are drawn towards what is known beforehand: a sign's `strength` in
vocab/events/signs.toml, and the few preferences of PARTS below. So a sign that no narration has still counts.

A gold loose end quotes some words; which of their clauses tells it is chosen by the model itself, in two rounds.
Clauses of the same sentence are neither right nor wrong for its kind. The second model learns from the parts of the
gold events too, at a lower weight, because they are referred to in the same ways. Takes about twelve minutes.
"""

from __future__ import annotations

import argparse
import json
import sys
import tomllib
from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import event_examples
import fit_events
import measure_facts as facts
import numpy as np
from linear_fit import Floats, Table, fit_choices, minimise, rows_of
from parallel import spread

from pipeline.loose_ends.finding import find_in
from pipeline.loose_ends.reading import Reading
from pipeline.loose_ends.signs import load_signs
from pipeline.loose_ends.weights import KINDS, Weights
from pipeline.records import Event, Token, Word
from pipeline.tokens import line_words

ROOT = Path(__file__).resolve().parent.parent
INTO = ROOT / "pipeline" / "data" / "loose_ends.json"
CORPUS = ROOT / "tests" / "corpus" / "loose_ends.toml"
FOLDERS = [ROOT / "tools" / "narrations" / name for name in ("dev", "tuning")]
# Known beforehand: most clauses leave nothing open, and what was done before or is advised least of all.
CONSTANT = -4.5
CLAUSES = {"event:past": -1.5, "event:advised": -2.0, "parts:0": -0.3}
PARTS = {
    "in:subject": 1.0, "in:object": 1.0, "in:fronted": 1.0, "in:first": 0.5, "in:title": 0.5, "before:subject": 0.3,
    "before:title": 0.5, "in:governed:place": -1.5, "in:governed:of": -1.0, "before:governed:place": -1.5,
    "before:governed:of": -1.0, "before:governed:with": -1.0, "after:free": -0.5, "after1": -1.5, "after2": -3.0,
    "clauses:1": -1.0, "clauses:2": -2.0, "clauses:3": -2.7, "clauses:4": -3.2, "clauses:5": -3.6, "clauses:6": -4.5,
    "kind:unknown": -0.7, "kind:tool": -1.0, "kind:material": -1.0, "kind:finish": -1.5, "kind:fluid": -1.0,
    "weak": -1.0, "measure": -1.5, "event": 1.0, "loose|fastener": 1.5, "not_closed|vessel": 1.0,
    "not_closed|kind:fluid": -1.0, "determiner:no": -1.0, "contained": -0.5, "before:none:one:one": 0.5,
    "before:none:many:many": 0.5, "before:none:one:many": -1.0, "before:none:many:one": -1.0,
}  # fmt: skip
PULL_CLAUSES, PULL_PARTS, EVENT_WEIGHT, FEWEST, LEAST = 1.0, 5.0, 0.3, 2, 0.04
# Snippets and passages are few and short beside the narrations: each counts so many times.
SNIPPETS, PASSAGES = 4, 2


@dataclass
class Text:
    """One text with its gold. `quiet` kinds are in the gold without being told, so nothing is learned of them."""

    name: str
    reading: Reading
    gold: list[tuple[str, int, int, str]]
    events: list[tuple[int, int, str]] = field(default_factory=list)
    quiet: frozenset[str] = frozenset()
    features: list[set[str]] = field(default_factory=list)
    is_bare: bool = False
    is_alone: bool = False

    def __post_init__(self) -> None:
        self.features = [self.reading.facts.of(index) for index in range(len(self.reading.clauses))]

    def overlaps(self, start_word: int, end_word: int) -> dict[int, int]:
        """How many of these words stand in which clause."""
        count: Counter[int] = Counter()
        for index, clause in enumerate(self.reading.clauses):
            for unit in self.reading.scan.units[clause.start : clause.end]:
                count[index] += start_word <= self.reading.tokens[unit.token].start_word < end_word
        return {index: words for index, words in count.items() if words}


def read(
    name: str, gold: Mapping[str, list[dict[str, object]]], tokens: Sequence[Token], events: Sequence[Event]
) -> Text:
    """A text as the program reads it, with its gold loose ends and events."""
    reading = Reading(events, tokens, facts.VOCABULARY)
    ends = [
        (str(end["kind"]), int(str(end["start_word"])), int(str(end["end_word"])), str(end["part"]))
        for end in gold["loose_ends"] if end["kind"] in KINDS
    ]  # fmt: skip
    done = [(int(str(e["start_word"])), int(str(e["end_word"])), str(e["part"])) for e in gold["events"]]
    return Text(name, reading, ends, done)


def _views(gold: dict[str, Any]) -> list[Sequence[Word]]:
    """As written, and once more as automatic captions have it, without punctuation and capitals."""
    words = line_words(gold["reference"])
    plain = facts.bare_words(words)
    return [words, plain] if len(plain) == len(words) else [words]


def _events_in_views(gold: dict[str, Any]) -> list[tuple[Event, ...]]:
    return [facts.events_found(words, gold["units"])[2].events for words in _views(gold)]


def _use(decider: dict[str, Any], readings: Sequence[Path]) -> None:
    event_examples.use_readings(readings)
    facts.FINDER.decider = fit_events.judge_of(decider)


def read_narrations(folders: Iterable[Path], readings: Sequence[Path], parts: int = 3) -> list[Text]:
    """Every narration in its views.

    Their events are found with weights that were fitted without them, in so many parts: what is learned here must
    not trust events more than those of a narration that nobody has seen.
    """
    paths = sorted(path for folder in folders for path in folder.glob("*.txt"))
    golds = [*(event_examples.read_gold(path) for path in paths), *event_examples.passage_golds()]
    corpus = [*event_examples.corpus_golds(), *event_examples.dictionary_golds()]
    snippets = fit_events.all_lessons(corpus, readings)
    found = fit_events.all_lessons(golds, readings)
    event_examples.use_readings(readings)
    texts = []
    for part in range(parts):
        others = [
            each
            for place, (gold, each) in enumerate(zip(golds, found, strict=True))
            for _ in range(fit_events.PASSAGES if gold["alone"] else 1)
            if place % parts != part
        ]
        decider = fit_events.fit([*others, *fit_events.SNIPPETS * snippets])
        mine = golds[part::parts]
        for gold, views in zip(mine, spread(_events_in_views, mine, (_use, (decider, readings))), strict=True):
            for number, (words, events) in enumerate(zip(_views(gold), views, strict=True)):
                text = read(gold["name"], gold, facts.tokens_of(words, gold["units"]), events)
                text.is_bare, text.is_alone = number > 0, gold["alone"]
                texts.append(text)
    return texts


def read_corpus(path: Path) -> list[Text]:
    """The snippets of a corpus; their gold has no place, so any clause with a sign of its kind may tell it."""
    signs = load_signs()
    texts = []
    for snippet in tomllib.loads(path.read_text(encoding="utf-8"))["snippets"]:
        tokens, _, found = facts.events_found(line_words(snippet["said"]), "imperial")
        text = read("", {"loose_ends": [], "events": []}, tokens, found.events)
        rows = [[piece.strip() for piece in line.split("|")] for line in snippet["gold"]]
        told = {signs[name].kind for inside in text.reading.signs for name in inside if signs[name].strength > 0}
        last = text.reading.tokens[-1].end_word
        text.gold = [(row[0], 0, last, row[1]) for row in rows if row[0] in told & set(KINDS)]
        text.quiet = frozenset(row[0] for row in rows)
        texts.append(text)
    return texts


def prior(kind: str) -> dict[str, float]:
    """What the features of a clause count for beforehand."""
    return CLAUSES | {name: sign.strength for name, sign in load_signs().items() if sign.kind in (kind, "context")}


Score = Callable[[Text, int, str], float]


def telling(text: Text, score: Score) -> tuple[dict[str, dict[int, str]], dict[str, set[int]]]:
    """({kind: {clause that tells a gold end: its part}}, {kind: clauses that are neither right nor wrong})."""
    right: dict[str, dict[int, str]] = {kind: {} for kind in KINDS}
    neither: dict[str, set[int]] = {kind: set() for kind in KINDS}
    clauses = text.reading.clauses
    for kind, start_word, end_word, part in text.gold:
        inside = text.overlaps(start_word, end_word)
        if not inside:
            continue
        best = max(inside, key=lambda index: score(text, index, kind) + (0.1 * inside[index] if not text.quiet else 0))
        right[kind][best] = part
        sentences = {clauses[index].sentence for index in inside}
        beside = {index for index, clause in enumerate(clauses) if clause.sentence in sentences}
        if text.reading.scan.bare:
            beside = set(inside) | {best - 1, best + 1}
        neither[kind] |= beside
        if kind != "one_side_only":
            neither["promised"] |= beside
    return right, neither


def fit_kind(rows: Sequence[set[str]], right: Sequence[bool], known: Mapping[str, float]) -> dict[str, float]:
    """Logistic regression with a pull towards what is known beforehand."""
    table, wanted = Table(rows_of(map(sorted, rows)), FEWEST, known), np.array(right, dtype=float)
    start = np.append(table.start, CONSTANT)
    pull = np.append(np.full(len(table.names), PULL_CLAUSES), 0.1)

    def cost(weights: Floats) -> tuple[float, Floats]:
        scores = table.times(weights[:-1]) + weights[-1]
        wrong, away = 1 / (1 + np.exp(-scores)) - wanted, weights - start
        value = np.sum(np.logaddexp(0, scores) - wanted * scores) + np.sum(pull * away**2) / 2
        return float(value), np.append(table.back(wrong), wrong.sum()) + pull * away

    weights = minimise(cost, start)
    return {"": float(weights[-1])} | dict(zip(table.names, map(float, weights[:-1]), strict=True))


Choice = tuple[list[set[str]], list[bool], float]


def fit_parts(choices: Sequence[Choice]) -> dict[str, float]:
    """Conditional logistic regression; a choice is (features of each candidate, which are right, its weight)."""
    choices = [choice for choice in choices if any(choice[1])]
    table = Table(rows_of(sorted(row) for rows, _, _ in choices for row in rows), FEWEST, PARTS)
    group = np.repeat(np.arange(len(choices)), [len(rows) for rows, _, _ in choices])
    right = np.array([each for _, flags, _ in choices for each in flags], dtype=float)
    weights = fit_choices(table, group, right, 0.0, PULL_PARTS, [weight for _, _, weight in choices])
    return dict(zip(table.names, map(float, weights), strict=True))


def is_part(name: str, gold: str) -> bool:
    return facts.part_name(name) == facts.part_name(gold)


def choices_of(text: Text, right: Mapping[str, Mapping[int, str]]) -> Iterable[Choice]:
    for kind, told in right.items():
        for index, part in told.items():
            rows = text.reading.parts.of(index, kind)
            yield [names for _, names in rows], [is_part(row.name, part) for row, _ in rows], 1.0
    for start_word, end_word, part in text.events:
        inside = text.overlaps(start_word, end_word)
        if inside:
            rows = text.reading.parts.of(max(inside, key=inside.__getitem__), "event")
            yield [names for _, names in rows], [is_part(row.name, part) for row, _ in rows], EVENT_WEIGHT


def fit(texts: Sequence[Text]) -> Weights:
    """Both models, learned from all texts."""
    kinds: dict[str, dict[str, float]] = {kind: prior(kind) for kind in KINDS}

    def score(text: Text, index: int, kind: str) -> float:
        return sum(kinds[kind].get(name, 0.0) for name in text.features[index])

    told = []
    for _ in range(2):
        told = [telling(text, score) for text in texts]
        learned = {}
        for kind in KINDS:
            rows, right = [], []
            for text, (tells, neither) in zip(texts, told, strict=True):
                for index, names in enumerate(text.features):
                    if index in tells[kind] or not (index in neither[kind] or kind in text.quiet):
                        rows.append(names)
                        right.append(index in tells[kind])
            learned[kind] = fit_kind(rows, right, prior(kind))
        kinds = learned
    choices = [choice for text, (tells, _) in zip(texts, told, strict=True) for choice in choices_of(text, tells)]
    return Weights(kinds, fit_parts(choices))


def write(weights: Weights) -> None:
    """Rounded, without what counts for next to nothing."""

    def short(table: Mapping[str, float]) -> dict[str, float]:
        return {name: round(weight, 2) for name, weight in sorted(table.items()) if abs(weight) >= LEAST or not name}

    data = {
        "source": "Made by tools/fit_loose_ends.py from its narrations and tests/corpus/loose_ends.toml.",
        "kinds": {kind: short(table) for kind, table in weights.kinds.items()},
        "parts": short(weights.parts),
    }
    INTO.write_text(json.dumps(data, indent=0, ensure_ascii=False) + "\n", encoding="utf-8")


def cross(texts: Sequence[Text], corpus: Sequence[Text], folds: int = 4) -> None:
    """Precision and recall of open loose ends as written, each narration judged by what the others taught."""
    counts = np.zeros(3, dtype=int)
    names = sorted({text.name for text in texts})
    for fold in range(folds):
        left_out = set(names[fold::folds])
        weights = fit([text for text in texts if text.name not in left_out] + SNIPPETS * list(corpus))
        for text in texts:
            if text.name not in left_out or text.is_bare:
                continue
            found = find_in(text.reading, (), weights)
            got = Counter(
                (end.kind, facts.part_name(end.part)) for end in found if end.kind in KINDS and not end.closed_by
            )
            want = Counter((kind, facts.part_name(part)) for kind, _, _, part in text.gold)
            counts += ((got & want).total(), got.total(), want.total())
    right, got_count, gold = counts
    print(f"precision {right / got_count:.3f} ({right}/{got_count}) recall {right / gold:.3f} ({right}/{gold})")


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("what", choices=["fit", "cross", "both"])
    parser.add_argument("--without", type=Path, help="a file with names of narrations to leave unread, one a line")
    parser.add_argument("--readings", nargs="+", type=Path, default=[], help="folds of readings")
    arguments = parser.parse_args()
    unread = set(arguments.without.read_text(encoding="utf-8").split()) if arguments.without else set()
    spoken = [text for text in read_narrations(FOLDERS, arguments.readings) if text.name not in unread]
    snippets = read_corpus(CORPUS)
    print(f"{len(spoken)} narrations, {len(snippets)} snippets", file=sys.stderr)
    if arguments.what != "fit":
        cross(spoken, snippets)
    if arguments.what != "cross":
        alone = [text for text in spoken if text.is_alone]
        write(fit([*spoken, *(PASSAGES - 1) * alone, *SNIPPETS * snippets]))
