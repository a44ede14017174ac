"""Fits the weights by which figures find what they belong to: `pipeline/data/figure_weights.json`.

    python tools/fit_figures.py            writes the weights, from all sayings to develop on
    python tools/fit_figures.py --cross    measures on sayings left out, a narrator or a trade at a time

Softmax over the things said near a figure, and nothing, with a penalty on large weights. Each saying counts twice: as
written and without punctuation. The unseen sayings are never read.
"""

from __future__ import annotations

import argparse
import json
import sys
import tomllib
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from linear_fit import Columns, Floats, fit_choices

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))

from pipeline.punctuation import punctuated  # noqa: E402
from pipeline.quantities import find_quantities  # noqa: E402
from pipeline.quantities.attach import read_spans, read_things  # noqa: E402
from pipeline.quantities.owners import Last, candidates, evidence, nothing  # noqa: E402
from pipeline.quantities.weights import WEIGHTS  # noqa: E402
from pipeline.records import Settings  # noqa: E402
from pipeline.tokens import line_words, written_tokens  # noqa: E402
from tests.quantities.sayings import VOCABULARY, Saying, paired, read_sayings, same_name  # noqa: E402
from tests.quantities.scoring import CORPUS, unpunctuated  # noqa: E402

SETS = ("figures_dev2.toml", "figures_dev3.toml")
FOLDS = 12
PENALTY = 3.0


@dataclass(frozen=True)
class Question:
    """What speaks for each answer, the first of them "nothing"; `right` marks those that the gold takes."""

    rows: list[list[str]]
    right: list[bool]
    names: list[str]
    label: str


def owner_questions(saying: Saying, bare: bool) -> list[Question]:
    """A question for each figure found right; none of its answers is right where its owner is no candidate."""
    text = unpunctuated(saying.text) if bare else saying.text
    tokens = punctuated(written_tokens(line_words(text)), saying.settings)
    spans = read_spans(find_quantities(tokens, saying.settings), tokens)
    speech, things = read_things(spans, tokens, VOCABULARY)
    gold = {qty.id: owner for qty, owner in paired([span.qty for span in spans], saying)}
    questions: list[Question] = []
    last: Last = None
    for span in spans:
        if span.qty.kind == "count":
            continue
        rivals = candidates(span, things, speech)
        rows = [nothing(span, rivals, speech, last), *(evidence(span, thing, rivals, speech, last) for thing in rivals)]
        owner = gold.get(span.qty.id)
        owners = [] if owner is None else ["" if name == "-" else name for name in owner.split("/")]
        right = ["" in owners, *(any(name and same_name(thing.name, name) for name in owners) for thing in rivals)]
        if owner is not None:
            questions.append(Question(rows, right, ["nothing", *(thing.name for thing in rivals)], span.qty.said))
        last = span, next((thing for thing, good in zip(rivals, right[1:], strict=True) if good), None)
    return questions


def attached_sayings() -> list[Saying]:
    """The sayings of quantities_attached.toml; owners that are as good stand with slashes between."""
    sayings = []
    for entry in tomllib.loads((CORPUS / "quantities_attached.toml").read_text(encoding="utf-8"))["figures"]:
        figures, owners = [], []
        for expected in entry["expect"]:
            figure, owner, *_ = (field.strip() for field in expected.split("|"))
            kind, value, unit = figure.split(" ", 2)
            figures.append((kind, float(value), None, "" if unit == "-" else unit))
            owners.append("" if owner == "-" else owner)
        sayings.append(Saying(entry["say"], Settings(), tuple(figures), tuple(owners)))
    return sayings


def fit(questions: Sequence[Question]) -> dict[str, float]:
    questions = [question for question in questions if any(question.right)]
    rows = [row for question in questions for row in question.rows]
    columns = Columns(rows)
    groups = np.repeat(np.arange(len(questions)), [len(question.rows) for question in questions])
    right = np.array([good for question in questions for good in question.right], dtype=np.float64)
    weights: Floats = fit_choices(columns.table(rows), groups, right, np.zeros(len(rows)), PENALTY)
    return {name: round(float(weight), 2) for name, weight in columns.named(weights) if abs(weight) >= 0.01}


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--cross", action="store_true", help="measure on sayings left out")
    arguments = parser.parse_args()
    sayings = [*attached_sayings(), *(saying for name in SETS for saying in read_sayings(name))]
    asked = [[question for bare in (False, True) for question in owner_questions(saying, bare)] for saying in sayings]
    if arguments.cross:
        cross(asked)
        return
    weights = fit([question for questions in asked for question in questions])
    WEIGHTS.write_text(json.dumps({"owner": weights}, indent=0, ensure_ascii=False) + "\n", encoding="utf-8")
    print(f"{WEIGHTS.name}: {len(weights)} weights from {len(sayings)} sayings")


def cross(asked: Sequence[Sequence[Question]]) -> None:
    """How often the heaviest answer is right, on stretches of sayings that had no part in the fit."""
    size = -(-len(asked) // FOLDS)
    right = total = 0
    for first in range(0, len(asked), size):
        kept = [question for questions in (*asked[:first], *asked[first + size :]) for question in questions]
        weights = fit(kept)
        for question in [question for questions in asked[first : first + size] for question in questions]:
            worths = [sum(weights.get(name, 0.0) for name in row) for row in question.rows]
            right += question.right[int(np.argmax(worths))]
            total += 1
    print(f"left out: {right / total:.3f} ({right} of {total})")


if __name__ == "__main__":
    main()
