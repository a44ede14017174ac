"""Reads the corpora of narration and scores events against them: used by the tests and by hand.

`python -m tests.events.scoring tests/corpus/events.toml` prints what is missed and what is too much.
"""

from __future__ import annotations

import os
import re
import sys
import tomllib
from collections import Counter
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

from pipeline.events import EventFinder
from pipeline.quantities import find_quantities
from pipeline.records import Event, Settings
from pipeline.tokens import line_words, written_tokens
from pipeline.vocabulary import Vocabulary, load_vocabulary

CORPUS = Path(__file__).parents[1] / "corpus"
ATTRIBUTES = ("side", "position", "condition", "finish", "count")


@dataclass(frozen=True)
class Gold:
    action: str
    part: str
    status: str
    attributes: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class Snippet:
    trade: str
    said: str
    gold: tuple[Gold, ...]


@dataclass
class Score:
    right: int = 0
    missed: int = 0
    extra: int = 0
    attributes: Counter[str] = field(default_factory=Counter)
    lines: list[str] = field(default_factory=list)

    @property
    def f1(self) -> float:
        return 2 * self.right / max(1, 2 * self.right + self.missed + self.extra)

    def attribute_f1(self, *names: str) -> float:
        right, wrong = (sum(self.attributes[f"{name} {verdict}"] for name in names) for verdict in ("right", "wrong"))
        return 2 * right / max(1, 2 * right + wrong)


def read_gold(line: str) -> Gold:
    """One gold line: "fit | clutch basket | done | side=left; count=2"."""
    action, part, status, *rest = (piece.strip() for piece in line.split("|"))
    pairs = (pair.split("=") for pair in (rest[0].split(";") if rest else []))
    return Gold(action, part, status, tuple(sorted((name.strip(), value.strip()) for name, value in pairs)))


def read_corpus(path: Path) -> list[Snippet]:
    data = tomllib.loads(path.read_text(encoding="utf-8"))
    return [Snippet(entry["trade"], entry["said"], tuple(map(read_gold, entry["gold"]))) for entry in data["snippets"]]


def unpunctuated(said: str) -> str:
    """All punctuation and capitals gone, apostrophes too; decimal points and fractions stay in their numbers."""
    return re.sub(r"(?<!\d)[.,/]|[.,/](?!\d)|[^\w\s.,/]", "", said.replace("-", " ")).lower()


@cache
def finder_vocabulary() -> Vocabulary:
    """The shipped packs only, whatever words the user of this machine has taught it."""
    folder = os.environ.get("WITNESSMARK_HOME")
    with TemporaryDirectory() as empty:
        os.environ["WITNESSMARK_HOME"] = empty
        try:
            return load_vocabulary()
        finally:
            os.environ.pop("WITNESSMARK_HOME")
            if folder is not None:
                os.environ["WITNESSMARK_HOME"] = folder


@cache
def finder() -> EventFinder:
    return EventFinder(finder_vocabulary())


def events_of(said: str) -> tuple[Event, ...]:
    tokens = written_tokens(line_words(said))
    return finder().find(tokens, find_quantities(tokens, Settings())).events


_PLACES = re.compile(r"^(?:(?:front|rear|inner|outer|upper|lower|top|bottom|left|right|back) )+(?=\w)")


def bare_part(part: str) -> str:
    """The part without leading words of place, which may stand in the name or in their own field."""
    return _PLACES.sub("", part.lower().replace("-", " "))


def add_score(score: Score, snippet: Snippet, said: str) -> None:
    events = list(events_of(said))
    wrong = False
    for gold in snippet.gold:
        same = [
            e
            for e in events
            if (e.action, bare_part(e.part), e.status) == (gold.action, bare_part(gold.part), gold.status)
        ]
        wanted = dict(gold.attributes)
        same.sort(key=lambda e: -sum(str(getattr(e, name) or "") == wanted.get(name, "") for name in ATTRIBUTES))
        if not same:
            score.missed += 1
            wrong = True
            continue
        event = same[0]
        events.remove(event)
        score.right += 1
        for name in ATTRIBUTES:
            found, want = str(getattr(event, name) or ""), wanted.get(name, "")
            if name == "position" and not want and found and found in gold.part:
                found = ""
            if found == want and want:
                score.attributes[f"{name} right"] += 1
            elif found != want:
                score.attributes[f"{name} wrong"] += bool(found) + bool(want)
                score.lines.append(f"   {name}: {found!r} should be {want!r} on {event.part}: {said}")
    score.extra += len(events)
    if wrong or events:
        kept = [f"{e.action} | {e.part} | {e.status}" for e in events_of(said)]
        wants = [f"{g.action} | {g.part} | {g.status}" for g in snippet.gold]
        score.lines.append(
            f"{said}\n   missed {[w for w in wants if w not in kept]}\n   extra  {[k for k in kept if k not in wants]}"
        )


def score_corpus(path: Path, plain: bool = False) -> Score:
    score = Score()
    for snippet in read_corpus(path):
        add_score(score, snippet, unpunctuated(snippet.said) if plain else snippet.said)
    return score


def report(score: Score) -> str:
    found = score.right + score.extra
    described = score.attribute_f1("condition", "finish")
    placed = score.attribute_f1("side", "position")
    return (
        f"action + part + status: F1 {score.f1:.3f} ({score.right} right, {score.missed} missed,"
        f" {score.extra} of {found} too much); condition and finish {described:.3f};"
        f" side and position {placed:.3f}; count {score.attribute_f1('count'):.3f}"
    )


def main(arguments: list[str]) -> None:
    quiet = "--quiet" in arguments
    for name in [argument for argument in arguments if not argument.startswith("--")]:
        for plain in (False, True):
            score = score_corpus(Path(name), plain)
            if not quiet and plain == ("--plain" in arguments):
                print("\n".join(score.lines))
            print(name, "without punctuation:" if plain else "as written:", report(score))


if __name__ == "__main__":
    main(sys.argv[1:])
