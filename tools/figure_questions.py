"""What is asked of the figures of a text, with the answers of the gold: what figure weights are learned from.

No part of the installed package.
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from event_examples import bare_places, read_gold, same_action, same_part, views
from figure_texts import NEAR, Text
from measure_facts import FINDER, events_found, tokens_of

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))

from pipeline.events.figure_links import by_weights  # noqa: E402
from pipeline.quantities import find_quantities  # noqa: E402
from pipeline.quantities.attach import owner_rows, read_spans, read_things  # noqa: E402
from pipeline.quantities.lengths import Meaning  # noqa: E402
from pipeline.quantities.owners import Last, candidates  # noqa: E402
from pipeline.quantities.scan import Bare, Found, Scan  # noqa: E402
from pipeline.quantities.unitless import Option  # noqa: E402
from pipeline.records import Event, Quantity  # noqa: E402
from pipeline.tokens import line_words  # noqa: E402
from tests.quantities.sayings import VOCABULARY, Saying, paired, same_name  # noqa: E402
from tests.quantities.scoring import unpunctuated  # noqa: E402


@dataclass(frozen=True)
class Question:
    """What speaks for each answer, the first of them "nothing"; `right` marks those that the gold takes."""

    rows: list[list[str]]
    right: list[bool]
    names: list[str]
    label: str


def owner_questions(saying: Saying, bare: bool) -> list[Question]:
    """A question for each figure found right; none of its answers is right where its owner is no candidate."""
    text = unpunctuated(saying.text) if bare else saying.text
    tokens = tokens_of(line_words(text), saying.settings.units)
    spans = read_spans(find_quantities(tokens, saying.settings, reader=FINDER.reader), tokens)
    speech, things = read_things(spans, tokens, VOCABULARY)
    reading = FINDER.reader.read([token.text for token in tokens])
    gold = {qty.id: owner for qty, owner in paired([span.qty for span in spans], saying)}
    questions: list[Question] = []
    last: Last = None
    for span in spans:
        if span.qty.kind == "count":
            continue
        rivals = candidates(span, things, speech)
        rows = owner_rows(span, rivals, speech, last, reading)
        owner = gold.get(span.qty.id)
        owners = [] if owner is None else ["" if name == "-" else name for name in owner.split("/")]
        right = ["" in owners, *(any(name and same_name(thing.name, name) for name in owners) for thing in rivals)]
        if owner is not None:
            questions.append(Question(rows, right, ["nothing", *(thing.name for thing in rivals)], span.qty.said))
        last = span, next((thing for thing, good in zip(rivals, right[1:], strict=True) if good), None)
    return questions


class Recorder:
    """Answers which unit a bare number has as the gold does, and notes what was asked.

    `gold`: kind, value and unit of the figures that nothing else finds, each with the word at which it stands (or -1).
    """

    def __init__(self, gold: Sequence[tuple[str, float, str, int]], starts: Sequence[int]) -> None:
        self.gold = [item for item in gold if item[0] != "count"]
        self.starts = starts
        self.questions: list[Question] = []

    def __call__(self, scan: Scan, bare: Bare, none: Sequence[str], options: Sequence[Option]) -> int:
        start_word = self.starts[scan.pieces[bare.start].token]
        near = [item for item in self.gold if item[3] < 0 or abs(item[3] - start_word) <= NEAR]
        keys = {(kind, round(value, 3), unit): (kind, value, unit, at) for kind, value, unit, at in near}
        right = [(o.kind, round(float(o.value), 3), o.unit) in keys for o in options]
        meant = any(abs(value - float(o.bare.value)) < 0.001 for o in options for _, value, _, _ in near)
        names = ["none", *(f"{option.kind} {option.unit}" for option in options)]
        label = " ".join(scan.words[max(0, bare.start - 9) : bare.end + 5])
        rows = [list(none), *(list(option.evidence) for option in options)]
        self.questions.append(Question(rows, [not meant, *right], names, label))
        if not any(right):
            return -1
        chosen = right.index(True)
        option = options[chosen]
        self.gold.remove(keys[option.kind, round(float(option.value), 3), option.unit])
        return chosen


def unit_questions(text: Text, ruled: bool) -> list[Question]:
    """What is asked of the numbers without a unit in a text; with or without the rules for some of them."""

    def nothing_more(scan: Scan, bare: Bare, none: Sequence[str], options: Sequence[Option]) -> int:
        del scan, bare, none, options
        return -1

    found = Counter(
        (_plain(qty.kind), round(qty.value, 3), qty.unit)
        for qty in find_quantities(text.tokens, text.settings, nothing_more, ruled=ruled, reader=FINDER.reader)
    )
    left = []
    for kind, value, unit, at in text.gold:
        key = _plain(kind), round(value, 3), unit
        if found[key]:
            found[key] -= 1
        else:
            left.append((_plain(kind), value, unit, at))
    recorder = Recorder(left, [token.start_word for token in text.tokens])
    find_quantities(text.tokens, text.settings, recorder, ruled=ruled, reader=FINDER.reader)
    return recorder.questions


def length_questions(text: Text) -> list[Question]:
    """For each length found right: whether it is a size, a clearance, the jaw of a spanner or a thread."""
    gold = [item for item in text.gold if item[0] in ("length", "clearance", "spanner", "thread")]
    starts = [token.start_word for token in text.tokens]
    questions = []

    def judge(scan: Scan, found: Found, meanings: Sequence[Meaning]) -> int:
        start_word = starts[scan.pieces[found.start].token]
        kinds = [meaning.kind for meaning in meanings]
        for item in gold:
            kind, value, unit, at = item
            same = unit == found.unit and abs(value - float(found.value)) < 0.001
            if same and kind in kinds and (at < 0 or abs(at - start_word) <= NEAR):
                gold.remove(item)
                label = " ".join(scan.words[max(0, found.start - 12) : found.end + 8])
                rows = [list(meaning.evidence) for meaning in meanings]
                questions.append(Question(rows, [name == kind for name in kinds], kinds, label))
                return kinds.index(kind)
        return 0

    find_quantities(text.tokens, text.settings, judge=judge, reader=FINDER.reader)
    return questions


class LinkRecorder:
    """Answers with which event a figure was said as the gold does, and notes what was asked.

    `gold`: kind, value and first word of each figure, and the (action, part, start, end) of the events told with it.
    """

    def __init__(self, gold: Sequence[tuple[str, float, int, list[tuple[str, str, int, int]]]]) -> None:
        self.gold = gold
        self.questions: list[Question] = []

    def __call__(self, qty: Quantity, events: Sequence[Event], rows: Sequence[Sequence[str]]) -> int:
        for kind, value, at, told in self.gold:
            if _plain(kind) == _plain(qty.kind) and abs(value - qty.value) < 0.001 and abs(at - qty.start_word) <= NEAR:
                right = [any(_is_event(event, gold) for gold in told) for event in events]
                names = ["none", *(f"{event.action} {event.part}" for event in events)]
                if not told or any(right):
                    self.questions.append(Question([*map(list, rows)], [not told, *right], names, qty.said))
                break
        return 0


def _is_event(event: Event, gold: tuple[str, str, int, int]) -> bool:
    action, part, start, end = gold
    near = event.start_word - NEAR <= end and start <= event.end_word + NEAR
    return near and same_action(event.action, action) and same_part(event.part, part)


def link_questions(path: Path) -> list[Question]:
    """A question for each figure of a narration whose event was found, as written and without punctuation."""
    gold = read_gold(path)
    found: list[Question] = []
    places = (None, bare_places(line_words(gold["reference"])))
    for (words, events), place in zip(views(gold), places, strict=True):
        told = [
            (q["kind"], q["value"], q["start_word"] if place is None else int(place[q["start_word"]]),
             [(e["action"], e["part"], e["start_word"], e["end_word"]) for e in events if q["id"] in e["quantities"]])
            for q in gold["quantities"]
        ]  # fmt: skip
        recorder = LinkRecorder(told)
        FINDER.linker = recorder
        events_found(words, gold["units"])
        FINDER.linker = by_weights
        found += recorder.questions
    return found


def _plain(kind: str) -> str:
    return "length" if kind == "clearance" else kind
