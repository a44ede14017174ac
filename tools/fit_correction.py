"""Fits the weights of correction on the development sets and writes `pipeline/data/correction_weights.toml`.

    python tools/fit_correction.py --english PROSE.txt ...

PROSE is general English (not used for measuring) that must stay as it is. Logistic regression on pairs of a heard
window and a form of a term: 1 where that term was said there. Several vocabularies: all packs with mined hearings,
packs with a third of the terms missing, short plain lists. The test sets are never read.
"""

from __future__ import annotations

import argparse
import random
from collections.abc import Iterable, Sequence
from pathlib import Path

import numpy as np
from heard_sets import Text, english_texts, heard_terms, narrations, share_of, smaller, without_probabilities
from numpy.typing import NDArray

from pipeline.correct.features import FEATURES, Pairs
from pipeline.correct.matcher import Matcher, build_matcher
from pipeline.correct.search import find_pairs
from pipeline.correct.windows import prepare
from pipeline.vocabulary import list_vocabulary, load_vocabulary, shipped_hearings

OUT = Path(__file__).resolve().parent.parent / "pipeline" / "data" / "correction_weights.toml"
DECISION = {"auto": 0.85, "ask": 0.18, "keep": 0.07}
HEAD = """# Fitted by tools/fit_correction.py on the development sets and general English; the features are explained in
# pipeline/correct/features.py. [decision]: probabilities from which a term is written, asked or noted.
"""
# The few carrier sentences say nothing about these; their values are drawn from the pairs of whole narrations.
OF_NARRATIONS = ("topic", "said_elsewhere", "cue", "odd_outside", "odd_after", "plural_clash")

Floats = NDArray[np.float64]


def labelled(text: Text, matcher: Matcher) -> tuple[Floats, Floats]:
    """Features and labels of the pairs of a text; pairs that are neither right nor wrong are left out."""
    heard = prepare(text.words, matcher, text.breaks)
    pairs = find_pairs(heard, matcher)
    if not len(pairs.start):
        return pairs.table, np.zeros(0)
    labels = np.zeros(len(pairs.start))
    for said in text.said:
        right = [
            n
            for n in np.flatnonzero((pairs.start < said.end) & (pairs.end > said.start))
            if said.spelling in matcher.terms[int(matcher.form_term[pairs.form[n]])].spellings
        ]
        if said.right or not right:
            continue
        labels[right] = -1
        labels[max(right, key=lambda n: _fit(pairs, int(n), said.start, said.end))] = 1
    known = labels >= 0
    return pairs.table[known], labels[known]


def _fit(pairs: Pairs, number: int, start: int, end: int) -> float:
    """Of several windows for the right term, the one that sounds most alike and covers what stands for it best."""
    outside = abs(int(pairs.start[number]) - start) + abs(int(pairs.end[number]) - end)
    return float(pairs.sound[number]) - 0.05 * outside


def collect(texts: Iterable[Text], matcher: Matcher) -> tuple[Floats, Floats]:
    found = [labelled(text, matcher) for text in texts]
    return np.concatenate([t for t, _ in found]), np.concatenate([y for _, y in found])


def lend_context(part: tuple[Floats, Floats], whole: tuple[Floats, Floats]) -> tuple[Floats, Floats]:
    """Gives pairs of sentences the context of pairs of narrations with the same label, drawn at random."""
    table, labels = part
    columns = [FEATURES.index(name) for name in OF_NARRATIONS]
    draw = np.random.default_rng(3)
    for label in (0, 1):
        own, other = np.flatnonzero(labels == label), np.flatnonzero(whole[1] == label)
        table[np.ix_(own, columns)] = whole[0][np.ix_(draw.choice(other, len(own)), columns)]
    return table, labels


def short_list(texts: Sequence[Text], others: Sequence[str], size: int) -> Matcher:
    """A plain list of what is said in the texts and a few more, as a user of `--terms` would have."""
    names = dict.fromkeys([said.spelling for text in texts for said in text.said] + list(others))
    return build_matcher(list_vocabulary(list(names)[: max(size, 1)]))


def logistic(table: Floats, labels: Floats, ridge: float = 1.0) -> Floats:
    """Newton's method with a ridge on all weights but the bias."""
    weights = np.zeros(table.shape[1])
    penalty = np.full(len(weights), ridge)
    penalty[FEATURES.index("bias")] = 0.0
    for _ in range(60):
        chance = 1 / (1 + np.exp(-np.clip(table @ weights, -30, 30)))
        slope = table.T @ (chance - labels) + penalty * weights
        curve = (table * (chance * (1 - chance))[:, None]).T @ table + np.diag(penalty + 1e-9)
        step = np.linalg.solve(curve, slope)
        weights -= step
        if np.abs(step).max() < 1e-7:
            break
    return weights


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--english", type=Path, nargs="+", required=True)
    parser.add_argument("--words", type=int, default=40_000, help="words of general English to use")
    parser.add_argument("--keep", type=Path, help="write features and labels here too (.npz)")
    options = parser.parse_args()
    vocabulary, hearings = load_vocabulary(), shipped_hearings()
    sentences, whole = heard_terms("dev"), narrations("dev")
    silent = [without_probabilities(text) for text in sentences]
    prose = english_texts(options.english, options.words)
    names = [term.name for term in vocabulary.terms]
    random.Random(2).shuffle(names)
    packs = build_matcher(vocabulary, hearings)
    fewer = build_matcher(smaller(vocabulary, [t for t in vocabulary.terms if share_of(t, 3)]), hearings)
    listed = [said.spelling for text in whole for said in text.said]
    narrated = [
        collect(whole, packs),
        collect([without_probabilities(text) for text in whole[::4]], fewer),
        collect(whole[1::3], build_matcher(list_vocabulary(dict.fromkeys(listed + names[:100])))),
    ]
    pattern = np.concatenate([t for t, _ in narrated]), np.concatenate([y for _, y in narrated])
    said = [collect(sentences, packs), collect(silent[::2], packs), collect(sentences[1::2], fewer)]
    for n in range(0, len(sentences), 4):
        some = sentences[n : n + 2] + silent[n + 2 : n + 4]
        said.append(collect(some, short_list(some, names, 240 + 30 * (n % 9))))
    parts = narrated + [lend_context(part, pattern) for part in said]
    parts += [collect(prose, packs), collect(prose[::2], build_matcher(list_vocabulary(names[:300])))]
    table, labels = np.concatenate([t for t, _ in parts]), np.concatenate([y for _, y in parts])
    weights = logistic(table, labels)
    lines = [HEAD, "[decision]", *(f"{name} = {value}" for name, value in DECISION.items()), "", "[weights]"]
    lines += [f"{name} = {value:.3f}" for name, value in zip(FEATURES, weights, strict=True)]
    OUT.write_text("\n".join(lines) + "\n", encoding="utf-8")
    if options.keep:
        np.savez_compressed(
            options.keep, table=table, labels=labels, part=np.repeat(range(len(parts)), [len(y) for _, y in parts])
        )
    print(f"{len(labels)} pairs, {int(labels.sum())} of them right")
    for name, value in zip(FEATURES, weights, strict=True):
        print(f"{name:16s} {value:7.2f}")


if __name__ == "__main__":
    main()
