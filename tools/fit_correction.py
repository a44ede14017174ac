"""Fits the weights of correction on the development sets and general English.

    python tools/fit_correction.py --english PROSE.txt ... --contexts WITHOUT0.npz ... [--rows ROWS.pkl] [--check]

Writes `correction_weights.toml` and `correction_network.npz` in `pipeline/data/`. PROSE is general English (not used
for measuring) that must stay as it is. First a logistic regression on pairs of a heard window and a form of a term,
then a network over the pairs that it leaves possible. `--check` leaves
out a third of the narrations, terms and prose at a time and says what would be made of them, and writes nothing.
"""

from __future__ import annotations

import argparse
import pickle
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from correction_rows import Floats, Ints, Rows, gather, with_context

from pipeline.correct.features import FEATURES
from pipeline.correct.judge import CONTEXT, WORTH_A_SECOND_LOOK, Network, second_inputs
from pipeline.correct.number import SIGNS

DATA = Path(__file__).resolve().parent.parent / "pipeline" / "data"
DECISION = {"auto": 0.98, "number_auto": 0.9, "ask": 0.05, "keep": 0.03}
HEAD = """# Fitted by tools/fit_correction.py on the development sets and general English; the features are explained in
# pipeline/correct/features.py. These are the weights of the first look, the second is in correction_network.npz.
# [decision]: probabilities from which a term is written, asked or noted.
"""
# Recordings heard as they are now count so many times.
TIMES = {"tuning now packs": 2, "narration packs": 2}
UNITS, NETWORKS, EPOCHS, BATCH, RATE, DECAY = 40, 3, 14, 512, 2e-3, 1e-4


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


def contests(rows: Rows, some: Ints, labels: Ints) -> Ints:
    """Number of the contest that each of `some` pairs is in: every right pair competes with all over any of its words,
    and a pair that competes with none is a contest of its own."""
    start, end = rows.pairs.start[some], rows.pairs.end[some]
    found = np.full(len(some), -1, dtype=np.int64)
    right = np.flatnonzero(labels == 1)
    for number, own in enumerate(right.tolist()):
        found[(start < end[own]) & (end > start[own]) & (labels == 0) & (found < 0)] = number
        found[own] = number
    alone = found < 0
    found[alone] = len(right) + np.arange(alone.sum())
    return found


def second_rows(rows: Sequence[Rows], tables: Sequence[Floats], linear: Floats) -> tuple[Floats, Floats, Ints]:
    """Inputs, labels and contests for the network. What sentences cannot show of repetition is drawn from narrations
    too."""
    found: list[tuple[bool, Floats, Ints, Ints]] = []
    count = 0
    for each, lent in zip(rows, tables, strict=True):
        odds = each.pairs.table @ linear
        some = np.flatnonzero(odds >= WORTH_A_SECOND_LOOK)
        if len(some):
            inputs = second_inputs(each.pairs, each.term[some], odds[some], some)
            inputs[:, : len(FEATURES)] = lent[some]
            inputs[:, len(FEATURES)] = lent[some] @ linear
            labels = each.labels[some]
            own = contests(each, some, labels) + count
            count = int(own.max()) + 1
            found.append((each.kind.startswith(("sentence", "mined")), inputs.astype(np.float32), labels, own))
    draw = np.random.default_rng(5)
    for label in (0, 1):
        pool = np.concatenate([inputs[labels == label, -1] for alone, inputs, labels, _ in found if not alone])
        for alone, inputs, labels, _ in found:
            if alone:
                inputs[labels == label, -1] = draw.choice(pool, int((labels == label).sum()))
    table = np.concatenate([inputs for _, inputs, _, _ in found])
    labels = np.concatenate([labels for _, _, labels, _ in found])
    groups = np.concatenate([own for _, _, _, own in found])
    return table[labels >= 0], labels[labels >= 0].astype(np.float64), groups[labels >= 0]


def fit_network(table: Floats, labels: Floats, groups: Ints, seed: int) -> Network:
    """Adam (Kingma and Ba, 2015) with weight decay on the likelihood of what won each contest: one pair or none."""
    draw = np.random.default_rng(seed)
    mean, scale = table.mean(axis=0, dtype=np.float64), table.std(axis=0, dtype=np.float64) + 1e-6
    order = np.argsort(groups, kind="stable")
    inputs, wanted = ((table[order] - mean) / scale).astype(np.float32), labels[order].astype(np.float32)
    firsts = np.flatnonzero(np.diff(groups[order], prepend=-1))
    sizes = np.diff(np.append(firsts, len(order)))
    size = inputs.shape[1]
    params = [
        draw.normal(0, np.sqrt(2 / size), (size, UNITS)).astype(np.float32),
        np.zeros(UNITS, np.float32),
        draw.normal(0, np.sqrt(1 / UNITS), UNITS).astype(np.float32),
        np.array([np.log(labels.mean() / (1 - labels.mean()))], np.float32),
    ]
    first, second = [np.zeros_like(p) for p in params], [np.zeros_like(p) for p in params]
    batch = max(1, BATCH * len(firsts) // len(order))
    steps = EPOCHS * (len(firsts) // batch)
    done = 0
    for _ in range(EPOCHS):
        shuffled = draw.permutation(len(firsts))
        for begin in range(0, len(firsts) - batch + 1, batch):
            some = shuffled[begin : begin + batch]
            count = sizes[some]
            offsets = np.cumsum(count) - count
            rows = np.repeat(firsts[some] - offsets, count) + np.arange(count.sum())
            x, y = inputs[rows], wanted[rows]
            layer = np.maximum(0, x @ params[0] + params[1])
            odds = np.exp(np.clip(layer @ params[2] + params[3], -30, 15))
            slope = (odds / (1 + np.repeat(np.add.reduceat(odds, offsets), count)) - y) / len(rows)
            back = np.outer(slope, params[2]) * (layer > 0)
            slopes = [x.T @ back, back.sum(axis=0), layer.T @ slope, slope.sum(keepdims=True)]
            slopes[0] += DECAY * params[0]
            slopes[2] += DECAY * params[2]
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
    kinds = ("narration packs", "tuning packs", "tuning now packs")
    some = [each for each in rows if each.kind in kinds and len(each.many)]
    return logistic(np.concatenate([each.signs for each in some]), np.concatenate([each.many for each in some]))


def fit(rows: Sequence[Rows]) -> tuple[Floats, Network]:
    """Both looks."""
    rows = [each for each in rows for _ in range(TIMES.get(each.kind, 1))]
    tables = with_context(rows)
    linear = first_look(rows, tables)
    table, labels, groups = second_rows(rows, tables, linear)
    print(f"{len(labels)} pairs for the second look, {int(labels.sum())} of them right", flush=True)
    return linear, joined([fit_network(table, labels, groups, seed) for seed in range(NETWORKS)])


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
    value = np.exp(np.clip(second, -30, 25))
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
    parser.add_argument("--rows", type=Path, help="keep the rows here, and take them from here if they are there")
    parser.add_argument("--contexts", type=Path, nargs="+", required=True, help="tables of fit_contexts.py, one a fold")
    parser.add_argument("--check", action="store_true")
    options = parser.parse_args()
    if options.rows and options.rows.exists():
        rows = pickle.loads(options.rows.read_bytes())
    else:
        rows = gather(options.english, options.contexts)
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
