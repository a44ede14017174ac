"""Trains the reader: a small transformer that tells which words tell of an event, which part it is of, and how.

    python tools/train_reader.py EXAMPLES.json --base FOLDER --into FOLDER [--without a_,b_,say0] [--epochs N]
    python tools/train_reader.py EXAMPLES.json --teach SMOLLM2.gguf --into TEACHER --without a_,b_,say0 --epochs 6
    python tools/train_reader.py ... [--gguf SMOLLM2.gguf] --teachers TEACHER TEACHER TEACHER [--onto NET]

EXAMPLES.json comes from `reader_data.py`; the base FOLDER holds `model.safetensors` and `tokenizer.json` of
all-MiniLM-L6-v2 (Apache-2.0), whose weights it starts from. With `--without` it learns nothing of what is named so, and
`read_left_out.py` writes what it says of that. With `--teachers` three networks, each without a fold, tell the reader
what they think of the texts that they have not learned: readers, or with `--gguf` larger networks, which `--teach`
trains in the reader's place. Needs this package on the path, torch, safetensors and tokenizers, for larger networks
gguf too, and best a graphics card. No part of the installed package.
"""

from __future__ import annotations

import argparse
import json
import multiprocessing
import random
import time
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import Any, TypeVar

import numpy as np
import torch
from distil_loss import distil_loss
from reader_loss import batch_of, loss_of, words_read
from reader_model import Reader
from reader_texts import Chunk, Text, chunks_of, pieces_of
from teacher_model import Teacher, TeacherText, teacher_tokenizer
from tokenizers import Tokenizer

# This share of word pieces is hidden in training, so that the words around a garbled one count.
DROP = 0.08
# Chunks in a batch and how fast is learned, by the reader and by a teacher; and by a reader that goes on learning.
SIZE, RATE = 64, 1.8e-4
TEACHER_SIZE, TEACHER_RATE = 32, 1e-4
LATER_RATE = 1e-4
WORKERS = 3
# With teachers the facts count so much beside what those say.
FACTS = 0.5
Network = TypeVar("Network", bound=Reader)
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
    rng, chunks = random.Random(f"{_seed} {place}"), _rows[place]
    batch: dict[str, Any] = batch_of(chunks, rng, DROP)
    mates = [Chunk(mate, chunk.low, chunk.high) for chunk in chunks if (mate := chunk.text.mate) is not None]
    if mates:
        rows = [pieces_of(mate, rng, 0.0) for mate in mates]
        batch["taught_pieces"] = np.zeros((len(rows), max(map(len, rows))), dtype=np.int64)
        batch["taught_first"] = np.zeros_like(batch["first"])
        for b, (mate, row) in enumerate(zip(mates, rows, strict=True)):
            batch["taught_pieces"][b, : len(row)] = row
            first = np.array(mate.text.first[mate.low : mate.high]) - mate.text.first[mate.low] + 1
            batch["taught_first"][b, : len(first)] = np.minimum(first, len(row) - 1)
        batch["teacher"] = np.array(chunks[0].text.teacher)
    return batch


def train(
    texts: list[Text], model: Reader, size: int, rate: float, epochs: int, seconds: float, seed: int, report: str,
    teachers: Sequence[Reader] = (),
) -> Reader:  # fmt: skip
    """Trains for so many epochs, or for so many seconds where that is less, `size` chunks at a time."""
    torch.manual_seed(seed)
    torch.set_float32_matmul_precision("high")
    torch.backends.cuda.enable_cudnn_sdp(False)  # it would plan anew for each length of a batch
    rng = random.Random(seed)
    model = model.to(DEVICE)
    model.encoder.words.weight.requires_grad_(False)  # words that no narration has keep their place among the others
    named = [(name, weights) for name, weights in model.named_parameters() if weights.requires_grad]
    groups = [
        {"params": [weights for name, weights in named if name.startswith("encoder")], "lr": rate},
        {"params": [weights for name, weights in named if not name.startswith("encoder")], "lr": 1e-3},
    ]
    optimiser = torch.optim.AdamW(groups, weight_decay=0.02, fused=DEVICE == "cuda")
    steps = epochs * len(_rows_of(texts, size, rng))
    began, rates, done = time.time(), [group["lr"] for group in groups], 0
    model.train()
    for epoch in range(epochs):
        total = torch.zeros((), device=DEVICE)
        rows = _rows_of(texts, size, rng)
        for numbers in batches(rows, rng.random()):
            passed = max(done / steps, (time.time() - began) / seconds)
            if passed >= 1:
                break
            done += 1
            for group, full in zip(optimiser.param_groups, rates, strict=True):
                group["lr"] = full * min(1.0, passed / 0.06) * (1 - passed)
            batch = {name: torch.from_numpy(array).to(DEVICE) for name, array in numbers.items()}
            said = words_read(model, batch["pieces"], batch["first"])
            loss = loss_of(model, batch, said)
            if "teacher" in batch:
                teacher = teachers[int(batch["teacher"])]
                with torch.no_grad():
                    taught = [out.float() for out in words_read(teacher, batch["taught_pieces"], batch["taught_first"])]
                loss = FACTS * loss + distil_loss(model, said, teacher, taught, batch)
            optimiser.zero_grad()
            loss.backward()
            torch.nn.utils.clip_grad_norm_(model.parameters(), 5.0)
            optimiser.step()
            total += loss.detach()
        print(
            f"{report} epoch {epoch + 1}: loss {float(total) / len(rows):.2f}, {time.time() - began:.0f} s", flush=True
        )
    return model.eval()


