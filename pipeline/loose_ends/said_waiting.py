"""Loose ends that wait for a part: "I'm waiting on one", "when the casing arrives", "it's on order"."""

from __future__ import annotations

from collections.abc import Iterator

from pipeline.loose_ends.on_the_list import place_behind
from pipeline.loose_ends.said import told_end
from pipeline.loose_ends.sentences import Sentences
from pipeline.loose_ends.topics import Topic, Topics
from pipeline.records import LooseEnd

_FORWARD = frozenset(("for", "on", "order", "ordered", "of", "one", "got", "wrong"))
_NOT_WAITING = frozenset(("was", "were", "not", "if", "without", "waited", "had", "you", "never"))
_NO_PART = frozenset((
    "paint", "glue", "sealant", "varnish", "primer", "lacquer", "coat", "weather", "rain", "resin", "epoxy",
))  # fmt: skip
# What the speaker has not got without having to wait for it.
_MEANS = frozenset((
    "tool", "tools", "time", "cash", "money", "patience", "strength", "space", "room", "energy", "press", "kit",
    "equipment", "hands", "heart", "nerve", "skill", "eyes", "figure", "figures", "torque", "manual", "book",
))  # fmt: skip


def find_waiting(sentences: Sentences, topics: Topics) -> Iterator[LooseEnd]:
    """What is waited for, ordered, away or said to come."""
    yield from _waiting(sentences, topics)
    yield from _arriving(sentences, topics)
    yield from _coming(sentences, topics)


def _waiting(sentences: Sentences, topics: Topics) -> Iterator[LooseEnd]:
    text, scan = sentences.scan.text, sentences.scan
    taken = -1
    for start, end in sentences.cues("waiting"):
        first, stop = sentences.bounds(start)
        lead = set(sentences.lead(start, 4))
        if start < taken or (_NOT_WAITING & lead and text[start] not in ("not",)) or "drying" in text[first:stop]:
            continue
        taken = end
        forward = text[end - 1] in _FORWARD and text[start : start + 2] != ["on", "order"]
        fronted = scan.ending.get(start - 2) if text[max(0, start - 2) : start] == ["i", "am"] else None
        if fronted is not None and topics.is_topic(fronted) and not topics.of_phrase(fronted).aside:
            forward = False
        if forward and text[end : end + 1] == ["one"] and _opens(sentences, end + 1):
            forward = False
        phrase = scan.starting.get(end) if forward and end < len(text) and not scan.gap[end] else None
        if text[end : end + 1] in (["to"], ["round"], ["around"]):
            continue
        if phrase is not None and text[phrase.end : phrase.end + 1] == ["to"]:
            continue
        topic = topics.of_phrase(phrase) if phrase is not None and phrase.is_part and not phrase.weak else None
        topic = topic or (topics.meant_by(phrase) if phrase is not None else None)
        if topic is None:
            blocked = phrase is not None and not phrase.is_pronoun and phrase.kind != "person"
            topic = None if blocked else topics.subject(start)
        lacking = text[end - 1] == "got" or text[end - 2 : end] == ["have", "one"]
        if topic is not None and lacking and (topic.kind == "tool" or topic.name.split()[-1] in _MEANS):
            continue
        if topic is not None and topic.name.split()[-1] not in _NO_PART:
            stop = phrase.end if phrase is not None else end
            topic = place_behind(sentences, topic, stop)
            yield told_end("waiting", topic, sentences, first, stop, _job(topic))


def _job(topic: Topic) -> str:
    """What is to be done once it is there: with a tool, nothing to the tool."""
    if topic.event is not None and topic.event.status in ("planned", "negated") and topic.event.action != "remove":
        return topic.event.action
    return {"tool": "", "fluid": "fill", "finish": "coat", "material": ""}.get(topic.kind, "fit")


def _opens(sentences: Sentences, at: int) -> bool:
    """True where a new part or sentence starts: "waiting on one | the intake boot is on"."""
    text = sentences.scan.text
    return at >= len(text) or sentences.scan.gap[at] > 0 or text[at] in sentences.rules.words["determiners"]


def _coming(sentences: Sentences, topics: Topics) -> Iterator[LooseEnd]:
    """ "a new hose is coming from the factors"."""
    text = sentences.scan.text
    for phrase in sentences.scan.phrases:
        comes = text[phrase.end : phrase.end + 2] in (["is", "coming"], ["are", "coming"], ["'s", "coming"])
        if comes and topics.is_topic(phrase) and (phrase.condition == "new" or phrase.determiner == "another"):
            off = text[phrase.end + 2 : phrase.end + 3]
            if off not in (["off"], ["out"], ["apart"], ["loose"]):
                first, _ = sentences.bounds(phrase.start)
                yield told_end("waiting", topics.of_phrase(phrase), sentences, first, phrase.end + 2, "fit")


def _arriving(sentences: Sentences, topics: Topics) -> Iterator[LooseEnd]:
    """ "when the casing arrives", "until I've got the other seal"."""
    text, rules, scan = sentences.scan.text, sentences.rules, sentences.scan
    for at, word in enumerate(text[:-1]):
        if word not in ("when", "until", "once", "till", "til"):
            continue
        first, _ = sentences.bounds(at)
        subject = scan.starting.get(at + 1)
        comes = rules.cues["arrives"].at(text, subject.end) if subject is not None else None
        getting = rules.cues["getting"].at(text, at + 1)
        topic: Topic | None = None
        end = at + 1
        if subject is not None and comes is not None and subject.kind != "person":
            topic, end = topics.of_phrase(subject) if subject.is_part else None, comes[0]
            off = text[comes[0] : comes[0] + 1]
            if off and off[0] in ("off", "out", "to", "up", "down", "apart", "away", "loose", "round"):
                continue
        elif getting is not None:
            phrase = scan.starting.get(getting[0])
            topic = topics.of_phrase(phrase) if phrase is not None and phrase.is_part else None
            end = phrase.end if phrase is not None else end
            if text[end : end + 1] and text[end] in ("off", "out", "on", "in", "up", "back", "apart", "to", "done"):
                continue
        told = {"was", "were", "did", "had", "you"} & set(text[first:at])
        if topic is not None and not told and topic.name.split()[-1] not in _NO_PART:
            yield told_end("waiting", topic, sentences, first, end, _job(topic))
