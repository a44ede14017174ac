"""Counts what is said in workshop talk: in how many narrations each word and each stretch of up to four words is, and
which words stand beside terms.

    python tools/count_talk.py

Writes `correction_talk.gz` and `correction_neighbours.gz` in `pipeline/data` from the narrations to tune on
(`tools/narrations/tuning`); those of the development and test sets are not read.
"""

from __future__ import annotations

import gzip
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from math import log
from pathlib import Path

from narration import read_narration

from pipeline.correct.forms import split_words
from pipeline.correct.matcher import build_matcher
from pipeline.score.measure import term_mentions
from pipeline.tokens import ends_sentence
from pipeline.vocabulary import load_vocabulary

ROOT = Path(__file__).resolve().parent.parent
TABLE = ROOT / "pipeline" / "data" / "correction_talk.gz"
NEIGHBOURS = ROOT / "pipeline" / "data" / "correction_neighbours.gz"
LONGEST, LEAST, LEAST_OF_LONG = 4, 2, 4
LEAST_BESIDE, FAITH = 5, 8.0


def stretches(words: Iterable[str]) -> set[str]:
    """Every stretch of up to four words of a text."""
    plain = [piece for word in words for piece in split_words(word)]
    return {
        " ".join(plain[start : start + length])
        for length in range(1, LONGEST + 1)
        for start in range(len(plain) - length + 1)
    }


def count_talk(texts: Iterable[set[str]]) -> Counter[str]:
    """In how many texts each stretch is."""
    total: Counter[str] = Counter()
    for text in texts:
        total.update(text)
    return total


def kept(counts: Mapping[str, int]) -> dict[str, int]:
    """Without what only one narration says, and longer stretches that few say."""
    return {text: n for text, n in counts.items() if n >= (LEAST_OF_LONG if text.count(" ") > 1 else LEAST)}


def sentences(words: Iterable[str]) -> list[list[str]]:
    """Plain words of each sentence."""
    found: list[list[str]] = [[]]
    for word in words:
        found[-1] += split_words(word)
        if ends_sentence(word):
            found.append([])
    return [sentence for sentence in found if sentence]


def term_neighbours(texts: Iterable[Sequence[Sequence[str]]]) -> dict[str, tuple[float, float]]:
    """How much oftener each word stands right before, and right after, a term than any word does; in nats.

    "" stands for the bounds of a sentence. Rare words are drawn towards 0 and left out.
    """
    matcher = build_matcher(load_vocabulary())
    all_words: Counter[str] = Counter()
    beside: tuple[Counter[str], Counter[str]] = Counter(), Counter()
    for sentence in (each for text in texts for each in text):
        bounded = ["", *sentence, ""]
        all_words.update(bounded[1:])
        for start, end in term_mentions(sentence, matcher):
            beside[0][bounded[start]] += 1
            beside[1][bounded[end + 1]] += 1
    usual = [count.total() / all_words.total() for count in beside]
    return {
        word: tuple(  # type: ignore[misc]
            log((count[word] + FAITH * share) / (number + FAITH) / share)
            for count, share in zip(beside, usual, strict=True)
        )
        for word, number in all_words.items()
        if number >= LEAST_BESIDE
    }


def spoken() -> dict[str, list[str]]:
    """Words of each narration by its name."""
    folder = ROOT / "tools" / "narrations" / "tuning"
    return {path.stem: read_narration(path).words for path in sorted(folder.glob("*.txt"))}


def write(path: Path, lines: Iterable[str]) -> None:
    path.write_bytes(gzip.compress("\n".join(lines).encode("utf-8"), 9, mtime=0))
    print(f"{path.name}: {path.stat().st_size} bytes")


def main() -> None:
    words = spoken()
    counts = kept(count_talk(map(stretches, words.values())))
    write(TABLE, (f"{text}\t{count}" for text, count in sorted(counts.items())))
    beside = term_neighbours(map(sentences, words.values()))
    write(
        NEIGHBOURS,
        (f"{word}\t{before * 10:.0f}\t{after * 10:.0f}" for word, (before, after) in sorted(beside.items())),
    )


if __name__ == "__main__":
    main()
