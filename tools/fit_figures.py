"""Fits the weights by which figures find what they belong to and what was done with them: `figure_weights.json`.

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
from pathlib import Path

import numpy as np
from event_examples import narration_paths, use_readings
from figure_questions import Question, length_questions, link_questions, owner_questions, unit_questions
from figure_texts import (
    FIGURE_SETS,
    Text,
    attached_sayings,
    texts_of_hearings,
    texts_of_narrations,
    texts_of_sayings,
)
from linear_fit import Table, fit_choices, rows_of
from parallel import spread

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))

from pipeline.quantities.weights import WEIGHTS  # noqa: E402
from pipeline.records import Settings  # noqa: E402
from tests.quantities.sayings import Saying, read_sayings  # noqa: E402
from tests.quantities.scoring import read_corpus  # noqa: E402

FOLDS = 12
# A saying counts so many times: narrations hold many figures each, and what is said of a length there is less sure.
SAYING_TIMES = 3
OWNER_PENALTY, UNIT_PENALTY, LENGTH_PENALTY, EVENT_PENALTY = 3.0, 1.0, 2.0, 2.0
SEEN_WORDS = 2
_LONGEST_SAYING = 120


def fit(groups: Sequence[Sequence[Question]], penalty: float) -> dict[str, float]:
    """A weight for each name of evidence; words count from `SEEN_WORDS` texts on."""
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
    paths = [path for path in narration_paths() if not path.stem.startswith(tuple(arguments.without) or ("\0",))]
    owned = [*attached_sayings(), *(saying for name in FIGURE_SETS for saying in read_sayings(name))]
    asked = {
        "owner": (spread(_owners_of, owned, setup), OWNER_PENALTY),
        "unit": (spread(_units_of, texts, setup), UNIT_PENALTY),
        "length": (spread(_lengths_of, texts, setup), LENGTH_PENALTY),
        "event": (spread(link_questions, paths, setup), EVENT_PENALTY),
    }
    if arguments.cross:
        for name, (groups, penalty) in asked.items():
            print(name, cross(groups, penalty))
        return
    weights = {name: fit(*asked[name]) for name in ("owner", "event")}
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
