"""Spoken narrations as first heard, with their sound and what was really said. No part of the installed package."""

from __future__ import annotations

import gzip
import json
import zlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

import narration as narrations
import numpy as np
import speak as voices
from rapidfuzz.distance import Levenshtein

from pipeline.correct import Matcher, correct
from pipeline.hearing import Sound
from pipeline.quantities import attach_quantities, find_quantities
from pipeline.records import Correction, Quantity, Recording, Settings, Transcript, Word
from pipeline.tokens import bare, written_tokens
from pipeline.vocabulary import Vocabulary

ROOT = Path(__file__).resolve().parent.parent
SETTINGS = Settings()


@dataclass(frozen=True)
class Spoken:
    """One recording of a set: what was said, what was heard first, and the sound."""

    gold: dict[str, Any]
    transcript: Transcript
    sound: Sound


def recorded_rows(name: str, every: int = 1, only: str = "", heard: Path | None = None) -> list[dict[str, Any]]:
    """Rows of a set, {"gold", "heard"}, of narrations whose name contains `only`; of so many (`every`) one.

    `heard`: what `hear_narrations.py` has made of the set, where it is not that in tests/samples.
    """
    path = heard or ROOT / "tests" / "samples" / f"narrations_{name}.jsonl.gz"
    rows = [json.loads(line) for line in gzip.decompress(path.read_bytes()).splitlines()]
    # this voice never says a text twice in the same way, so its sound cannot be made again
    rows = [row for row in rows if row["gold"]["voice"] != "piper-joe"]
    # every third one: each voice comes at another noise level in the next narration
    rows = [row for place, row in enumerate(rows) if place % every == place // 3 % every]
    return [row for row in rows if only in row["gold"]["name"]]


def spoken(name: str, row: dict[str, Any]) -> Spoken:
    """One row of a set with its sound, made again from the seeds of `hear_narrations.py`."""
    gold = row["gold"]
    seed = zlib.crc32(f"{gold['name']} {gold['voice']}".encode())
    samples = _speech(name, gold["name"], gold["voice"], seed)
    if gold["snr_db"] is not None:
        noise = voices.workshop(len(samples) * 1000 // voices.RATE_HZ, np.random.default_rng(seed))
        samples = voices.mix(samples, noise, gold["snr_db"])
    heard = row["heard"]
    transcript = Transcript(
        Recording(**heard["recording"]),
        tuple(Word(**word) for word in heard["words"]),
        tuple(heard["segment_starts"]),
        from_sound=True,
    )
    return Spoken(gold, transcript, Sound(samples))


@lru_cache(maxsize=1)
def _speech(name: str, narration: str, voice: str, seed: int) -> voices.Sound:
    """Spoken once, since rows that differ in noise alone follow each other."""
    path = ROOT / "tools" / "narrations" / name / f"{narration}.txt"
    return narrations.speak_narration(narrations.read_narration(path), voice, seed)[0]


def recordings(name: str, every: int, only: str) -> Iterator[Spoken]:
    """Recordings of a set in order, with their sound."""
    for row in recorded_rows(name, every, only):
        yield spoken(name, row)


def first_reading(
    transcript: Transcript, matcher: Matcher, vocabulary: Vocabulary
) -> tuple[list[Correction], list[Quantity]]:
    """What text alone makes of the words, as in the flow."""
    corrections = correct(transcript.words, matcher)
    tokens = written_tokens(transcript.words, corrections)
    return corrections, attach_quantities(find_quantities(tokens, SETTINGS), tokens, vocabulary)


def letters(text: str) -> str:
    """What two wordings are compared in: small letters and digits without spaces, British or American.

    >>> letters("Newton Meters,") == letters("newton metres")
    True
    """
    kept = "".join(char for char in text.lower() if char.isalnum() or char == ".").strip(".")
    return kept.replace("metre", "meter").replace("litre", "liter").replace("tyre", "tire").replace("grey", "gray")


def places(reference: Sequence[str], heard: Sequence[str]) -> list[tuple[int, int]]:
    """For each word of the reference the half-open range of heard words that stand for it."""
    spans: list[tuple[int, int]] = [(0, 0)] * len(reference)
    for op in Levenshtein.opcodes([bare(word) for word in reference], [bare(word) for word in heard]):
        for index in range(op.src_start, op.src_end):
            if op.tag == "equal":
                at = op.dest_start + index - op.src_start
                spans[index] = (at, at + 1)
            else:
                spans[index] = (op.dest_start, op.dest_end)
    # words heard where the reference has none belong to the garble beside them
    for op in Levenshtein.opcodes([bare(word) for word in reference], [bare(word) for word in heard]):
        if op.tag == "insert":
            for index in (op.src_start - 1, op.src_start):
                if 0 <= index < len(reference) and bare(reference[index]) not in map(bare, heard[slice(*spans[index])]):
                    low, high = spans[index]
                    spans[index] = (min(low, op.dest_start), max(high, op.dest_end))
    return spans


def gold_ranges(gold: dict[str, Any], words: Sequence[Word], key: str) -> list[dict[str, Any]]:
    """Gold facts with the range they were heard in (`heard_start`, `heard_end`) and whether it is `right`."""
    heard = [word.text for word in words]
    spans = places(gold["reference"].split(), heard)
    found = []
    for fact in gold[key]:
        own = spans[fact["start_word"] : fact["end_word"]]
        low, high = min(span[0] for span in own), max(span[1] for span in own)
        right = letters("".join(heard[low:high])) == letters("".join(fact["said"].split()))
        found.append({**fact, "heard_start": low, "heard_end": high, "right": right})
    return found


def meet(start: int, end: int, fact: dict[str, Any]) -> bool:
    return bool(start < max(fact["heard_end"], fact["heard_start"] + 1) and fact["heard_start"] < end)


class Said:
    """What was really said where words were heard."""

    def __init__(self, reference: str, words: Sequence[Word]) -> None:
        self.reference = reference.split()
        self.heard = [word.text for word in words]
        self.spans = places(self.reference, self.heard)

    def at(self, start: int, end: int, beside: int = 0) -> list[str]:
        """The words of the reference that were heard as words `start`..`end`, and some beside them."""
        own = [i for i, (low, high) in enumerate(self.spans) if low < end and start < max(high, low + 1)]
        return self.reference[max(0, own[0] - beside) : own[-1] + 1 + beside] if own else []

    def verdict(self, written: str, start: int, end: int, spellings: Sequence[str] = ()) -> str:
        """right (it was said and not heard), spacing (changes no letter of what was heard) or wrong.

        Another of the term's `spellings` is as good as the one that was said.
        """
        if letters(written) == letters("".join(self.heard[start:end])):
            return "spacing"
        wanted = {letters(form) for form in (written, *spellings)}
        near = self.at(start, end, beside=1)
        for low in range(len(near)):
            for high in range(low + 1, len(near) + 1):
                run = letters("".join(near[low:high]))
                if run in wanted or run + "s" in wanted or run.removesuffix("s") in wanted:
                    return "right"
        return "wrong"
