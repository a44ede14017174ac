"""What is said to be for now, or to stay off: "call it temporary", "that's borrowed time", "the bowl stays off"."""

from __future__ import annotations

from collections.abc import Iterator

from pipeline.loose_ends.said import told_end
from pipeline.loose_ends.sentences import Sentences
from pipeline.loose_ends.signs import load_stuff
from pipeline.loose_ends.topics import Topic, Topics
from pipeline.records import LooseEnd

# In front: said of what somebody else did, or of what would be.
_NOT_SO = frozenset(("if", "you", "was", "were", "not", "never", "should", "would", "must", "they"))
# Behind "stays off": how a part is made to work, or that it is not wanted any more.
_NOT_OPEN = frozenset(("of", "the", "for", "forever", "when", "while", "because"))
_REACH = 40
_PUT = frozenset((
    "put", "stuffed", "shoved", "packed", "pushed", "bunged", "popped", "poked", "jammed", "rammed", "wrapped", "is",
    "'s", "are", "left", "got",
))  # fmt: skip
_INTO = frozenset(("in", "into", "down", "inside", "up"))
_OVER = frozenset(("over", "across"))
_BEFORE, _BEHIND = 3, 6  # units


def find_for_now(sentences: Sentences, topics: Topics) -> Iterator[LooseEnd]:
    """Provisional and not closed, in words that leave no doubt."""
    yield from _called_temporary(sentences, topics)
    yield from _stays_off(sentences, topics)
    yield from _stuffed(sentences, topics)


def _called_temporary(sentences: Sentences, topics: Topics) -> Iterator[LooseEnd]:
    for start, end in sentences.cues("called_temporary"):
        first, _ = sentences.bounds(start)
        if not _NOT_SO.isdisjoint(sentences.lead(start)):
            continue
        topic = _named(topics, first, start) or _worked_on(topics, start)
        if topic is not None:
            yield told_end("provisional", topic, sentences, first, end, "fit")


def _stays_off(sentences: Sentences, topics: Topics) -> Iterator[LooseEnd]:
    text = sentences.scan.text
    for start, end in sentences.cues("stays_off"):
        first, stop = sentences.bounds(start)
        behind = text[end : min(end + 1, stop)]
        if not _NOT_SO.isdisjoint(text[first:start]) or not _NOT_OPEN.isdisjoint(behind):
            continue
        topic = _named(topics, first, start) or topics.subject(start)
        if topic is not None and topic.kind != "fluid":
            yield told_end("not_closed", topic, sentences, max(first, topic.at), end, "fit")


def _stuffed(sentences: Sentences, topics: Topics) -> Iterator[LooseEnd]:
    """ "I've put a rag in the manifold", "put tape over the intake ports": what has to come out before it runs."""
    scan = sentences.scan
    stuffing = sentences.rules.words["stuffing"]
    for at, word in enumerate(scan.text):
        name = word.removesuffix("s")
        ways = _INTO | _OVER if name in stuffing else _OVER if name == "tape" else frozenset()
        phrase = scan.ending.get(at + 1)
        start = phrase.start if phrase is not None else at
        first, stop = sentences.bounds(start)
        lead = scan.text[max(first, start - _BEFORE) : start]
        reach = min(stop, at + 1 + _BEHIND)
        if not ways & {*scan.text[at + 1 : min(at + 2, stop)]} or not _PUT & set(lead) or lead[0] == "put":
            continue  # "put a rag in the ports" tells others what to do
        if _NOT_SO & {*sentences.lead(start)} or "you" in scan.text[first:stop]:
            continue
        openings = [
            part for part in scan.phrases_in(at + 1, reach)
            if part.is_part and part.name.split(" ")[-1] in load_stuff("opening")
        ]  # fmt: skip
        if openings:
            topic = topics.of_phrase(phrase) if phrase is not None and phrase.is_part else Topic(at, name, None)
            yield told_end("provisional", topic, sentences, first, openings[-1].end, "fit")


def _named(topics: Topics, first: int, at: int) -> Topic | None:
    """The part named nearest before a unit in its own sentence."""
    named = [talk for talk in topics.all() if first <= talk.at < at and talk.kind != "fluid" and not talk.aside]
    named = [talk for talk in named if talk.kind] or named  # "fat threads" are no part that anybody knows
    return named[-1] if named else None


def _worked_on(topics: Topics, at: int) -> Topic | None:
    """The part last worked on."""
    done = [
        talk for talk in topics.all()
        if at - _REACH < talk.at < at and talk.event is not None and talk.event.status in ("done", "provisional")
    ]  # fmt: skip
    return done[-1] if done else topics.before(at)
