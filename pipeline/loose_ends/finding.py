"""Finds loose ends in the events of one recording and in the words around them."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace

from pipeline.events import finder_of
from pipeline.events.rules import load_rules
from pipeline.loose_ends.closing import close_inside, closing_event, same_job
from pipeline.loose_ends.names import PartNames
from pipeline.loose_ends.said import find_said
from pipeline.loose_ends.said_sides import find_one_sided
from pipeline.loose_ends.said_waiting import find_waiting
from pipeline.loose_ends.sentences import Sentences
from pipeline.loose_ends.topics import Topics
from pipeline.records import Event, LooseEnd, PartMention, Token
from pipeline.vocabulary import Vocabulary

_TIGHT = frozenset(("tighten", "torque"))
_PLACING = frozenset(("", "fit", "remove", "renew", "assemble", "connect"))
_JOBS = frozenset((
    "renew", "repair", "adjust", "tighten", "torque", "clean", "coat", "fill", "top_up", "lubricate", "align",
    "measure", "bleed", "test", "machine", "weld", "seal", "polish", "drill", "cut", "inspect", "connect",
))  # fmt: skip
# Explicit words beat what is only concluded, and the nearer kind beats the wider one.
_FAR = 30  # words
_APART = 40
_UNTIL = frozenset(("until", "till", "when", "once"))
_RANK = ("loose", "provisional", "waiting", "not_closed", "promised", "one_side_only", "no_figure")
_SAME_MATTER = {
    "loose": ("loose", "no_figure", "promised"),
    "provisional": ("provisional", "promised"),
    "waiting": ("waiting", "promised"),
    "not_closed": ("not_closed", "promised"),
    "promised": ("promised", "not_closed", "no_figure", "one_side_only"),
    "one_side_only": ("one_side_only",),
    "no_figure": ("no_figure",),
}


def find_loose_ends(
    events: Sequence[Event], mentions: Sequence[PartMention], tokens: Sequence[Token], vocabulary: Vocabulary
) -> list[LooseEnd]:
    """Loose ends of one recording in order of time, those that it closes itself included.

    Args:
        events: the events of the recording, in order.
        mentions: the parts that were presented.
        tokens: the corrected text the events were found in.
        vocabulary: tells pairs (a part there is on both sides), names of one part, and what is dangerous.
    """
    names = PartNames(vocabulary)
    sentences = Sentences(finder_of(vocabulary).read(tokens), tokens, load_rules())
    topics = Topics(events, mentions, sentences, names.is_paired)
    status = list(_from_status(events, sentences, names, topics))
    sided = list(find_one_sided(sentences, topics))
    told = [*find_said(sentences, topics), *find_waiting(sentences, topics), *sided]
    told = [replace(end, part=names.container_of(end.part)) if end.kind == "promised" else end for end in told]
    said = list(status)
    for end in told:
        if not _inside(end, status) and not _told_with(end, said[len(status) :]):
            said.append(end)
    said = [end for end in said if not _put_off_by(end, said)]
    said = [end for end in said if not (end.kind == "not_closed" and end.event and _is_promised(end, said, names))]
    empty = [end for end in said if end.kind == "not_closed" and end.action == "fill"]
    opened = [
        end for end in _not_closed(events, names)
        if not (end.action == "fill" and any(end.start_word < other.start_word for other in empty))
    ]  # fmt: skip
    said = [end for end in said if not (end.kind == "promised" and _closes(end, opened, names.name_of))]
    concluded = [*_one_side(events, names, sided), *opened, *_no_figure(events, names)]
    ranked = [*sorted(said, key=_rank), *sorted(concluded, key=_rank)]
    ends = close_inside(_distinct(ranked, names.name_of), events, names.name_of)
    half = [end for end in ends if end.kind == "not_closed" and not end.closed_by]
    ends = [end for end in ends if not (end.kind == "one_side_only" and _closes(end, half, names.name_of))]
    return sorted(ends, key=lambda end: (end.start_ms, end.start_word))


def _closes(end: LooseEnd, opened: Sequence[LooseEnd], name_of: Callable[[str], str]) -> bool:
    """True where the end only tells that something opened will be closed, or is half closed."""
    return any(
        name_of(other.part) == name_of(end.part) and same_job(other.action, end.action) and bool(end.action)
        for other in opened
    )


def _told_with(end: LooseEnd, others: Sequence[LooseEnd]) -> bool:
    """True where a cue in the same words has told a matter of this kind already."""
    return any(
        end.kind == other.kind and end.kind in ("provisional", "loose", "not_closed")
        and other.start_word < end.end_word and end.start_word < other.end_word
        for other in others
    )  # fmt: skip


def _inside(end: LooseEnd, others: Sequence[LooseEnd]) -> bool:
    """True where the words that tell it are those of an event that tells the same."""
    return any(
        (end.kind == other.kind or (end.kind in _SAME_MATTER[other.kind] and end.kind == "promised"))
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
    return any(
        other.kind in stronger and other.start_word < end.end_word and end.start_word < other.end_word
        for other in others
    )


def _rank(end: LooseEnd) -> tuple[int, int]:
    return _RANK.index(end.kind), end.start_word


def loose_end(kind: str, event: Event, action: str = "", part: str = "") -> LooseEnd:
    """A loose end that rests on an event."""
    both = (event.count or 0) == 2 and "both" in event.said.lower().split()
    side = event.side or ("both" if both else "")
    return LooseEnd(
        kind, part or event.part, event.said, event.start_ms, "", None, side, event.position, event.start_word,
        event.end_word, event.id, action or event.action,
    )  # fmt: skip


def _from_status(events: Sequence[Event], sentences: Sentences, names: PartNames, topics: Topics) -> Iterator[LooseEnd]:
    """What the status of an event leaves open."""
    tightened: set[str] = set()
    for event in events:
        oil = (
            _poured(event, sentences, names) if event.action == "fit" and event.status in ("planned", "negated") else ""
        )
        if oil:
            event = replace(event, part=oil, action="fill")
        if event.action in _TIGHT and event.status == "done" and not event.quantities:
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
    """The part that a makeshift was put on."""
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


def _one_side(events: Sequence[Event], names: PartNames, sided: Sequence[LooseEnd]) -> Iterator[LooseEnd]:
    """A part there is on both sides, done on one; where the speaker sums it up, that stands for all."""
    for event in events:
        if any(end.side == event.side and end.start_word >= event.start_word for end in sided):
            continue
        if event.status != "done" or not event.side or not names.is_paired(event.part) or event.action not in _SIDED:
            continue
        if (event.count or 1) >= 2:
            continue
        others = [
            other for other in events
            if other is not event and names.name_of(other.part) == names.name_of(event.part)
            and same_job(other.action, event.action) and other.status != "advised" and other.side != event.side
        ]  # fmt: skip
        if not any(other.side or (other.count or 1) >= 2 or other.start_ms > event.start_ms for other in others):
            yield loose_end("one_side_only", event)


_SIDED = frozenset(
    ("fit", "renew", "tighten", "torque", "bleed", "adjust", "assemble", "fill", "connect", "repair", "lubricate")
)


def _not_closed(events: Sequence[Event], names: PartNames) -> Iterator[LooseEnd]:
    """Drained and not filled, disconnected and not connected, a brake line opened and not bled."""
    for event in events:
        if event.status != "done":
            continue
        if event.action == "drain":
            yield loose_end("not_closed", event, "fill")
        elif event.action == "disconnect" and not _strips_down(event, events):
            yield loose_end("not_closed", event, "connect")
        elif names.is_brake_line(event.part) and event.action in ("remove", "fit", "renew", "slacken"):
            yield loose_end("not_closed", event, "bleed")


def _strips_down(event: Event, events: Sequence[Event]) -> bool:
    """True in the midst of taking things apart: what is disconnected there is no more open than what came off."""
    off = [
        other for other in events
        if other is not event and other.action in ("remove", "dismantle") and other.status == "done"
        and abs(other.start_word - event.start_word) < _APART
    ]  # fmt: skip
    return len(off) > 1


def _no_figure(events: Sequence[Event], names: PartNames) -> Iterator[LooseEnd]:
    """A fastener that lives depend on, tightened without a figure."""
    around = ""
    for event in events:
        around = names.around(event.part, around)
        if event.status != "done" or event.action not in _TIGHT or event.quantities:
            continue
        if names.is_fastener(event.part) and names.is_dangerous(event.part, around):
            yield loose_end("no_figure", event, "torque")


def _distinct(ends: Sequence[LooseEnd], name_of: Callable[[str], str]) -> list[LooseEnd]:
    """One loose end for one matter: said twice, or said and concluded, counts once."""
    kept: list[LooseEnd] = []
    for end in ends:
        twin = next(
            (
                other for other in kept
                if name_of(other.part) == name_of(end.part) and end.kind in _SAME_MATTER[other.kind]
                and (other.side == end.side or not other.side or not end.side)
            ),
            None,
        )  # fmt: skip
        paint = twin is not None and (twin.kind, end.kind) == ("provisional", "promised") and end.action not in _PLACING
        if twin is None or paint or (twin.kind == end.kind and _comes_back(twin, end)):
            kept.append(end)
    return kept


def _comes_back(first: LooseEnd, second: LooseEnd) -> bool:
    """Two ends of one kind far apart with different actions are two matters."""
    if first.kind not in ("promised", "not_closed") or abs(first.start_word - second.start_word) < _FAR:
        return False
    return bool(first.action) and bool(second.action) and not same_job(first.action, second.action)


__all__ = ["closing_event", "find_loose_ends", "loose_end"]
