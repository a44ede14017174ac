"""Trains and tests the networks that tell -teen from -ty. Needs PyTorch; no part of the installed package.

python tools/teen_ty_clips.py FOLDER --set train --count 600      a first few clips with all their states, and
python tools/train_teen_ty.py basis FOLDER                        FOLDER/basis.npz, along which all are kept then
python tools/teen_ty_clips.py FOLDER --set train --part N --parts 16 --basis FOLDER/basis.npz
python tools/train_teen_ty.py fit FOLDER                          writes pipeline/data/teen_ty.npz
python tools/train_teen_ty.py report FOLDER --set test            by voice and noise level, with counts
"""

from __future__ import annotations

import argparse
import itertools
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import numpy as np
import torch
from numpy.typing import NDArray
from teen_ty_clips import OTHERS, QUANTUM, SAME

from pipeline.hearing import default_model
from pipeline.hearing.speech_model import STATE_MS, EncodedSound
from pipeline.second_hearing.calibration import shipped_calibration
from pipeline.second_hearing.teen_ty import KEPT, TeenTyProbe, shipped_probe

Floats = NDArray[np.float64]
OUT = Path(__file__).resolve().parent.parent / "pipeline" / "data" / "teen_ty.npz"
_PRINCIPAL, _SLICES = 112, 8
NETWORKS, EPOCHS, BATCH, RATE, DECAY = 3, 8, 64, 3e-3, 1e-2
LOW, UNITS, REACH = 32, 48, 5
DEVICE = "cuda" if torch.cuda.is_available() else "cpu"


def load(folder: Path, name: str) -> dict[str, Any]:
    """All clips of a set, or of two ("train+plain").

    `spans`: of the word as a -teen and as a -ty. `heard_right`: the better of the two figures in digits is the true
    one, as the recogniser would have written it.
    """
    files = [np.load(path) for path in sorted(folder.glob("*.npz")) if path.stem.partition("_")[0] in name.split("+")]
    rows = {key: np.concatenate([data[key] for data in files]) for key in files[0].files}
    rows["teen"] = np.array([word.endswith("teen") for word in rows["word"]])
    rows["heard_right"] = rows["digits"] > 0
    rows["known"] = rows["spans"][:, 2, 1].astype(int)
    true, rival = rows["spans"][:, 0].astype(int), rows["spans"][:, 1].astype(int)
    teen = rows["teen"][:, None]
    rows["spans"] = np.stack([np.where(teen, true, rival), np.where(teen, rival, true)], axis=1)
    # another voice of the same program counts as the same voice when one is left out
    rows["group"] = np.array([SAME.get(voice, voice) for voice in rows["voice"]])
    return rows


def make_basis(folder: Path) -> None:
    """The directions along which the states vary most, and those in which -teen and -ty differ, slice by slice."""
    rows = load(folder, "train")
    states = rows["states"].astype(np.float32)
    known = np.arange(states.shape[1]) < rows["known"][:, None]
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


# --- networks -------------------------------------------------------------------------------------------------------


