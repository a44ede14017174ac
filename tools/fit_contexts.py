"""Learns how well words fit where they stand, and writes `pipeline/data/contexts.npz`.

    python tools/fit_contexts.py --base FOLDER --english PROSE.txt [--without FOLD --into FILE]

Needs PyTorch and safetensors, which are not installed with the project; FOLDER holds all-MiniLM-L6-v2. Stretches of
one to three words of the narrations to develop on, terms above all, and of general English: of a batch each must fit
its own place better than all the others do. What every place has in common does not count, nor how usual words are.
With `--without 0` (1, 2) the narrations of that fold of `correction_rows.py` are left out: correction is fitted to what
such tables say of narrations that they do not know.
"""

from __future__ import annotations

import argparse
import random
from collections import Counter
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

import numpy as np
import torch
from correction_rows import fold_of_recordings
from count_talk import spoken
from safetensors.numpy import load_file
from tokenizers import Tokenizer
from torch import Tensor
from torch.nn.functional import cross_entropy

from pipeline.correct.contexts import BOUND, FIGURE, NEARBY, ROLES, TABLE, UNKNOWN, number_of
from pipeline.correct.matcher import Matcher, build_matcher
from pipeline.correct.pronounce import plain_letters
from pipeline.correct.windows import stem_of
from pipeline.score.measure import term_mentions
from pipeline.tokens import bare, ends_sentence
from pipeline.vocabulary import load_vocabulary

WIDE, EPOCHS, BATCH, RATE, DECAY = 40, 5, 2048, 3e-3, 0.02
LEAST_SEEN, MOST_WORDS = 2, 16_000
# A stretch of a term counts so many times; of other stretches each word begins one.
TERM_TIMES = 3
LONGEST = 3
Text = tuple[list[str], list[int]]


def text_of(words: Iterable[str]) -> Text:
    """Plain words, as correction looks at them, with the number of each one's sentence."""
    plain, sentence, number = [], [], 0
    for word in words:
        stem = stem_of(plain_letters(bare(word)))[0]
        if stem:
            plain.append(stem)
            sentence.append(number)
        number += ends_sentence(word)
    return plain, sentence


def stretches(text: Text, matcher: Matcher, rng: random.Random) -> list[tuple[int, int]]:
    """Where the stretches to learn from begin and end."""
    words, sentence = text
    found = [span for span in term_mentions(words, matcher) for _ in range(TERM_TIMES)]
    for start in range(len(words)):
        end = min(len(words), start + rng.choice((1, 1, 2, LONGEST)))
        if sentence[end - 1] == sentence[start]:
            found.append((start, end))
    return found


def known_words(texts: Sequence[Text], matcher: Matcher) -> list[str]:
    """Words that get a vector, after what stands for a bound, for unknown words and for figures."""
    seen = Counter(word for words, _ in texts for word in words if not any(char.isdigit() for char in word))
    own = {word for form in matcher.forms for word in form.words if not any(char.isdigit() for char in word)}
    usual = [word for word, count in seen.most_common(MOST_WORDS) if count >= LEAST_SEEN]
    return ["", "?", "#", *sorted(own.union(usual))]


def piece_vectors(words: Sequence[str], base: Path) -> Tensor:
    """Mean of the vectors of each word's pieces; shape (words, 384)."""
    table = load_file(str(base / "model.safetensors"))
    (pieces,) = (value for name, value in table.items() if name.endswith("word_embeddings.weight"))
    tokenizer = Tokenizer.from_file(str(base / "tokenizer.json"))
    tokenizer.no_padding()
    tokenizer.no_truncation()
    given = ["." if n == BOUND else "ten" if n == FIGURE else word for n, word in enumerate(words)]
    ids = [each.ids for each in tokenizer.encode_batch(given, add_special_tokens=False)]
    found = np.array([pieces[own].mean(axis=0) if own else np.zeros(pieces.shape[1]) for own in ids], np.float32)
    found = (found - found.mean(axis=0)) / found.std()
    found[UNKNOWN] = 0
    return torch.from_numpy(found)


def examples(texts: Sequence[Text], numbers: dict[str, int], matcher: Matcher) -> tuple[Tensor, Tensor, Tensor]:
    """Numbers of each stretch's words, of the four words beside it and of those nearby; -1 fills up what is shorter."""
    rng = random.Random(175)
    own, beside, nearby = [], [], []
    for text in texts:
        words, sentence = text
        place = [number_of(word, numbers) for word in words]
        for start, end in stretches(text, matcher, rng):
            spots = (start - 2, start - 1, end, end + 1)
            inside = [0 <= spot < len(words) and sentence[spot] == sentence[start] for spot in spots]
            beside.append([place[spot] if good else BOUND for spot, good in zip(spots, inside, strict=True)])
            own.append((place[start:end] + [-1] * LONGEST)[:LONGEST])
            near = place[max(0, start - NEARBY) : start] + place[end : end + NEARBY]
            nearby.append((near + [-1] * 2 * NEARBY)[: 2 * NEARBY])
    return torch.tensor(own), torch.tensor(beside), torch.tensor(nearby)


