"""What the reader network learns from: narrations as words, with the places that their gold facts point at.

    python tools/reader_data.py FILE.json [--spoken HEARD.jsonl.gz]

writes the examples. Each narration gives several views (as written, without punctuation, with breaks put back) and,
for recordings, the words as heard. An event points at the word that tells it, where the sentence rules can name that
word, and else at the stretch that its author quoted; and at every word that may name its part. No part of the
installed package.
"""

from __future__ import annotations

import argparse
import gzip
import json
import re
from collections.abc import Iterator, Sequence
from dataclasses import asdict, dataclass, field, replace
from difflib import SequenceMatcher
from pathlib import Path
from typing import Any

import event_examples
import measure_facts
from figure_labels import Row, figure_rows, sayings
from parallel import spread

from pipeline.events.reader_places import attribute_words
from pipeline.events.rules import load_rules
from pipeline.punctuation import punctuated
from pipeline.records import Word
from pipeline.tokens import bare, ends_sentence, line_words, written_tokens
from tests.quantities.sayings import Saying

# A part may be named so many words before the words of its event, or after them.
BEFORE, AFTER = 110, 25
# Figures that belong to the fluid, not to what it is in.
OF_FLUIDS = ("volume", "viscosity", "ratio", "percentage", "mass")
ATTRIBUTE_BEFORE, ATTRIBUTE_AFTER = 30, 20
Span = tuple[int, int]


@dataclass
class Example:
    """One view of one narration. `events` point at words: `at` (or -1), `span`, `parts`; `ends` are loose ends.

    `figures` are (first word, end word, kind, owners, events): the words that may name what it belongs to, [] where
    nothing does and None where nobody says, and the indexes of the events that it is told with. `marks` are, for words
    without punctuation, the indexes into `MARKS` of what was written behind each.
    """

    name: str
    view: str
    words: list[str]
    events: list[dict[str, Any]] = field(default_factory=list)
    ends: list[dict[str, Any]] = field(default_factory=list)
    attributes: list[list[Any]] = field(default_factory=list)
    marks: list[int] = field(default_factory=list)
    figures: list[list[Any]] = field(default_factory=list)
    only_figures: bool = False
    only_events: bool = False
    alone: bool = False


def _stem(word: str) -> str:
    """What singular and plural have in common: "shoe" and "shoes", "bush" and "bushes", "leaf" and "leaves"."""
    word = re.sub(r"'s$|’s$|s'$", "", bare(word))
    word = word if word.endswith("ss") else word.removesuffix("s")
    word = re.sub(r"ie$", "y", word).removesuffix("e")
    return re.sub(r"(?<=[aeio])v$|(?<=l)v$", "f", word)


def part_places(words: Sequence[str], part: str, span: Span) -> list[int]:
    """The words near a span that may name a part: the last word of its whole name, else of as much as is said."""
    stems = [_stem(word) for word in words]
    name = [_stem(word) for word in part.lower().split()]
    low, high = max(0, span[0] - BEFORE), min(len(words), span[1] + AFTER)
    for length in range(len(name), 0, -1):
        wanted = name[-length:]
        places = [at for at in range(low + length - 1, high) if stems[at - length + 1 : at + 1] == wanted]
        if places:
            return places
    joined = "".join(name)
    return [at for at in range(low, high) if stems[at].replace("-", "") == joined]


def _attribute_rows(words: Sequence[str]) -> list[list[Any]]:
    return [list(row) for row in attribute_words(words, load_rules())]


def _attributes_of(event: dict[str, Any], told: Sequence[list[Any]]) -> list[list[Any]]:
    """For each attribute of a gold event the places (indexes into `told`) that may tell it."""
    low, high = event["start_word"] - ATTRIBUTE_BEFORE, event["end_word"] + ATTRIBUTE_AFTER
    found = []
    for what in ("side", "position", "condition"):
        wanted = event.get(what) or ""
        wanted = wanted if what == "condition" else measure_facts.place_name(what, wanted)
        places = [
            number
            for number, (start, _, kind, value) in enumerate(told)
            if kind == what and value == wanted and low <= start < high
        ]
        if wanted:
            found.append([what, places])
    return found


def _events(words: Sequence[Word], gold: list[dict[str, Any]], units: str) -> list[dict[str, Any]]:
    """The gold events, each with the word that tells it where a proposal of the rules is that event."""
    proposed = event_examples.examples(words, [], units)
    taken: set[tuple[int, int]] = set()
    texts = [word.text for word in words]
    told = _attribute_rows(texts)
    found = []
    for event in gold:
        span = (event["start_word"], event["end_word"])
        best = event_examples.best_option(event, proposed, taken)
        at, parts = -1, part_places(texts, event["part"], span)
        if best is not None:
            taken.add(best)
            example = proposed[best[0]]
            token_of = example.question.token_of
            phrase = example.question.options[best[1]].part
            head = token_of[phrase.end - 1]
            at = head if example.question.predicate.voice == "implied" else example.at
            parts = sorted({head} | {place for place in parts if abs(place - span[0]) > 20 or place == head})
        found.append(
            {
                "at": at, "span": span, "action": event["action"], "status": event["status"], "parts": parts,
                "attributes": _attributes_of(event, told),
            }
        )  # fmt: skip
    return found


