"""Jobs put off in words that leave no doubt: a list of what is left, "I didn't get to the cable", "a winter job"."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from pipeline.events.not_reached import NO_MEANS
from pipeline.events.phrase import Phrase
from pipeline.events.reading import SENTENCE
from pipeline.loose_ends.follows import loose_end
from pipeline.loose_ends.have_none import find_none
from pipeline.loose_ends.listed_jobs import JOINS, list_of_jobs, next_time
from pipeline.loose_ends.named_first import find_named_first
from pipeline.loose_ends.names import PartNames
from pipeline.loose_ends.not_known import find_not_known
from pipeline.loose_ends.on_the_list import find_listed
from pipeline.loose_ends.said import told_end
from pipeline.loose_ends.said_for_now import find_for_now
from pipeline.loose_ends.said_unfinished import find_unfinished
from pipeline.loose_ends.sentences import Sentences
from pipeline.loose_ends.short_of import find_short
from pipeline.loose_ends.still_open import find_still_open
from pipeline.loose_ends.topics import Topic, Topics
from pipeline.loose_ends.undone import find_undone
from pipeline.records import Event, LooseEnd

_BEFORE = 24  # units
# Work that is gone over once more when the machine has run.
_ONCE_MORE = frozenset((
    "go", "check", "nip", "torque", "tighten", "look", "measure", "adjust", "change", "bleed", "set", "tension",
    "inspect", "tweak", "grease",
))  # fmt: skip
_AGAIN_IN_A_WORD = frozenset(("retorque", "re-torque", "recheck", "re-check", "retighten", "retension"))
_THEN = frozenset(("after", "when", "once", "at", "in"))
_HAS_RUN = frozenset((
    "run", "running", "ran", "ride", "ridden", "drive", "driven", "hot", "warm", "warmed", "heat", "cooled", "cool",
    "cold", "settled", "bedded", "kilometres", "kilometers", "kilometre", "km", "miles", "mile", "hours", "hour",
    "weeks", "laps", "start", "started", "cycles", "outing", "trip", "test", "fired",
))  # fmt: skip
_GONE = frozenset(("was", "were", "did", "had", "have", "has", "been", "not", "never", "if"))
_TIGHT = frozenset(("tighten", "torque"))
_IDLE = frozenset(("remove", "dismantle", "drain", "inspect", "measure"))
_PUTS = frozenset(("fit", "assemble", "connect"))


def find_put_off(events: Sequence[Event], sentences: Sentences, topics: Topics, names: PartNames) -> Iterator[LooseEnd]:
    """Promised, not closed and without a figure, by words that need nothing else to bear them out."""
    yield from list_of_jobs(events, sentences, topics)
    yield from next_time(sentences, topics)
    yield from _not_reached(sentences, topics)
    yield from _job_for_a_season(sentences, topics)
    yield from _once_more(sentences, topics, names)
    yield from _not_put_back(events, sentences, names)
    yield from _not_yet(events, sentences, names)
    yield from _without_torque(events, sentences, topics, names)
    yield from find_short(sentences, topics)
    yield from find_none(sentences, topics)
    yield from find_not_known(sentences, topics)
    yield from find_listed(sentences, topics)
    yield from find_for_now(sentences, topics)
    yield from find_undone(events, sentences, topics, names)
    yield from find_still_open(events, sentences, topics, names)
    yield from find_named_first(events, sentences, topics, names)
    yield from find_unfinished(events, sentences, topics, names)


def _not_reached(sentences: Sentences, topics: Topics) -> Iterator[LooseEnd]:
    """ "I didn't get to the cable or the horn", "the lights, I ran out of time"; "the dynamo, I've not touched it"."""
    scan = sentences.scan
    for start, end in sentences.cues("never_reached"):
        if {"if", "you", "when"} & set(sentences.lead(start)):
            continue
        first, stop = sentences.bounds(start)
        phrase = scan.starting.get(end) if end < stop and not scan.gap[end] else None
        if phrase is not None and topics.is_topic(phrase) and phrase.head not in ("bottom", "end", "point"):
            for named in _joined(sentences, topics, phrase):
                yield told_end("promised", topics.of_phrase(named), sentences, start, named.end)
        elif phrase is not None and phrase.is_pronoun and not phrase.side:
            topic = topics.meant_by(phrase)
            if topic is not None:
                yield told_end("promised", topic, sentences, start, phrase.end)
        elif end >= stop or scan.gap[end]:
            topic = _just_named(sentences, topics, start)
            if topic is not None:
                yield told_end("promised", topic, sentences, max(first, topic.at), end)
    for start, end in sentences.cues("untouched"):
        topic = topics.subject(start)
        ends = end == len(scan.text) or scan.gap[end] > 0
        if topic is not None and ends and not {"if", "you"} & set(sentences.lead(start)):
            yield told_end("promised", topic, sentences, start, end)


def _joined(sentences: Sentences, topics: Topics, phrase: Phrase) -> Iterator[Phrase]:
    """A part and those named with it: "the cable, the horn or the lights"."""
    scan = sentences.scan
    while True:
        yield phrase
        at = phrase.end
        while at < len(scan.text) and scan.gap[at] < SENTENCE and scan.text[at] in JOINS:
            at += 1
        following = scan.starting.get(at)
        linked = at > phrase.end or (at < len(scan.text) and 0 < scan.gap[at] < SENTENCE)
        if following is None or not linked or not topics.is_topic(following) or following.end in scan.verbs:
            return
        phrase = following


def _just_named(sentences: Sentences, topics: Topics, at: int) -> Topic | None:
    """The part that the same breath is about, whatever its number; else the one talked of before."""
    first, _ = sentences.bounds(at)
    named = [
        phrase for phrase in sentences.scan.phrases_in(first, at)
        if topics.is_topic(phrase) and not topics.of_phrase(phrase).aside
    ]  # fmt: skip
    return topics.of_phrase(named[0]) if named else topics.subject(at)


def _job_for_a_season(sentences: Sentences, topics: Topics) -> Iterator[LooseEnd]:
    """ "the bushes are worn, but that's going to be a winter job"."""
    for start, end in sentences.cues("season_job"):
        lead = set(sentences.lead(start))
        if {"was", "were", "not", "if", "you", "last"} & lead:
            continue
        topic = _just_named(sentences, topics, start)
        if topic is not None:
            yield told_end("promised", topic, sentences, max(sentences.bounds(start)[0], topic.at), end)


def _once_more(sentences: Sentences, topics: Topics, names: PartNames) -> Iterator[LooseEnd]:
    """ "go over them again after fifty kilometres", "I'll retorque the head when it's been hot"."""
    scan = sentences.scan
    text = scan.text
    for at, word in enumerate(text):
        if word != "again" and word not in _AGAIN_IN_A_WORD:
            continue
        first, stop = sentences.bounds(at)
        since = [spot for spot in range(at + 1, stop) if text[spot] in _THEN]
        if not since or not _HAS_RUN & set(text[since[0] : min(stop, since[0] + 9)]):
            continue
        verbs = [at] if word != "again" else [s for s in range(max(first, at - 8), at) if text[s] in _ONCE_MORE]
        if not verbs or _GONE & set(text[max(first, verbs[0] - 5) : verbs[0]]):
            continue
        inside = [p for p in scan.phrases_in(verbs[0] + 1, since[0]) if topics.is_topic(p) or p.is_pronoun]
        pointing = inside[0] if inside else None
        topic = topics.meant_by(pointing) if pointing is not None else topics.subject(verbs[0])
        if topic is not None:
            fastener = names.is_fastener(topic.name)
            if "you" in text[max(first, verbs[0] - 4) : verbs[0]] and not fastener:
                continue
            yield told_end("promised", topic, sentences, verbs[0], stop, "torque" if fastener else "")


def _not_put_back(events: Sequence[Event], sentences: Sentences, names: PartNames) -> Iterator[LooseEnd]:
    """ "I didn't put the mudguard back on": off, and not because it is done with."""
    text = sentences.scan.text
    for event in events:
        if event.status != "negated" or event.action not in _PUTS or event.condition == "old":
            continue
        start, end = sentences.units(event)
        _, stop = sentences.around(event)
        words = text[start : min(end + 2, len(text))]
        if "back" not in words or {"need", "needs", "needed", "going", "you", "never"} & set(text[start:stop]):
            continue
        yield loose_end("not_closed" if names.is_cover(event.part) else "promised", event)


def _not_yet(events: Sequence[Event], sentences: Sentences, names: PartNames) -> Iterator[LooseEnd]:
    """ "I haven't set the braking yet and I haven't wired in the switch, and I won't use it until I have"."""
    text = sentences.scan.text
    for event in events:
        if event.status != "negated" or event.side or event.action in _IDLE:
            continue
        start, end = sentences.units(event)
        first, stop = sentences.bounds(start)
        told = range(max(first, start - 3), end)
        mine = any(text[at] in ("i", "we") and text[at + 1 : at + 3] == ["have", "not"] for at in told)
        if not mine or {"you", "if", "never", "need", "needs"} & set(text[max(first, start - 3) : end + 2]):
            continue
        until = any(first <= at < stop for at, _ in sentences.cues("not_until"))
        if until or "yet" in text[start : min(stop, end + 2)]:
            filled = event.action in ("fill", "top_up", "bleed")
            covered = event.action in _PUTS and names.is_cover(event.part)
            kind = "loose" if event.action in _TIGHT else "not_closed" if filled or covered else "promised"
            yield loose_end(kind, event)


def _without_torque(
    events: Sequence[Event], sentences: Sentences, topics: Topics, names: PartNames
) -> Iterator[LooseEnd]:
    """ "I tightened the bolts up good, I didn't put a torque on it"."""
    for event in events:
        if event.status == "planned" and event.why.endswith(NO_MEANS):  # "I haven't got a wrench that goes that far"
            yield loose_end("no_figure", event)
    for start, end in sentences.cues("without_torque"):
        near = [talk for talk in topics.all() if start - _BEFORE < talk.at < end and names.is_fastener(talk.name)]
        if near and not {"if", "you", "never"} & set(sentences.lead(start)):
            yield told_end("no_figure", near[-1], sentences, start, end, "torque")
