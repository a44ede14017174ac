"""The written narrations, spoken without sound: words with the times that a recogniser might give them."""

from __future__ import annotations

import gzip
import json
import random
import re
import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from pipeline.records import Word

ROOT = Path(__file__).parent.parent.parent
CORPUS = ROOT / "tests" / "corpus"

# purpose -> sets of narrations. "own": tests/corpus/chapters_*.toml; "facts": tools/narrations/*; "heard": the same,
# spoken by several voices and really heard; "heard_samples": so are the sample recordings.
SETS = {
    "development": ("own_dev", "facts_dev", "heard_dev", "samples", "heard_samples"),
    "test": ("own_test", "facts_test", "heard_test"),
}
# Every narration was heard twelve times (four voices, three levels of noise): so many of them are measured.
_HEARD_STEP = 4


@dataclass(frozen=True)
class Narration:
    """Chapters are (title, paragraphs of text)."""

    name: str
    chapters: tuple[tuple[str, tuple[str, ...]], ...]


@dataclass(frozen=True)
class Spoken:
    """`gold_ms`: where chapters begin, without the first."""

    name: str
    manner: str
    words: tuple[Word, ...]
    gold_ms: tuple[int, ...]
    titles: tuple[str, ...]
    duration_ms: int
    segment_starts: tuple[int, ...] = ()


def _chapters(lines: list[str]) -> tuple[tuple[str, tuple[str, ...]], ...]:
    chapters: list[tuple[str, list[str]]] = []
    for line in lines:
        if line.startswith("= "):
            chapters.append((line[2:], []))
        elif line.strip() and chapters:
            chapters[-1][1].append(line)
    return tuple((title, tuple(texts)) for title, texts in chapters)


def read_narrations(which: str) -> list[Narration]:
    """Narrations of a set by its name in SETS."""
    kind, _, purpose = which.partition("_")
    if kind == "own":
        data = tomllib.loads((CORPUS / f"chapters_{purpose}.toml").read_text(encoding="utf-8"))
        return [Narration(e["name"], _chapters(e["text"].strip().split("\n"))) for e in data["narration"]]
    folder = ROOT / "tools" / "narrations" / (purpose or kind)
    narrations = []
    for path in sorted(folder.glob("*.txt")):
        # Terms are marked [said=name]; facts begin with @, pauses for work with ~.
        text = re.sub(r"\[([^\]=]+)(?:=[^\]]+)?\]", r"\1", path.read_text(encoding="utf-8"))
        lines = [line.strip() for line in text.split("\n") if not line.startswith(("@", "~"))]
        narrations.append(Narration(path.stem, _chapters(lines)))
    return narrations


def say(narration: Narration, telling_pauses: bool, punctuated: bool, words_per_minute: int = 160) -> Spoken:
    """`telling_pauses`: the speaker stops before a new chapter. Else pauses come wherever there is work to do."""
    rng = random.Random(f"{narration.name} {telling_pauses} 0")
    clock = rng.uniform(300, 1500)
    words: list[Word] = []
    gold: list[int] = []
    for number, (_, paragraphs) in enumerate(narration.chapters):
        if number:
            clock += rng.uniform(1000, 3000) if telling_pauses else 0
            gold.append(round(clock))
        for paragraph in paragraphs:
            for text in paragraph.split():
                length = 60_000 / words_per_minute * 0.86 * (0.45 + 0.12 * len(text)) * rng.uniform(0.8, 1.2)
                shown = text if punctuated else text.strip(".,;:?!").lower()
                words.append(Word(shown, round(clock), round(clock + length), 0.9))
                clock += length
                if text.endswith((".", "?", "!")):
                    clock += rng.uniform(2000, 7000) if rng.random() < 0.06 else rng.uniform(250, 1100)
                elif text.endswith((",", ";", ":")):
                    clock += rng.uniform(0, 450)
                elif rng.random() < 0.015:
                    clock += rng.uniform(200, 900)
            clock += rng.uniform(300, 900)
    manner = f"{'telling' if telling_pauses else 'working'} pauses, {'' if punctuated else 'un'}punctuated"
    titles = tuple(title for title, _ in narration.chapters)
    return Spoken(narration.name, manner, tuple(words), tuple(gold), titles, round(clock + 800))


def _heard(heard: dict[str, Any], gold: dict[str, Any]) -> Spoken:
    words = tuple(Word(w["text"], w["start_ms"], w["end_ms"], w["probability"]) for w in heard["words"])
    times = tuple(chapter["start_ms"] for chapter in gold["chapters"][1:])
    titles = tuple(chapter["title"] for chapter in gold["chapters"])
    duration_ms = heard["recording"]["duration_ms"]
    return Spoken(gold["name"], "heard", words, times, titles, duration_ms, tuple(heard["segment_starts"]))


def heard_samples() -> list[Spoken]:
    """The sample recordings as they were heard, with the chapters of their scripts."""
    found = []
    for path in sorted((ROOT / "tests" / "samples" / "heard").glob("*.json")):
        gold = ROOT / "samples" / path.stem / "gold.json"
        found.append(_heard(json.loads(path.read_text()), json.loads(gold.read_text())))
    return found


def heard_narrations(purpose: str) -> list[Spoken]:
    """Every fourth hearing of the narrations of tools/narrations/: each voice and each level of noise is among them."""
    path = ROOT / "tests" / "samples" / f"narrations_{purpose}.jsonl.gz"
    with gzip.open(path, "rt", encoding="utf-8") as lines:
        entries = [json.loads(line) for number, line in enumerate(lines) if number % _HEARD_STEP == 0]
    return [_heard(entry["heard"], entry["gold"]) for entry in entries]


def spoken_set(which: str) -> list[Spoken]:
    """Every narration of a set, spoken in four manners."""
    if which == "heard_samples":
        return heard_samples()
    if which.startswith("heard_"):
        return heard_narrations(which.partition("_")[2])
    manners = [(pauses, marks) for pauses in (True, False) for marks in (True, False)]
    return [say(narration, pauses, marks) for narration in read_narrations(which) for pauses, marks in manners]
