"""Writes what a network says of narrations and sayings that it has not learned from: a fold of readings.

    python tools/read_left_out.py NET EXAMPLES.json --base FOLDER --only a_,b_,say0 --into FOLD.xz [--share 0/4]

NET is the folder that `train_reader.py --without a_,b_,say0` wrote; `--share` takes every fourth text, so that several
processes can read side by side. No part of the installed package.
"""

from __future__ import annotations

import argparse
import lzma
import pickle
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np
import torch
from reader_model import WINDOW_AFTER, WINDOW_BEFORE, Reader
from reader_texts import Text
from tokenizers import Tokenizer
from train_reader import DEVICE, examples, load, tokenizer_of

from pipeline.events.reader_places import attribute_words
from pipeline.events.rules import load_rules
from pipeline.punctuation import punctuated
from pipeline.reader.network import windows
from pipeline.reader.reading import (
    ACTIONS,
    FIGURE_EVENT,
    FIGURE_OWNER,
    PART_PLACE,
    STATUSES,
    VERB_PART,
    VERB_PLACE,
)
from pipeline.tokens import line_words, written_tokens

# So many windows are read at once, of so many texts.
AT_ONCE, TEXTS = 48, 60


@torch.no_grad()
def heads(model: Reader, texts: Sequence[Text]) -> list[list[torch.Tensor]]:
    """All that the network says of each word of each text, from the window in which the word stands most central."""
    cut = [
        (number, start, last, low, high)
        for number, text in enumerate(texts)
        for start, last, low, high in windows(text.first, len(text.pieces))
    ]
    rows = [_window(texts[number], start, last) for number, start, last, _, _ in cut]
    said: list[list[torch.Tensor]] = [[] for _ in cut]
    order = sorted(range(len(cut)), key=lambda at: len(rows[at]))
    for some in (order[at : at + AT_ONCE] for at in range(0, len(order), AT_ONCE)):
        pieces = np.zeros((len(some), max(len(rows[at]) for at in some)), dtype=np.int64)
        for row, at in zip(pieces, some, strict=True):
            row[: len(rows[at])] = rows[at]
        outs = [out.float().cpu() for out in model(torch.tensor(pieces, device=DEVICE))]
        for row_number, at in enumerate(some):
            number, start, _, low, high = cut[at]
            first = texts[number].first
            said[at] = [out[row_number, [first[w] - first[start] + 1 for w in range(low, high)]] for out in outs]
    kept: list[list[list[torch.Tensor]]] = [[] for _ in texts]
    for (number, *_), one in zip(cut, said, strict=True):
        kept[number].append(one)
    return [[torch.cat(parts) for parts in zip(*text, strict=True)] for text in kept]


def _window(text: Text, start: int, last: int) -> list[int]:
    stop = text.first[last] if last < len(text.first) else len(text.pieces)
    return [text.ends[0], *text.pieces[text.first[start] : stop], text.ends[1]]


def read(model: Reader, texts: Sequence[Text]) -> list[dict[str, Any]]:
    """What the network says of each text, as it is kept. `model` has its `bias` in main memory."""
    return [kept(model, text, said) for text, said in zip(texts, heads(model, texts), strict=True)]


@torch.no_grad()
def kept(model: Reader, text: Text, said: Sequence[torch.Tensor]) -> dict[str, Any]:
    """What of the heads' numbers is kept of a text."""
    trig, status, ends, marks, figures, query, key = said
    plain = text.example["only_figures"] or text.example["view"].startswith("heard")
    found = {} if plain else compact(model, text, trig, status, ends, query, key)
    shown = np.zeros((len(figures), 1), dtype=np.float32)
    for start, end, *_ in text.example["figures"]:
        shown[start:end] = 1
    found["figures"] = eighths(figures.numpy() * shown)
    found["numbers"] = np.array([start for start, *_ in text.example["figures"]], dtype=int)
    for role, name in ((FIGURE_OWNER, "owner"), (FIGURE_EVENT, "telling")):
        found[name] = around(model, role, found["numbers"], query, key, WINDOW_BEFORE, WINDOW_AFTER)
    return {**found, "marks": eighths(marks), "words": text.example["words"]}


