"""How much of what was said stands in the log: events, figures, loose ends and chapters of the narrations.

    python tools/measure_facts.py dev|test [--show events]
    python tools/measure_facts.py dev --texts tools/narrations/tuning [--show events]
    python tools/measure_facts.py test --texts tools/narrations/unseen

Four views of the same narrations: the true words as written, the true words without punctuation and capitals, the
words as heard, and the words as heard and corrected (from the text alone; the sound is measured by
`measure_second_hearing.py`). A fact counts as right when it is found in the same narration with the same fields; each
gold fact is matched once. Every figure comes with its counts. With `--texts` the narrations of that folder are measured
instead, which needs no sound: the two views of the true words only.
"""

from __future__ import annotations

import argparse
import gzip
import json
import re
from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import Any

import narration as narrations

from pipeline.chapters import find_chapters
from pipeline.correct import build_matcher, correct
from pipeline.doubts import likely
from pipeline.events import EventsFound, finder_of
from pipeline.events.rules import PhraseTable, load_rules
from pipeline.loose_ends import find_loose_ends
from pipeline.punctuation import punctuated
from pipeline.quantities import attach_quantities, find_quantities
from pipeline.records import Correction, Quantity, Settings, Token, UnitSystem, Word
from pipeline.tokens import line_words, written_tokens
from pipeline.vocabulary import load_vocabulary, shipped_hearings

ROOT = Path(__file__).resolve().parent.parent
VOCABULARY = load_vocabulary()
FINDER = finder_of(VOCABULARY)
MATCHER = build_matcher(VOCABULARY, shipped_hearings())
_NAMES = {spelling.lower(): term.name for term in VOCABULARY.terms for spelling in (*term.spellings, term.plural)}
_CHAPTER_MARGIN_MS = 10_000
# A folder of short passages, of which those held back are measured; and the folders that are only reported on.
PASSAGES = "passages"
REPORTED = ("test", "unseen", "unseen2", "unseen3", "unseen4", PASSAGES)

Key = tuple[Any, ...]
Facts = dict[str, list[Key]]
Views = dict[str, list[tuple[Sequence[Word], Sequence[Correction], dict[str, Any]]]]


def part_name(text: str) -> str:
    """One name for one part: the vocabulary's, singular, without a place in front."""
    name = re.sub(r"^(front|rear|back|left|right|upper|lower|inner|outer|top|bottom) (?=\w)", "", text.lower().strip())
    if name in _NAMES:
        return _NAMES[name].lower()
    singular = re.sub(r"(?<=[^s])s$", "", name)
    return _NAMES.get(singular, singular).lower()


def place_name(what: str, said: str) -> str:
    """A side or a position ("side", "position") as the log writes it, by the words it was told in: "Nearside", "LH"."""
    table: PhraseTable[str] = getattr(load_rules(), what)
    words = said.lower().replace("-", " ").split()
    for spelt in (words, [*words, "side"]) if words else ():
        hit = table.at(spelt, 0)
        if hit is not None and hit[0] == len(spelt):
            return hit[1]
    return said.lower()


def gold_facts(gold: dict[str, Any]) -> Facts:
    events = gold["events"]
    return {
        "events": [(e["action"], part_name(e["part"]), e["status"]) for e in events],
        "condition": [(part_name(e["part"]), e["condition"]) for e in events if e.get("condition")],
        "side+position": [
            (part_name(e["part"]), place_name("side", e.get("side", "")), place_name("position", e.get("position", "")))
            for e in events
            if e.get("side") or e.get("position")
        ],
        # counts stand on events ("count=2"); those of other things ("three times") are no figures of the build
        "quantities": [_figure_key(q) for q in gold["quantities"] if q["kind"] != "count"],
        # what was torqued to how much, filled with how much: the figure with the part of its event
        "figure of part": [
            (part_name(e["part"]), *key)
            for e in events
            for key in (_figure_key(gold["quantities"][number]) for number in e.get("quantities", ()))
            if key[0] != "count"
        ],
        "loose ends": [(end["kind"], part_name(end["part"])) for end in gold["loose_ends"]],
    }


def _figure_key(qty: dict[str, Any]) -> Key:
    return qty["kind"], round(qty["value"], 3), qty["unit"]