class Network(torch.nn.Module):
    """As `TeenTyProbe`, with what is needed for training. Time is the last axis here."""

    def __init__(self, width: int) -> None:
        super().__init__()
        nn = torch.nn
        self.directions, self.units = nn.Dropout1d(0.2), nn.Dropout(0.3)
        self.project = nn.Conv1d(width, LOW, 1)
        self.first = nn.Conv1d(LOW + 2, UNITS, REACH, padding=REACH // 2)
        self.second = nn.Conv1d(UNITS, UNITS, REACH, padding=REACH // 2)
        self.third = nn.Conv1d(UNITS, UNITS, REACH, padding=REACH // 2)
        self.first_norm, self.second_norm = nn.BatchNorm1d(UNITS), nn.BatchNorm1d(UNITS)
        self.out = nn.Linear(2 * UNITS, 1)

    def forward(self, states: torch.Tensor, places: torch.Tensor) -> torch.Tensor:
        x = torch.cat([self.project(self.directions(states)), places], 1)
        x = torch.relu(self.first_norm(self.first(x)))
        x = x + torch.relu(self.second_norm(self.second(x)))
        x = torch.relu(self.third(x))
        pooled = torch.cat([x.amax(2), x.mean(2)], 1)
        return torch.as_tensor(self.out(self.units(pooled)))[:, 0]


def inputs(rows: dict[str, Any], own: Any) -> tuple[torch.Tensor, torch.Tensor, torch.Tensor]:
    """States along the basis, (clips, directions, KEPT), places of the word, (clips, 2, KEPT), and 1 for a -teen."""
    spans, time = rows["spans"][own], np.arange(KEPT)
    known = time < rows["known"][own, None]
    states = (rows["states"][own] * known[..., None]).transpose(0, 2, 1).astype(np.float32) / QUANTUM
    places = (time >= spans[..., :1]) & (time < np.maximum(spans[..., 1:], spans[..., :1] + 1))
    made = (states, places.astype(np.float32), rows["teen"][own].astype(np.float32))
    return tuple(torch.tensor(np.ascontiguousarray(each), device=DEVICE) for each in made)  # type: ignore[return-value]


def train(rows: dict[str, Any], own: Any, seed: int) -> Network:
    """One network, by Adam with weight decay; states are shifted a little, and the places against them."""
    torch.manual_seed(seed)
    states, places, teen = inputs(rows, own)
    network = Network(states.shape[1]).to(DEVICE)
    optimiser = torch.optim.AdamW(network.parameters(), RATE, weight_decay=DECAY)
    steps = EPOCHS * (len(teen) // BATCH)
    schedule = torch.optim.lr_scheduler.OneCycleLR(optimiser, RATE, total_steps=steps + 1)
    draw = np.random.default_rng(seed)
    for _ in range(EPOCHS):
        order = torch.randperm(len(teen), device=DEVICE)
        for begin in range(0, len(teen) - BATCH + 1, BATCH):
            some = order[begin : begin + BATCH]
            shift, beside = (int(n) for n in draw.integers(-2, 3, 2))
            x = torch.roll(states[some], shift, 2)
            x = x + 0.1 * torch.randn_like(x)
            odds = network(x, torch.roll(places[some], shift + beside, 2))
            loss = torch.nn.functional.binary_cross_entropy_with_logits(odds, teen[some])
            optimiser.zero_grad()
            loss.backward()  # type: ignore[no-untyped-call]
            optimiser.step()
            schedule.step()
    return network.eval()


def nats_of(networks: Iterable[Network], rows: dict[str, Any], own: Any) -> Floats:
    """The mean of what networks say of clips: above 0 for a -teen."""
    states, places, _ = inputs(rows, own)
    with torch.no_grad():
        said = [network(states, places).cpu().numpy() for network in networks]
    return np.asarray(4.0 * np.tanh(np.mean(said, axis=0) / 4.0), np.float64)


def layers_of(network: Network, turned: Any) -> dict[str, NDArray[np.float32]]:
    """Weights for `TeenTyProbe`: norms and the basis are worked into the layers."""
    parts = {name: value.detach().cpu().numpy().astype(np.float64) for name, value in network.state_dict().items()}
    out = {"project": parts["project.weight"][:, :, 0] @ turned["basis"], "project_bias": parts["project.bias"]}
    out["project_bias"] = out["project_bias"] - out["project"] @ turned["mean"]
    for name in ("first", "second", "third"):
        factor = np.ones(UNITS)
        bias = parts[f"{name}.bias"]
        if name != "third":
            factor = parts[f"{name}_norm.weight"] / np.sqrt(parts[f"{name}_norm.running_var"] + 1e-5)
            bias = (bias - parts[f"{name}_norm.running_mean"]) * factor + parts[f"{name}_norm.bias"]
        out[name], out[f"{name}_bias"] = parts[f"{name}.weight"] * factor[:, None, None], bias
    out |= {"out": parts["out.weight"][0], "out_bias": parts["out.bias"][0]}
    return {name: np.asarray(value, np.float32) for name, value in out.items()}


# --- fitting and reporting ------------------------------------------------------------------------------------------


def logistic(x: Floats, y: Floats) -> Floats:
    """Weights of a logistic regression by Newton's method; the last is the bias."""
    x1 = np.concatenate([x, np.ones((len(x), 1))], axis=1)
    beta = np.zeros(x1.shape[1])
    for _ in range(30):
        chances = 1 / (1 + np.exp(-np.clip(x1 @ beta, -30, 30)))
        curve = (x1 * (chances * (1 - chances))[:, None]).T @ x1 + 1e-3 * np.eye(len(beta))
        beta -= np.linalg.solve(curve, x1.T @ (chances - y))
    return beta


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


def fit(folder: Path) -> None:
    """Trains on the training voices, writes the probe that ships and prints the weights of the evidence beside it.

    The weights are fitted on what networks say of voices that they were not trained on.
    """
    rows = load(folder, "train+plain")
    nats = np.zeros(len(rows["teen"]))
    for voice in sorted(set(rows["group"])):
        own = rows["group"] == voice
        nats[own] = nats_of([train(rows, ~own, seed) for seed in range(NETWORKS)], rows, own)
        wrong = (nats[own] > 0) != rows["teen"][own]
        clean = wrong[rows["snr"][own] >= 99]
        print(f"{voice:<22} {own.sum()} clips, wrong without this voice {wrong.mean():.3f}, clean {clean.mean():.3f}")
    evidence, right = heard_evidence(rows, nats)
    for kind, names in (("teen_ty", ("words", "probe", "teen")), ("teen_ty_plain", ("digits", "words", "teen"))):
        table = np.stack([evidence[name] for name in names], axis=1)
        fitted = logistic(table, right.astype(float))
        print(f"[{kind}]", *(f"{n} = {w:.3f}" for n, w in zip((*names, "bias"), fitted, strict=True)), sep="\n")
        doubt = 1 / (1 + np.exp(np.clip(np.c_[table, np.ones(len(table))] @ fitted, -30, 30)))
        _thresholds(doubt, right, rows["snr"])
    turned = np.load(folder / "basis.npz")
    everything = np.ones(len(nats), bool)
    layers = [layers_of(train(rows, everything, seed), turned) for seed in range(NETWORKS)]
    packed = {name: np.stack([each[name] for each in layers]).astype(np.float16) for name in layers[0]}
    np.savez_compressed(OUT, encoder=np.array(default_model().encoder), mean=turned["mean"], **packed)
    print(f"{NETWORKS} networks from {len(nats)} clips: {OUT.stat().st_size} bytes")


def _thresholds(doubt: Floats, right: Any, snr: Any) -> None:
    clean = snr >= 99
    for least in (0.05, 0.08, 0.1, 0.12, 0.15, 0.2, 0.3):
        flagged = doubt >= least
        cells = [(flagged & own).sum() for own in (~right, right, right & clean)]
        totals = [own.sum() for own in (~right, right, right & clean)]
        print(f"doubtful from {least:.2f}: wrong {cells[0]}/{totals[0]}, right {cells[1]}/{totals[1]}, ", end="")
        print(f"right and clean {cells[2]}/{totals[2]}")


def shipped_nats(folder: Path, rows: dict[str, Any]) -> Floats:
    """What the shipped probe says of clips that are kept along a basis (its first layer lies in that)."""
    probe, turned = shipped_probe(), np.load(folder / "basis.npz")
    back = np.linalg.pinv(turned["basis"].astype(np.float64))
    out = []
    for states, spans, known in zip(rows["states"], rows["spans"], rows["known"], strict=True):
        whole = (states[:known].astype(np.float64) / QUANTUM) @ back.T + turned["mean"]
        encoded = EncodedSound(whole.astype(np.float32), 2 * known)
        out.append(_teen_nats(probe, encoded, spans))
    return np.array(out)


def _teen_nats(probe: TeenTyProbe, encoded: EncodedSound, spans: Any) -> float:
    teen, ty = (tuple(int(n) * STATE_MS for n in span) for span in spans)
    return probe.teen_nats(encoded, (teen[0], teen[1]), (ty[0], ty[1]))


def report(folder: Path, name: str) -> None:
    """What the shipped probe and weights make of a set, by voice and noise level, with counts."""
    rows, calibration = load(folder, name), shipped_calibration()
    nats = shipped_nats(folder, rows)
    evidence, right = heard_evidence(rows, nats)
    doubt = np.array(
        [calibration.figure_doubt({n: float(v[i]) for n, v in evidence.items()}) for i in range(len(right))]
    )
    flagged = doubt >= calibration.doubtful_ending_from
    groups = {"all": np.ones(len(right), bool)}
    groups |= {f"voice {voice}": rows["voice"] == voice for voice in sorted(set(rows["voice"]))}
    groups |= {f"noise {snr:g} dB" if snr < 99 else "clean": rows["snr"] == snr for snr in sorted(set(rows["snr"]))}
    print(f"{name}: clips | heard wrong, of these doubted | heard right, of these doubted | probe alone right")
    for key, own in groups.items():
        wrong, good = own & ~right, own & right
        sure = ((nats > 0) == rows["teen"])[own].mean()
        caught, false = flagged[wrong].sum(), flagged[good].sum()
        print(f"{key:<28} {own.sum():>5} | {wrong.sum():>4} {caught:>4} | {good.sum():>4} {false:>4} | {sure:.3f}")
    _thresholds(doubt, right, rows["snr"])
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
    args = parser.parse_args()
    if args.step == "basis":
        make_basis(args.folder)
    elif args.step == "fit":
        fit(args.folder)
    else:
        report(args.folder, args.set)


if __name__ == "__main__":
    main()
