"""What the speaker says is not done, or has to be, and nothing later in the recording does."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from pipeline.loose_ends.closing import same_job
from pipeline.loose_ends.follows import loose_end
from pipeline.loose_ends.names import PartNames
from pipeline.loose_ends.said import told_end
from pipeline.loose_ends.sentences import Sentences
from pipeline.loose_ends.topics import Topics
from pipeline.records import Event, LooseEnd

# Who uses a machine on which such work is not done can be hurt.
_GRAVE = frozenset(("brakes", "wheels", "steering", "electric", "fuel", "machine", "propeller"))
_ON = frozenset(("fit", "assemble", "connect"))
_NOT_NOW = frozenset(
    ("was", "were", "had", "did", "if", "you", "your", "when", "why", "never", "need", "needs", "would")
)
_DECIDES = frozenset(("going", "will", "do", "does", "can", "am"))
_UNTIL = frozenset(("until", "till", "til"))
_WILL = frozenset((("i", "will"), ("we", "will"), ("going", "to")))
_IDLE_TALK = frozenset(("show", "just", "then", "see", "say", "try", "be", "want"))
_NEEDS = frozenset(("need", "needs", "want", "wants", "requires"))
# What tells that a job is for now, or is no job of the speaker's.
_AT_ONCE = frozenset((
    "you", "your", "if", "now", "first", "before", "let", "was", "were", "would", "could", "not", "had", "until",
    "till", "because", "cause", "did", "does", "whether",
))  # fmt: skip
_JOBS = frozenset((
    "renew", "repair", "adjust", "tighten", "torque", "clean", "coat", "fill", "lubricate", "align", "bleed", "test",
    "seal", "inspect", "connect", "fit",
))  # fmt: skip
# What is still to be done is summed up at the end: in the last words of so many, or the last part of the recording.
_CLOSING, _LAST = 120, 0.8


def find_undone(events: Sequence[Event], sentences: Sentences, topics: Topics, names: PartNames) -> Iterator[LooseEnd]:
    """Not closed and promised, told by what is denied or needed."""
    yield from _not_connected(sentences, topics)
    yield from _grave(events, sentences, names)
    yield from _needed(events, sentences, names)
    yield from _remembered(events, sentences, topics)


def _not_connected(sentences: Sentences, topics: Topics) -> Iterator[LooseEnd]:
    """ "The motor end is hanging free, so it's not wired at the motor", "the choke cable is not connected"."""
    scan = sentences.scan
    for start, _ in sentences.cues("not_connected"):
        first, stop = sentences.bounds(start)
        if _NOT_NOW & set(scan.text[first:start]):
            continue
        if _is_made_so(scan.text, first, stop):
            continue
        topic = topics.subject(start)
        if topic is not None:
            yield told_end("not_closed", topic, sentences, first, stop, "connect")


def _grave(events: Sequence[Event], sentences: Sentences, names: PartNames) -> Iterator[LooseEnd]:
    """ "I've not put the brake pads in": brakes, current, fuel and guards are open till it is done."""
    text, around = sentences.scan.text, ""
    for place, event in enumerate(events):
        around = names.around(event.part, around)
        if event.status != "negated" or event.action not in _ON or event.condition == "old":
            continue
        start, end = sentences.units(event)
        first, stop = sentences.around(event)
        told = set(text[max(first, start - 4) : end + 2])
        line = event.action == "connect" or names.is_cover(event.part) or names.hazard_of(event.part) == "electric"
        left = bool({"left", "leaving"} & set(text[start:end])) and bool({"off", "out"} & set(text[start : end + 1]))
        until = bool(_UNTIL & set(text[start:stop]))
        if not (line or left or until or names.hazard_of(event.part) in _GRAVE) or _NOT_NOW & told:
            continue
        if not until and (_DECIDES & told or _is_made_so(text, first, stop)):
            continue
        if not _is_done(event, events[place + 1 :], names):
            yield loose_end("not_closed" if line or left or until else "promised", event)


def _is_made_so(text: Sequence[str], start: int, stop: int) -> bool:
    """ "the lever is not connected to the shaft" tells how a thing is made, unless "yet" is said."""
    joined = any(text[at] == "connected" and text[at + 1 : at + 2] in (["to"], ["with"]) for at in range(start, stop))
    return joined and not {"yet", "still"} & set(text[start:stop])


def _needed(events: Sequence[Event], sentences: Sentences, names: PartNames) -> Iterator[LooseEnd]:
    """ "I must get the hub nuts torqued" near the end, "the brake blocks want setting up"."""
    text = sentences.scan.text
    for place, event in enumerate(events):
        if event.status != "planned" or event.action not in _JOBS:
            continue
        start, end = sentences.units(event)
        first, _ = sentences.around(event)
        told = text[max(first, start - 6) : end]
        if _AT_ONCE & set(told) or _is_dealt_with(event, events[place + 1 :], names):
            continue
        late = start > min(_LAST * len(text), len(text) - _CLOSING)
        speaker = any(word in ("i", "we") and _must(told[at + 1 : at + 5]) for at, word in enumerate(told))
        will = late and any(
            pair in _WILL and not _IDLE_TALK & set(told[at + 2 : at + 4]) for at, pair in enumerate(pairwise(told))
        )
        passive = any(word in _NEEDS and _is_work(told[at + 1 : at + 4]) for at, word in enumerate(told))
        if will or (speaker and late) or (passive and not {"i", "we"} & set(told)):
            yield loose_end("promised", event)


def _remembered(events: Sequence[Event], sentences: Sentences, topics: Topics) -> Iterator[LooseEnd]:
    """ "And stake it after. So remind me": what was said last is still to be done."""
    text = sentences.scan.text
    for start, end in sentences.cues("remind"):
        first, stop = sentences.bounds(start)
        if start - first > 3 or stop - end > 1 or not first:
            continue
        before, _ = sentences.bounds(first - 1)
        if {"you", "your", "was", "were"} & set(text[before:first]):
            continue
        told = [event for event in events if before <= sentences.units(event)[0] < first]
        open_work = [event for event in told if event.status in ("planned", "negated", "provisional", "advised")]
        if open_work:
            yield loose_end("promised", open_work[-1])
        elif not told and (topic := topics.before(first)) is not None:
            yield told_end("promised", topic, sentences, before, end)


def _must(words: Sequence[str]) -> bool:
    """ "I | must", "I | will have to", "we | have got to"; not "I | have told him to"."""
    rest = [word for word in words if word not in ("will", "shall", "still", "also", "really", "just")]
    if rest[:1] in (["need"], ["must"]):
        return True
    return rest[:2] in (["have", "to"], ["got", "to"]) or rest[:3] == ["have", "got", "to"]


def _is_work(words: Sequence[str]) -> bool:
    """ "wants | setting up", "needs | to be cleaned"."""
    return bool(words) and (words[0].endswith("ing") or words[:2] == ["to", "be"])


def _is_done(event: Event, later: Sequence[Event], names: PartNames) -> bool:
    work = _work_on(event, later, names)
    return any(other.status == "done" and same_job(other.action, event.action) for other in work)


def _is_dealt_with(event: Event, later: Sequence[Event], names: PartNames) -> bool:
    """True where the same part is worked on later, in whatever words."""
    return any(other.status in ("done", "provisional") for other in _work_on(event, later, names))


def _work_on(event: Event, later: Sequence[Event], names: PartNames) -> Iterator[Event]:
    """The later events of an event's part."""
    own = names.name_of(event.part)
    return (other for other in later if names.name_of(other.part) == own)
