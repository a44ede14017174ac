"""Loose ends by rules: what the status of an event leaves open, and what is said in the cues of cues.toml."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from pipeline.loose_ends.closing import is_without_figure, same_job
from pipeline.loose_ends.follows import loose_end
from pipeline.loose_ends.names import PartNames
from pipeline.loose_ends.said import find_said
from pipeline.loose_ends.said_sides import find_one_sided
from pipeline.loose_ends.said_waiting import find_waiting
from pipeline.loose_ends.same_thing import overlap
from pipeline.loose_ends.sentences import Sentences
from pipeline.loose_ends.topics import Topics
from pipeline.records import Event, LooseEnd

_TIGHT = frozenset(("tighten", "torque"))
_JOBS = frozenset((
    "renew", "repair", "adjust", "tighten", "torque", "clean", "coat", "fill", "top_up", "lubricate", "align",
    "measure", "bleed", "test", "machine", "weld", "seal", "polish", "drill", "cut", "inspect", "connect",
))  # fmt: skip
_UNTIL = frozenset(("until", "till", "when", "once"))
# Explicit words beat what is only concluded, and the nearer kind beats the wider one.
SAME_MATTER = {
    "loose": ("loose", "no_figure", "promised"),
    "provisional": ("provisional", "promised"),
    "waiting": ("waiting", "promised"),
    "not_closed": ("not_closed", "promised"),
    "promised": ("promised", "not_closed", "no_figure", "one_side_only"),
    "one_side_only": ("one_side_only",),
    "no_figure": ("no_figure",),
}


def find_ruled(events: Sequence[Event], sentences: Sentences, topics: Topics, names: PartNames) -> list[LooseEnd]:
    """What the rules find told."""
    status = list(_from_status(events, sentences, names, topics))
    told = [*find_said(sentences, topics), *find_waiting(sentences, topics), *find_one_sided(sentences, topics)]
    told = [replace(end, part=names.container_of(end.part)) if end.kind == "promised" else end for end in told]
    said = list(status)
    for end in told:
        if not _inside(end, status) and not _told_with(end, said[len(status) :]):
            said.append(end)
    said = [end for end in said if not _put_off_by(end, said)]
    return [end for end in said if not (end.kind == "not_closed" and end.event and _is_promised(end, said, names))]


def _told_with(end: LooseEnd, others: Sequence[LooseEnd]) -> bool:
    """True where a cue in the same words has told a matter of this kind already."""
    return any(
        end.kind == other.kind and end.kind in ("provisional", "loose", "not_closed")
        and overlap(end, other)
        for other in others
    )  # fmt: skip


def _inside(end: LooseEnd, others: Sequence[LooseEnd]) -> bool:
    """True where the words that tell it are those of an event that tells the same."""
    return any(
        (end.kind == other.kind or (end.kind in SAME_MATTER[other.kind] and end.kind == "promised"))
        and other.start_word < end.end_word <= other.end_word
        for other in others
    )


def _is_promised(end: LooseEnd, others: Sequence[LooseEnd], names: PartNames) -> bool:
    """ "it's not bled, I'll bleed it at the weekend": the promise says more."""
    return any(
        other.kind == "promised" and other.start_word >= end.start_word and same_job(other.action, end.action)
        and names.name_of(other.part) == names.name_of(end.part)
        for other in others
    )  # fmt: skip


def _put_off_by(end: LooseEnd, others: Sequence[LooseEnd]) -> bool:
    """ "the nearside I'll leave until I've got the seal": one matter, told as the side that is open."""
    if end.kind == "waiting" and set(end.said.lower().split()) & _UNTIL:
        stronger: tuple[str, ...] = ("one_side_only",)
    elif end.kind == "promised":
        stronger = ("one_side_only", "waiting")
    else:
        return False
    return any(other.kind in stronger and overlap(end, other) for other in others)


def _from_status(events: Sequence[Event], sentences: Sentences, names: PartNames, topics: Topics) -> Iterator[LooseEnd]:
    """What the status of an event leaves open."""
    tightened: set[str] = set()
    for event in events:
        oil = (
            _poured(event, sentences, names) if event.action == "fit" and event.status in ("planned", "negated") else ""
        )
        if oil:
            event = replace(event, part=oil, action="fill")
        if event.status == "done" and is_without_figure(event):
            tightened.add(event.part)
        if event.status == "provisional":
            loose = event.action in _TIGHT or sentences.has("loose", event)
            part = _loose_fastener(event, sentences, topics) if loose else _for_what(event, sentences, topics)
            yield loose_end("loose" if loose else "provisional", event, "tighten" if loose else "", part)
        elif event.status == "negated" and sentences.left_off(event):
            yield loose_end("not_closed" if names.is_cover(event.part) else "promised", event)
        elif event.status == "negated" and sentences.still_open(event):
            if event.action in _TIGHT:
                yield loose_end("loose", event)
            elif event.action in ("fill", "top_up", "bleed"):
                yield loose_end("not_closed", event, part=_vessel(event, sentences, names, topics))
            elif event.action in ("fit", "assemble") and names.is_cover(event.part):
                yield loose_end("not_closed", event)
            elif sentences.not_yet(event):
                yield loose_end("promised", event)
        elif event.status == "planned" and event.action == "remove" and sentences.again(event):
            yield loose_end("provisional", event, "fit")
        elif event.status == "planned" and not event.why.startswith("“with”"):
            wanted = event.action in _JOBS and sentences.is_wanted(event)
            if wanted or sentences.has("deferred", event) or sentences.waits(event):
                loose = event.action in _TIGHT and event.part in tightened
                part = names.container_of(event.part) if event.action in ("fill", "top_up") else ""
                yield loose_end("loose" if loose else "promised", event, part=part)


def _loose_fastener(event: Event, sentences: Sentences, topics: Topics) -> str:
    """ "hung the bonnet with two bolts finger tight": the bolts are loose."""
    start, end = sentences.span(event)
    found = [topic for at, _ in sentences.cues("loose") if start <= at < end and (topic := topics.fastener_before(at))]
    return found[0].name if found else ""


def _poured(event: Event, sentences: Sentences, names: PartNames) -> str:
    """ "the gearbox oil, I'll put that in once it's back": what the oil goes into."""
    start, end = sentences.units(event)
    first, _ = sentences.bounds(start)
    phrases = [phrase for phrase in sentences.scan.phrases if first <= phrase.start < end and phrase.is_part]
    if any(phrase.name == event.part for phrase in phrases):
        return ""
    return next((box for phrase in phrases if (box := names.container_of(phrase.name)) != phrase.name), "")


def _for_what(event: Event, sentences: Sentences, topics: Topics) -> str:
    """The part that a makeshift was put on; what was stuffed into an opening has to come out itself."""
    if event.part.split()[-1] in sentences.rules.words["stuffing"]:
        return ""
    topic = topics.before(sentences.units(event)[0]) if topics.is_makeshift(event.part) else None
    return topic.name if topic else ""


def _vessel(event: Event, sentences: Sentences, names: PartNames, topics: Topics) -> str:
    """What "I haven't filled that yet" is about: something that holds a fluid."""
    if topics.is_vessel(event.part):
        return event.part
    if names.container_of(event.part) != event.part:
        return names.container_of(event.part)
    start, end = sentences.units(event)
    oils = [
        names.container_of(phrase.name) for phrase in sentences.scan.phrases
        if start - 30 < phrase.start < end and names.container_of(phrase.name) != phrase.name
    ]  # fmt: skip
    vessel = topics.vessel(end)
    return oils[-1] if oils else vessel.name if vessel else ""
