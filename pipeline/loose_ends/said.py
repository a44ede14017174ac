"""Loose ends told in words that are no event: "that comes off again", "I'll do that later", "it's still empty"."""

from __future__ import annotations

from collections.abc import Iterator

from pipeline.events.reading import SENTENCE
from pipeline.loose_ends.sentences import Sentences
from pipeline.loose_ends.topics import Topic, Topics
from pipeline.records import LooseEnd

_NOT_SO = frozenset(("if", "was", "were", "unless", "never", "sure", "check", "you", "should"))
_PUTTING = frozenset((
    "put", "on", "in", "used", "using", "twisted", "held", "stuck", "got", "sat", "hung", "lent", "borrowed", "back",
    "wrapped", "there", "fitted", "bolted", "taped", "tied", "slid", "pushed", "patched", "popped", "cover", "hanging",
    "propped", "resting", "sitting", "one", "packed", "made",
))  # fmt: skip
_PLACED = frozenset(("fit", "assemble", "repair", "renew", "connect", "seal", "coat", "route"))
_WILL = frozenset((
    "will", "going", "need", "needs", "wants", "want", "must", "got", "gonna", "get", "gets", "remind", "remember",
    "like", "love", "hoping", "hope", "plan", "planning",
))  # fmt: skip
_LATER = frozenset(("when", "once", "after"))
_UNTIL = frozenset(("until", "till", "til"))
_LEAVES = frozenset(("leave", "leaving", "left", "wait", "waiting", "hold", "keep", "keeping", "stay", "stays", "not"))
_IDLE = frozenset(("be", "have", "get", "see", "know", "need", "want", "say", "come", "go", "wait", "start", "show"))
_HELD = frozenset(
    ("held", "stuck", "taped", "tied", "lashed", "wired", "clamped", "propped", "hung", "wedged", "using", "used")
)
_SPARE = frozenset(("spare", "old", "borrowed", "wrong"))
_BOXES = frozenset(("system", "gearbox", "box", "tank", "sump", "engine", "headstock", "unit", "chaincase", "radiator"))
_PIPES = frozenset(("pipe", "hose", "line", "flexi", "union"))
_DOING = frozenset(("do", "doing", "done"))
_FILLING = frozenset(("fill", "top_up"))
_BACK = 40
# What is dry because it does not leak.
_TIGHT_OR_LEAKING = frozenset(("seal", "gasket", "gaiter", "ring", "joint", "plug", "boot", "face", "bore"))


def find_said(sentences: Sentences, topics: Topics) -> Iterator[LooseEnd]:
    """Provisional, loose, not closed and promised, by their cues."""
    yield from _comes_off_again(sentences, topics)
    yield from _temporary(sentences, topics)
    yield from _held_until(sentences, topics)
    yield from _loose(sentences, topics)
    yield from _empty(sentences, topics)
    yield from _dry(sentences, topics)
    yield from _not_bled(sentences, topics)
    yield from _needs_new(sentences, topics)
    yield from _not_reached(sentences, topics)
    yield from _cover_off(sentences, topics)
    yield from _promised(sentences, topics)
    yield from _job_for_later(sentences, topics)


def told_end(
    kind: str, topic: Topic, sentences: Sentences, start: int, end: int, action: str = "", side: str = ""
) -> LooseEnd:
    """A loose end that rests on the units `start` to `end`."""
    said, start_word, end_word, start_ms = sentences.told(start, end)
    event = topic.event.id if topic.event else ""
    return LooseEnd(
        kind, topic.name, said, start_ms, "", None, side or topic.side, topic.position, start_word, end_word, event,
        action,
    )  # fmt: skip


def _comes_off_again(sentences: Sentences, topics: Topics) -> Iterator[LooseEnd]:
    """ "so that comes off again"; without "again" only where the part was put on shortly before."""
    for cue in ("again", "comes_off"):
        for start, end in sentences.cues(cue):
            first, _ = sentences.bounds(start)
            if _NOT_SO & set(sentences.lead(start)):
                continue
            topic = topics.subject(start)
            if topic is not None and (cue == "again" or _is_stopgap(sentences, topics, topic, start)):
                yield told_end("provisional", topic, sentences, max(first, start - 4), end, "fit")


def _is_stopgap(sentences: Sentences, topics: Topics, topic: Topic, at: int) -> bool:
    """True where the part was put on provisionally, or is said to be a spare or an old one."""
    first, _ = sentences.bounds(at)
    if _SPARE & set(sentences.scan.text[first:at]) or sentences.any_cue(("temporary",), first, at):
        return True
    return any(
        talk.event is not None and talk.name == topic.name and talk.at < at and at - talk.at < _BACK
        and talk.event.action in _PLACED and talk.event.status in ("provisional", "done")
        for talk in topics.all()
    )  # fmt: skip


