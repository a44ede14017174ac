"""What is spoken to teach the speech model the words of the workshop. No part of the installed package.

    python tools/adapt_texts.py TEXTS.jsonl.gz --wordnet FOLDER

Sentences of the narrations to develop on, every term of the vocabulary in two carriers, and general English, which must
not suffer: half of the speeches in tests/corpus, and the examples of WordNet (Princeton University, WordNet licence;
FOLDER holds its data.noun, data.verb, data.adj and data.adv). Terms of one tenth of the vocabulary (bucket 1 of
`heard_terms`) are never said, so that what this brings to words that nobody taught can be measured; nor are the
narrations of dev and test. Each line is one row of sentences with its voice; no voice of dev or test is among them.
"""

from __future__ import annotations

import argparse
import gzip
import json
import random
import re
import zlib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import narration as narrations
from heard_terms import HELD_OUT, bare, bucket
from mine_hearings import ACTION_CARRIERS, CARRIERS

from pipeline.vocabulary import load_vocabulary

ROOT = Path(__file__).resolve().parent.parent
PROSE = ROOT / "tests" / "corpus" / "english_speeches.txt.gz"
ACCENTS = ("en-us", "en-gb", "en-029", "en-gb-x-gbclan")
THROATS = ("m1", "m2", "m3", "m5", "m6", "m7", "m8", "f1", "f2", "f3", "f4", "f5")
# What share of the rows each kind of voice speaks.
SHARES = {"espeak": 0.5, "hibari": 0.38, "flite-kal": 0.12}
# Fewer sentence ends than one in so many words: captions without marks, from which no marks can be learned.
MOST_WORDS_A_SENTENCE = 40
ROW_WORDS = 260
MOST_WORDS_AT_ONCE = 45
_PLAIN = re.compile(r"(?!.*--)[A-Za-z ,.'?!:-]+")


def _voice(rng: random.Random) -> dict[str, Any]:
    kind = rng.choices(list(SHARES), list(SHARES.values()))[0]
    voice: dict[str, Any] = {"voice": kind, "rate": round(rng.uniform(0.9, 1.12), 3)}
    if kind == "espeak":
        voice |= {"accent": rng.choice(ACCENTS), "throat": rng.choice(THROATS)}
        voice |= {"words_per_minute": rng.randint(130, 185), "pitch": rng.randint(30, 65)}
    return voice


def _rows(kind: str, sentences: list[str], rng: random.Random, name: str = "") -> Iterator[dict[str, Any]]:
    row: list[str] = []
    for sentence in [*sentences, ""]:
        if row and (not sentence or sum(len(said.split()) for said in row) + len(sentence.split()) > ROW_WORDS):
            yield {
                "kind": kind,
                "name": name,
                "sentences": row,
                "snr_db": rng.choice((None, None, 20, 15, 10, 5)),
                **_voice(rng),
            }
            row = []
        row.append(sentence)


def _narrated() -> Iterator[tuple[str, list[str]]]:
    """Names and sentences of the narrations to develop on."""
    for path in sorted((ROOT / "tools" / "narrations" / "tuning").glob("*.txt")):
        said = [value[0] for kind, value in narrations.read_narration(path).pieces if kind == "speech"]
        if sum(len(sentence.split()) for sentence in said) < MOST_WORDS_A_SENTENCE * len(said):
            yield path.stem, [sentence for sentence in said if len(sentence.split()) <= MOST_WORDS_AT_ONCE]


def _examples(folder: Path, rng: random.Random) -> list[str]:
    """Sentences that WordNet quotes for its words; many begin with a small letter."""
    found = [
        quoted.strip()
        for name in ("noun", "verb", "adj", "adv")
        for line in (folder / f"data.{name}").read_text(encoding="latin-1").splitlines()
        for quoted in re.findall(r'"([^"]+)"', line.partition("|")[2])
    ]
    found = [said for said in found if 4 <= len(said.split()) <= MOST_WORDS_AT_ONCE and _PLAIN.fullmatch(said)]
    rng.shuffle(found)
    return [said[0].upper() + said[1:] + ("" if said[-1] in ".?!" else ".") for said in found]


def fold_of(name: str, folds: int) -> int:
    """The learner, of so many, that is not to learn a narration."""
    return zlib.crc32(name.encode()) % folds


def texts(wordnet: Path, seed: int = 175) -> list[dict[str, Any]]:
    """Every row, shuffled."""
    rng = random.Random(seed)
    vocabulary = load_vocabulary()
    untaught = {
        tuple(bare(spelling))
        for term in vocabulary.terms
        if bucket(term.name) == HELD_OUT["test"]
        for spelling in (*term.spellings, term.plural)
        if spelling
    }
    longest = max(map(len, untaught))

    def may_be_said(sentence: str) -> bool:
        words = bare(sentence)
        return not any(
            tuple(words[at : at + length]) in untaught for at in range(len(words)) for length in range(1, longest + 1)
        )

    rows: list[dict[str, Any]] = []
    for name, said in _narrated():
        rows += _rows("narration", [sentence for sentence in said if may_be_said(sentence)], rng, name)
    carried = []
    for term in vocabulary.terms:
        if bucket(term.name) != HELD_OUT["test"]:
            carriers = (ACTION_CARRIERS if term.kind == "action" else CARRIERS)["mine"]
            forms = [*term.spellings[:2], *([term.plural] if term.plural and term.kind != "action" else [])]
            carried += [carrier.format(rng.choice(forms)) for carrier in rng.sample(carriers, 2)]
    rng.shuffle(carried)
    rows += _rows("carrier", [sentence for sentence in carried if may_be_said(sentence)], rng)
    prose = [line for line in gzip.decompress(PROSE.read_bytes()).decode().splitlines() if not line.startswith("#")]
    # the other half is kept to measure what general English suffers
    prose = [line for line in prose[: len(prose) // 2] if len(line.split()) <= MOST_WORDS_AT_ONCE]
    rows += _rows("prose", prose, rng)
    rows += _rows("general", _examples(wordnet, rng), rng)
    rng.shuffle(rows)
    return rows


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("out", type=Path)
    parser.add_argument("--wordnet", type=Path, required=True)
    args = parser.parse_args()
    rows = texts(args.wordnet)
    with gzip.open(args.out, "wt", encoding="utf-8") as file:
        file.writelines(json.dumps(row, ensure_ascii=False) + "\n" for row in rows)
    for kind in ("narration", "carrier", "prose", "general"):
        words = sum(len(" ".join(row["sentences"]).split()) for row in rows if row["kind"] == kind)
        print(f"{kind}: {sum(row['kind'] == kind for row in rows)} rows, {words} words")


if __name__ == "__main__":
    main()
