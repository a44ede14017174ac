"""Trains and tests the probe that tells -teen from -ty. No part of the installed package.

python tools/teen_ty_clips.py FOLDER --set train --count 600      a first few clips with all their states, and
python tools/train_teen_ty.py basis FOLDER                        FOLDER/basis.npz, along which all are kept then
python tools/teen_ty_clips.py FOLDER --set train --part N --parts 16 --basis FOLDER/basis.npz
python tools/train_teen_ty.py fit FOLDER                          writes pipeline/data/teen_ty.npz
python tools/train_teen_ty.py report FOLDER --set test            by voice and noise level, with counts
"""

from __future__ import annotations

import argparse
import itertools
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray
from teen_ty_clips import OTHERS, QUANTUM, SAME

from pipeline.hearing import default_model
from pipeline.hearing.speech_model import STATE_MS
from pipeline.second_hearing.calibration import shipped_calibration
from pipeline.second_hearing.teen_ty import AFTER_MS, BEFORE_MS, LEAST_MS, PARTS, shipped_probe

Floats = NDArray[np.float64]
OUT = Path(__file__).resolve().parent.parent / "pipeline" / "data" / "teen_ty.npz"
_PRINCIPAL, _SLICES = 112, 8


def load(folder: Path, name: str) -> dict[str, Any]:
    """All clips of a set, or of two ("train+plain").

    `heard` and `other` are the spans of the word when the better and the worse of the two figures are forced.
    """
    files = [np.load(path) for path in sorted(folder.glob("*.npz")) if path.stem.partition("_")[0] in name.split("+")]
    rows = {key: np.concatenate([data[key] for data in files]) for key in files[0].files}
    rows["teen"] = np.array([word.endswith("teen") for word in rows["word"]])
    # what the recogniser would have written: the better of the two figures in digits
    rows["heard_right"] = rows["digits"] > 0
    right, wrong = rows["spans"][:, 0], rows["spans"][:, 1]
    rows["heard"] = np.where(rows["heard_right"][:, None], right, wrong).astype(int)
    rows["other"] = np.where(rows["heard_right"][:, None], wrong, right).astype(int)
    return rows


