"""Trains the network of the third look: which of the terms over the same words was said, or none.

    python tools/train_third_look.py ROWS.pkl --base FOLDER --into THIRD.pt [--without FOLD]

ROWS.pkl comes from `third_look_rows.py`; the base FOLDER holds all-MiniLM-L6-v2, of which three layers are taken. With
`--without 0` (1, 2) it learns nothing of that fold and says how far it is right there: correction after it must be
fitted to such networks. Needs this package on the path, torch and safetensors, and a graphics card (two minutes).
"""

from __future__ import annotations

import argparse
import pickle
from collections.abc import Sequence
from pathlib import Path

import numpy as np
import torch
from correction_rows import FOLDS
from fit_correction import TIMES
from numpy.typing import NDArray
from reader_model import Reader
from third_look_model import ThirdLookModel
from third_look_texts import Doubtful, batches, clusters_of, meant
from torch import Tensor, nn

EPOCHS, SIZE, RATE, HEAD_RATE = 2, 192, 1e-4, 1e-3
FAR = 30.0
DEVICE = "cuda" if torch.cuda.is_available() else "cpu"


def judged(model: ThirdLookModel, batch: dict[str, Tensor]) -> Tensor:
    """The log odds of all pairs of a batch."""
    pieces, owner = batch["pieces"], batch["owner"].reshape(-1)
    hidden = (pieces == 0)[:, None, None, :] * -1e4
    with torch.autocast(pieces.device.type, torch.bfloat16, enabled=pieces.is_cuda and model.training):
        x = model.encoder.read(model.encoder.words(pieces) + model.kinds(batch["kinds"]), hidden)
    x = x.float()
    mine = owner >= 0
    shape = len(batch["features"]), x.shape[-1]
    total = torch.zeros(shape, device=x.device).index_add(0, owner[mine], x.reshape(-1, shape[1])[mine])
    count = torch.zeros(shape[0], device=x.device).index_add(0, owner[mine], torch.ones_like(owner[mine]).float())
    return model.judged(total / count.clamp(min=1)[:, None], x[batch["cluster"], 0], batch["features"])


def loss_of(odds: Tensor, labels: Tensor, cluster: Tensor) -> Tensor:
    """How unlikely what was said is, or that nothing was, among the pairs of each cluster; the mean over clusters.

    Other windows of the term that was said are neither right nor wrong.
    """
    odds = torch.where(labels < 0, -FAR, odds.clamp(-FAR, FAR))
    count = int(cluster[-1]) + 1
    zero = torch.zeros(count, device=odds.device)
    top = zero.scatter_reduce(0, cluster, odds.detach(), "amax")
    every = zero.index_add(0, cluster, torch.exp(odds - top[cluster])) + torch.exp(-top)
    right = torch.where(labels == 1, torch.exp(odds - top[cluster]), torch.zeros_like(odds))
    none = zero.index_add(0, cluster, (labels == 1).float()) == 0
    hit = torch.where(none, -top, torch.log(zero.index_add(0, cluster, right).clamp(min=1e-30)))
    return (torch.log(every) - hit).mean()


def train(texts: Sequence[Doubtful], look: int, base: Path, seed: int) -> ThirdLookModel:
    """A network that has learned the texts."""
    torch.manual_seed(seed)
    torch.set_float32_matmul_precision("high")
    rng = np.random.default_rng(seed)
    known = clusters_of(texts, look)
    features = np.concatenate([cluster.inputs() for cluster in known]).astype(np.float64)
    mean, scale = (torch.tensor(array).float() for array in (features.mean(axis=0), features.std(axis=0) + 1e-3))
    model = ThirdLookModel(Reader.from_base(base).encoder, mean, scale).to(DEVICE)
    model.encoder.words.weight.requires_grad_(False)
    named = [(name, weights) for name, weights in model.named_parameters() if weights.requires_grad]
    optimiser = torch.optim.AdamW(
        [
            {"params": [weights for name, weights in named if name.startswith("encoder")], "lr": RATE},
            {"params": [weights for name, weights in named if not name.startswith("encoder")], "lr": HEAD_RATE},
        ],
        weight_decay=0.02,
    )
    rates = [group["lr"] for group in optimiser.param_groups]
    every = [cluster for cluster in known for _ in range(TIMES.get(cluster.text.kind, 1))]
    steps, done = EPOCHS * -(-len(every) // SIZE), 0
    model.train()
    for epoch in range(EPOCHS):
        order, total = rng.permutation(len(every)), 0.0
        rows = [[every[n] for n in order[at : at + SIZE].tolist()] for at in range(0, len(order), SIZE)]
        for arrays in batches(rows, seed + epoch):
            for group, full in zip(optimiser.param_groups, rates, strict=True):
                group["lr"] = full * min(1.0, done / steps / 0.06) * (1 - done / steps)
            batch = {name: torch.from_numpy(array).to(DEVICE) for name, array in arrays.items()}
            loss = loss_of(judged(model, batch), batch["labels"], batch["cluster"])
            optimiser.zero_grad()
            loss.backward()
            nn.utils.clip_grad_norm_(model.parameters(), 5.0)
            optimiser.step()
            done += 1
            total += float(loss.detach())
        print(f"epoch {epoch + 1}: loss {total / len(rows):.4f} over {len(every)} clusters", flush=True)
    return model.eval()


@torch.no_grad()
def report(model: ThirdLookModel, texts: Sequence[Doubtful], look: int) -> None:
    """Of the clusters with a right pair, how often it wins and is likelier than not; and how often a wrong one is."""
    rows = clusters_of(texts, look)
    count: dict[str, NDArray[np.int64]] = {}
    grouped = [rows[at : at + SIZE] for at in range(0, len(rows), SIZE)]
    for group, arrays in zip(grouped, batches(grouped, None), strict=True):
        odds = judged(model, {name: torch.from_numpy(array).to(DEVICE) for name, array in arrays.items()}).cpu().numpy()
        for place, cluster in enumerate(group):
            own = odds[arrays["cluster"] == place]
            labels = cluster.text.labels[cluster.members]
            best = int(own.argmax())
            likely, right = bool(own[best] > 0), bool(labels[best] != 0)
            own_count = count.setdefault(cluster.text.kind, np.zeros(3, dtype=np.int64))
            own_count += (bool((labels == 1).any()), likely and right, likely and not right)
    for kind, (right, won, wrong) in count.items():
        print(f"{kind:24s} likelier than not: right {won} of {right}, wrong {wrong}")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("rows", type=Path)
    parser.add_argument("--base", type=Path, required=True)
    parser.add_argument("--into", type=Path, required=True)
    parser.add_argument("--without", type=int, default=FOLDS, metavar="FOLD")
    parser.add_argument("--seed", type=int, default=1)
    arguments = parser.parse_args()
    texts, forms = pickle.loads(arguments.rows.read_bytes())
    meant[:] = forms
    look = arguments.without
    model = train([text for text in texts if text.fold != look], look, arguments.base, arguments.seed)
    report(model, [text for text in texts if text.fold == look], look)
    state = {name: value.cpu().half() for name, value in model.state_dict().items() if name != "encoder.words.weight"}
    torch.save(state, arguments.into)


if __name__ == "__main__":
    main()
