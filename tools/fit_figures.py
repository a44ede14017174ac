"""Fits the weights by which figures find what they belong to: `pipeline/data/figure_weights.json`.

    python tools/fit_figures.py            writes the weights, from all sayings and narrations to develop on
    python tools/fit_figures.py --cross    measures on sayings left out, a narrator or a trade at a time
    python tools/fit_figures.py --without i_ j_ --into FILE     leaves out the narrations whose names begin so

Softmax over the things said near a figure, and nothing, with a penalty on large weights. Each text counts twice, as
written and without punctuation; recordings also as they were heard. The unseen sayings are never read.
"""

from __future__ import annotations

import argparse
import json
import re
import sys
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from event_examples import use_readings
from figure_texts import (
    FIGURE_SETS,
    NEAR,
    Text,
    attached_sayings,
    texts_of_hearings,
    texts_of_narrations,
    texts_of_sayings,
)
from linear_fit import Table, fit_choices, rows_of
from measure_facts import FINDER, tokens_of
from parallel import spread

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))

from pipeline.quantities import find_quantities  # noqa: E402
from pipeline.quantities.attach import read_spans, read_things  # noqa: E402
from pipeline.quantities.lengths import Meaning  # noqa: E402
from pipeline.quantities.owners import Last, candidates, evidence, nothing  # noqa: E402
from pipeline.quantities.scan import Bare, Found, Scan  # noqa: E402
from pipeline.quantities.unitless import Option  # noqa: E402
from pipeline.quantities.weights import WEIGHTS  # noqa: E402
from pipeline.records import Settings  # noqa: E402
from pipeline.tokens import line_words  # noqa: E402
from tests.quantities.sayings import VOCABULARY, Saying, paired, read_sayings, same_name  # noqa: E402
from tests.quantities.scoring import read_corpus, unpunctuated  # noqa: E402

FOLDS = 12
# A saying counts so many times: narrations hold many figures each, and what is said of a length there is less sure.
SAYING_TIMES = 3
OWNER_PENALTY, UNIT_PENALTY, LENGTH_PENALTY = 3.0, 1.0, 2.0
SEEN_WORDS = 2
_LONGEST_SAYING = 120


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
    tokens = tokens_of(line_words(text), saying.settings.units)
    spans = read_spans(find_quantities(tokens, saying.settings, reader=FINDER.reader), tokens)
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


class Recorder:
    """Answers which unit a bare number has as the gold does, and notes what was asked.

    `gold`: kind, value and unit of the figures that nothing else finds, each with the word at which it stands (or -1).
    """

    def __init__(self, gold: Sequence[tuple[str, float, str, int]], starts: Sequence[int]) -> None:
        self.gold = [item for item in gold if item[0] != "count"]
        self.starts = starts
        self.questions: list[Question] = []

    def __call__(self, scan: Scan, bare: Bare, none: Sequence[str], options: Sequence[Option]) -> int:
        start_word = self.starts[scan.pieces[bare.start].token]
        near = [item for item in self.gold if item[3] < 0 or abs(item[3] - start_word) <= NEAR]
        keys = {(kind, round(value, 3), unit): (kind, value, unit, at) for kind, value, unit, at in near}
        right = [(o.kind, round(float(o.value), 3), o.unit) in keys for o in options]
        meant = any(abs(value - float(o.bare.value)) < 0.001 for o in options for _, value, _, _ in near)
        names = ["none", *(f"{option.kind} {option.unit}" for option in options)]
        label = " ".join(scan.words[max(0, bare.start - 9) : bare.end + 5])
        rows = [list(none), *(list(option.evidence) for option in options)]
        self.questions.append(Question(rows, [not meant, *right], names, label))
        if not any(right):
            return -1
        chosen = right.index(True)
        option = options[chosen]
        self.gold.remove(keys[option.kind, round(float(option.value), 3), option.unit])
        return chosen


def unit_questions(text: Text, ruled: bool) -> list[Question]:
    """What is asked of the numbers without a unit in a text; with or without the rules for some of them."""

    def nothing_more(scan: Scan, bare: Bare, none: Sequence[str], options: Sequence[Option]) -> int:
        del scan, bare, none, options
        return -1

    found = Counter(
        (_plain(qty.kind), round(qty.value, 3), qty.unit)
        for qty in find_quantities(text.tokens, text.settings, nothing_more, ruled=ruled, reader=FINDER.reader)
    )
    left = []
    for kind, value, unit, at in text.gold:
        key = _plain(kind), round(value, 3), unit
        if found[key]:
            found[key] -= 1
        else:
            left.append((_plain(kind), value, unit, at))
    recorder = Recorder(left, [token.start_word for token in text.tokens])
    find_quantities(text.tokens, text.settings, recorder, ruled=ruled, reader=FINDER.reader)
    return recorder.questions


def length_questions(text: Text) -> list[Question]:
    """For each length found right: whether it is a size, a clearance, the jaw of a spanner or a thread."""
    gold = [item for item in text.gold if item[0] in ("length", "clearance", "spanner", "thread")]
    starts = [token.start_word for token in text.tokens]
    questions = []

    def judge(scan: Scan, found: Found, meanings: Sequence[Meaning]) -> int:
        start_word = starts[scan.pieces[found.start].token]
        kinds = [meaning.kind for meaning in meanings]
        for item in gold:
            kind, value, unit, at = item
            same = unit == found.unit and abs(value - float(found.value)) < 0.001
            if same and kind in kinds and (at < 0 or abs(at - start_word) <= NEAR):
                gold.remove(item)
                label = " ".join(scan.words[max(0, found.start - 12) : found.end + 8])
                rows = [list(meaning.evidence) for meaning in meanings]
                questions.append(Question(rows, [name == kind for name in kinds], kinds, label))
                return kinds.index(kind)
        return 0

    find_quantities(text.tokens, text.settings, judge=judge, reader=FINDER.reader)
    return questions


