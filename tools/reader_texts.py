"""Narrations and sayings as word pieces, cut into chunks for the reader network to learn from."""

from __future__ import annotations

import random
from dataclasses import dataclass
from typing import Any

from tokenizers import Tokenizer

from pipeline.tokens import ends_sentence

CLS, SEP, MASK = 101, 102, 103
# There are many recordings of the same words: each epoch sees some of them.
HEARD_SHARE = 0.3
LENGTHS, OVERLAPS, MOST_PIECES, LEAST_WORDS = (120, 200, 260), (10, 40, 90), 480, 20
# Such a share of a narration's sentences is shown alone too, one or two of at least so many words: clips are short.
ALONE_SHARE, LEAST_ALONE = 0.08, 3
# Sayings teach figures and marks only, snippets events only; an epoch sees each in about one of its views, and passages
# in two.
SAYING_SHARE, PASSAGE_SHARE = 0.35, 0.65
# Chunks of like length, of so many batches, are learned together: mixed, three quarters of a batch would be padding.
POOL = 8


class Text:
    """One view as word pieces: `first` is the piece that each word begins with.

    `ends` stand before and behind a text, `hidden` for a piece that is not shown. `mate` is the same view
    as the pieces of a teacher, and `teacher` the number of that.
    """

    ends, hidden = (CLS, SEP), MASK
    mate: Text | None = None
    teacher = 0

    def __init__(self, example: dict[str, Any], tokenizer: Tokenizer) -> None:
        self.example = example
        self.pieces: list[int] = []
        self.first: list[int] = []
        for encoded in tokenizer.encode_batch([w.lower() for w in example["words"]], add_special_tokens=False):
            self.first.append(len(self.pieces))
            self.pieces += encoded.ids or [tokenizer.token_to_id("[UNK]")]


@dataclass
class Chunk:
    """The words `low`..`high` of a text."""

    text: Text
    low: int
    high: int


def chunks_of(texts: list[Text], size: int, rng: random.Random) -> list[list[Chunk]]:
    """Batches of chunks of random lengths that cover the texts."""
    found: list[Chunk] = []
    for text in texts:
        if text.example["view"].startswith("heard") and rng.random() > HEARD_SHARE:
            continue
        if text.example["only_figures"] or text.example["only_events"] or text.example["alone"]:
            if rng.random() < (PASSAGE_SHARE if text.example["alone"] else SAYING_SHARE):
                found.append(Chunk(text, 0, len(text.first)))
            continue
        at, words = -rng.randrange(100), len(text.first)
        while at < words:
            length = rng.choice(LENGTHS)
            low, high = max(0, at), min(words, at + length)
            while high > low and text.first[high - 1] - text.first[low] > MOST_PIECES:
                high -= 1
            if high - low > LEAST_WORDS:
                found.append(Chunk(text, low, high))
            at += length - rng.choice(OVERLAPS)
        found += _alone(text, rng)
    rng.shuffle(found)
    pools = [sorted(found[at : at + size * POOL], key=_length) for at in range(0, len(found), size * POOL)]
    return [pool[at : at + size] for pool in pools for at in range(0, len(pool), size)]


def _length(chunk: Chunk) -> int:
    return chunk.text.first[chunk.high - 1] - chunk.text.first[chunk.low]


def _alone(text: Text, rng: random.Random) -> list[Chunk]:
    """Some sentences of a text by themselves."""
    marks = text.example["marks"]
    opens = [0, *(
        at + 1 for at, word in enumerate(text.example["words"]) if (marks[at] == 2 if marks else ends_sentence(word))
    )]  # fmt: skip
    found = []
    for number, low in enumerate(opens[:-1]):
        high = opens[min(number + rng.choice((1, 1, 2)), len(opens) - 1)]
        short = text.first[high - 1] - text.first[low] <= MOST_PIECES
        if rng.random() < ALONE_SHARE and high - low >= LEAST_ALONE and short:
            found.append(Chunk(text, low, high))
    return found


def pieces_of(chunk: Chunk, rng: random.Random, drop: float) -> list[int]:
    """The pieces of a chunk between its ends, a share of them hidden."""
    text = chunk.text
    stop = text.first[chunk.high] if chunk.high < len(text.first) else len(text.pieces)
    pieces = [text.hidden if rng.random() < drop else piece for piece in text.pieces[text.first[chunk.low] : stop]]
    return [text.ends[0], *pieces[: MOST_PIECES + 20], text.ends[1]]