def features(rows: dict[str, Any], spans: Any) -> Floats:
    """The probe's features along the basis, shape (clips, PARTS * directions + 1); as `teen_ty.span_features`."""
    out = []
    for states, (start, end), (_, known) in zip(rows["states"], spans, rows["spans"][:, 2], strict=True):
        low = max(0, start - BEFORE_MS // STATE_MS)
        high = min(known, max(end, start + LEAST_MS // STATE_MS) + AFTER_MS // STATE_MS)
        low = max(0, min(low, high - PARTS))
        parts = np.array_split(states[low:high].astype(np.float32) / QUANTUM, PARTS)
        out.append(np.concatenate([*(part.mean(axis=0) for part in parts), [np.log(high - low)]]))
    return np.array(out, np.float64)


def make_basis(folder: Path) -> None:
    """The directions along which the states vary most, and those in which -teen and -ty differ, slice by slice."""
    rows = load(folder, "train")
    states = rows["states"].astype(np.float32)
    known = np.arange(states.shape[1]) < rows["spans"][:, 2, 1, None]
    mean, scale = states[known].mean(axis=0), states[known].std(axis=0)
    level = (states - mean) / scale
    sizes, turned = np.linalg.eigh(np.cov(level[known].T))
    directions = list(turned.T[: -_PRINCIPAL - 1 : -1])
    for part in np.array_split(np.arange(states.shape[1]), _SLICES):
        own = level[:, part].mean(axis=1)
        apart = own[rows["teen"]].mean(axis=0) - own[~rows["teen"]].mean(axis=0)
        directions += [apart, np.linalg.solve(np.cov(own.T) + 0.3 * np.eye(len(apart)), apart)]
    basis = np.array(directions) / scale
    basis /= ((states[known] - mean) @ basis.T).std(axis=0)[:, None]
    np.savez(folder / "basis.npz", mean=mean, basis=basis.astype(np.float32))
    print(f"{len(basis)} directions; the principal ones hold {sizes[-_PRINCIPAL:].sum() / sizes.sum():.3f} of all")


def logistic(x: Floats, y: Floats, penalty: float, steps: int = 400) -> Floats:
    """Weights of an L2-penalised logistic regression by accelerated gradient descent; the last is the bias."""
    x1 = np.concatenate([x, np.ones((len(x), 1))], axis=1).astype(np.float32)
    longest = np.random.default_rng(0).standard_normal(x1.shape[1]).astype(np.float32)
    for _ in range(20):  # the largest eigenvalue bounds how steep the loss can be
        longest = x1.T @ (x1 @ (longest / np.linalg.norm(longest)))
    rate = 1.0 / (0.25 * float(np.linalg.norm(longest)) + penalty)
    ridge = np.full(x1.shape[1], penalty, np.float32)
    ridge[-1] = 0.0
    beta = ahead = np.zeros(x1.shape[1], np.float32)
    for step in range(steps):
        chances = 1 / (1 + np.exp(-np.clip(x1 @ ahead, -30, 30)))
        fresh = ahead - rate * (x1.T @ (chances - y).astype(np.float32) + ridge * ahead)
        ahead = fresh + step / (step + 3) * (fresh - beta)
        beta = fresh
    return beta.astype(np.float64)


def fit_probe(x: Floats, teen: Any, penalty: float) -> tuple[Floats, float]:
    """(weights, bias) of a linear probe on features, each brought to mean 0 and deviation 1 for the fitting only."""
    mean, scale = x.mean(axis=0), x.std(axis=0) + 1e-3
    beta = logistic((x - mean) / scale, np.asarray(teen, float), penalty)
    weights = beta[:-1] / scale
    return weights, float(beta[-1] - mean @ weights)


def heard_evidence(rows: dict[str, Any], nats: Floats) -> tuple[dict[str, Floats], Any]:
    """Evidence for the figure as heard (the better one in digits), as in the stage, and whether it is right."""
    sign = np.where(rows["heard_right"], 1.0, -1.0)
    heard_teen = rows["teen"] == rows["heard_right"]
    evidence = {
        "digits": np.abs(rows["digits"]),
        "words": rows["words"] * sign,
        "probe": np.where(heard_teen, nats, -nats),
        "teen": heard_teen.astype(float),
    }
    return evidence, rows["heard_right"]


def fit(folder: Path, penalty: float) -> None:
    """Fits on the training voices, writes the probe that ships and prints the weights of the evidence beside it.

    The weights are fitted on what probes say of voices that they were not trained on.
    """
    rows = load(folder, "train+plain")
    x, other, y = features(rows, rows["heard"]), features(rows, rows["other"]), rows["teen"]
    voices = np.array([SAME.get(voice, voice) for voice in rows["voice"]])
    nats = np.zeros(len(y))
    for voice in sorted(set(voices)):
        own = voices == voice
        weights, bias = fit_probe(np.concatenate([x[~own], other[~own]]), np.tile(y[~own], 2), penalty)
        nats[own] = x[own] @ weights + bias
        wrong = (nats[own] > 0) != y[own]
        print(f"{voice:<22} {own.sum()} clips, probe without this voice wrong in {wrong.mean():.3f}", flush=True)
    evidence, right = heard_evidence(rows, nats)
    for kind, names in (("teen_ty", ("words", "probe", "teen")), ("teen_ty_plain", ("digits", "words", "teen"))):
        table = np.stack([evidence[name] for name in names], axis=1)
        fitted = logistic(table, right.astype(float), 1.0, 2000)
        print(f"[{kind}]", *(f"{n} = {w:.3f}" for n, w in zip((*names, "bias"), fitted, strict=True)), sep="\n")
    weights, bias = fit_probe(np.concatenate([x, other]), np.tile(y, 2), penalty)
    turned = np.load(folder / "basis.npz")
    parts = weights[:-1].reshape(PARTS, -1) @ turned["basis"].astype(np.float64)
    bias -= float((parts @ turned["mean"]).sum())
    arrays = {"weights": np.append(parts, weights[-1]).astype(np.float32), "bias": np.array(bias)}
    np.savez_compressed(OUT, identity=np.array(default_model().identity), **arrays)
    print(f"probe of {len(nats)} clips: {OUT.stat().st_size} bytes")


def shipped_nats(folder: Path, rows: dict[str, Any]) -> Floats:
    """What the shipped probe says of clips that are kept along a basis (its weights lie in that)."""
    probe, turned = shipped_probe(), np.load(folder / "basis.npz")
    parts = probe.weights[:-1].reshape(PARTS, -1).astype(np.float64)
    along = np.linalg.lstsq(turned["basis"].T.astype(np.float64), parts.T, rcond=None)[0].T
    weights = np.append(along, probe.weights[-1])
    bias = probe.bias + float((parts @ turned["mean"]).sum())
    return np.asarray(features(rows, rows["heard"]) @ weights + bias)


def report(folder: Path, name: str) -> None:
    """What the shipped probe and weights make of a set, by voice and noise level, with counts."""
    rows, calibration = load(folder, name), shipped_calibration()
    nats = shipped_nats(folder, rows)
    evidence, right = heard_evidence(rows, nats)
    doubt = np.array(
        [calibration.figure_doubt({n: float(v[i]) for n, v in evidence.items()}) for i in range(len(right))]
    )
    flagged = doubt >= calibration.doubtful_from
    groups = {"all": np.ones(len(right), bool)}
    groups |= {f"voice {voice}": rows["voice"] == voice for voice in sorted(set(rows["voice"]))}
    groups |= {f"noise {snr:g} dB" if snr < 99 else "clean": rows["snr"] == snr for snr in sorted(set(rows["snr"]))}
    print(f"{name}: clips | heard wrong, of these doubted | heard right, of these doubted | probe alone right")
    for key, own in groups.items():
        wrong, good = own & ~right, own & right
        sure = ((nats > 0) == rows["teen"])[own].mean()
        caught, false = flagged[wrong].sum(), flagged[good].sum()
        print(f"{key:<28} {own.sum():>5} | {wrong.sum():>4} {caught:>4} | {good.sum():>4} {false:>4} | {sure:.3f}")
    print("reliability: doubt, clips, heard wrong")
    edges = [0.0, 0.02, 0.05, 0.1, 0.2, 0.5, 0.8, 1.01]
    for low, high in itertools.pairwise(edges):
        own = (doubt >= low) & (doubt < high)
        if own.any():
            print(f"{low:.2f}-{min(high, 1):.2f}  {own.sum():>5}  {(~right[own]).mean():.3f}")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("step", choices=["basis", "fit", "report"])
    parser.add_argument("folder", type=Path)
    parser.add_argument("--set", choices=["train", *OTHERS], default="test")
    parser.add_argument("--penalty", type=float, default=300.0)
    args = parser.parse_args()
    if args.step == "basis":
        make_basis(args.folder)
    elif args.step == "fit":
        fit(args.folder, args.penalty)
    else:
        report(args.folder, args.set)


if __name__ == "__main__":
    main()