def _plain(kind: str) -> str:
    return "length" if kind == "clearance" else kind


def fit(groups: Sequence[Sequence[Question]], penalty: float) -> dict[str, float]:
    """A weight for each name of evidence; words count from `SEEN_WORDS` narrations or sayings on."""
    groups = [[question for question in group if any(question.right)] for group in groups]
    seen = Counter(name for group in groups for name in {name for q in group for row in q.rows for name in row})
    questions = [question for group in groups for question in group]
    rows = rows_of([name for name in row if seen[name] >= least_seen(name)] for q in questions for row in q.rows)
    table = Table(rows)
    places = np.repeat(np.arange(len(questions)), [len(question.rows) for question in questions])
    right = np.array([good for question in questions for good in question.right], dtype=np.float64)
    weights = fit_choices(table, places, right, 0.0, penalty)
    return {name: round(float(weight), 2) for name, weight in table.named(weights) if abs(weight) >= 0.02}


def least_seen(name: str) -> int:
    return SEEN_WORDS if re.search(r" [-+]1 \S+$", name) else 1


def _owners_of(saying: Saying) -> list[Question]:
    return [question for bare in (False, True) for question in owner_questions(saying, bare)]


def _units_of(group: list[Text]) -> list[Question]:
    """What is asked of bare numbers; in sayings with the rules for some of them and without."""
    rules = (True, False) if _is_saying(group[0]) else (True,)
    return [question for text in group for ruled in rules for question in unit_questions(text, ruled)]


def _lengths_of(group: list[Text]) -> list[Question]:
    return [question for text in group for question in length_questions(text)]


def all_texts(without: tuple[str, ...]) -> list[list[Text]]:
    """The views of each saying and narration, those of a narrator side by side."""
    texts = [texts_of_sayings([saying]) for name in FIGURE_SETS for saying in read_sayings(name)]
    cases, negative = read_corpus("quantities.toml")
    sayings = [Saying(case.say, Settings(), case.expect, ()) for case in cases]
    sayings += [Saying(line, Settings(), (), ()) for line in negative]
    texts += [texts_of_sayings([saying]) for saying in sayings]
    spoken = (*texts_of_narrations(), *texts_of_hearings())
    texts += [views for name, views in spoken if not name.startswith(without)]
    return texts


def _is_saying(text: Text) -> bool:
    return len(text.tokens) < _LONGEST_SAYING


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--cross", action="store_true", help="measure on sayings left out")
    parser.add_argument("--without", nargs="*", default=[], metavar="PREFIX", help="leave these narrations out")
    parser.add_argument("--readings", nargs="+", type=Path, default=[], metavar="FOLD.xz", help="folds of readings")
    parser.add_argument("--into", type=Path, default=WEIGHTS, help="the weights' file")
    arguments = parser.parse_args()
    use_readings(arguments.readings)
    texts, setup = all_texts(tuple(arguments.without)), (use_readings, (arguments.readings,))
    owned = [*attached_sayings(), *(saying for name in FIGURE_SETS for saying in read_sayings(name))]
    asked = {
        "owner": (spread(_owners_of, owned, setup), OWNER_PENALTY),
        "unit": (spread(_units_of, texts, setup), UNIT_PENALTY),
        "length": (spread(_lengths_of, texts, setup), LENGTH_PENALTY),
    }
    if arguments.cross:
        for name, (groups, penalty) in asked.items():
            print(name, cross(groups, penalty))
        return
    weights = {"owner": fit(*asked["owner"])}
    for name in ("unit", "length"):
        groups, penalty = asked[name]
        times = [SAYING_TIMES if _is_saying(group[0]) else 1 for group in texts]
        weights[name] = fit([one for one, count in zip(groups, times, strict=True) for _ in range(count)], penalty)
    arguments.into.write_text(json.dumps(weights, indent=0, ensure_ascii=False) + "\n", encoding="utf-8")
    print(f"{arguments.into}: {', '.join(f'{len(found)} weights for the {name}' for name, found in weights.items())}")


def cross(groups: Sequence[Sequence[Question]], penalty: float) -> str:
    """How the heaviest answers do, on stretches of sayings that had no part in the fit."""
    size = -(-len(groups) // FOLDS)
    right = total = found = good = wanted = 0
    for first in range(0, len(groups), size):
        weights = fit([*groups[:first], *groups[first + size :]], penalty)
        for question in [question for group in groups[first : first + size] for question in group]:
            worths = [sum(weights.get(name, 0.0) for name in row) for row in question.rows]
            best = int(np.argmax(worths))
            right += question.right[best]
            total += 1
            found += best > 0
            good += best > 0 and question.right[best]
            wanted += not question.right[0]
    return f"left out: {right / total:.3f} ({right} of {total}); something: {good} right of {found}, {wanted} wanted"


if __name__ == "__main__":
    main()
