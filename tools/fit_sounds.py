"""Learns from mined hearings what becomes of each sound, and writes `pipeline/data/sound_channel.npz`.

    python tools/fit_sounds.py HEARD.jsonl.gz ...         what `mine_hearings.py hear` wrote

Expectation maximisation over all alignments of the phones of what was said and of what was heard (Ristad and Yianilos,
1998), the words heard right at either end left out. Only the voices and terms that are mined: those held out for
measuring stay unseen. A phone in its place in the word leans on the same phone anywhere as far as it is rare.
"""

from __future__ import annotations

import argparse
from collections import Counter
from collections.abc import Sequence
from pathlib import Path

import numpy as np
from heard_terms import HELD_OUT, bare, bucket, read_heard
from numpy.typing import NDArray

from pipeline.correct.channel import PLACES, PLAIN, SIZE
from pipeline.correct.sounds import PAD, SWAP, padded
from pipeline.correct.strip import WIDTH, word_codes

OUT = Path(__file__).resolve().parent.parent / "pipeline" / "data" / "sound_channel.npz"
ROUNDS = 8
MOST_OFTEN = 5  # the same garble of the same words counts no more than so often
LEAN = 20.0
CODES = SIZE * PLACES

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


def core(said: Sequence[str], heard: Sequence[str]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """What is left of both without the words that are alike at the beginning and at the end.

    >>> core(["head", "gasket"], ["head", "gas", "kit"])
    (('gasket',), ('gas', 'kit'))
    """
    said, heard = tuple(said), tuple(heard)
    while said and heard and said[0] == heard[0]:
        said, heard = said[1:], heard[1:]
    while said and heard and said[-1] == heard[-1]:
        said, heard = said[:-1], heard[:-1]
    return said, heard


def mined_pairs(paths: Sequence[Path]) -> tuple[Ints, Ints, Floats]:
    """Codes said and phones heard (shape (pairs, WIDTH) each), and how often."""
    counts: Counter[tuple[tuple[str, ...], tuple[str, ...]]] = Counter()
    for path in paths:
        for result in read_heard(path):
            if result["set"] != "mine" or result["span"] is None or bucket(result["term"]) in HELD_OUT.values():
                continue
            start, end = result["span"]
            pair = core(bare(result["form"]), result["words"][start:end])
            if all(pair) and not any(char.isdigit() for words in pair for word in words for char in word):
                counts[pair] += 1
    said, heard, weights = [], [], []
    for (words, garble), count in counts.items():
        own, other = ([code for word in side for code in word_codes(word)] for side in (words, garble))
        longer, shorter = max(len(own), len(other)), min(len(own), len(other))
        if 0 < longer <= WIDTH and longer < 2.2 * shorter + 2:
            said.append(np.array(own, dtype=np.uint8))
            heard.append(PLAIN[np.array(other, dtype=np.uint8)])
            weights.append(min(count, MOST_OFTEN))
    return padded(said, WIDTH).astype(np.int64), padded(heard, WIDTH).astype(np.int64), np.array(weights, float)


class Channel:
    """Probabilities: `swap` (codes, phones) heard as, `drop` (codes,) not heard, `add` (phones,) heard besides."""

    def __init__(self, heard: Ints, weights: Floats) -> None:
        self.phone = np.arange(CODES) % SIZE
        self.real = self.phone < PAD
        self.chance = np.bincount(heard.ravel(), np.repeat(weights, WIDTH), minlength=SIZE)[:PAD] + 1
        self.chance /= self.chance.sum()
        prior = np.exp(-5.0 * SWAP[:PAD, :PAD]) * np.sqrt(self.chance)
        self.prior = prior / prior.sum(axis=1, keepdims=True)
        self.swap, self.drop, self.add = np.zeros((CODES, SIZE)), np.zeros(CODES), np.zeros(SIZE)
        self.swap[self.real, :PAD] = 0.9 * self.prior[self.phone[self.real]]
        self.drop[self.real] = 0.1
        self.add[:PAD] = 0.1 * self.chance

    def expect(self, said: Ints, heard: Ints, weights: Floats) -> tuple[Floats, Floats, Floats, float]:
        """Expected counts of each edit over all alignments, and the log likelihood of a heard phone."""
        count, going = len(said), 1 - self.add.sum()
        ends = (self.phone[said] != PAD).sum(axis=1), (heard != PAD).sum(axis=1), np.arange(count)
        before = np.zeros((WIDTH + 1, WIDTH + 1, count))
        before[0, 0] = 1
        for j in range(WIDTH):
            before[0, j + 1] = before[0, j] * self.add[heard[:, j]]
        for i in range(WIDTH):
            own, dropped = said[:, i], self.drop[said[:, i]] * going
            before[i + 1, 0] = before[i, 0] * dropped
            for j in range(WIDTH):
                before[i + 1, j + 1] = (
                    before[i, j] * self.swap[own, heard[:, j]] * going
                    + before[i, j + 1] * dropped
                    + before[i + 1, j] * self.add[heard[:, j]]
                )
        total = before[ends] * going
        share = weights / total
        after = np.zeros((WIDTH + 2, WIDTH + 2, count))
        after[ends] = going
        swaps, drops, adds = np.zeros(CODES * SIZE), np.zeros(CODES), np.zeros(SIZE)
        nothing = np.full(count, PAD)
        for i in range(WIDTH, -1, -1):
            own = said[:, i] if i < WIDTH else nothing
            for j in range(WIDTH, -1, -1):
                other = heard[:, j] if j < WIDTH else nothing
                swapped = self.swap[own, other] * going * after[i + 1, j + 1]
                dropped = self.drop[own] * going * after[i + 1, j]
                added = self.add[other] * after[i, j + 1]
                after[i, j] += swapped + dropped + added
                reached = before[i, j] * share
                swaps += np.bincount(own * SIZE + other, reached * swapped, minlength=CODES * SIZE)
                drops += np.bincount(own, reached * dropped, minlength=CODES)
                adds += np.bincount(other, reached * added, minlength=SIZE)
        likely = float((weights * np.log(total)).sum() / (weights * ends[1]).sum())
        return swaps.reshape(CODES, SIZE), drops, adds, likely

    def maximise(self, swaps: Floats, drops: Floats, adds: Floats, pairs: float) -> None:
        """New probabilities from expected counts."""
        phone, real = self.phone[self.real], self.real
        anywhere, lost = np.zeros((PAD, PAD)), np.zeros(PAD)
        np.add.at(anywhere, phone, swaps[real, :PAD])
        np.add.at(lost, phone, drops[real])
        usual = np.column_stack([anywhere + 2 * self.prior + 3 * self.chance, lost + 2])
        usual /= usual.sum(axis=1, keepdims=True)
        here = np.column_stack([swaps[real, :PAD], drops[real]]) + LEAN * usual[phone]
        here /= here.sum(axis=1, keepdims=True)
        self.swap[real, :PAD], self.drop[real] = here[:, :PAD], here[:, PAD]
        added = adds[:PAD].sum()
        share = added / (added + swaps.sum() + drops.sum() + pairs)
        self.add[:PAD] = share * (adds[:PAD] + 5 * self.chance) / (added + 5)

    def costs(self) -> dict[str, NDArray[np.float16]]:
        """Log odds of each edit against chance, as costs in nats; padding costs nothing."""
        chance, padding = np.append(self.chance, 1.0), self.phone == PAD
        swap = -np.log(np.maximum(self.swap, 1e-4) / chance)
        swap[padding], swap[:, PAD] = 30.0, 30.0
        swap[padding, PAD] = 0.0
        drop = np.where(padding, 0.0, -np.log(np.maximum(self.drop, 1e-3)))
        add = -np.log(np.maximum(self.add, 1e-6) / chance)
        add[PAD] = 0.0
        return {"swap": swap.astype(np.float16), "drop": drop.astype(np.float16), "add": add.astype(np.float16)}


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("heard", type=Path, nargs="+")
    said, heard, weights = mined_pairs(parser.parse_args().heard)
    print(f"{len(said)} different garbles, {int(weights.sum())} in all")
    channel = Channel(heard, weights)
    for number in range(ROUNDS):
        *counts, likely = channel.expect(said, heard, weights)
        channel.maximise(*counts, float(weights.sum()))
        print(f"round {number + 1}: {likely:.4f} nats a phone")
    np.savez_compressed(OUT, **channel.costs())


if __name__ == "__main__":
    main()
