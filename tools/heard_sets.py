"""Reads the measuring sets in tests/samples: terms heard in carrier sentences, and whole narrations."""

from __future__ import annotations

import gzip
import json
import random
import zlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from pipeline.correct.forms import split_words
from pipeline.correct.matcher import Matcher
from pipeline.records import Word
from pipeline.score.align import align, comparable
from pipeline.score.measure import term_mentions
from pipeline.tokens import line_words
from pipeline.vocabulary import Term, Vocabulary

ROOT = Path(__file__).resolve().parent.parent
SAMPLES = ROOT / "tests" / "samples"
WORD_MS = 400


@dataclass(frozen=True)
class Said:
    """A spelling of a term that was said where words `start`..`end` were heard; `right`: heard as it is written."""

    spelling: str
    start: int
    end: int
    right: bool


@dataclass(frozen=True)
class Text:
    """Heard words of one recording, or of many sentences (each opening at one of `breaks`)."""

    reference: str
    words: tuple[Word, ...]
    said: tuple[Said, ...]
    breaks: tuple[int, ...] = ()
    lines: tuple[str, ...] = ()
    name: str = ""
    voice: str = ""


def _lines(name: str) -> Iterator[dict[str, Any]]:
    with gzip.open(SAMPLES / name, "rt", encoding="utf-8") as file:
        yield from map(json.loads, file)


def _pieces(words: Sequence[Word]) -> tuple[list[str], list[int]]:
    """The words as they are compared, and the number of the word that each is of."""
    pieces = [(piece, number) for number, word in enumerate(words) for piece in comparable(word.text)]
    return [piece for piece, _ in pieces], [number for _, number in pieces]


def _stand_for(reference: str, spans: Sequence[tuple[str, int, int]], words: Sequence[Word]) -> list[Said]:
    """Finds the heard words that stand for spans of reference words (by white space)."""
    offsets, compared = [0], []
    for piece in reference.split():
        compared += comparable(piece)
        offsets.append(len(compared))
    heard, owner = _pieces(words)
    alignment = align(compared, heard)
    found = []
    for spelling, start, end in spans:
        low, high = alignment.heard_span(offsets[start], offsets[end])
        right = heard[low:high] == compared[offsets[start] : offsets[end]]
        if high > low:
            found.append(Said(spelling, owner[low], owner[high - 1] + 1, right))
    return found


def heard_terms(name: str, sentences_a_text: int = 60, seed: int = 1) -> list[Text]:
    """The set `heard_terms_NAME`: sentences in random order, many to a text."""
    records = list(_lines(f"heard_terms_{name}.jsonl.gz"))
    random.Random(seed).shuffle(records)
    return sentence_texts(records, sentences_a_text)


def sentence_texts(records: Sequence[dict[str, Any]], sentences_a_text: int = 60) -> list[Text]:
    """Records of heard sentences (reference, form, words, probabilities), many to a text."""
    texts = []
    for first in range(0, len(records), sentences_a_text):
        words: list[Word] = []
        said: list[Said] = []
        breaks, lines = [], []
        for record in records[first : first + sentences_a_text]:
            own = [
                Word(text, n * WORD_MS, (n + 1) * WORD_MS, probability)
                for n, (text, probability) in enumerate(
                    zip(record["words"], record["probabilities"], strict=True), len(words)
                )
            ]
            pieces, wanted = record["reference"].split(), split_words(record["form"])
            bare_pieces = [split_words(piece) for piece in pieces]
            spans = [
                (record["form"], start, end)
                for start in range(len(pieces))
                for end in range(start + 1, min(len(pieces), start + 6) + 1)
                if tuple(word for piece in bare_pieces[start:end] for word in piece) == wanted
            ][:1]
            breaks.append(len(words))
            lines.append(record["reference"])
            for each in _stand_for(record["reference"], spans, own):
                said.append(Said(each.spelling, each.start + len(words), each.end + len(words), each.right))
            words += own
        texts.append(Text(" ".join(lines), tuple(words), tuple(said), tuple(breaks), tuple(lines)))
    return texts


def narrations(name: str) -> list[Text]:
    """The set `narrations_NAME`: whole recordings, each by several voices and at several levels of noise.

    Those of `tuning` are heard two at a time, those of `each` and `left_out` one at a time, all by one voice and with
    their terms not marked; `left_out` by speech models that have not learned them.
    """
    texts = []
    for record in _lines(f"narrations_{name}.jsonl.gz"):
        gold = record["gold"]
        words = tuple(Word(w["text"], w["start_ms"], w["end_ms"], w["probability"]) for w in record["heard"]["words"])
        spans = [(term["term"], term["start_word"], term["end_word"]) for term in gold["terms"]]
        said = tuple(_stand_for(gold["reference"], spans, words))
        texts.append(Text(gold["reference"], words, said, name=gold["name"], voice=gold["voice"]))
    return texts


def english_texts(paths: Sequence[Path], most_words: int) -> list[Text]:
    """Plain prose or speech in pieces of about a thousand words."""
    texts, total = [], 0
    for path in paths:
        data = path.read_bytes()
        text = (gzip.decompress(data) if path.suffix == ".gz" else data).decode("utf-8", errors="ignore")
        words = line_words("\n".join(line for line in text.splitlines() if not line.startswith("#")))
        for first in range(0, len(words), 1000):
            piece = words[first : first + 1000]
            if total + len(piece) > most_words:
                return texts
            total += len(piece)
            texts.append(Text("", piece, ()))
    return texts


def garbled_mentions(text: Text, matcher: Matcher) -> list[tuple[int, int, int]]:
    """Heard words (start, end) that stand for a term and were not heard right, with the form that was said there."""
    said = comparable(text.reference)
    heard, owner = _pieces(text.words)
    alignment = align(said, heard)
    found = []
    for start, end in term_mentions(said, matcher):
        low, high = alignment.heard_span(start, end)
        if high > low and heard[low:high] != said[start:end]:
            found.append((owner[low], owner[high - 1] + 1, matcher.exact[tuple(said[start:end])]))
    return found


def without_probabilities(text: Text) -> Text:
    """The same text as if the recogniser had said nothing of its doubts."""
    words = tuple(Word(word.text, word.start_ms, word.end_ms) for word in text.words)
    return replace(text, words=words)


def smaller(vocabulary: Vocabulary, terms: Sequence[Term]) -> Vocabulary:
    """The vocabulary with these terms only."""
    return Vocabulary(tuple(terms), vocabulary.assemblies, vocabulary.cautions)


def share_of(term: Term, parts: int) -> int:
    """A number from 0 to `parts` - 1 for each term, the same everywhere."""
    return zlib.crc32(("share " + term.name).encode()) % parts
