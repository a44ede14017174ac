"""Teaches the decoder of the speech model the words of the workshop. No part of the installed package.

    python tools/adapt_train.py FOLDER... --judged FOLDER... --model MODEL --filters MEL.npy --into ADAPTED.npz

FOLDER: what `adapt_sound.py` has made. The encoder and the keys and values of its states stay as they came; what is
learned are small additions of low rank (Hu and others, "LoRA", 2021) to other weights of the decoder, and where it was
right it is held to what it was. Wants a graphics card: some minutes, with it.
"""

from __future__ import annotations

import argparse
import json
import math
import random
import time
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import numpy as np
import torch
from adapt_targets import Target, in_figures, plain, target
from adapt_texts import fold_of
from rapidfuzz.distance import Levenshtein
from speak import RATE_HZ
from tokenizers import Tokenizer
from torch.nn import functional
from whisper_tokens import END, PREVIOUS, START
from whisper_torch import LAYERS, Whisper, hear, log_mel, read_weights

ADAPTED: tuple[str, ...] = (
    "self_attention/linear_0",
    "self_attention/linear_1",
    "attention/linear_0",
    "attention/linear_2",
    "ffn/linear_0",
    "ffn/linear_1",
)
CONTEXT_TOKENS = 64
AT_ONCE = 48
Decode = Callable[[list[int]], str]
IGNORED = -100
ONCE = 256


def read_pieces(folders: list[Path]) -> tuple[list[np.ndarray[Any, Any]], list[dict[str, Any]]]:
    """Sounds (int16) and, of each, its words, kind, narration and row, in the order of the rows."""
    sounds, about = [], []
    for folder in folders:
        for path in sorted(folder.glob("*.npz"), key=lambda path: int(path.stem)):
            with np.load(path) as data:
                said = json.loads(str(data["said"]))
                for sound, words in zip(np.split(data["sound"], data["ends"][:-1]), said, strict=True):
                    sounds.append(sound)
                    row = {"kind": str(data["kind"]), "name": str(data["name"]), "row": f"{folder.name}/{path.stem}"}
                    about.append({"said": words, **row})
    return sounds, about


@torch.no_grad()
def encode_all(model: Whisper, sounds: list[np.ndarray[Any, Any]], filters: torch.Tensor) -> torch.Tensor:
    states = torch.empty((len(sounds), 1500, 512), dtype=model.dtype, device=model.device)
    for at in range(0, len(sounds), ONCE):
        some = [torch.from_numpy(sound.astype(np.float32) / 32768) for sound in sounds[at : at + ONCE]]
        mel = torch.stack([log_mel(sound.to(model.device), filters) for sound in some])
        states[at : at + ONCE] = model.encode(mel)
    return states


