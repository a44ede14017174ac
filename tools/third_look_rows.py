"""What the third look learns from: pairs over the same words, as features and as word pieces.

    python tools/third_look_rows.py ROWS.pkl --english PROSE.txt ... --contexts WITHOUT0.npz ... [--told 11 12 13]

Real recordings as `correction_rows.py` gathers them, and narrations told with mined garbles (`told_garbles.py`), once
for each seed of `--told`. Twenty minutes of one core. No part of the installed package.
"""

from __future__ import annotations

import argparse
import pickle
from collections.abc import Sequence
from pathlib import Path

import numpy as np
from correction_rows import FOLDS, Floats, Rows, gather, with_context
from fit_correction import TIMES, first_look
from third_look_texts import Doubtful
from told_garbles import told_rows

from pipeline.correct.judge import second_inputs, shipped_weights
from pipeline.correct.third_look import LEAST
from pipeline.reader.pieces import load_pieces


def looks(rows: Sequence[Rows]) -> list[Floats]:
    """First looks that know nothing of one fold each, and the shipped one."""
    found = []
    for fold in range(FOLDS):
        known = [each for each in rows if each.group % FOLDS != fold for _ in range(TIMES.get(each.kind, 1))]
        found.append(first_look(known, with_context(known)))
    return [*found, shipped_weights().linear]


def doubtful(rows: Rows, table: Floats, weights: Sequence[Floats], forms: dict[str, int]) -> Doubtful:
    """The pairs that any of the looks leaves possible. `forms`: the number of each form met so far."""
    odds = np.array([rows.pairs.table @ each for each in weights])
    some = np.flatnonzero(odds.max(axis=0) >= LEAST)
    context = np.zeros((len(weights), len(some), 3), dtype=np.float32)
    for number, each in enumerate(weights if len(some) else ()):
        context[number] = second_inputs(rows.pairs, rows.term[some], odds[number][some], some)[:, -3:]
        context[number, :, 0] = table[some] @ each
    first, pieces = load_pieces().of_words(rows.words)
    own = [forms.setdefault(rows.forms[form], len(forms)) for form in rows.pairs.form[some].tolist()]
    return Doubtful(
        rows.kind, rows.group % FOLDS, rows.garbled, np.array(pieces), np.append(first, len(pieces)), rows.lines,
        rows.pairs.start[some], rows.pairs.end[some], np.array(own, dtype=np.int64), rows.labels[some],
        table[some].astype(np.float16), context.astype(np.float16),
    )  # fmt: skip


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("into", type=Path)
    parser.add_argument("--english", type=Path, nargs="+", required=True)
    parser.add_argument("--contexts", type=Path, nargs="+", required=True, help="tables of fit_contexts.py, one a fold")
    parser.add_argument("--told", type=int, nargs="*", default=[11, 12, 13], help="a seed for each time they are told")
    arguments = parser.parse_args()
    rows = gather(arguments.english, arguments.contexts)
    weights, forms = looks(rows), dict[str, int]()
    tables = with_context(rows)
    found = [doubtful(each, table, weights, forms) for each, table in zip(rows, tables, strict=True)]
    for seed in arguments.told:
        found += [doubtful(each, each.pairs.table, weights, forms) for each in told_rows(seed)]
        print(f"told with seed {seed}", flush=True)
    meant = [load_pieces().of_words([form])[1] for form in forms]
    arguments.into.write_bytes(pickle.dumps(([each for each in found if len(each.start)], meant)))
    right = sum(int((each.labels == 1).sum()) for each in found)
    print(f"{sum(len(each.start) for each in found)} pairs in {len(found)} texts, {right} of them right")


if __name__ == "__main__":
    main()
