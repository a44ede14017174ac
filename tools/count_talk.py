"""Counts what is said in workshop talk: in how many narrations each word and each stretch of up to four words is.

    python tools/count_talk.py

Writes `pipeline/data/correction_talk.gz` from the narrations to tune on (`tools/narrations/tuning`); those of the
development and test sets are not read.
"""

from __future__ import annotations

import gzip
from collections import Counter
from collections.abc import Iterable, Mapping
from pathlib import Path

from narration import read_narration

from pipeline.correct.matcher import split_words

ROOT = Path(__file__).resolve().parent.parent
TABLE = ROOT / "pipeline" / "data" / "correction_talk.gz"
LONGEST, LEAST = 4, 2


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
    """Without what only one narration says."""
    return {text: count for text, count in counts.items() if count >= LEAST}


def narrations() -> dict[str, set[str]]:
    """Stretches of each narration by its name."""
    folder = ROOT / "tools" / "narrations" / "tuning"
    return {path.stem: stretches(read_narration(path).words) for path in sorted(folder.glob("*.txt"))}


def main() -> None:
    counts = kept(count_talk(narrations().values()))
    lines = "\n".join(f"{text}\t{count}" for text, count in sorted(counts.items()))
    TABLE.write_bytes(gzip.compress(lines.encode("utf-8"), 9, mtime=0))
    print(f"{len(counts)} stretches, {TABLE.stat().st_size} bytes")


if __name__ == "__main__":
    main()
