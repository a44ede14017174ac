"""What is on but not finished: not adjusted, done roughly, still loose, forgotten, or left where it is until something.

"Derailleur back on. I haven't indexed it." "I've trued it roughly. It still needs a final true." "They stay loose until
the blade is back." "I forgot the washer." "The new chain is still in the box."
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from pipeline.events.phrase import Phrase
from pipeline.loose_ends.follows import loose_end
from pipeline.loose_ends.names import PartNames
from pipeline.loose_ends.said import told_end
from pipeline.loose_ends.sentences import Sentences
from pipeline.loose_ends.topics import Topic, Topics
from pipeline.records import Event, LooseEnd

_ON = frozenset(("fit", "renew", "assemble", "connect", "repair", "route"))
_SETTINGS = frozenset(("adjust", "align", "test", "bleed"))
# So many units behind the fitting it is told that the thing is not adjusted.
_SAME_TALK = 24
# What makes a denial no job: the reason, or that it is told of another time or by rule.
_NO_JOB = frozenset((
    "because", "cos", "as", "since", "so", "need", "needs", "needed", "never", "you", "if", "was", "were", "had",
    "fine", "moved", "touched", "would", "bother", "bothered", "going", "when", "except",
))  # fmt: skip
_WHY = frozenset(("because", "cos", "as", "since"))
_NOT_SO = frozenset(("if", "you", "was", "were", "had", "did", "not", "never", "would", "when", "unless"))
_STILL, _NEEDS = "still", frozenset(("needs", "need", "wants", "want", "requires"))
_FINISHING = frozenset((
    "true", "coat", "tension", "tensioning", "check", "tweak", "clean", "polish", "adjustment", "tune", "rub", "skim",
    "test", "bleed", "alignment", "setting", "wash", "flush", "torque", "finish", "pass", "lacquer", "going",
))  # fmt: skip
_ONE_MORE = frozenset(("a", "an", "another", "one", "its", "the", "second", "third", "final", "proper", "good"))
_NO_WORK = frozenset(("nothing", "something", "anything", "everything", "during", "using", "being", "string", "spring"))
_LOOK = 4
_KEPT = frozenset(("stay", "stays", "staying", "remain", "remains", "leave", "leaving", "left", "kept", "keep"))
_LOOSE = frozenset(("loose", "slack", "undone", "untightened"))
_UNTIL = frozenset(("until", "till", "til", "for"))
_FORGOT = frozenset(("forgot", "forgotten"))
_SPEAKERS = frozenset(("i", "we"))
_IS = frozenset(("is", "are", "'s", "was", "were", "has", "had", "goes", "to", "until", "that"))
# "I forgot the washer, so I took the plug out again"
_MENDED = (("so", "i"), ("and", "i"), ("so", "we"), ("then", "i"))
_OFF, _POINTS = frozenset(("off", "out")), frozenset(("it", "that", "those", "them", "these"))
_PACKED = (("in", "the"), ("in", "its"), ("in", "their"))
_PACKING = frozenset(("box", "bag", "packet", "wrapper", "wrapping", "boxes", "bags", "packaging", "package"))


def find_unfinished(
    events: Sequence[Event], sentences: Sentences, topics: Topics, names: PartNames
) -> Iterator[LooseEnd]:
    """Promised and loose, where the words are plain."""
    yield from _not_set(events, sentences, names)
    yield from _still_needs(sentences, topics)
    yield from _stays_loose(sentences, topics, names)
    yield from _left_off(sentences, topics)
    yield from _forgotten(sentences, topics)
    yield from _still_packed(sentences, topics)
    yield from _reminded(sentences, topics)


def _not_set(events: Sequence[Event], sentences: Sentences, names: PartNames) -> Iterator[LooseEnd]:
    """ "The shoes are in but I have not adjusted them": the same thing was just put on, and is not set."""
    text = sentences.scan.text
    for place, event in enumerate(events):
        if event.status != "negated" or event.action not in _SETTINGS:
            continue
        start, end = sentences.units(event)
        first, stop = sentences.around(event)
        stop = next((at for at in range(end, stop) if sentences.scan.gap[at]), stop)
        why = text[stop : stop + 1] if stop < len(text) else []
        put_on = any(
            other.action in _ON and other.status in ("done", "provisional")
            and names.name_of(other.part) == names.name_of(event.part)
            and abs(start - sentences.units(other)[0]) <= _SAME_TALK
            for other in events[:place]
        )  # fmt: skip
        if put_on and _NO_JOB.isdisjoint(text[first:stop]) and _WHY.isdisjoint(why):
            end_of = loose_end("not_closed" if event.action == "bleed" else "promised", event)
            # the words of the denial: the fitting before it does not close it
            denied = next((at for at in range(end - 1, start, -1) if text[at] == "not"), start)
            said, start_word, end_word, start_ms = sentences.told(denied, max(end, denied + 1))
            yield replace(end_of, said=said, start_word=start_word, end_word=end_word, start_ms=start_ms)


def _still_needs(sentences: Sentences, topics: Topics) -> Iterator[LooseEnd]:
    """ "It still needs a final true", "they still want setting"."""
    scan = sentences.scan
    text = scan.text
    for at in range(1, len(text) - 2):
        if text[at] != _STILL or text[at + 1] not in _NEEDS or _NOT_SO & set(sentences.lead(at)):
            continue
        _, stop = sentences.bounds(at)
        follows = text[at + 2 : min(stop, at + 2 + _LOOK)] or [""]
        gerund = follows[0].endswith("ing") and follows[0] not in _NO_WORK
        more = follows[0] in _ONE_MORE and not _FINISHING.isdisjoint(follows)
        verbs = scan.verbs.get(at + 4, (0, ()))[1]
        to_be = follows[:2] == ["to", "be"] and any("pp" in reading.tags for reading in verbs)
        topic = topics.subject(at) if gerund or more or to_be else None
        if topic is not None:
            yield told_end("promised", replace(topic, event=None), sentences, at, min(stop, at + 2 + _LOOK))


def _stays_loose(sentences: Sentences, topics: Topics, names: PartNames) -> Iterator[LooseEnd]:
    """ "They stay loose until the blade is back", "the stem nut stays undone until the forks are in"."""
    scan = sentences.scan
    for at in range(1, len(scan.text) - 2):
        if scan.text[at] not in _LOOSE or scan.text[at + 1] not in _UNTIL or scan.text[at - 1] not in _KEPT:
            continue
        if scan.text[at + 1] == "for" and scan.text[at + 2 : at + 3] not in (["now"], ["the"]):
            continue
        if _NOT_SO & set(sentences.lead(at)):
            continue
        topic = topics.subject(at - 1)
        if topic is not None and (scan.text[at] != "undone" or names.is_fastener(topic.name)):
            yield told_end("loose", topic, sentences, at - 1, at + 2, "tighten")


def _left_off(sentences: Sentences, topics: Topics) -> Iterator[LooseEnd]:
    """ "Tyre: we'll leave that off until the wheel is true"."""
    scan = sentences.scan
    for at in range(2, len(scan.text) - 1):
        if scan.text[at] not in _OFF or scan.text[at + 1] not in _UNTIL - {"for"}:
            continue
        if scan.text[at - 1] not in _POINTS or scan.text[at - 2] not in _KEPT or _NOT_SO & set(sentences.lead(at)):
            continue
        topic = topics.subject(at)
        if topic is not None and "you" not in scan.text[at + 2 : at + 4]:
            yield told_end("promised", topic, sentences, at - 2, at + 2, "fit")


def _forgotten(sentences: Sentences, topics: Topics) -> Iterator[LooseEnd]:
    """ "I forgot the washer", "I've forgotten the spacer": not "I forgot the nut was left-handed"."""
    scan = sentences.scan
    for at in range(1, len(scan.text) - 1):
        if scan.text[at] not in _FORGOT or not _SPEAKERS & set(scan.text[max(0, at - 2) : at]):
            continue
        phrase = scan.starting.get(at + 1 + (scan.text[at + 1] == "about"))
        if phrase is None or not topics.is_topic(phrase) or scan.gap[at + 1] or _NOT_SO & set(sentences.lead(at)):
            continue
        if phrase.end in scan.verbs or not _IS.isdisjoint(scan.text[phrase.end : phrase.end + 1]):
            continue
        if tuple(scan.text[phrase.end : phrase.end + 2]) in _MENDED:
            continue
        yield told_end("promised", topics.of_phrase(phrase), sentences, at - 1, phrase.end, "fit")


def _still_packed(sentences: Sentences, topics: Topics) -> Iterator[LooseEnd]:
    """ "There's a new filter going on, but it's still in its box", "the new bars are still in the packet"."""
    scan = sentences.scan
    for at in range(1, len(scan.text) - 3):
        packed = tuple(scan.text[at + 1 : at + 3]) in _PACKED and scan.text[at + 3] in _PACKING
        if scan.text[at] != _STILL or not packed or _NOT_SO & set(sentences.lead(at)):
            continue
        first, _ = sentences.bounds(at)
        for named in _new_ones(sentences, first, at):
            yield told_end("promised", topics.of_phrase(named), sentences, named.start, at + 4, "fit")


def _new_ones(sentences: Sentences, first: int, at: int) -> Iterator[Phrase]:
    """The parts of a sentence that are new, or that are said to be going on."""
    named = [part for part in sentences.scan.phrases_in(first, at) if part.is_part]
    return (part for part in named if part.condition == "new" and "spare" not in sentences.scan.text[first:at])


def _reminded(sentences: Sentences, topics: Topics) -> Iterator[LooseEnd]:
    """ "Remind me to put the fuse back in", "don't let me forget to nip up the clamp"."""
    scan = sentences.scan
    for start, end in sentences.cues("remind_to"):
        verb = scan.verbs.get(end)
        topic = _object(sentences, topics, verb[0]) if verb is not None else None
        if verb is None or topic is None or {"if", "he", "she", "they", "did", "not"} & set(sentences.lead(start)):
            continue
        action = next((plain for each in verb[1] if (plain := sentences.rules.plain.get(each.lemma))), "")
        yield told_end("promised", replace(topic, event=None), sentences, start, verb[0] + 2, action)


def _object(sentences: Sentences, topics: Topics, at: int) -> Topic | None:
    """The part behind a verb and its "up" or "back on"."""
    for spot in range(at, min(at + 3, len(sentences.scan.text))):
        topic = topics.object_of(spot)
        if topic is not None:
            return topic
    return None
