"""Fits the weights of correction on the development sets and general English.

    python tools/fit_correction.py --english PROSE.txt ... --mined HEARD.jsonl.gz ... [--rows ROWS.pkl] [--check]

Writes `correction_weights.toml` and `correction_network.npz` in `pipeline/data/`. PROSE is general English (not used
for measuring) that must stay as it is; HEARD is what `mine_hearings.py hear` wrote. First a logistic regression on
pairs of a heard window and a form of a term, then a network over the pairs that it leaves possible. `--check` leaves
out a third of the narrations, terms and prose at a time and says what would be made of them, and writes nothing.
"""

from __future__ import annotations

import argparse
import pickle
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from correction_rows import Floats, Rows, gather, with_context
from numpy.typing import NDArray

from pipeline.correct.features import FEATURES
from pipeline.correct.judge import CONTEXT, WORTH_A_SECOND_LOOK, Network, second_inputs
from pipeline.correct.number import SIGNS

DATA = Path(__file__).resolve().parent.parent / "pipeline" / "data"
DECISION = {"auto": 0.97, "number_auto": 0.9, "ask": 0.15, "keep": 0.07}
HEAD = """# Fitted by tools/fit_correction.py on the development sets and general English; the features are explained in
# pipeline/correct/features.py. These are the weights of the first look, the second is in correction_network.npz.
# [decision]: probabilities from which a term is written, asked or noted.
"""
UNITS, NETWORKS, EPOCHS, BATCH, RATE, DECAY = 16, 4, 12, 512, 2e-3, 1e-3


def logistic(table: Floats, labels: Floats, ridge: float = 1.0) -> Floats:
    """Newton's method with a ridge on all weights but the bias."""
    weights = np.zeros(table.shape[1])
    penalty = np.full(len(weights), ridge)
    penalty[0] = 0.0  # the bias
    for _ in range(60):
        chance = 1 / (1 + np.exp(-np.clip(table @ weights, -30, 30)))
        slope = table.T @ (chance - labels) + penalty * weights
        curve = (table * (chance * (1 - chance))[:, None]).T @ table + np.diag(penalty + 1e-9)
        step = np.linalg.solve(curve, slope)
        weights -= step
        if np.abs(step).max() < 1e-7:
            break
    return weights


def first_look(rows: Sequence[Rows], tables: Sequence[Floats]) -> Floats:
    """Weights of the features."""
    table, labels = np.concatenate(tables), np.concatenate([each.labels for each in rows])
    known = labels >= 0
    return logistic(table[known].astype(np.float64), labels[known].astype(np.float64))


def second_rows(rows: Sequence[Rows], tables: Sequence[Floats], linear: Floats) -> tuple[Floats, Floats]:
    """Inputs and labels for the network. What sentences cannot show of repetition is drawn from narrations too."""
    found: list[tuple[bool, Floats, NDArray[np.int64]]] = []
    for each, lent in zip(rows, tables, strict=True):
        odds = each.pairs.table @ linear
        some = np.flatnonzero(odds >= WORTH_A_SECOND_LOOK)
        if len(some):
            inputs = second_inputs(each.pairs, each.term[some], odds[some], some)
            inputs[:, : len(FEATURES)] = lent[some]
            inputs[:, len(FEATURES)] = lent[some] @ linear
            found.append((each.kind.startswith(("sentence", "mined")), inputs, each.labels[some]))
    draw = np.random.default_rng(5)
    for label in (0, 1):
        pool = np.concatenate([inputs[labels == label, -1] for alone, inputs, labels in found if not alone])
        for alone, inputs, labels in found:
            if alone:
                inputs[labels == label, -1] = draw.choice(pool, int((labels == label).sum()))
    table = np.concatenate([inputs for _, inputs, _ in found])
    labels = np.concatenate([labels for _, _, labels in found])
    return table[labels >= 0], labels[labels >= 0].astype(np.float64)


