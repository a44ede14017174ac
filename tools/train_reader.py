"""Trains the reader: a small transformer that tells which words tell of an event, which part it is of, and how.

    python tools/train_reader.py EXAMPLES.json --base FOLDER --into FOLDER [--folds a_ b_ c_] [--epochs N]

EXAMPLES.json comes from `reader_data.py`; FOLDER holds `model.safetensors` and `tokenizer.json` of
all-MiniLM-L6-v2 (Apache-2.0), whose weights it starts from. With `--folds` the narrations whose names begin so are left
out in turn, and what the network says of them is written to FOLDER/fold_NAME.xz; without, the network itself is.
Needs this package on the path, torch, safetensors and tokenizers, and best a graphics card.
No part of the installed package.
"""

from __future__ import annotations

import argparse
import json
import lzma
import pickle
import random
import time
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np
import torch
from reader_loss import CLS, SEP, Text, batch_of, chunks_of, loss_of
from reader_model import WINDOW_AFTER, WINDOW_BEFORE, Reader
from tokenizers import Tokenizer

from pipeline.events.reader_places import attribute_words
from pipeline.events.rules import load_rules
from pipeline.punctuation import punctuated
from pipeline.reader.network import windows
from pipeline.reader.reading import ACTIONS, STATUSES
from pipeline.tokens import line_words, written_tokens

# This share of word pieces is hidden in training, so that the words around a garbled one count.
DROP = 0.08
SIZE = 32
DEVICE = "cuda" if torch.cuda.is_available() else "cpu"


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
        for chunks in rows:
            passed = max(done / steps, (time.time() - began) / seconds)
            if passed >= 1:
                break
            done += 1
            for group, rate in zip(optimiser.param_groups, rates, strict=True):
                group["lr"] = rate * min(1.0, passed / 0.06) * (1 - passed)
            loss = loss_of(model, batch_of(chunks, rng, DROP, DEVICE))
            optimiser.zero_grad()
            loss.backward()
            torch.nn.utils.clip_grad_norm_(model.parameters(), 5.0)
            optimiser.step()
            total += loss.detach()
        print(
            f"{report} epoch {epoch + 1}: loss {float(total) / len(rows):.2f}, {time.time() - began:.0f} s", flush=True
        )
    return model.eval()


@torch.no_grad()
def read(model: Reader, text: Text) -> dict[str, Any]:
    """What the network says of each word of a text, from the window in which the word stands most central."""
    spans = windows(text.first, len(text.pieces))
    kept: list[list[Any]] = [[] for _ in range(7)]
    for first, last, low, high in spans:
        start = text.first[first]
        stop = text.first[last] if last < len(text.first) else len(text.pieces)
        ids = torch.tensor([[CLS, *text.pieces[start:stop], SEP]], device=DEVICE)
        places = torch.tensor([text.first[w] - start + 1 for w in range(low, high)], device=DEVICE)
        for store, out in zip(kept, model(ids), strict=True):
            store.append(out[0, places].float().cpu())
    trig, status, ends, marks, figures, query, key = (torch.cat(store) for store in kept)
    plain = text.example["only_figures"] or text.example["view"].startswith("heard")
    found = {} if plain else compact(model, text, trig, status, ends, query, key)
    shown = np.zeros((len(figures), 1), dtype=np.float32)
    for start, end, _ in text.example["figures"]:
        shown[start:end] = 1
    found["figures"] = eighths(figures.numpy() * shown)
    return {**found, "marks": eighths(marks), "words": text.example["words"]}


def eighths(scores: Any) -> Any:
    """Scores as whole numbers of eighths."""
    return np.clip(np.round(np.asarray(scores) * 8), -127, 127).astype(np.int8)


def compact(model: Reader, text: Text, trig: Any, status: Any, ends: Any, query: Any, key: Any) -> dict[str, Any]:
    """Scores of each word that may tell something with the words around it, and of attribute words."""
    count = len(trig)
    silent = torch.softmax(trig, -1)[:, 0] * torch.softmax(ends, -1)[:, 0]
    tells = np.flatnonzero(silent.numpy() < 0.98)
    spots = np.array([start for start, *_ in text.example["attributes"]], dtype=int)
    every = torch.arange(count, device=DEVICE)
    query, key = query.to(DEVICE), key.to(DEVICE)

    def around(role: int, at: Any, before: int, after: int, turned: bool) -> Any:
        here = torch.tensor(at, device=DEVICE)
        if turned:
            score = model.pairs(query[:, role], key[here, role], every[:, None], here[None], role).T
        else:
            score = model.pairs(query[here, role], key[:, role], here[:, None], every[None], role)
        padded = np.pad(eighths(score.cpu()), ((0, 0), (before, after)), constant_values=-128)
        return np.stack([row[place : place + before + after + 1] for row, place in zip(padded, at, strict=True)])

    if not len(tells) or not len(spots):
        tells, spots = tells if len(tells) else np.array([0]), spots if len(spots) else np.array([0])
    return {
        "trig": eighths(trig), "status": eighths(status), "ends": eighths(ends), "tells": tells, "attr": spots,
        "pair": around(0, tells, WINDOW_BEFORE, WINDOW_AFTER, False),
        "verb_attr": around(1, spots, 40, 40, True), "noun_attr": around(2, spots, 40, 40, True),
    }  # fmt: skip