def _temporary(sentences: Sentences, topics: Topics) -> Iterator[LooseEnd]:
    """ "only temporary", "just so nothing falls in": said of what was put there."""
    text = sentences.scan.text
    for start, end in sentences.cues("temporary"):
        first, stop = sentences.bounds(start)
        before = text[first:start]
        if _NOT_SO & set(before[-8:]) or not _PUTTING & set(before) or "not" in before[-8:]:
            continue
        if sentences.any_cue(("not_temporary", "loose", "deferred"), first, stop):
            continue
        placed = [
            talk for talk in topics.all()
            if talk.event is not None and first <= talk.at < start and talk.event.action in _PLACED
            and talk.event.status in ("done", "provisional")
        ]  # fmt: skip
        topic = placed[-1] if placed else topics.subject(start)
        if topic is not None:
            yield told_end("provisional", topic, sentences, first, end, "fit")


def _held_until(sentences: Sentences, topics: Topics) -> Iterator[LooseEnd]:
    """ "stuck on with tape till the rivets arrive", "held with a spare bolt until the right one turns up"."""
    text = sentences.scan.text
    for at, word in enumerate(text):
        first, _ = sentences.bounds(at)
        held = [spot for spot in range(max(first, at - 12), at) if text[spot] in _HELD]
        if word not in ("until", "till", "til") or not held or _NOT_SO & set(text[first:at]):
            continue
        spare = [
            phrase for phrase in sentences.scan.phrases
            if held[-1] < phrase.start < at and topics.is_topic(phrase)
            and _SPARE & set(text[phrase.start : phrase.end])
        ]  # fmt: skip
        topic = topics.of_phrase(spare[-1]) if spare else topics.subject(held[-1])
        if topic is not None:
            yield told_end("provisional", topic, sentences, first, at, "fit")


def _loose(sentences: Sentences, topics: Topics) -> Iterator[LooseEnd]:
    """ "it's only finger tight", "just nipped", "I've left the clamps slack"."""
    text = sentences.scan.text
    for start, end in sentences.cues("loose"):
        first, _ = sentences.bounds(start)
        if _NOT_SO & set(sentences.lead(start)):
            continue
        topic = topics.object_of(end) if text[start] in ("just", "only", "loosely") else None
        topic = topic or _pointed_inside(topics, sentences, start, end)
        topic = topic or topics.fastener_before(start) or topics.subject(start)
        fastener = topic is not None and topic.name.split()[-1] in sentences.rules.words["safety_heads"]
        if text[start] in ("want", "wants", "need", "needs") and not fastener:
            continue
        if topic is not None:
            yield told_end("loose", topic, sentences, first, end, "tighten")
    for at, word in enumerate(text):
        phrase = sentences.scan.starting.get(at + 1)
        if word in ("left", "leave", "leaving") and phrase is not None and not _NOT_SO & {*sentences.lead(at)}:
            if "not" in sentences.lead(at):
                continue
            slack = {"loose", "slack"} & set(text[phrase.end : phrase.end + 3])
            topic = topics.meant_by(phrase)
            if slack and topic is not None:
                yield told_end("loose", topic, sentences, at, phrase.end + 1, "tighten")


def _pointed_inside(topics: Topics, sentences: Sentences, start: int, end: int) -> Topic | None:
    """ "run THOSE up by hand", "not done THE NUTS up"."""
    for at in range(start, end):
        phrase = sentences.scan.starting.get(at)
        named = phrase is not None and (phrase.is_pronoun or (phrase.is_part and bool(phrase.determiner)))
        if phrase is not None and named and phrase.end <= end:
            return topics.meant_by(phrase)
    return None


def _empty(sentences: Sentences, topics: Topics) -> Iterator[LooseEnd]:
    """ "the differential is still empty", "there's no oil in the engine"."""
    text = sentences.scan.text
    for start, end in sentences.cues("empty"):
        first, _ = sentences.bounds(start)
        if _NOT_SO & set(sentences.lead(start)):
            continue
        inside = sentences.scan.starting.get(end - 1) if text[end - 1] == "the" else None
        topic = topics.meant_by(inside) if inside is not None else topics.subject(start)
        if topic is not None and not topics.is_vessel(topic.name):
            if topic.name.split()[-1] in _TIGHT_OR_LEAKING:
                continue
            topic = topics.vessel(start) or topic
        if topic is not None:
            yield told_end("not_closed", topic, sentences, first, end, "fill")


def _not_bled(sentences: Sentences, topics: Topics) -> Iterator[LooseEnd]:
    """ "it's not bled yet", "it's still full of air"."""
    for start, end in sentences.cues("unbled"):
        first, _ = sentences.bounds(start)
        topic = topics.subject(start)
        if topic is not None and not topics.is_vessel(topic.name) and topic.name.split()[-1] not in _PIPES:
            topic = topics.hydraulic(start) or topic
        if topic is not None and not _NOT_SO & set(sentences.lead(start)):
            yield told_end("not_closed", topic, sentences, first, end, "bleed")