class School:
    """The model, what it is to learn (`learned`, numbers of pieces with `targets`) and what it is judged by."""

    def __init__(self, folders: list[Path], judged: list[Path], model: Path, filters: Path) -> None:
        began = time.time()
        device = "cuda" if torch.cuda.is_available() else "cpu"
        torch.manual_seed(175)
        weights = next(path for name in ("model.npz", "model.bin") if (path := model / name).exists())
        self.model = Whisper(read_weights(weights), device, torch.bfloat16 if device == "cuda" else torch.float32)
        self._tokenizer = Tokenizer.from_file(str(model / "tokenizer.json"))
        configuration = json.loads((model / "config.json").read_text())
        self.suppressed = [token for token in configuration["suppress_ids"] if token >= 0]
        taught, about_taught = read_pieces(folders)
        others, about_others = read_pieces(judged)
        self.about = about_taught + about_others
        mel = torch.from_numpy(np.load(filters).astype(np.float32)).to(device)
        self.states = encode_all(self.model, taught + others, mel)
        hours = sum(map(len, taught)) / RATE_HZ / 3600
        print(f"{len(taught)} pieces, {hours:.1f} h; encoded {time.time() - began:.0f} s", flush=True)
        first = hear_all(self.model, self.states, list(range(len(taught))), self.suppressed)
        self.targets = [
            target(tokens, one["said"], self.decode, self.encode)
            for tokens, one in zip(first, about_taught, strict=True)
        ]
        rows = sorted({one["row"] for one in about_taught})
        random.Random(175).shuffle(rows)
        kept_back = set(rows[: max(2, len(rows) // 40)])
        good = [number for number, one in enumerate(self.targets) if one is not None]
        self.learned = [number for number in good if self.about[number]["row"] not in kept_back]
        self.judged = [number for number in range(len(taught)) if self.about[number]["row"] in kept_back]
        self.judged += range(len(taught), len(self.about))
        print(f"heard {time.time() - began:.0f} s; {len(good)} pieces to learn from", flush=True)

    def encode(self, text: str) -> list[int]:
        return list(self._tokenizer.encode(text, add_special_tokens=False).ids)

    def decode(self, tokens: list[int]) -> str:
        return str(self._tokenizer.decode([token for token in tokens if token < END]))

    def judge(self) -> str:
        heard = hear_all(self.model, self.states, self.judged, self.suppressed)
        return error_rate(heard, self.judged, self.about, self.decode)


def hear_all(model: Whisper, states: torch.Tensor, which: list[int], suppressed: list[int]) -> list[list[int]]:
    """Tokens heard in some of the pieces."""
    stop = torch.tensor(suppressed, device=model.device)
    first = torch.tensor([220, END], device=model.device)
    heard: list[list[int]] = []
    for at in range(0, len(which), ONCE):
        heard += hear(model, states[which[at : at + ONCE]], stop, first)
    return heard


def add_adapters(model: Whisper, rank: int, places: Sequence[str] = ADAPTED) -> list[torch.nn.Parameter]:
    """Additions that change nothing yet."""
    model.adapters.clear()
    parameters = []
    for layer in range(LAYERS):
        for place in places:
            name = f"decoder/layer_{layer}/{place}"
            rows, columns = model.weights[f"{name}/weight"].shape
            down = torch.nn.Parameter(torch.randn(rank, columns, device=model.device) / math.sqrt(columns))
            up = torch.nn.Parameter(torch.zeros(rows, rank, device=model.device))
            model.adapters[f"{name}/weight"] = (down, up)
            parameters += [down, up]
    return parameters


def batch_of(
    chosen: list[int], targets: Sequence[Target | None], about: list[dict[str, Any]], rng: random.Random
) -> tuple[torch.Tensor, torch.Tensor]:
    """Tokens given and wanted. Half of the pieces come with the end of the one before as context."""
    rows = []
    for number in chosen:
        one = targets[number]
        assert one is not None
        before = targets[number - 1] if number and about[number - 1]["row"] == about[number]["row"] else None
        context = [PREVIOUS, *before.tokens[-CONTEXT_TOKENS:]] if before is not None and rng.random() < 0.6 else []
        rows.append(([*context, *START, *one.tokens], [IGNORED] * (len(context) + len(START) - 1) + [*one.tokens, END]))
    longest = max(len(one) for one, _ in rows)
    given = torch.full((len(rows), longest), END)
    wanted = torch.full((len(rows), longest), IGNORED)
    for place, (one_given, one_wanted) in enumerate(rows):
        given[place, : len(one_given)] = torch.tensor(one_given)
        wanted[place, : len(one_wanted)] = torch.tensor(one_wanted)
    return given, wanted


def loss_of(
    model: Whisper, states: torch.Tensor, given: torch.Tensor, wanted: torch.Tensor, hold: float
) -> torch.Tensor:
    """Where the model as it came would have gone wrong, it learns what was said; elsewhere it is held to what it was.

    `hold`: how hard, times the divergence from the model as it came (0: it learns what was said everywhere).
    """
    with torch.no_grad():
        crossed = model.crossed(states)
        model.strength = 0.0
        came = model.decode(given, crossed)[0].float()
        model.strength = 1.0
    now = model.decode(given, crossed)[0].float()
    known = wanted != IGNORED
    came, now, wanted = came[known], now[known], wanted[known]
    loss = functional.cross_entropy(now, wanted, reduction="none")
    if hold:
        right = came.argmax(-1) == wanted
        apart = functional.kl_div(now.log_softmax(-1), came.log_softmax(-1), reduction="none", log_target=True).sum(-1)
        loss = torch.where(right, hold * apart, loss)
    return loss.mean()


def learn(
    model: Whisper,
    states: torch.Tensor,
    learned: list[int],
    targets: Sequence[Target | None],
    about: list[dict[str, Any]],
    *,
    epochs: int,
    hold: float,
    rank: int = 32,
    rate: float = 4e-4,
    places: Sequence[str] = ADAPTED,
) -> None:
    """Gives the model new additions, learned from some of the pieces."""
    rng = random.Random(175)
    learned = list(learned)
    parameters = add_adapters(model, rank, places)
    optimizer = torch.optim.AdamW(parameters, lr=rate, weight_decay=0.01)
    steps = -(-len(learned) // AT_ONCE)
    schedule = torch.optim.lr_scheduler.OneCycleLR(optimizer, rate, total_steps=epochs * steps + 1, pct_start=0.06)
    for epoch in range(epochs):
        rng.shuffle(learned)
        total = 0.0
        for step in range(steps):
            chosen = learned[step * AT_ONCE : (step + 1) * AT_ONCE]
            given, wanted = batch_of(chosen, targets, about, rng)
            loss = loss_of(model, states[chosen], given.to(model.device), wanted.to(model.device), hold)
            optimizer.zero_grad()
            torch.autograd.backward([loss])
            torch.nn.utils.clip_grad_norm_(parameters, 1.0)
            optimizer.step()
            schedule.step()
            total += float(loss.detach())
        print(f"epoch {epoch}: loss {total / steps:.4f}", flush=True)


def save_adapters(model: Whisper, path: Path) -> None:
    """Both matrices of each weight, as float16; `adapt_pack.py` makes of them what is installed."""
    arrays: dict[str, Any] = {}
    for name, (down, up) in model.adapters.items():
        arrays[f"{name}:down"] = down.detach().cpu().numpy().astype(np.float16)
        arrays[f"{name}:up"] = up.detach().cpu().numpy().astype(np.float16)
    np.savez(path, **arrays)


_SMALL = {
    word: str(number)
    for number, word in enumerate(["zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine"])
}


def error_rate(heard: list[list[int]], which: list[int], about: list[dict[str, Any]], decode: Decode) -> str:
    """Wrong words by kind of text, of the words said up to where the model stopped; figures or words are one."""
    wrong: dict[str, int] = {}
    words: dict[str, int] = {}

    def compared(text: Sequence[str]) -> list[str]:
        found = [plain(word) for word, _ in in_figures([(word, 0.0) for word in text])]
        return [_SMALL.get(word, word) for word in found]

    for tokens, number in zip(heard, which, strict=True):
        said = compared([word for word, _ in about[number]["said"]])
        got = compared(decode(tokens).split())
        opcodes = list(Levenshtein.opcodes(said, got))
        errors = sum(max(op.src_end - op.src_start, op.dest_end - op.dest_start) for op in opcodes if op.tag != "equal")
        if opcodes and opcodes[-1].tag == "delete":
            errors -= opcodes[-1].src_end - opcodes[-1].src_start
        kind = about[number]["kind"]
        wrong[kind] = wrong.get(kind, 0) + errors
        words[kind] = words.get(kind, 0) + len(said)
    return ", ".join(f"{kind} {wrong[kind] / words[kind]:.4f} of {words[kind]}" for kind in sorted(wrong))


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("folders", type=Path, nargs="+")
    parser.add_argument("--judged", type=Path, nargs="*", default=[], help="such folders to be heard only")
    parser.add_argument("--model", type=Path, required=True, help="folder of the speech model as it came")
    parser.add_argument("--filters", type=Path, required=True, help="mel filters, (80, 201), as .npy")
    parser.add_argument("--into", type=Path, required=True)
    parser.add_argument("--epochs", type=int, default=4)
    parser.add_argument("--hold", type=float, default=0.3)
    parser.add_argument("--folds", type=int, default=1, help="learners, each without such a share of narrations")
    args = parser.parse_args()
    school = School(args.folders, args.judged, args.model, args.filters)
    print("before:", school.judge(), flush=True)
    names = [one["name"] for one in school.about]
    for fold in range(args.folds):
        own = [n for n in school.learned if args.folds == 1 or not names[n] or fold_of(names[n], args.folds) != fold]
        learn(school.model, school.states, own, school.targets, school.about, epochs=args.epochs, hold=args.hold)
        print(f"after {len(own)} pieces:", school.judge(), flush=True)
        save_adapters(school.model, args.into.with_suffix(f".{fold}.npz") if args.folds > 1 else args.into)


if __name__ == "__main__":
    main()