class Marks:
    """Answers `punctuated` with scores that are known already."""

    def __init__(self, scores: Any) -> None:
        self._scores = scores

    def breaks(self, words: Sequence[str]) -> Any:
        assert len(words) == len(self._scores)
        return self._scores


def restored(text: Text, marks: Any, tokenizer: Tokenizer) -> Text:
    """A text without punctuation, with the marks that the network puts back."""
    tokens = punctuated(written_tokens(line_words(" ".join(text.example["words"]))), reader=Marks(marks))
    words = [token.text for token in tokens]
    return Text({**text.example, "words": words, "attributes": attribute_words(words, load_rules())}, tokenizer)


def save(model: Reader, folder: Path) -> None:
    """The weights in two files of 16-bit numbers; the words' own are those of the base."""
    state = {name: value.cpu().half() for name, value in model.state_dict().items() if name != "encoder.words.weight"}
    halves: list[dict[str, Any]] = [{}, {}]
    for name in sorted(state, key=lambda name: -state[name].numel()):
        min(halves, key=lambda half: sum(value.numel() for value in half.values()))[name] = state[name]
    for number, half in enumerate(halves):
        torch.save(half, folder / f"reader{number}.pt")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("examples", type=Path)
    parser.add_argument("--base", type=Path, required=True)
    parser.add_argument("--into", type=Path, required=True)
    parser.add_argument("--folds", nargs="*", default=[])
    parser.add_argument("--epochs", type=int, default=12)
    parser.add_argument("--seconds", type=float, default=1e9)
    parser.add_argument("--seed", type=int, default=1)
    arguments = parser.parse_args()
    arguments.into.mkdir(parents=True, exist_ok=True)
    tokenizer = Tokenizer.from_file(str(arguments.base / "tokenizer.json"))
    tokenizer.no_padding()
    tokenizer.no_truncation()
    texts = [Text(example, tokenizer) for example in json.loads(arguments.examples.read_text())]
    for fold in arguments.folds or [""]:
        prefixes = tuple(fold.split(",")) if fold else ()
        held = [t for t in texts if prefixes and t.example["name"].startswith(prefixes)]
        kept = [t for t in texts if not (prefixes and t.example["name"].startswith(prefixes))]
        model = train(kept, arguments.base, arguments.epochs, arguments.seconds, arguments.seed, fold or "all")
        if held:
            views = []
            for text in held:
                if text.example["view"] == "restored":
                    continue
                found = read(model, text)
                views.append(found)
                if text.example["view"] == "bare":  # what is read of such words are those with marks put back
                    views.append(read(model, restored(text, found["marks"].astype(np.float32) / 8, tokenizer)))
            stem = fold.replace(",", "").replace("_", "")[:20]
            with lzma.open(arguments.into / f"fold_{stem}.xz", "wb", preset=1) as file:
                pickle.dump(views, file)
            score(model, [text for text in held if not text.example["only_figures"]])
        else:
            save(model, arguments.into)


def score(model: Reader, held: list[Text]) -> None:
    """How often the network alone is right: words that tell, their action and status, and the part pointed at."""
    right = found = gold = statuses = parts = tried = 0
    for text in held:
        if text.example["view"] != "written":
            continue
        out = read(model, text)
        pred = out["trig"].argmax(-1)
        told = {e["at"]: e for e in text.example["events"] if e["at"] >= 0}
        spans = [(tuple(e["span"]), e["action"]) for e in text.example["events"]]
        for at in np.flatnonzero(pred):
            action = ACTIONS[pred[at] - 1]
            found += 1
            here = at in told and told[at]["action"] == action
            right += here or any(low <= at < high and action == act for (low, high), act in spans)
        gold += len(
            {
                (e["at"], e["action"]) if e["at"] >= 0 else (tuple(e["span"]), e["action"])
                for e in text.example["events"]
            }
        )
        for event in text.example["events"]:
            if event["at"] < 0 or not event["parts"]:
                continue
            statuses += STATUSES[int(out["status"][event["at"]].argmax())] == event["status"]
            tried += 1
            row = np.flatnonzero(out["tells"] == event["at"])
            if len(row):
                parts += int(out["pair"][row[0]].argmax()) + event["at"] - WINDOW_BEFORE in event["parts"]
    print(
        f"  told: precision {right}/{found}, gold {gold}; status {statuses}/{tried}; first part {parts}/{tried}",
        flush=True,
    )


if __name__ == "__main__":
    main()
