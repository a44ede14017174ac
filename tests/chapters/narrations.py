"""The written narrations, spoken without sound: words with the times that a recogniser might give them."""

from __future__ import annotations

import random
import tomllib
from dataclasses import dataclass
from pathlib import Path

from pipeline.records import Word

CORPUS = Path(__file__).parent.parent / "corpus"


@dataclass(frozen=True)
class Narration:
    """Chapters are (title, paragraphs of text)."""

    name: str
    chapters: tuple[tuple[str, tuple[str, ...]], ...]


@dataclass(frozen=True)
class Spoken:
    """`gold_ms`: where chapters begin, without the first."""

    name: str
    words: tuple[Word, ...]
    gold_ms: tuple[int, ...]
    titles: tuple[str, ...]
    duration_ms: int
    segment_starts: tuple[int, ...] = ()


def read_corpus(which: str) -> list[Narration]:
    data = tomllib.loads((CORPUS / f"chapters_{which}.toml").read_text(encoding="utf-8"))
    narrations = []
    for entry in data["narration"]:
        chapters: list[tuple[str, list[str]]] = []
        for block in entry["text"].strip().split("\n"):
            if block.startswith("= "):
                chapters.append((block[2:], []))
            elif block.strip():
                chapters[-1][1].append(block)
        narrations.append(Narration(entry["name"], tuple((title, tuple(texts)) for title, texts in chapters)))
    return narrations


def say(
    narration: Narration, telling_pauses: bool, punctuated: bool, seed: int = 0, words_per_minute: int = 160
) -> Spoken:
    """`telling_pauses`: the speaker stops before a new chapter. Else pauses come wherever there is work to do."""
    rng = random.Random(f"{narration.name} {telling_pauses} {seed}")
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
    titles = tuple(title for title, _ in narration.chapters)
    return Spoken(narration.name, tuple(words), tuple(gold), titles, round(clock + 800))
