"""Trains the reader: a small transformer that tells which words tell of an event, which part it is of, and how.

    python tools/train_reader.py EXAMPLES.json --base FOLDER --into FOLDER [--without a_,b_,say0] [--epochs N]

EXAMPLES.json comes from `reader_data.py`; FOLDER holds `model.safetensors` and `tokenizer.json` of
all-MiniLM-L6-v2 (Apache-2.0), whose weights it starts from. With `--without` it learns nothing of what is named so, and
`read_left_out.py` writes what it says of that. Needs this package on the path, torch, safetensors and tokenizers, and
best a graphics card. No part of the installed package.
"""

from __future__ import annotations

import argparse
import json
import multiprocessing
import random
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import torch
from reader_loss import Chunk, Text, batch_of, chunks_of, loss_of
from reader_model import Reader
from tokenizers import Tokenizer

# This share of word pieces is hidden in training, so that the words around a garbled one count.
DROP = 0.08
SIZE = 32
WORKERS = 3
DEVICE = "cuda" if torch.cuda.is_available() else "cpu"
# What the processes that make batches read.
_rows: list[list[Chunk]] = []
_seed = 0.0


def batches(rows: list[list[Chunk]], seed: float) -> Iterator[dict[str, Any]]:
    """The batches in order, made by other processes in advance: they take longer to make than to learn from."""
    global _rows, _seed
    _rows, _seed = rows, seed
    with multiprocessing.get_context("fork").Pool(WORKERS) as pool:
        yield from pool.imap(_batch, range(len(rows)))


def _batch(place: int) -> dict[str, Any]:
    return batch_of(_rows[place], random.Random(f"{_seed} {place}"), DROP)


def train(texts: list[Text], base: Path, epochs: int, seconds: float, seed: int, report: str) -> Reader:
    """Trains for so many epochs, or for so many seconds where that is less."""
    torch.manual_seed(seed)
    torch.set_float32_matmul_precision("high")
    rng = random.Random(seed)
    model = Reader.from_base(base).to(DEVICE)
    model.encoder.words.weight.requires_grad_(False)  # words that no narration has keep their place among the others
    named = [(name, weights) for name, weights in model.named_parameters() if weights.requires_grad]
    groups = [
        {"params": [weights for name, weights in named if name.startswith("encoder")], "lr": 1.3e-4},
        {"params": [weights for name, weights in named if not name.startswith("encoder")], "lr": 1e-3},
    ]
    optimiser = torch.optim.AdamW(groups, weight_decay=0.02)
    steps = epochs * len(chunks_of(texts, SIZE, rng))
    began, rates, done = time.time(), [group["lr"] for group in groups], 0
    model.train()
    for epoch in range(epochs):
        total = torch.zeros((), device=DEVICE)
        rows = chunks_of(texts, SIZE, rng)
        for batch in batches(rows, rng.random()):
            passed = max(done / steps, (time.time() - began) / seconds)
            if passed >= 1:
                break
            done += 1
            for group, rate in zip(optimiser.param_groups, rates, strict=True):
                group["lr"] = rate * min(1.0, passed / 0.06) * (1 - passed)
            loss = loss_of(model, {name: torch.from_numpy(array).to(DEVICE) for name, array in batch.items()})
            optimiser.zero_grad()
            loss.backward()
            torch.nn.utils.clip_grad_norm_(model.parameters(), 5.0)
            optimiser.step()
            total += loss.detach()
        print(
            f"{report} epoch {epoch + 1}: loss {float(total) / len(rows):.2f}, {time.time() - began:.0f} s", flush=True
        )
    return model.eval()


def save(model: Reader, folder: Path) -> None:
    """The weights in two files of 16-bit numbers; the words' own are those of the base."""
    state = {name: value.cpu().half() for name, value in model.state_dict().items() if name != "encoder.words.weight"}
    halves: list[dict[str, Any]] = [{}, {}]
    for name in sorted(state, key=lambda name: -state[name].numel()):
        min(halves, key=lambda half: sum(value.numel() for value in half.values()))[name] = state[name]
    for number, half in enumerate(halves):
        torch.save(half, folder / f"reader{number}.pt")


def examples(path: Path, base: Path, taken: Callable[[str], bool]) -> list[Text]:
    """The texts of those examples whose names are taken."""
    tokenizer = tokenizer_of(base)
    return [Text(example, tokenizer) for example in json.loads(path.read_text()) if taken(example["name"])]


def tokenizer_of(base: Path) -> Tokenizer:
    """The word pieces of the base network."""
    tokenizer = Tokenizer.from_file(str(base / "tokenizer.json"))
    tokenizer.no_padding()
    tokenizer.no_truncation()
    return tokenizer


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("examples", type=Path)
    parser.add_argument("--base", type=Path, required=True)
    parser.add_argument("--into", type=Path, required=True)
    parser.add_argument("--without", default="", metavar="PREFIX,PREFIX", help="leave out what is named so")
    parser.add_argument("--epochs", type=int, default=12)
    parser.add_argument("--seconds", type=float, default=1e9)
    parser.add_argument("--seed", type=int, default=1)
    arguments = parser.parse_args()
    arguments.into.mkdir(parents=True, exist_ok=True)
    unseen = tuple(arguments.without.split(",")) if arguments.without else ("\0",)
    texts = examples(arguments.examples, arguments.base, lambda name: not name.startswith(unseen))
    model = train(texts, arguments.base, arguments.epochs, arguments.seconds, arguments.seed, arguments.into.name)
    save(model, arguments.into)


if __name__ == "__main__":
    main()