def eighths(scores: Any) -> Any:
    """Scores as whole numbers of eighths."""
    return np.clip(np.round(np.asarray(scores) * 8), -127, 127).astype(np.int8)


def compact(model: Reader, text: Text, trig: Any, status: Any, ends: Any, query: Any, key: Any) -> dict[str, Any]:
    """Scores of each word that may tell something with the words around it, and of attribute words."""
    silent = torch.softmax(trig, -1)[:, 0] * torch.softmax(ends, -1)[:, 0]
    tells = np.flatnonzero(silent.numpy() < 0.98)
    spots = np.array([start for start, *_ in text.example["attributes"]], dtype=int)
    return {
        "trig": eighths(trig), "status": eighths(status), "ends": eighths(ends), "tells": tells, "attr": spots,
        "pair": around(model, VERB_PART, tells, query, key, WINDOW_BEFORE, WINDOW_AFTER),
        "verb_attr": around(model, VERB_PLACE, spots, query, key, 40, 40, turned=True),
        "noun_attr": around(model, PART_PLACE, spots, query, key, 40, 40, turned=True),
    }  # fmt: skip


def around(
    model: Reader, role: int, at: Any, query: Any, key: Any, before: int, after: int, turned: bool = False
) -> Any:
    """Scores [places, before + 1 + after] of the words around places: as what the word there is about or, `turned`, as
    what is about it. In eighths, -128 outside the text."""
    if not len(at):
        return np.zeros((0, before + after + 1), dtype=np.int8)
    here, every = torch.tensor(at), torch.arange(len(query))
    if turned:
        score = model.pairs(query[:, role], key[here, role], every[:, None], here[None], role).T
    else:
        score = model.pairs(query[here, role], key[:, role], here[:, None], every[None], role)
    padded = np.pad(eighths(score), ((0, 0), (before, after)), constant_values=-128)
    return np.stack([row[place : place + before + after + 1] for row, place in zip(padded, at, strict=True)])


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


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("network", type=Path)
    parser.add_argument("examples", type=Path)
    parser.add_argument("--base", type=Path, required=True)
    parser.add_argument("--only", required=True, metavar="PREFIX,PREFIX")
    parser.add_argument("--into", type=Path, required=True)
    parser.add_argument("--share", default="0/1", metavar="N/OF")
    arguments = parser.parse_args()
    first, step = map(int, arguments.share.split("/"))
    only, tokenizer = tuple(arguments.only.split(",")), tokenizer_of(arguments.base)
    chosen = examples(arguments.examples, lambda name: name.startswith(only))[first::step]
    texts = [Text(example, tokenizer) for example in chosen]
    model = load(Reader.from_base(arguments.base), arguments.network)
    model.bias.data = model.bias.data.cpu()  # pairs of words are few enough to be scored here
    views: list[dict[str, Any]] = []
    written: list[tuple[Text, dict[str, Any]]] = []
    texts = [text for text in texts if text.example["view"] != "restored"]
    for some in (texts[at : at + TEXTS] for at in range(0, len(texts), TEXTS)):
        found = read(model, some)
        views += found
        both = list(zip(some, found, strict=True))
        written += [
            (text, out) for text, out in both if text.example["view"] == "written" and not text.example["only_figures"]
        ]
        # what is read of words without punctuation are those with marks put back
        views += read(model, [
            restored(text, out["marks"].astype(np.float32) / 8, tokenizer)
            for text, out in both if text.example["view"] == "bare"
        ])  # fmt: skip
    with lzma.open(arguments.into, "wb", preset=1) as file:
        pickle.dump(views, file)
    score(written)


def score(written: list[tuple[Text, dict[str, Any]]]) -> None:
    """How often the network alone is right: words that tell, their action and status, and the part pointed at."""
    right = found = gold = statuses = parts = tried = 0
    for text, out in written:
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
