"""Reads narrations with their gold facts, and speaks them. No part of the installed package.

A narration is a text file. `key: value` lines come first; `= Title` opens a chapter; paragraphs are separated by
blank lines; `[gudgeon pins=gudgeon pin]` marks the mention of a term (the name after `=` only where it differs);
`~ 4 ratchet` is four seconds of work without a word. Facts follow the paragraph in which they are said, each with the
words it rests on after the last bar:

    @q torque 8..10 N·m | eight to ten newton metres
    @e fit | drain plug | done | condition=new count=2 with=1 | a new drain plug goes in
    @l promised | speedometer cable | I'll do the speedometer cable next time

`with=1` ties an event to the first `@q` line of its paragraph. Where the words were said before in that paragraph,
more of them are quoted and braces mark the fact: `put {six hundred} in`. Every figure has a `@q` line, except the
number of parts, which stands in its event (`count=2`).
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import numpy as np
import speak as voices

_TERM = re.compile(r"\[([^\]=]+)(?:=([^\]]+))?\]")
_SENTENCE = re.compile(r"(?<=[.?!])\s+")
ACTIONS = (
    "fit remove renew tighten torque slacken fill drain top_up lubricate clean coat polish measure adjust inspect "
    "repair connect disconnect route bleed test align mark cut drill weld machine seal assemble dismantle"
)
STATUSES = "done planned provisional advised negated past"
KINDS = (
    "volume torque pressure length clearance thread spanner angle viscosity temperature duration mass voltage "
    "current resistance speed count ratio percentage grit teeth"
)
LOOSE_ENDS = "provisional loose promised one_side_only not_closed no_figure waiting"
# One passage in so many is held back.
HELD = 5
# A part named with one of these in front has that side or position.
PLACES = ("front", "rear", "left", "right")
_EVENT_TEXT = ("side", "position", "condition", "finish", "tool", "fluid")


class NarrationError(Exception):
    """A narration file has a line that cannot be read."""


@dataclass
class Narration:
    """`words` as spoken; chapters, terms and facts point at them by half-open word indexes."""

    name: str
    header: dict[str, str] = field(default_factory=dict)
    words: list[str] = field(default_factory=list)
    pieces: list[tuple[str, Any]] = field(default_factory=list)
    chapters: list[dict[str, Any]] = field(default_factory=list)
    terms: list[dict[str, Any]] = field(default_factory=list)
    quantities: list[dict[str, Any]] = field(default_factory=list)
    events: list[dict[str, Any]] = field(default_factory=list)
    loose_ends: list[dict[str, Any]] = field(default_factory=list)


def bare(word: str) -> str:
    return word.strip(".,;:?!\"'()").lower()


def _add_paragraph(narration: Narration, text: str) -> None:
    start_word = len(narration.words)
    for sentence in _SENTENCE.split(text):
        first = len(narration.words)
        plain = _TERM.sub(lambda match: match[1], sentence)
        for match in _TERM.finditer(sentence):
            before = len(_TERM.sub(lambda m: m[1], sentence[: match.start()]).split())
            span = (first + before, first + before + len(match[1].split()))
            term = (match[2] or match[1]).lower()
            narration.terms.append({"term": term, "said": match[1], "start_word": span[0], "end_word": span[1]})
        narration.words += plain.split()
        narration.pieces.append(("speech", (plain, first, len(narration.words))))
    narration.pieces.append(("paragraph", start_word))


def _find(narration: Narration, said: str, start_word: int, line: str) -> dict[str, Any]:
    before, brace, rest = said.partition("{")
    inside, _, after = rest.partition("}") if brace else (said, "", "")
    if not brace:
        before = ""
    wanted = [bare(word) for word in f"{before} {inside} {after}".split()]
    heard = [bare(word) for word in narration.words]
    for index in range(start_word, len(heard) - len(wanted) + 1):
        if heard[index : index + len(wanted)] == wanted:
            index += len(before.split())
            return {"said": inside, "start_word": index, "end_word": index + len(inside.split())}
    raise NarrationError(f"{narration.name}: these words are not in the paragraph above: {line}")


def _known(narration: Narration, value: str, values: str, line: str) -> str:
    if value not in values.split():
        raise NarrationError(f"{narration.name}: {value!r} is none of {values}: {line}")
    return value


def _add_fact(narration: Narration, line: str, start_word: int, first_quantity: int) -> None:
    kind, *parts = [part.strip() for part in (line[1], *line[2:].split("|"))]
    place = _find(narration, parts[-1], start_word, line)
    if kind == "q":
        name, figure, *rest = parts[0].split()
        low, _, high = figure.partition("..")
        unit = next((part for part in rest if part != "about"), "")
        fact = {"kind": _known(narration, name, KINDS, line), "value": float(low), "unit": unit}
        fact["high"] = float(high) if high else None
        narration.quantities.append({**fact, "approximate": "about" in rest, **place})
    elif kind == "e":
        action, part, status = parts[:3]
        _known(narration, action, ACTIONS, line)
        _known(narration, status, STATUSES, line)
        more = dict(re.findall(r"(\w+)=(.*?)(?=\s+\w+=|$)", parts[3] if len(parts) == 5 else ""))
        fact = {"action": action, "part": part, "status": status} | {key: more.get(key, "") for key in _EVENT_TEXT}
        place_word = part.split()[0]
        if place_word in PLACES and len(part.split()) > 1:
            key = "side" if place_word in ("left", "right") else "position"
            fact[key] = fact[key] or place_word
        fact["count"] = int(more["count"]) if "count" in more else None
        fact["quantities"] = [first_quantity + int(n) - 1 for n in more.get("with", "").split(",") if n]
        narration.events.append({**fact, **place})
    elif kind == "l":
        kind = _known(narration, parts[0], LOOSE_ENDS, line)
        narration.loose_ends.append({"kind": kind, "part": parts[1], **place})
    else:
        raise NarrationError(f"{narration.name}: unknown fact: {line}")


def read_narration(path: Path) -> Narration:
    """Raises NarrationError, with the line, where the file cannot be read."""
    narration = Narration(path.stem)
    lines: list[str] = []
    start_word = first_quantity = 0

    def close() -> None:
        nonlocal start_word, first_quantity
        if lines:
            start_word, first_quantity = len(narration.words), len(narration.quantities)
            _add_paragraph(narration, " ".join(lines))
            lines.clear()

    for line in map(str.strip, path.read_text(encoding="utf-8").splitlines()):
        if not line:
            close()
        elif line.startswith("= "):
            close()
            narration.chapters.append({"title": line[2:], "start_word": len(narration.words)})
            narration.pieces.append(("chapter", None))
        elif line.startswith("~ "):
            close()
            seconds, noise = line[2:].split()
            narration.pieces.append(("work", (float(seconds), noise)))
        elif line.startswith("@"):
            close()
            _add_fact(narration, line, start_word, first_quantity)
        elif not narration.chapters:
            key, _, value = line.partition(":")
            narration.header[key.strip()] = value.strip()
        else:
            lines.append(line)
    close()
    return narration


def read_passages(path: Path) -> list[Narration]:
    """The passages of a file, each a short narration of its own: text with its facts below, `= Heading` between.

    Raises NarrationError, with the line, where the file cannot be read.
    """
    header: dict[str, str] = {}
    found: list[Narration] = []
    text: list[str] = []
    fresh = True

    def close() -> None:
        if text:
            _add_paragraph(found[-1], " ".join(text))
            text.clear()

    for line in map(str.strip, path.read_text(encoding="utf-8").splitlines()):
        if line.startswith("@"):
            close()
            if not found:
                raise NarrationError(f"{path.stem}: a fact before any words: {line}")
            _add_fact(found[-1], line, 0, 0)
            if (last := found[-1].events[-1:]) and last[0]["action"] == "inspect":
                last[0]["condition"] = ""  # what was found is no condition in which a part was fitted
        elif not line or line.startswith("= "):
            close()
            fresh = True
        elif not found and re.match(r"(title|machine|units): ", line):
            key, _, value = line.partition(":")
            header[key] = value.strip()
        else:
            if fresh:
                found.append(Narration(f"{path.stem}_{len(found) + 1}", header))
            text.append(line)
            fresh = False
    close()
    return found


def passages(folder: Path, held: bool) -> list[Narration]:
    """The passages of all files of a folder: those to learn from, or the `held` fifth of each that is only measured."""
    return [
        passage
        for path in sorted(folder.glob("*.txt"))
        for number, passage in enumerate(read_passages(path))
        if (number % HELD == HELD - 1) == held
    ]


def script(narration: Narration) -> str:
    """The text as it is spoken, one paragraph a line, without any mark-up."""
    out: list[str] = []
    current: list[str] = []
    for kind, value in narration.pieces:
        if kind == "speech":
            current.append(value[0])
        elif kind == "paragraph":
            out.append(" ".join(current))
            current = []
    return "\n\n".join(out) + "\n"


def speak_narration(narration: Narration, voice: str, seed: int) -> tuple[voices.Sound, list[int]]:
    """The whole narration without background noise, and the start of each word in ms.

    Sentences are spoken one by one, so that the start of each is exact; inside a sentence a word's start is its share
    by letters.
    """
    voices.start_again()
    rng = np.random.default_rng(seed)
    sounds: list[voices.Sound] = [voices.silence(700)]
    starts: list[int] = []
    samples = len(sounds[0])

    def add(sound: voices.Sound) -> None:
        nonlocal samples
        sounds.append(sound)
        samples += len(sound)

    for kind, value in narration.pieces:
        if kind == "speech":
            text, first, last = value
            start_ms = samples * 1000 // voices.RATE_HZ
            sound = voices.speak(voice, text)
            add(sound)
            lengths = np.cumsum([0] + [len(word) + 1 for word in narration.words[first:last]])
            duration_ms = len(sound) * 1000 // voices.RATE_HZ
            starts += [start_ms + int(duration_ms * place / lengths[-1]) for place in lengths[:-1]]
            add(voices.silence(int(rng.integers(250, 600))))
        elif kind == "paragraph":
            add(voices.silence(int(rng.integers(700, 1600))))
        elif kind == "chapter" and starts:
            add(voices.silence(int(rng.integers(1000, 2200))))
        elif kind == "work":
            seconds, noise = value
            add(0.15 * voices.NOISES[noise](int(seconds * 1000), rng))
            add(voices.silence(500))
    add(voices.silence(800))
    return np.concatenate(sounds).astype(np.float32), starts


def gold(narration: Narration, starts: list[int], voice: str, snr_db: float | None) -> dict[str, Any]:
    """Everything that a measurement compares with. Word indexes count the words of `reference`."""

    def timed(facts: list[dict[str, Any]]) -> list[dict[str, Any]]:
        return [{**fact, "start_ms": starts[fact["start_word"]]} for fact in facts]

    chapters = timed(narration.chapters)
    if chapters:
        chapters[0]["start_ms"] = 0
    return {
        "name": narration.name,
        "title": narration.header.get("title", ""),
        "machine": narration.header.get("machine", ""),
        "units": narration.header.get("units", "imperial"),
        "voice": voice,
        "snr_db": snr_db,
        "reference": " ".join(narration.words),
        "chapters": chapters,
        "terms": timed(narration.terms),
        "quantities": timed(narration.quantities),
        "events": timed(narration.events),
        "loose_ends": timed(narration.loose_ends),
    }