def mean_of(table: Tensor, places: Tensor) -> Tensor:
    """Mean of the rows of a table at places that are not -1."""
    real = (places >= 0).float()
    total = (table[places.clamp(min=0)] * real[..., None]).sum(1)
    return total / real.sum(1, keepdim=True).clamp(min=1)


def learn(vectors: Tensor, own: Tensor, beside: Tensor, nearby: Tensor) -> tuple[Tensor, Tensor]:
    """Vectors by role, and own, of every word."""
    size = vectors.shape[1]
    maps = [torch.nn.Parameter(torch.randn(size, WIDE) / size) for _ in range(len(ROLES) + 1)]
    # what a word's pieces do not tell
    rest = [torch.nn.Parameter(torch.zeros(len(vectors), WIDE)) for _ in range(len(ROLES) + 1)]
    optimizer = torch.optim.AdamW(
        [{"params": maps, "weight_decay": DECAY}, {"params": rest, "weight_decay": 20 * DECAY}], lr=RATE
    )
    count = len(own)
    steps = EPOCHS * (count // BATCH)
    schedule = torch.optim.lr_scheduler.OneCycleLR(optimizer, RATE, total_steps=steps + 1, pct_start=0.1)
    same_key = (own.clamp(min=-1) + 1).double() @ torch.tensor([1.0, 1e6, 1e12], dtype=torch.float64)

    def tables() -> list[Tensor]:
        return [vectors @ one + other for one, other in zip(maps, rest, strict=True)]

    for epoch in range(EPOCHS):
        order, total = torch.randperm(count), 0.0
        for step in range(count // BATCH):
            some = order[step * BATCH : (step + 1) * BATCH]
            table = tables()
            around = mean_of(table[len(ROLES) - 1], nearby[some])
            for role in range(len(ROLES) - 1):
                around = around + table[role][beside[some, role]]
            odds = around @ mean_of(table[-1], own[some]).T
            keys = same_key[some]
            odds = odds.masked_fill((keys[:, None] == keys) & ~torch.eye(BATCH, dtype=torch.bool), -1e4)
            loss = cross_entropy(odds, torch.arange(BATCH))
            optimizer.zero_grad()
            loss.backward()  # type: ignore[no-untyped-call]
            optimizer.step()
            schedule.step()
            total += float(loss.detach())
        print(f"epoch {epoch}: loss {total / (count // BATCH):.3f}", flush=True)
    with torch.no_grad():
        found = tables()
    return torch.stack(found[:-1]), found[-1]


def packed(words: Sequence[str], around: Tensor, own: Tensor) -> dict[str, Any]:
    """Small whole numbers and their steps, as `contexts.read_contexts` takes them."""
    steps = around.abs().amax((1, 2)) / 127
    step = own.abs().max() / 127
    return {
        "words": "\n".join(words),
        "around": (around / steps[:, None, None]).round().to(torch.int8).numpy(),
        "around_steps": steps.numpy(),
        "own": (own / step).round().to(torch.int8).numpy(),
        "own_step": step.numpy(),
    }


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--base", type=Path, required=True)
    parser.add_argument("--english", type=Path, nargs="+", required=True)
    parser.add_argument("--without", type=int)
    parser.add_argument("--into", type=Path, default=TABLE)
    args = parser.parse_args()
    torch.manual_seed(175)
    folds = fold_of_recordings()
    left_out = {name for name, fold in folds.items() if fold == args.without}
    texts = [text_of(words) for name, words in spoken().items() if name not in left_out]
    for path in args.english:
        texts += [text_of(line.split()) for line in path.read_text(encoding="utf-8").splitlines()]
    matcher = build_matcher(load_vocabulary())
    words = known_words(texts, matcher)
    numbers = {word: number for number, word in enumerate(words)}
    own, beside, nearby = examples(texts, numbers, matcher)
    print(f"{len(texts)} texts, {len(words)} words, {len(own)} stretches", flush=True)
    around, own_table = learn(piece_vectors(words, args.base), own, beside, nearby)
    around[:, UNKNOWN], own_table[UNKNOWN] = 0, 0
    np.savez_compressed(args.into, **packed(words, around, own_table))
    print(f"{args.into}: {args.into.stat().st_size} bytes")


if __name__ == "__main__":
    main()
