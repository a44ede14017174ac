"""The texts that figures are learned from: sayings, narrations as written and without punctuation, and as heard."""

from __future__ import annotations

import sys
import tomllib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher
from pathlib import Path
from typing import Any

import measure_facts
import narration as narrations

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))

from pipeline.records import Settings, Token, Word  # noqa: E402
from pipeline.tokens import bare, line_words  # noqa: E402
from tests.quantities.sayings import Saying  # noqa: E402
from tests.quantities.scoring import CORPUS, unpunctuated  # noqa: E402

FOLDER = ROOT / "tools" / "narrations"
FIGURE_SETS = tuple(f"figures_dev{number}.toml" for number in range(2, 35))
# A gold figure's first word may stand so many words from that of its number.
NEAR = 3
# What a number counts in the unit that it takes from another: tenths, thousandths, hundreds, thousands.
TIMES_OF_LENT = (1, 0.1, 0.001, 0.0001, 100, 1000)


@dataclass(frozen=True)
class Text:
    """Tokens with their gold figures: kind, value, unit and the word at which each stands, -1 where unknown."""

    tokens: Sequence[Token]
    settings: Settings
    gold: list[tuple[str, float, str, int]]


def attached_sayings() -> list[Saying]:
    """The sayings of quantities_attached.toml; owners that are as good stand with slashes between."""
    sayings = []
    for entry in tomllib.loads((CORPUS / "quantities_attached.toml").read_text(encoding="utf-8"))["figures"]:
        figures, owners = [], []
        for expected in entry["expect"]:
            figure, owner, *_ = (field.strip() for field in expected.split("|"))
            kind, value, unit = figure.split(" ", 2)
            figures.append((kind, float(value), None, "" if unit == "-" else unit))
            owners.append("" if owner == "-" else owner)
        sayings.append(Saying(entry["say"], Settings(), tuple(figures), tuple(owners)))
    return sayings


def texts_of_sayings(sayings: Sequence[Saying]) -> list[Text]:
    texts = []
    for saying in sayings:
        for said in (saying.text, unpunctuated(saying.text)):
            tokens = measure_facts.tokens_of(line_words(said), saying.settings.units)
            gold = [(kind, low, unit, -1) for kind, low, _, unit in saying.figures]
            texts.append(Text(tokens, saying.settings, gold))
    return texts


def texts_of_narrations() -> list[tuple[str, list[Text]]]:
    """The narrations to develop on, each as written and without punctuation."""
    found = []
    for path in sorted((*(FOLDER / "tuning").glob("*.txt"), *(FOLDER / "dev").glob("*.txt"))):
        narration = narrations.read_narration(path)
        gold = narrations.gold(narration, [0] * len(narration.words), "", None)
        settings = Settings(units=gold.get("units") or "imperial")
        facts = [(q["kind"], q["value"], q["unit"], q["start_word"]) for q in gold["quantities"]]
        words = line_words(gold["reference"])
        views = [measure_facts.tokens_of(view, settings.units) for view in (words, measure_facts.bare_words(words))]
        found.append((path.stem, [Text(tokens, settings, facts) for tokens in views]))
    return found


def texts_of_hearings() -> list[tuple[str, list[Text]]]:
    """The spoken narrations to develop on as they were heard; gold figures stand where their words were heard."""
    found: dict[str, list[Text]] = {}
    for row in measure_facts.read_rows("dev"):
        gold = row["gold"]
        settings = Settings(units=gold["units"])
        heard = measure_facts.heard_words(row)
        places = _aligned(gold["reference"].split(), [word.text for word in heard])
        facts = [(q["kind"], q["value"], q["unit"], places[q["start_word"]]) for q in gold["quantities"]]
        tokens = measure_facts.tokens_of(heard, settings.units)
        found.setdefault(gold["name"], []).append(Text(tokens, settings, facts))
    for name, settings, heard, told, reference in _heard_pairs():
        places = _aligned(reference, [word.text for word in heard])
        gold_facts = [(q["kind"], q["value"], q["unit"], places[q["start_word"]]) for q in told]
        tokens = measure_facts.tokens_of(heard, settings.units)
        found.setdefault(name, []).append(Text(tokens, settings, gold_facts))
    return [*found.items()]


def _heard_pairs() -> Iterator[tuple[str, Settings, list[Word], list[dict[str, Any]], list[str]]]:
    """Name, settings, words heard, facts and words said of the recordings of two narrations to tune on each."""
    for row in measure_facts.read_rows("tuning"):
        pair = [narrations.read_narration(FOLDER / "tuning" / f"{name}.txt") for name in row["gold"]["name"].split("+")]
        units: set[Any] = {narration.header.get("units", "imperial") for narration in pair}
        said = [word for narration in pair for word in narration.words]
        if len(units) > 1 or " ".join(said) != row["gold"]["reference"]:
            continue
        shift = len(pair[0].words)
        facts = [*pair[0].quantities, *({**q, "start_word": q["start_word"] + shift} for q in pair[1].quantities)]
        yield row["gold"]["name"], Settings(units=units.pop()), measure_facts.heard_words(row), facts, said


def _aligned(said: Sequence[str], heard: Sequence[str]) -> list[int]:
    """For each word said, the place where it was heard or would have been."""
    matcher = SequenceMatcher(None, [*map(bare, said)], [*map(bare, heard)], autojunk=False)
    places = [0] * (len(said) + 1)
    for _, start, end, heard_start, heard_end in matcher.get_opcodes():
        for place in range(start, end):
            share = (place - start) / (end - start)
            places[place] = min(len(heard) - 1, heard_start + int(share * (heard_end - heard_start)))
    return places