def _example(name: str, view: str, words: Sequence[Word], gold: dict[str, Any], events: list[dict[str, Any]],
             ends: list[dict[str, Any]], quantities: Sequence[dict[str, Any]]) -> Example:  # fmt: skip
    texts = [word.text for word in words]
    found = _events(words, events, gold.get("units") or "imperial")
    told = [
        {"kind": end["kind"], "span": (end["start_word"], end["end_word"]),
         "parts": part_places(texts, end["part"], (end["start_word"], end["end_word"]))}
        for end in ends
    ]  # fmt: skip
    figures = _figures(texts, gold, quantities, events)
    return Example(name, view, texts, found, told, _attribute_rows(texts), [], figures)


def _figures(
    words: Sequence[str], gold: dict[str, Any], quantities: Sequence[dict[str, Any]], events: Sequence[dict[str, Any]]
) -> list[list[Any]]:
    """The figures of a narration. They belong to the parts and fluids of the events that they are told with."""
    told = [[k for k, event in enumerate(events) if q["id"] in event.get("quantities", ())] for q in quantities]
    named = [_owners_of(q["kind"], [events[k] for k in with_]) for q, with_ in zip(quantities, told, strict=True)]
    figures = [(q["kind"], q["value"], q["start_word"], names) for q, names in zip(quantities, named, strict=True)]
    rows = figure_rows(words, gold.get("units") or "imperial", figures)
    return _placed(words, rows, told)


def _owners_of(kind: str, events: Sequence[dict[str, Any]]) -> tuple[str, ...] | None:
    """The names of what a figure belongs to that is told with these events; None where that is unknown."""
    fluids = [event["fluid"] for event in events if event.get("fluid")] if kind in OF_FLUIDS else []
    return tuple(fluids or (event["part"] for event in events)) or None


def _placed(words: Sequence[str], rows: Sequence[Row], told: Sequence[Sequence[int]] = ()) -> list[list[Any]]:
    """The rows with places for names; a name that is not said is as good as unknown."""
    found: list[list[Any]] = []
    for start, end, kind, names, index in rows:
        places = sorted({at for name in names or () for at in part_places(words, name, (start, end))})
        known = names is not None and (places or not names)
        found.append([start, end, kind, places if known else None, list(told[index]) if told and index >= 0 else []])
    return found


def _moved(facts: Sequence[dict[str, Any]], place: Sequence[int]) -> list[dict[str, Any]]:
    moved = []
    for fact in facts:
        start, end = place[fact["start_word"]], place[fact["end_word"]]
        if end > start:
            moved.append({**fact, "start_word": int(start), "end_word": int(end)})
    return moved


def marks_behind(words: Sequence[Word]) -> list[int]:
    """The index into `MARKS` of what stands behind each word that is one without its punctuation too."""
    marks: list[int] = []
    for word in words:
        mark = 2 if ends_sentence(word.text) else 1 if word.text.endswith((",", ";", ":", "–", "—", "-")) else 0
        if measure_facts.bare_words([word]):
            marks.append(mark)
        elif marks:
            marks[-1] = max(marks[-1], mark, 1)
    return marks


def written_views(gold: dict[str, Any]) -> Iterator[Example]:
    """As written, bare, and bare with breaks put back."""
    words = line_words(gold["reference"])
    yield _example(gold["name"], "written", words, gold, gold["events"], gold["loose_ends"], gold["quantities"])
    place = event_examples.bare_places(words).tolist()
    events, ends, figures = (_moved(gold[kind], place) for kind in ("events", "loose_ends", "quantities"))
    plain = measure_facts.bare_words(words)
    example = _example(gold["name"], "bare", plain, gold, events, ends, figures)
    if gold["reference"] != gold["reference"].lower():  # who writes no capitals does not say where sentences end
        example.marks = marks_behind(words)
    yield example
    texts = [token.text for token in punctuated(written_tokens(plain))]
    yield replace(example, view="restored", words=texts, marks=[])