def tokens_of(
    words: Sequence[Word], units: UnitSystem | None, corrections: Sequence[Correction] = ()
) -> tuple[Token, ...]:
    """The words as the program reads them."""
    return punctuated(written_tokens(words, likely(words, corrections)), Settings(units=units), FINDER.reader)


def events_found(
    words: Sequence[Word], units: UnitSystem, corrections: Sequence[Correction] = ()
) -> tuple[tuple[Token, ...], list[Quantity], EventsFound]:
    """Tokens, figures and events of some words, as the program finds them."""
    tokens, settings = tokens_of(words, units, corrections), Settings(units=units)
    quantities = find_quantities(tokens, settings, reader=FINDER.reader)
    quantities = attach_quantities(quantities, tokens, VOCABULARY, FINDER.reader)
    return tokens, quantities, FINDER.find(tokens, quantities, settings)


def found_facts(words: Sequence[Word], corrections: Sequence[Correction], gold: dict[str, Any]) -> tuple[Facts, Any]:
    tokens, quantities, found = events_found(words, gold.get("units") or "imperial", corrections)
    ends = find_loose_ends(found.events, found.mentions, tokens, VOCABULARY)
    events = found.events
    keys = {q.id: (q.kind, round(q.value, 3), q.unit) for q in quantities if q.kind != "count"}
    facts: Facts = {
        "events": [(e.action, part_name(e.part), e.status) for e in events],
        # a part that is only shown may have a condition too; the gold has those of events
        "condition": [(part_name(e.part), e.condition) for e in events if e.condition]
        + [pair for m in found.mentions if (pair := (part_name(m.part), m.condition)) in gold_facts(gold)["condition"]],
        "side+position": [(part_name(e.part), e.side, e.position) for e in events if e.side or e.position],
        "quantities": list(keys.values()),
        "figure of part": [(part_name(e.part), *keys[key]) for e in events for key in e.quantities if key in keys],
        # the gold names what the speaker says is open; ends that follow from safety rules are not in it
        "loose ends": [
            (end.kind, part_name(end.part)) for end in ends if not end.closed_by and end.kind != "no_figure"
        ],
    }
    return facts, (tokens, events)


class Tally:
    """Right, found and gold counts of each kind of fact."""

    def __init__(self) -> None:
        self.right: Counter[str] = Counter()
        self.found: Counter[str] = Counter()
        self.gold: Counter[str] = Counter()
        self.misses: dict[str, Counter[str]] = defaultdict(Counter)

    def add(self, gold: Facts, found: Facts) -> None:
        for kind, wanted in gold.items():
            got, want = Counter(found[kind]), Counter(wanted)
            if kind == "condition":  # said once, it may stand on several events of the part
                got, want = Counter(set(got)), Counter(set(want))
            self.right[kind] += (got & want).total()
            self.found[kind] += got.total()
            self.gold[kind] += want.total()
            self.misses[kind].update(f"missed {key}" for key in (want - got).elements())
            self.misses[kind].update(f"extra  {key}" for key in (got - want).elements())

    def lines(self) -> Iterable[str]:
        for kind in self.gold:
            right, found, gold = self.right[kind], self.found[kind], self.gold[kind]
            f1 = 2 * right / (found + gold) if found + gold else 1.0
            yield (
                f"  {kind:14} F1 {f1:.3f}   precision {right / max(1, found):.3f} ({right}/{found})   "
                f"recall {right / max(1, gold):.3f} ({right}/{gold})"
            )


def bare_words(words: Sequence[Word]) -> list[Word]:
    """The same words as automatic captions have them: no capitals, no punctuation but what figures need."""
    plain = [re.sub(r"(?<!\d)[.,]|[.,](?!\d)|[!?;:\"“”]", "", word.text).lower() for word in words]
    return [Word(t, w.start_ms, w.end_ms, w.probability) for t, w in zip(plain, words, strict=True) if t]


def read_rows(name: str) -> list[dict[str, Any]]:
    with gzip.open(ROOT / "tests" / "samples" / f"narrations_{name}.jsonl.gz", "rt", encoding="utf-8") as lines:
        return [json.loads(line) for line in lines]