def fit_network(table: Floats, labels: Floats, seed: int) -> Network:
    """Adam (Kingma and Ba, 2015) on the logistic loss with weight decay."""
    draw = np.random.default_rng(seed)
    mean, scale = table.mean(axis=0), table.std(axis=0) + 1e-6
    inputs = ((table - mean) / scale).astype(np.float32)
    size = inputs.shape[1]
    params = [
        draw.normal(0, np.sqrt(2 / size), (size, UNITS)).astype(np.float32),
        np.zeros(UNITS, np.float32),
        draw.normal(0, np.sqrt(1 / UNITS), UNITS).astype(np.float32),
        np.array([np.log(labels.mean() / (1 - labels.mean()))], np.float32),
    ]
    first, second = [np.zeros_like(p) for p in params], [np.zeros_like(p) for p in params]
    steps = EPOCHS * (len(labels) // BATCH)
    done = 0
    for _ in range(EPOCHS):
        order = draw.permutation(len(labels))
        for begin in range(0, len(order) - BATCH + 1, BATCH):
            some = order[begin : begin + BATCH]
            x, y = inputs[some], labels[some].astype(np.float32)
            layer = np.maximum(0, x @ params[0] + params[1])
            slope = (1 / (1 + np.exp(-(layer @ params[2] + params[3]))) - y) / BATCH
            back = np.outer(slope, params[2]) * (layer > 0)
            slopes = [x.T @ back, back.sum(axis=0), layer.T @ slope, slope.sum(keepdims=True)]
            slopes[0] += DECAY / 30 * params[0]
            slopes[2] += DECAY / 30 * params[2]
            done += 1
            rate = RATE * (1 - done / (steps + 1)) * np.sqrt(1 - 0.999**done) / (1 - 0.9**done)
            for param, low, high, each in zip(params, first, second, slopes, strict=True):
                low += 0.1 * (each - low)
                high += 0.001 * (each * each - high)
                param -= (rate * low / (np.sqrt(high) + 1e-8)).astype(np.float32)
    return Network(mean, scale, *(p.astype(np.float64) for p in params))


def joined(networks: Sequence[Network]) -> Network:
    """One network that says the mean of several."""
    return Network(
        networks[0].mean,
        networks[0].scale,
        np.hstack([each.hidden for each in networks]),
        np.concatenate([each.hidden_bias for each in networks]),
        np.concatenate([each.output for each in networks]) / len(networks),
        np.mean([each.output_bias for each in networks], axis=0),
    )


def fit_number(rows: Sequence[Rows]) -> Floats:
    """Weights of the signs of many against one."""
    # carrier sentences say everything once; what is heard against another vocabulary is the same again
    some = [each for each in rows if each.kind in ("narration packs", "tuning packs") and len(each.many)]
    return logistic(np.concatenate([each.signs for each in some]), np.concatenate([each.many for each in some]))


def fit(rows: Sequence[Rows]) -> tuple[Floats, Network]:
    """Both looks. Whole narrations are what correction is for, so they count twice."""
    rows = [*rows, *(each for each in rows if each.kind.startswith(("narration", "tuning")))]
    tables = with_context(rows)
    linear = first_look(rows, tables)
    table, labels = second_rows(rows, tables, linear)
    print(f"{len(labels)} pairs for the second look, {int(labels.sum())} of them right", flush=True)
    return linear, joined([fit_network(table, labels, seed) for seed in range(NETWORKS)])


@dataclass
class Tally:
    garbled: int = 0
    asked: int = 0
    right: int = 0
    auto: int = 0
    auto_right: int = 0
    numbers: int = 0
    numbers_right: int = 0


def judged(rows: Rows, linear: Floats, network: Network) -> Iterator[tuple[bool, float]]:
    """What would be asked or made in a text, guards aside: is the term right, and how likely it is."""
    odds = (rows.pairs.table @ linear).astype(np.float64)
    some = np.flatnonzero(odds >= WORTH_A_SECOND_LOOK)
    if not len(some):
        return
    start, end, term = rows.pairs.start[some], rows.pairs.end[some], rows.term[some]
    second = network.log_odds(second_inputs(rows.pairs, term, odds[some], some))
    value = np.exp(np.clip(second, -30, 10))
    used = np.zeros(int(end.max()) + 1, dtype=bool)
    for n in np.argsort(-value, kind="stable").tolist():
        if value[n] < 0.01 or used[start[n] : end[n]].any():
            continue
        near = np.flatnonzero((start < end[n]) & (end > start[n]) & (term != term[n]) & (value >= 0.01))
        best: dict[int, float] = {}
        for other in near.tolist():
            best[int(term[other])] = max(best.get(int(term[other]), 0.0), float(value[other]))
        total = float(value[n]) + sum(best.values())
        if value[n] / (1 + total) < DECISION["keep"]:
            continue
        used[start[n] : end[n]] = True
        if total / (1 + total) >= DECISION["ask"]:
            yield bool(rows.labels[some[n]] != 0), float(value[n]) / (1 + total)


def check(rows: Sequence[Rows]) -> None:
    """Fits without a third of the narrations, sentences and prose and judges that third, in turn."""
    tallies: dict[str, Tally] = {}
    for fold in range(3):
        others = [each for each in rows if each.group % 3 != fold]
        linear, network = fit(others)
        number = fit_number(others)
        for each in rows:
            if each.group % 3 == fold:
                tally = tallies.setdefault(each.kind, Tally())
                tally.garbled += each.garbled
                tally.numbers += len(each.many)
                tally.numbers_right += int((((each.signs @ number) > 0) == (each.many > 0)).sum())
                for right, chance in judged(each, linear, network):
                    tally.asked += 1
                    tally.right += right
                    tally.auto += chance >= DECISION["auto"]
                    tally.auto_right += right and chance >= DECISION["auto"]
    for kind, tally in tallies.items():
        share = tally.right / max(1, tally.garbled)
        print(
            f"{kind:24s} right first {tally.right} of {tally.garbled} = {share:.3f}, wrong {tally.asked - tally.right};"
            f" sure {tally.auto_right} of {tally.auto}; number {tally.numbers_right} of {tally.numbers}"
        )


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--english", type=Path, nargs="+", required=True)
    parser.add_argument("--mined", type=Path, nargs="+", required=True)
    parser.add_argument("--rows", type=Path, help="keep the rows here, and take them from here if they are there")
    parser.add_argument("--check", action="store_true")
    options = parser.parse_args()
    if options.rows and options.rows.exists():
        rows = pickle.loads(options.rows.read_bytes())
    else:
        rows = gather(options.english, options.mined)
        if options.rows:
            options.rows.write_bytes(pickle.dumps(rows))
    print(f"{sum(len(each.labels) for each in rows)} pairs in {len(rows)} texts")
    if options.check:
        check(rows)
        return
    linear, network = fit(rows)
    number = fit_number(rows)
    lines = [HEAD, "[decision]", *(f"{name} = {value}" for name, value in DECISION.items()), "", "[weights]"]
    lines += [f"{name} = {value:.3f}" for name, value in zip(FEATURES, linear, strict=True)]
    lines += ["", "[number]", *(f"{name} = {value:.3f}" for name, value in zip(SIGNS, number, strict=True))]
    (DATA / "correction_weights.toml").write_text("\n".join(lines) + "\n", encoding="utf-8")
    np.savez_compressed(
        DATA / "correction_network.npz",
        **{name: value.astype(np.float32) for name, value in vars(network).items()},
    )
    for name, value in zip((*FEATURES, *CONTEXT), linear, strict=False):
        print(f"{name:16s} {value:7.2f}")


if __name__ == "__main__":
    main()