def heard_view(row: dict[str, Any]) -> Example:
    """The words as heard, with the facts moved to where their words went."""
    gold, words = row["gold"], measure_facts.heard_words(row)
    said = [bare(word) for word in gold["reference"].split()]
    heard = [bare(word.text) for word in words]
    place = [0] * (len(said) + 1)
    for tag, i1, i2, j1, j2 in SequenceMatcher(None, said, heard, autojunk=False).get_opcodes():
        for at in range(i1, i2):
            place[at] = j1 + ((at - i1) if tag == "equal" else (at - i1) * (j2 - j1) // (i2 - i1))
    place[-1] = len(heard)
    parts = []
    for event in gold["events"]:
        where = part_places(gold["reference"].split(), event["part"], (event["start_word"], event["end_word"]))
        parts.append([place[at] for at in where])
    texts = [token.text for token in punctuated(written_tokens(words))]
    events = _events([Word(t, w.start_ms, w.end_ms, w.probability) for t, w in zip(texts, words, strict=True)],
                     _moved(gold["events"], place), gold["units"])  # fmt: skip
    kept = [where for event, where in zip(gold["events"], parts, strict=True)
            if place[event["end_word"]] > place[event["start_word"]]]  # fmt: skip
    for event, where in zip(events, kept, strict=True):
        event["parts"] = sorted({*event["parts"], *where})
    ends = []
    for end in gold["loose_ends"]:
        said_at = (end["start_word"], end["end_word"])
        for moved in _moved([end], place):
            at = {place[word] for word in part_places(gold["reference"].split(), end["part"], said_at)}
            span = (moved["start_word"], moved["end_word"])
            ends.append({"kind": end["kind"], "span": span, "parts": sorted(at & set(range(len(heard))))})
    view = f"heard {gold['voice']} {gold['snr_db']}"
    left = [event for event in gold["events"] if place[event["end_word"]] > place[event["start_word"]]]
    figures = _figures(texts, gold, _moved(gold["quantities"], place), left)
    return Example(gold["name"], view, texts, events, ends, _attribute_rows(texts), [], figures)


def saying_views(named: tuple[str, Saying]) -> list[Example]:
    """A saying as written, bare, and bare with breaks put back; only its figures and marks teach anything."""
    name, saying = named
    words = line_words(saying.text)
    owners: list[tuple[str, ...] | None] = [tuple(owner.split("/")) if owner else () for owner in saying.owners]
    owners = owners or [None] * len(saying.figures)
    gold = [(kind, value, -1, names) for (kind, value, _, _), names in zip(saying.figures, owners, strict=True)]
    plain = measure_facts.bare_words(words)
    if len(plain) < 2:
        return []
    restored = [token.text for token in punctuated(written_tokens(plain), saying.settings)]
    views = [("written", [w.text for w in words]), ("bare", [w.text for w in plain]), ("restored", restored)]
    found = [
        Example(name, view, texts, [], [], _attribute_rows(texts), [],
                _placed(texts, figure_rows(texts, saying.settings.units or "imperial", gold)), True)
        for view, texts in views
    ]  # fmt: skip
    if saying.text != saying.text.lower():
        found[1].marks = marks_behind(words)
    return found


def snippet_views(numbered: tuple[int, dict[str, Any]]) -> list[Example]:
    """A snippet of the corpus or a plain sentence as written, bare, and with breaks put back; only events teach."""
    number, gold = numbered
    facts = {"loose_ends": [], "quantities": [], "name": f"say{number % 3} snippet {number}"}
    found = list(written_views({**gold, **facts}))
    return [replace(example, figures=[], marks=[], only_events=True) for example in found if len(example.words) > 1]


def passage_views(numbered: tuple[int, dict[str, Any]]) -> list[Example]:
    """A short passage as written, bare, and with breaks put back; it is always read by itself."""
    number, gold = numbered
    found = written_views({**gold, "name": f"say{number % 3} {gold['name']}"})
    return [replace(example, alone=True) for example in found if len(example.words) > 1]


def with_facts(rows: Sequence[dict[str, Any]], paths: Sequence[Path]) -> Iterator[dict[str, Any]]:
    """The recordings of these narrations with the facts that they have now; those whose words have changed are left."""
    known = {path.stem: path for path in paths}
    for row in rows:
        gold = row["gold"]
        if gold["name"] in known:
            now = event_examples.read_gold(known[gold["name"]])
            if now["reference"] == gold["reference"]:
                yield {**row, "gold": {**now, "voice": gold["voice"], "snr_db": gold["snr_db"]}}


def _views(path: Path) -> list[Example]:
    return list(written_views(event_examples.read_gold(path)))


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("into", type=Path)
    parser.add_argument("--spoken", type=Path, nargs="*", default=[])
    parser.add_argument("--skip", nargs="*", default=[])
    arguments = parser.parse_args()
    skipped = tuple(arguments.skip) or ("\0",)
    paths = [path for path in event_examples.narration_paths() if not path.stem.startswith(skipped)]
    examples = [example for views in spread(_views, paths) for example in views]
    for path in arguments.spoken:
        with gzip.open(path, "rt", encoding="utf-8") as lines:
            rows = [json.loads(line) for line in lines]
        examples += spread(heard_view, list(with_facts(rows, paths)))
    examples += [example for views in spread(saying_views, list(sayings())) for example in views]
    for golds in (event_examples.corpus_golds(), event_examples.dictionary_golds()):
        examples += [example for views in spread(snippet_views, list(enumerate(golds))) for example in views]
    passages = list(enumerate(event_examples.passage_golds()))
    examples += [example for views in spread(passage_views, passages) for example in views]
    arguments.into.write_text(json.dumps([asdict(example) for example in examples]), encoding="utf-8")
    events = [event for example in examples for event in example.events]
    print(f"{len(examples)} views, {len(events)} events, {sum(event['at'] >= 0 for event in events)} at a known word, "
          f"{sum(not event['parts'] for event in events)} without a named part")  # fmt: skip


if __name__ == "__main__":
    main()
