"""What is left out of a job or short: "all except the front right", "just on with two nuts", "I need two more"."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from pipeline.events.phrase import Phrase
from pipeline.loose_ends.said import told_end
from pipeline.loose_ends.sentences import Sentences
from pipeline.loose_ends.topics import Topic, Topics
from pipeline.records import LooseEnd

_WHOLE = frozenset(("all", "every", "everything", "everyone", "both", "each", "rest"))
_ENDS = frozenset(("of", "and", "so", "from", "but", "before", "because", "for", "yet"))
_TELLS = frozenset(("have", "has", "are", "is", "'s", "did", "got", "done"))
_NOT_SO = frozenset(("if", "you", "your", "was", "were", "had", "did", "would", "when", "never", "not"))
_TIGHT = frozenset(("tighten", "torque"))
_WORK = frozenset((
    "fit", "renew", "tighten", "torque", "adjust", "bleed", "fill", "lubricate", "clean", "connect", "coat", "assemble",
    "repair", "seal", "test", "inspect", "align",
))  # fmt: skip
_ON = frozenset(("on", "in", "up", "held", "hung", "hanging", "hangs"))
_NEAR = 60  # units


def find_short(sentences: Sentences, topics: Topics) -> Iterator[LooseEnd]:
    """Loose, promised and waiting, by what is left out of a whole or is lacking."""
    yield from _except(sentences, topics)
    yield from _few(sentences, topics)
    yield from _lacking(sentences, topics)


def _except(sentences: Sentences, topics: Topics) -> Iterator[LooseEnd]:
    """ "I've done them all except the front right": that one is still to be done."""
    scan = sentences.scan
    for start, end in sentences.cues("except"):
        first, stop = sentences.bounds(start)
        lead = scan.text[max(first, start - 10) : start]
        if not (_WHOLE & set(lead) and _TELLS & set(lead)) or _NOT_SO & set(lead) or end >= stop:
            continue
        phrase = next((p for p in scan.phrases_in(end, min(end + 2, stop)) if p.is_part or p.is_pronoun), None)
        side, position = _place(sentences, end, max(end + 4, phrase.end if phrase is not None else 0))
        done = _done(topics, first - _NEAR, start)
        named = phrase is not None and topics.is_topic(phrase)
        if done is None or done.event is None or not (named or side or position):
            continue
        left = replace(done, side=side, position=position, event=None)
        topic = topics.of_phrase(phrase) if phrase is not None and named else left
        tight = done.event.action in _TIGHT and not (named and not _is_fastener(sentences, phrase))
        action = "tighten" if tight else "" if named else done.event.action
        yield told_end("loose" if tight else "promised", topic, sentences, first, stop, action)


def _done(topics: Topics, first: int, at: int) -> Topic | None:
    """The work that a whole was done to: the last before a unit."""
    found = [
        talk for talk in topics.all()
        if first <= talk.at < at and talk.event is not None and talk.event.action in _WORK
        and talk.event.status in ("done", "provisional", "past")
    ]  # fmt: skip
    return found[-1] if found else None


def _place(sentences: Sentences, start: int, end: int) -> tuple[str, str]:
    """(side, position) said within some units."""
    side = position = ""
    text, rules = sentences.scan.text, sentences.rules
    for at in range(start, min(end, len(text))):
        hit, where = rules.side.at(text, at), rules.position.at(text, at)
        side = side or (hit[1] if hit is not None else "")
        position = position or (where[1] if where is not None else "")
    return side, position


def _few(sentences: Sentences, topics: Topics) -> Iterator[LooseEnd]:
    """ "that's just on with two nuts", "it's only five screws in there for now"."""
    scan = sentences.scan
    for phrase in scan.phrases:
        if not phrase.count or not _is_fastener(sentences, phrase):
            continue
        first, stop = sentences.bounds(phrase.start)
        lead = scan.text[max(first, phrase.start - 5) : phrase.start]
        behind = scan.text[phrase.end : phrase.end + 2]
        held = lead[-1:] in (["with"], ["by"], ["on"]) and bool(_ON & set(lead[:-1]))
        inside = behind in (["in", "there"], ["in", "it"], ["holding", "it"], ["on", "it"])
        if (held or inside) and {"just", "only"} & set(lead) and not _NOT_SO & set(lead):
            kind = "loose" if held else "not_closed"
            yield told_end(kind, topics.of_phrase(phrase), sentences, first, stop, "tighten" if held else "fit")


def _lacking(sentences: Sentences, topics: Topics) -> Iterator[LooseEnd]:
    """ "I've only got six so I need two more"."""
    text, gap = sentences.scan.text, sentences.scan.gap
    for start, end in sentences.cues("lacking"):
        first, stop = sentences.bounds(start)
        if _NOT_SO & set(sentences.lead(start)) or (end < len(text) and not gap[end] and text[end] not in _ENDS):
            continue
        topic = topics.before(start, True)
        if topic is not None:
            yield told_end("waiting", topic, sentences, first, stop, "fit")


def _is_fastener(sentences: Sentences, phrase: Phrase | None) -> bool:
    heads = sentences.rules.words["safety_heads"]
    return phrase is not None and (phrase.head in heads or phrase.head in ("clip", "clamp"))