def _not_reached(sentences: Sentences, topics: Topics) -> Iterator[LooseEnd]:
    """ "I've not got round to the anodes", "there's still the dynamo to do"."""
    text = sentences.scan.text
    for start, end in sentences.cues("not_reached"):
        topic = topics.object_of(end)
        if topic is not None and not topic.side and topic.event is None:
            yield told_end("promised", topic, sentences, start, end + 2)
    for phrase in sentences.scan.phrases:
        still = "still" in sentences.lead(phrase.start, 3)
        doing = phrase.end + 1 in sentences.scan.verbs or text[phrase.end + 1 : phrase.end + 2] in (["do"], ["go"])
        to_do = doing and text[phrase.end] == "to"
        if still and to_do and topics.is_topic(phrase):
            yield told_end("promised", topics.of_phrase(phrase), sentences, phrase.start - 1, phrase.end + 2)


def _needs_new(sentences: Sentences, topics: Topics) -> Iterator[LooseEnd]:
    """ "it's going to need a new cover at some point"."""
    for phrase in sentences.scan.phrases:
        first, stop = sentences.bounds(phrase.start)
        needed = {"need", "needs", "want", "wants"} & {*sentences.lead(phrase.start, 2)}
        needed_later = bool(needed) and sentences.any_cue(("deferred",), phrase.end, stop)
        if needed_later and phrase.condition == "new" and topics.is_topic(phrase):
            yield told_end("promised", topics.of_phrase(phrase), sentences, first, stop, "renew")


def _dry(sentences: Sentences, topics: Topics) -> Iterator[LooseEnd]:
    """ "the system's dry"."""
    for start, end in sentences.cues("dry"):
        phrase = sentences.scan.ending.get(start)
        if phrase is not None and phrase.is_part and phrase.name.split()[-1] in _BOXES:
            yield told_end("not_closed", topics.of_phrase(phrase), sentences, phrase.start, end, "fill")


def _cover_off(sentences: Sentences, topics: Topics) -> Iterator[LooseEnd]:
    """ "it isn't back on yet", "I've not put it back": opened and not closed."""
    for start, end in sentences.cues("not_back"):
        first, _ = sentences.bounds(start)
        topic = _pointed_inside(topics, sentences, start, end) or topics.subject(start)
        if topic is not None and not _NOT_SO & set(sentences.lead(start)):
            yield told_end("not_closed", topic, sentences, first, end, "fit")


def _promised(sentences: Sentences, topics: Topics) -> Iterator[LooseEnd]:
    """ "I'll turn one up next week", "the loom I'll do next time"."""
    scan, text, rules = sentences.scan, sentences.scan.text, sentences.rules
    verbs_at = {at: verbs for at, (_, verbs) in scan.verbs.items()}
    doing = {at: at + 1 for at, word in enumerate(text) if word in _DOING}
    busy = {at: end for at, (end, verbs) in scan.verbs.items() if not any(verb.lemma in _IDLE for verb in verbs)}
    for at, verb_end in sorted((busy | doing).items()):
        first, stop = sentences.bounds(at)
        lead = text[max(first, at - 4) : at]
        if not _WILL & set(lead) or {"not", "you"} & set(lead):
            continue
        after = set(text[verb_end:stop])
        later = sentences.any_cue(("deferred",), max(first, at - 8), stop) or _LATER & after
        # "I'll tap it until I see the thread" is how long; "I'll leave it until spring" puts it off
        if not (later or (_UNTIL & after and _LEAVES & set(text[first:stop]))) or {"was", "were"} & set(lead):
            continue
        topic = topics.object_of(verb_end) or topics.subject(at)
        if topic is not None:
            action = next((plain for verb in verbs_at.get(at, ()) if (plain := rules.plain.get(verb.lemma))), "")
            if not action and topic.event and topic.event.status in ("negated", "planned"):
                action = topic.event.action
            yield told_end("promised", topic, sentences, first, stop, action)


def _job_for_later(sentences: Sentences, topics: Topics) -> Iterator[LooseEnd]:
    """ "that's a job for the morning"."""
    text = sentences.scan.text
    for start, end in sentences.cues("later_job"):
        first, stop = sentences.bounds(start)
        if {"not", "was", "were", "before", "going"} & set(sentences.lead(start)):
            continue
        topic = topics.subject(start)
        if topic is not None and (end == len(text) or scan_gap(sentences, end) or text[end - 1] in ("for", "on", "in")):
            action = topic.event.action if topic.event and topic.event.status in ("negated", "planned") else ""
            yield told_end("promised", topic, sentences, first, min(stop, end + 3), action)


def scan_gap(sentences: Sentences, at: int) -> bool:
    """True where a break stands before a unit, or the text has no breaks to go by."""
    gaps = sentences.scan.gap
    return gaps[at] > 0 or SENTENCE not in gaps[1:]
