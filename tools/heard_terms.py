"""What was heard instead of the terms that were spoken: alignment, counts, files. No part of the installed package.

Used by `mine_hearings.py`, which makes the heard utterances.
"""

from __future__ import annotations

import gzip
import json
import zlib
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any

from rapidfuzz.distance import Levenshtein

from pipeline.correct.forms import split_words
from pipeline.correct.language import english
from pipeline.vocabulary import load_vocabulary

# Buckets of ten by the term's name: 0 is held out for dev, 1 for test; 2 and 3 are mined and measured as well.
HELD_OUT = {"dev": 0, "test": 1}
MEASURED = {"dev": (0, 2), "test": (1, 3)}
MAX_GARBLES = 14
# Tenths of log10 of occurrences per thousand million words: ten in a million.
COMMON = 40


def bucket(name: str) -> int:
    return zlib.crc32(name.encode()) % 10


def bare(text: str) -> list[str]:
    """Lower-case words without punctuation, hyphens read as spaces: what hearings are compared in."""
    return list(split_words(text))


def heard_instead(text: str, form: str, heard: list[str]) -> tuple[int, int] | None:
    """Half-open range of the heard words that stand where the term was said; None where its neighbours were not heard.

    >>> heard_instead("Fit the gudgeon pin now.", "gudgeon pin", "fit the good gin pin now".split())
    (2, 5)
    """
    said, wanted = bare(text), bare(form)
    start = next(i for i in range(len(said)) if said[i : i + len(wanted)] == wanted)
    end = start + len(wanted)
    places: dict[int, int] = {}
    for op in Levenshtein.opcodes(said, heard):
        if op.tag == "equal":
            places |= dict(zip(range(op.src_start, op.src_end), range(op.dest_start, op.dest_end), strict=True))
    if start - 1 not in places or end not in places:
        return None
    return places[start - 1] + 1, places[end]


def read_heard(path: Path) -> Iterator[dict[str, Any]]:
    """Heard utterances with `words` (bare), `probabilities` and `span`, the place of the term in them, or None."""
    with gzip.open(path, "rt", encoding="utf-8") as file:
        for line in file:
            result = json.loads(line)
            pieces = [(word, probability) for text, probability in result["heard"] for word in bare(text)]
            result["words"] = [word for word, _ in pieces]
            result["probabilities"] = [probability for _, probability in pieces]
            result["span"] = heard_instead(result["text"], result["form"], result["words"])
            yield result


def tally(results: Iterable[dict[str, Any]], full: bool = False) -> dict[str, dict[str, Counter[str]]]:
    """Pack -> spelling -> what was heard instead -> how often.

    Left out: spellings no longer in the vocabulary; what differs from any term in spaces and hyphens only; what is
    much longer than the term; and a single common word that was heard once.
    """
    terms = load_vocabulary().terms
    spellings = {spelling for term in terms for spelling in term.spellings}
    taken = {"".join(bare(name)) for term in terms for name in (*term.spellings, term.plural)}
    counts: dict[str, dict[str, Counter[str]]] = defaultdict(lambda: defaultdict(Counter))
    for result in results:
        held_out = bucket(result["term"]) in HELD_OUT.values()
        if result["set"] != "mine" or result["span"] is None or (held_out and not full):
            continue
        start, end = result["span"]
        garble = result["words"][start:end]
        too_long = min(6, len(bare(result["form"])) + 3)
        if any("," in word for word in garble):  # a comma parts hearings in the files; only written numbers hold one
            continue
        if garble and len(garble) <= too_long and "".join(garble) not in taken and result["form"] in spellings:
            counts[result["pack"]][result["form"]][" ".join(garble)] += 1
    for forms in counts.values():
        for garbles in forms.values():
            for garble, count in list(garbles.items()):
                if count == 1 and " " not in garble and english().frequency(garble) >= COMMON:
                    del garbles[garble]
    return counts


def write_hearings(
    counts: Mapping[str, Mapping[str, Counter[str]]],
    mined_voices: list[str],
    into: Path,
    tool: str = "tools/mine_hearings.py",
) -> None:
    """One TOML file a pack, one line a spelling, both sorted."""
    into.mkdir(parents=True, exist_ok=True)
    spoken_by = ", ".join(mined_voices)
    for pack, forms in sorted(counts.items()):
        lines = [
            f'source = "Measured by {tool}: default model; voices {spoken_by}; clean, 20 and 10 dB."',
            "# What was heard instead of each spelling of a term, and how often, of once by each voice.",
            "",
            "[hearings]",
        ]
        for form in sorted(forms, key=str.lower):
            best = sorted(forms[form].items(), key=lambda item: (-item[1], item[0]))[:MAX_GARBLES]
            inside = ", ".join(f"{garble} {count}" for garble, count in sorted(best))
            if inside:
                lines.append(f"{json.dumps(form, ensure_ascii=False)} = {json.dumps(inside, ensure_ascii=False)}")
        (into / f"{pack}.toml").write_text("\n".join(lines) + "\n", encoding="utf-8")


def write_sets(results: Iterable[dict[str, Any]], into: Path) -> None:
    """One file a set: the sentence spoken, the term, the words heard, and where the term is in both."""
    into.mkdir(parents=True, exist_ok=True)
    rows: dict[str, list[dict[str, Any]]] = {name: [] for name in MEASURED}
    for result in results:
        if result["set"] not in rows:
            continue
        span = result["span"]
        rows[result["set"]].append(
            {
                "term": result["term"],
                "form": result["form"],
                "pack": result["pack"],
                "held_out": bucket(result["term"]) in HELD_OUT.values(),
                "reference": result["text"],
                "words": [word for word, _ in result["heard"]],
                "probabilities": [probability for _, probability in result["heard"]],
                "heard_term": None if span is None else " ".join(result["words"][span[0] : span[1]]),
                "voice": result["voice"],
                "snr_db": result["snr_db"],
            }
        )
    for name, found in rows.items():
        found.sort(key=lambda row: (row["form"], row["voice"]))
        text = "".join(json.dumps(row, ensure_ascii=False) + "\n" for row in found)
        (into / f"heard_terms_{name}.jsonl.gz").write_bytes(gzip.compress(text.encode(), mtime=0))


def report(results: Iterable[dict[str, Any]]) -> None:
    """Prints the share of terms heard right, by set, voice and noise, with counts."""
    totals: dict[tuple[str, str, str], Counter[str]] = defaultdict(Counter)
    for result in results:
        key = (result["set"], result["voice"], str(result["snr_db"]))
        said = "".join(bare(result["form"]))
        span = result["span"]
        if span is None:
            totals[key]["unclear"] += 1
        else:
            totals[key]["right" if "".join(result["words"][span[0] : span[1]]) == said else "garbled"] += 1
    for key, count in sorted(totals.items()):
        print(*key, *(f"{name} {count[name]}" for name in ("right", "garbled", "unclear")), sep="  ")