def _rows_of(texts: list[Text], size: int, rng: random.Random) -> list[list[Chunk]]:
    """Batches in random order, each of texts with the same teacher."""
    rows = [
        row for teacher in sorted({text.teacher for text in texts})
        for row in chunks_of([text for text in texts if text.teacher == teacher], size, rng)
    ]  # fmt: skip
    rng.shuffle(rows)
    return rows


def save(model: Reader, folder: Path, without: str) -> None:
    """The weights in two files of 16-bit numbers, and what was left out; the words' own are those of the base."""
    (folder / "without.txt").write_text(without, encoding="utf-8")
    state = {name: value.cpu().half() for name, value in model.state_dict().items() if name != "encoder.words.weight"}
    halves: list[dict[str, Any]] = [{}, {}]
    for name in sorted(state, key=lambda name: -state[name].numel()):
        min(halves, key=lambda half: sum(value.numel() for value in half.values()))[name] = state[name]
    for number, half in enumerate(halves):
        torch.save(half, folder / f"reader{number}.pt")


def load(model: Network, folder: Path) -> Network:
    """A network on its base with the weights that `save` wrote."""
    state = {
        k: v for path in sorted(folder.glob("reader?.pt")) for k, v in torch.load(path, map_location="cpu").items()
    }
    missing, surplus = model.load_state_dict({k: v.float() for k, v in state.items()}, strict=False)
    assert missing == ["encoder.words.weight"] and not surplus, (missing, surplus)
    return model.to(DEVICE).eval()


def give_teachers(texts: list[Text], base: Path, gguf: Path | None, folders: Sequence[Path]) -> list[Reader]:
    """The teachers; each text gets the first that has not learned it. Every text must have been left out by one."""
    tokenizer = teacher_tokenizer(gguf) if gguf else None
    left = [tuple((folder / "without.txt").read_text(encoding="utf-8").split(",")) for folder in folders]
    for text in texts:
        name = text.example["name"]
        text.mate = TeacherText(text.example, tokenizer) if tokenizer else text
        fitting = [number for number, prefixes in enumerate(left) if name.startswith(prefixes)]
        if not fitting:
            raise SystemExit(f"every teacher has learned {name}: train one --without it")
        text.teacher = fitting[0]
    return [load(Teacher.from_gguf(gguf) if gguf else Reader.from_base(base), folder) for folder in folders]


def examples(path: Path, taken: Callable[[str], bool]) -> list[dict[str, Any]]:
    """Those examples whose names are taken."""
    return [example for example in json.loads(path.read_text()) if taken(example["name"])]


def tokenizer_of(base: Path) -> Tokenizer:
    """The word pieces of the base network."""
    tokenizer = Tokenizer.from_file(str(base / "tokenizer.json"))
    tokenizer.no_padding()
    tokenizer.no_truncation()
    return tokenizer


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("examples", type=Path)
    parser.add_argument("--base", type=Path)
    parser.add_argument("--teach", type=Path, metavar="GGUF", help="train a teacher from this language model")
    parser.add_argument("--gguf", type=Path, help="the language model of larger teachers")
    parser.add_argument("--teachers", type=Path, nargs="*", default=[], metavar="FOLDER")
    parser.add_argument("--onto", type=Path, metavar="NET", help="go on from this network")
    parser.add_argument("--into", type=Path, required=True)
    parser.add_argument("--without", default="", metavar="PREFIX,PREFIX", help="leave out what is named so")
    parser.add_argument("--epochs", type=int, default=12)
    parser.add_argument("--seconds", type=float, default=1e9)
    parser.add_argument("--seed", type=int, default=1)
    arguments = parser.parse_args()
    arguments.into.mkdir(parents=True, exist_ok=True)
    unseen = tuple(arguments.without.split(",")) if arguments.without else ("\0",)
    chosen = examples(arguments.examples, lambda name: not name.startswith(unseen))
    teachers: Sequence[Reader] = []
    if arguments.teach:
        tokenizer = teacher_tokenizer(arguments.teach)
        texts: list[Text] = [TeacherText(row, tokenizer) for row in chosen]
        model: Reader = Teacher.from_gguf(arguments.teach)
    else:
        tokenizer = tokenizer_of(arguments.base)
        texts = [Text(row, tokenizer) for row in chosen]
        model = Reader.from_base(arguments.base)
        if arguments.onto:
            model = load(model, arguments.onto)
        if arguments.teachers:
            teachers = give_teachers(texts, arguments.base, arguments.gguf, arguments.teachers)
    size = TEACHER_SIZE if arguments.teach else SIZE
    rate = TEACHER_RATE if arguments.teach else LATER_RATE if arguments.onto else RATE
    model = train(
        texts, model, size, rate, arguments.epochs, arguments.seconds, arguments.seed, arguments.into.name, teachers
    )
    save(model, arguments.into, arguments.without)


if __name__ == "__main__":
    main()
