"""Parts that the speaker has none of: "I've no quick link", "it drips but I had no washer", "I'm two bolts short"."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from pipeline.events.phrase import Phrase
from pipeline.loose_ends.reading import Reading
from pipeline.loose_ends.said import told_end
from pipeline.loose_ends.sentences import Sentences
from pipeline.loose_ends.topics import Topics
from pipeline.records import LooseEnd

_SPEAKERS, _HAVE = frozenset(("i", "we")), frozenset(("have", "had"))
_LED_UP = 8  # units
# A condition, a habit, or what somebody else may lack.
_NOT_SO = frozenset(("if", "you", "when", "unless", "until", "till", "never", "because", "thought", "wish"))
# What goes on behind the part that there is none of; "I have no gasket surface left", "I've no got the hub aff".
_GOES_ON = frozenset(
    ("so", "for", "and", "but", "with", "yet", "till", "until", "here", "left", "at", "to", "in", "that", "it",
     "because", "now", "of", "on", "today", "or", "either", "anywhere", "long", "short", "small", "big", "then")
)  # fmt: skip
# What is lacking, and is no part to wait for.
_NO_PART = frozenset(
    ("idea", "clue", "time", "luck", "choice", "trouble", "problem", "problems", "need", "way", "room", "help", "money",
     "joy", "option", "doubt", "reason", "intention", "plan", "plans", "power", "spark", "light", "lights", "brake",
     "brakes", "leak", "leaks", "play", "complaint", "complaints", "use", "interest", "patience", "wish",
     "heart", "hands", "sense", "business", "machine", "lathe", "press", "bother", "excuse", "memory", "record", "sign",
     "signs", "noise", "feeling", "compression", "pressure", "water", "trust", "say", "picture", "pictures", "photo",
     "fear", "fever", "regrets", "objection", "issue", "issues", "oil", "fuel", "charge", "drive", "first", "second",
     "third", "fourth", "fifth", "gear", "gears", "reverse", "tool", "tools", "more", "pan")
)  # fmt: skip


def find_none(sentences: Sentences, topics: Topics) -> Iterator[LooseEnd]:
    """A wait for each part that the speaker says there is none of, or too few."""
    scan = sentences.scan
    for at in range(len(scan.text) - 3):
        if scan.text[at] not in _SPEAKERS or _NOT_SO & set(sentences.lead(at)):
            continue
        phrase = _lacked(sentences, at) or _too_few(sentences, at)
        if phrase is not None and phrase.is_part and phrase.kind not in ("tool", "measure", "finish"):
            first, _ = sentences.bounds(at)
            yield told_end("waiting", topics.of_phrase(phrase), sentences, max(first, at), phrase.end, "fit")


def named_by_lack(end: LooseEnd, reading: Reading, sentences: Sentences, topics: Topics) -> LooseEnd:
    """The end with its part, where one is said to be lacking: "the cover, I've no gasket so that's on dry" waits for
    the gasket, and it is the cover that is on for now."""
    spots = reading.clauses_in(end.start_word, end.end_word)
    if not spots or end.kind not in ("waiting", "provisional", "not_closed", "loose"):
        return end
    first, stop = max(0, reading.clauses[spots[0]].start - _LED_UP), reading.clauses[spots[-1]].end
    lacked = next((part for at in range(first, stop) if (part := _said_lacking(sentences, at))), None)
    if lacked is None:
        return end
    if end.kind == "waiting":
        inside = reading.clauses[spots[0]].start <= lacked.start
        return replace(end, part=lacked.name, side="", position="", event="") if inside else end
    named = [part for part in reading.scan.phrases_in(first, stop) if part.name == end.part]
    if end.part != lacked.name or any(part.start != lacked.start for part in named):
        return end
    there = topics.before(lacked.start)
    if there is None or there.name == lacked.name:
        return end
    return replace(end, part=there.name, side=there.side, position=there.position, event="", action="fit")


def _said_lacking(sentences: Sentences, at: int) -> Phrase | None:
    """ "I've no gasket", "I haven't got a gasket" at a unit."""
    text, scan = sentences.scan.text, sentences.scan
    if at + 4 >= len(text) or text[at] not in _SPEAKERS:
        return None
    if text[at + 1] in _HAVE and text[at + 2 : at + 4] == ["not", "got"]:
        phrase = scan.starting.get(at + 4)
        of_none = phrase is not None and phrase.is_part and phrase.determiner in ("a", "an", "any", "another")
        return phrase if of_none else None
    return _lacked(sentences, at)


def _lacked(sentences: Sentences, at: int) -> Phrase | None:
    """ "I have no olive", "we've got no more hooks", "I don't have a spare link"."""
    text, scan = sentences.scan.text, sentences.scan
    if text[at + 1] not in _HAVE:
        return None
    no = at + 2 + (text[at + 2] == "got")
    phrase = scan.starting.get(no) or scan.starting.get(no + 1)
    if text[no : no + 1] != ["no"] or phrase is None or phrase.head in _NO_PART or phrase.start in scan.verbs:
        return None
    if phrase.start > no + 1 or phrase.end in scan.verbs:
        return None
    closed = phrase.end >= len(text) or scan.gap[phrase.end] > 0 or text[phrase.end] in _GOES_ON
    return phrase if closed else None


def _too_few(sentences: Sentences, at: int) -> Phrase | None:
    """ "I'm two bolts short", "we were a clip short"."""
    text, scan = sentences.scan.text, sentences.scan
    if text[at + 1] not in ("am", "are", "was", "were"):
        return None
    phrase = scan.starting.get(at + 2)
    counted = phrase is not None and (phrase.count or phrase.determiner in ("a", "an"))
    return phrase if phrase is not None and counted and text[phrase.end : phrase.end + 1] == ["short"] else None
