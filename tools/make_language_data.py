"""Makes `pipeline/data/`: how English words sound, how common they are and which stand next to each other.

    pip download --no-deps pocketsphinx==5.1.1 symspellpy==6.10.1     # and unpack both wheels
    python tools/make_language_data.py --sphinx pocketsphinx/model/en-us --symspell symspellpy

`--sphinx` is the model folder (pronouncing dictionary and language model), `--symspell` the folder with the
frequency list. Needs the `pocketsphinx` package installed to unpack its language model. Licences: THIRD_PARTY.md.
Prints the phone error rate of the letter-to-sound rules on the words held out from learning them.
"""

from __future__ import annotations

import argparse
import gzip
import math
import subprocess
import sys
import tempfile
import zlib
from collections import Counter, defaultdict
from pathlib import Path

import numpy as np
from rapidfuzz.distance import Levenshtein

from pipeline.correct.pronounce import CONTEXTS, PHONES, RuleSet, context

OUT = Path(__file__).resolve().parent.parent / "pipeline" / "data"
WORD_CHARS = frozenset("abcdefghijklmnopqrstuvwxyz'")
BIGRAMS_KEPT = 700_000
LONGEST_OUTPUT = 3


def pronunciations(path: Path) -> dict[str, list[str]]:
    """At most two ways to say each word, one character a phone (see `PHONES`)."""
    code = {phone: char for char, phone in PHONES.items()}
    said: dict[str, list[str]] = defaultdict(list)
    for line in path.read_text(encoding="utf-8").splitlines():
        word, *phones = line.split()
        word = word.partition("(")[0]
        sounds = "".join(code[phone] for phone in phones)
        if set(word) <= WORD_CHARS and len(said[word]) < 2 and sounds not in said[word]:
            said[word].append(sounds)
    return {word: ways for word, ways in said.items() if ways}


def language_model(folder: Path) -> tuple[dict[str, float], dict[tuple[str, str], float]]:
    """log10 probabilities of words, and log10 joint probabilities of pairs of neighbours."""
    with tempfile.TemporaryDirectory() as scratch:
        arpa = Path(scratch) / "model.arpa"
        code = (
            "import sys, pocketsphinx as p;"
            "p.NGramModel(p.Config(), p.LogMath(base=1.0001), sys.argv[1]).write(sys.argv[2])"
        )
        # The writer of pocketsphinx 5.1.1 stops within the three-word part, which is not wanted here.
        subprocess.run([sys.executable, "-c", code, str(folder / "en-us.lm.bin"), str(arpa)], check=False)
        lines = arpa.read_text(encoding="utf-8", errors="ignore").splitlines()[:-1]
    words: dict[str, float] = {}
    pairs: dict[tuple[str, str], float] = {}
    for line in lines:
        cells = line.split("\t")
        if len(cells) == 3 and not line.startswith("ngram"):
            words[cells[1]] = float(cells[0])
        elif len(cells) == 4:
            pairs[cells[1], cells[2]] = float(cells[0])
    return words, {pair: words[pair[0]] + value for pair, value in pairs.items() if pair[0] in words}


def frequencies(path: Path, model: dict[str, float]) -> dict[str, int]:
    """Tenths of log10 of occurrences per thousand million words: the higher of the two sources."""
    total = 1.0e12
    book = {}
    for line in path.read_text(encoding="utf-8-sig").splitlines():
        word, count = line.split()
        book[word] = math.log10(int(count) / total)
    found = {}
    for word in set(book) | set(model):
        if set(word) <= WORD_CHARS and word.strip("'"):
            found[word] = max(1, round(10 * (max(book.get(word, -9.0), model.get(word, -9.0)) + 9)))
    return found


def align(word: str, sounds: str, cost: dict[tuple[str, str], float]) -> list[str] | None:
    """Shares the sounds out over the letters, none to three each, at the least cost; None where there are too many."""
    width = len(sounds) + 1
    best = [0.0] + [math.inf] * (width - 1)
    steps: list[list[int]] = []
    for letter in word:
        row, step = [math.inf] * width, [0] * width
        for end in range(width):
            for taken in range(min(LONGEST_OUTPUT, end) + 1):
                value = best[end - taken] + cost.get((letter, sounds[end - taken : end]), 12.0 + 3 * taken)
                if value < row[end]:
                    row[end], step[end] = value, taken
        best = row
        steps.append(step)
    if math.isinf(best[-1]):
        return None
    shares, end = [], len(sounds)
    for step in reversed(steps):
        shares.append(sounds[end - step[end] : end])
        end -= step[end]
    return shares[::-1]