def heard_words(row: dict[str, Any]) -> list[Word]:
    return [Word(**word) for word in row["heard"]["words"]]


def chapter_counts(row: dict[str, Any], tokens: Any, events: Any) -> tuple[int, int, int]:
    """Right, found and gold chapter starts, the first at 0:00 left out; right within ten seconds."""
    heard = row["heard"]
    duration_ms = heard["recording"]["duration_ms"]
    starts = tuple(heard["segment_starts"])
    chapters = find_chapters(heard_words(row), tokens, events, VOCABULARY, duration_ms, segment_starts=starts)
    found = [chapter.start_ms for chapter in chapters][1:]
    gold = [chapter["start_ms"] for chapter in row["gold"]["chapters"]][1:]
    left = list(found)
    right = 0
    for start_ms in gold:
        near = [at for at in left if abs(at - start_ms) <= _CHAPTER_MARGIN_MS]
        if near:
            left.remove(min(near, key=lambda at: abs(at - start_ms)))
            right += 1
    return right, len(found), len(gold)


def show_tally(title: str, tally: Tally, show: str | None) -> None:
    print(title)
    print("\n".join(tally.lines()))
    if show:
        for line, count in tally.misses[show].most_common(60):
            print(f"    {count:4} {line}")


def measure_true_words(texts: Sequence[dict[str, Any]], show: str | None) -> None:
    changes: dict[str, Callable[[Sequence[Word]], Sequence[Word]]] = {
        f"true words ({len(texts)} narrations)": lambda words: words,
        "true words, no punctuation or capitals": bare_words,
    }
    for title, change in changes.items():
        tally = Tally()
        for text in texts:
            tally.add(gold_facts(text), found_facts(change(line_words(text["reference"])), (), text)[0])
        show_tally(title, tally, show)


def read_texts(folder: Path) -> list[dict[str, Any]]:
    """The gold facts of a folder's narrations that were never spoken: every time in them is 0."""
    if folder.resolve().name == PASSAGES:
        read = narrations.passages(folder, held=True)
    else:
        read = [narrations.read_narration(path) for path in sorted(folder.glob("*.txt"))]
    return [narrations.gold(narration, [0] * len(narration.words), "", None) for narration in read]


def measure(name: str, show: str | None) -> None:
    rows = read_rows(name)
    measure_true_words(list({row["gold"]["name"]: row["gold"] for row in rows}.values()), show)
    corrected = [(heard_words(row), correct(heard_words(row), MATCHER), row["gold"]) for row in rows]
    views: Views = {
        f"as heard ({len(rows)} recordings)": [(words, (), text) for words, _, text in corrected],
        "as heard, corrected from the text": [*corrected],
    }
    for title, recordings in views.items():
        tally = Tally()
        for words, corrections, text in recordings:
            tally.add(gold_facts(text), found_facts(words, corrections, text)[0])
        show_tally(title, tally, show)
    totals = [0, 0, 0]
    for row, (words, corrections, _) in zip(rows, corrected, strict=True):
        _, (tokens, events) = found_facts(words, corrections, row["gold"])
        totals = [a + b for a, b in zip(totals, chapter_counts(row, tokens, events), strict=True)]
    right, found, wanted = totals
    print(
        f"chapters within 10 s, as heard: F1 {2 * right / (found + wanted):.3f} ({right} right, {found}, {wanted} gold)"
    )


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("set", choices=["dev", "test"])
    parser.add_argument(
        "--show", choices=["events", "condition", "side+position", "quantities", "figure of part", "loose ends"]
    )
    parser.add_argument("--texts", type=Path, metavar="FOLDER", help="measure this folder's narrations, without sound")
    arguments = parser.parse_args()
    if arguments.set == "test" and arguments.show:
        parser.error("the test set is for reporting only: --show goes with dev")
    if arguments.texts:
        for_reporting = arguments.texts.resolve().name in REPORTED
        if for_reporting != (arguments.set == "test"):
            parser.error(f"the narrations in {', '.join(REPORTED)} go with `test`, all others with `dev`")
        texts = read_texts(arguments.texts)
        if not texts:
            parser.error(f"no narrations (*.txt) in {arguments.texts}")
        measure_true_words(texts, arguments.show)
    else:
        measure(arguments.set, arguments.show)