def learn_rules(said: dict[str, str], rounds: int = 4) -> RuleSet:
    """Expectation-maximisation over alignments; kept are the rules whose wider context changes the outcome."""
    cost: dict[tuple[str, str], float] = {}
    for letter in "abcdefghijklmnopqrstuvwxyz":
        cost[letter, ""] = 3.0
        for sound in PHONES:
            cost[letter, sound] = 4.0
    for word, sounds in said.items():  # a first guess: words with as many letters as sounds pair up one to one
        if len(word) == len(sounds):
            for letter, sound in zip(word, sounds, strict=True):
                cost[letter, sound] = max(0.5, cost.get((letter, sound), 4.0) - 0.002)
    aligned: dict[str, list[str]] = {}
    for _ in range(rounds):
        counts: Counter[tuple[str, str]] = Counter()
        totals: Counter[str] = Counter()
        for word, sounds in said.items():
            shares = align(word, sounds, cost)
            if shares is None:
                continue
            aligned[word] = shares
            for letter, share in zip(word, shares, strict=True):
                counts[letter, share] += 1
                totals[letter] += 1
        cost = {pair: -math.log(count / totals[pair[0]]) for pair, count in counts.items() if count > 1}
    tables: list[dict[str, Counter[str]]] = [defaultdict(Counter) for _ in CONTEXTS]
    for word, shares in aligned.items():
        for place, share in enumerate(shares):
            for depth in range(len(CONTEXTS)):
                tables[depth][context(word, place, depth)][share] += 1
    rules: RuleSet = [{} for _ in CONTEXTS]
    for depth, table in enumerate(tables):
        for key, counter in table.items():
            share, count = counter.most_common(1)[0]
            before = parent_output(rules, key, depth)
            if depth == 0 or (count >= 2 and share != before and count > counter.get(before or "", 0)):
                rules[depth][key] = share
    return rules


def parent_output(rules: RuleSet, key: str, depth: int) -> str | None:
    """What the narrower rules already say for the same letter and surroundings."""
    left, letter, right = key.split("|")
    for narrower in range(depth - 1, -1, -1):
        lefts, rights = CONTEXTS[narrower]
        found = rules[narrower].get(f"{left[len(left) - lefts :] if lefts else ''}|{letter}|{right[:rights]}")
        if found is not None:
            return found
    return None


def held_out(word: str) -> bool:
    """One word in ten is kept from learning, the same ones on every machine."""
    return zlib.crc32(word.encode()) % 10 == 0


def write_gz(name: str, lines: list[str]) -> None:
    with (OUT / name).open("wb") as raw, gzip.GzipFile(fileobj=raw, mode="wb", mtime=0, filename="") as packed:
        packed.write("\n".join(lines).encode("utf-8"))


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--sphinx", type=Path, required=True)
    parser.add_argument("--symspell", type=Path, required=True)
    options = parser.parse_args()
    OUT.mkdir(exist_ok=True)
    said = pronunciations(options.sphinx / "cmudict-en-us.dict")
    model_words, pairs = language_model(options.sphinx)
    frequency = frequencies(next(options.symspell.glob("frequency_dictionary_en_*.txt")), model_words)
    words = sorted(set(said) | set(frequency))
    place = {word: index for index, word in enumerate(words)}
    write_gz("words.gz", [f"{word}\t{frequency.get(word, 0)}\t{' '.join(said.get(word, []))}" for word in words])
    kept = sorted((pair for pair in pairs if pair[0] in place and pair[1] in place), key=lambda pair: -pairs[pair])
    kept = kept[:BIGRAMS_KEPT]
    keys = np.sort(np.array([place[first] * len(words) + place[second] for first, second in kept], dtype=np.int64))
    steps = np.diff(keys, prepend=0)
    high, low = (steps >> 16).astype(np.uint32), (steps & 0xFFFF).astype(np.uint16)
    np.savez_compressed(OUT / "neighbours.npz", high=high, low=low)
    usable = {w: ways[0] for w, ways in said.items() if w.isalpha() and len(w) > 1 and frequency.get(w, 0) > 0}
    rules = learn_rules({word: sounds for word, sounds in usable.items() if not held_out(word)})
    lines = [f"{depth}\t{key}\t{share}" for depth, table in enumerate(rules) for key, share in sorted(table.items())]
    write_gz("letter_to_sound.gz", lines)
    from pipeline.correct.pronounce import speak_by_rule

    errors = phones = 0
    for word in filter(held_out, usable):
        errors += min(Levenshtein.distance(speak_by_rule(word, rules), way) for way in said[word])
        phones += len(usable[word])
    print(f"{len(words)} words, {len(said)} with sounds, {len(kept)} pairs, {len(lines)} rules")
    print(f"phone error rate on held-out words: {errors / phones:.1%} ({errors} of {phones} phones)")


if __name__ == "__main__":
    main()
