"""Finds loose ends in the events of one recording and in the words around them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from pipeline.events.next_breath import is_now
from pipeline.loose_ends.closing import OTHER_SIDE, close_inside, closing_event, same_job
from pipeline.loose_ends.follows import follows_from, loose_end
from pipeline.loose_ends.have_none import named_by_lack
from pipeline.loose_ends.meant import better_named, named_or_not, placed_one
from pipeline.loose_ends.names import PartNames
from pipeline.loose_ends.not_known import is_only_a_sign
from pipeline.loose_ends.only_when import is_only_when
from pipeline.loose_ends.reading import Reading
from pipeline.loose_ends.ruled import SAME_MATTER, find_ruled
from pipeline.loose_ends.said_later import find_put_off
from pipeline.loose_ends.same_thing import FASTENERS, overlap
from pipeline.loose_ends.sentences import Sentences
from pipeline.loose_ends.still_open import (
    closes_what_is_open,
    is_filled_since,
    is_left_out_for_good,
    is_only_some,
    only_dries,
    rightly_named,
)
from pipeline.loose_ends.topics import Topics
from pipeline.loose_ends.weights import Weights, load_weights
from pipeline.loose_ends.witnesses import agree
from pipeline.records import Event, LooseEnd, PartMention, Token
from pipeline.vocabulary import Vocabulary

_BECAUSE = frozenset(("because", "cause", "cos", "as", "since"))
_PLACING = frozenset(("", "fit", "remove", "renew", "assemble", "connect"))
# Explicit words beat what is only concluded, and the nearer kind beats the wider one.
_FAR, _NEARBY = 30, 60  # words
# So many words on the talk is still of the same bolt.
_SAME_TALK = 40
_RANK = ("loose", "provisional", "waiting", "not_closed", "promised", "one_side_only", "no_figure")


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
    return find_in(Reading(events, tokens, vocabulary), mentions, load_weights())


def find_in(reading: Reading, mentions: Sequence[PartMention], weights: Weights) -> list[LooseEnd]:
    """The same for a recording that is read already, with any weights."""
    events, names = reading.events, reading.names
    sentences = Sentences(reading.scan, reading.tokens, reading.rules)
    topics = Topics(events, mentions, sentences, names.is_paired)
    ruled = agree(reading, find_ruled(events, sentences, topics, names), weights)
    told = [named_by_lack(better_named(end, reading, weights), reading, sentences, topics) for end in ruled]
    put_off = [
        end for end in find_put_off(events, sentences, topics, names)
        if not any(_same_matter(end, other, names.name_of) for other in told)
    ]  # fmt: skip
    said = [
        _sensible(_of_the_verb(rightly_named(end, reading), reading), names) for end in (*told, *put_off)
    ]  # fmt: skip
    sided = [end for end in said if end.kind == "one_side_only"]
    empty = [end for end in said if end.kind in ("not_closed", "promised") and end.action in ("fill", "bleed")]
    follows = [
        end for end in follows_from(events, names, sided)
        if not any(same_job(end.action, other.action) and end.start_word < other.start_word for other in empty)
    ]  # fmt: skip
    opened = [end for end in follows if end.kind == "not_closed"]
    said = [end for end in said if not (end.kind == "promised" and _closes(end, opened, names.name_of))]
    said = [end for end in said if not _other_side_told(end, said, names.name_of)]
    ranked = [*sorted(said, key=_rank), *sorted(follows, key=_rank)]
    ends = close_inside(_distinct(ranked, names), events, names.name_of)
    ends = [end for end in ends if not _is_none(end, reading)]
    half = [end for end in ends if end.kind == "not_closed" and not end.closed_by]
    ends = [end for end in ends if not (end.kind == "one_side_only" and _closes(end, half, names.name_of))]
    sure = {(end.kind, end.start_word) for end in (*put_off, *follows)}
    named = [end if (end.kind, end.start_word) in sure else _named(end, reading, weights) for end in ends]
    kept = [end for end in named if end.part or not any(other.part and overlap(end, other) for other in named)]
    kept = [
        end for end in kept
        if not (is_only_a_sign(end) and any(other is not end and overlap(end, other) for other in kept))
    ]  # fmt: skip
    kept = [end for end in kept if not any(_in_full(end, other, names.name_of) for other in kept)]
    kept = [
        end for place, end in enumerate(kept)
        if not any(_says_the_same(end, other, names) for other in kept[:place])
    ]  # fmt: skip
    return sorted(kept, key=lambda end: (end.start_ms, end.start_word))


def _says_the_same(end: LooseEnd, other: LooseEnd, names: PartNames) -> bool:
    """One job of one part that is told twice of the same words: an event tells it, and so do the words."""
    one = (end.kind, end.action, names.name_of(end.part)) == (other.kind, other.action, names.name_of(other.part))
    return one and overlap(end, other) and bool(end.part) and (end.side, end.position) == (other.side, other.position)


def _in_full(end: LooseEnd, other: LooseEnd, name_of: Callable[[str], str]) -> bool:
    """ "The kickstand spring is broken, I will fit two new springs": told once, by the full name."""
    short, full = name_of(end.part).split(), name_of(other.part).split()
    one_job = end.kind == other.kind and same_job(end.action, other.action)
    return one_job and overlap(end, other) and len(full) > len(short) == 1 and full[-1] == short[0]


def _named(end: LooseEnd, reading: Reading, weights: Weights) -> LooseEnd:
    """The end with its part where that is known, closed by what was done to that."""
    named = named_or_not(end, reading, weights)
    placed = placed_one(named, reading)
    return named if placed is named else close_inside([placed], reading.events, reading.names.name_of)[0]


def _of_the_verb(end: LooseEnd, reading: Reading) -> LooseEnd:
    """ "I won't do the nut up yet because the yoke has to line up": what is put off is the nut."""
    spots = reading.clauses_in(end.start_word, end.end_word)
    if end.kind != "promised" or not spots:
        return end
    first, last = reading.clauses[spots[0]], reading.clauses[spots[-1]]
    start = next((clause.start for clause in reading.clauses if clause.sentence == first.sentence), first.start)
    text = reading.scan.text
    why = next((at for at in range(start, last.end) if text[at] in _BECAUSE), last.end)
    if any(phrase.name == end.part for phrase in reading.scan.phrases_in(start, why)):
        return end
    if why in (start, last.end):
        return end
    _, start_word, end_word, _ = reading.words(start, why)
    left = [event for event in reading.events if event.status in ("negated", "planned")]
    put_off = [event for event in left if start_word <= event.start_word < end_word]
    # "... because the chain has still got to be adjusted": the reason is a job of its own
    own = any(
        event.part == end.part and event.action != "align" and end_word <= event.start_word < end.end_word
        for event in left
    )
    if own or not put_off:
        return end
    event = put_off[-1]
    return replace(end, part=event.part, side=event.side, position=event.position, action=event.action, event=event.id)


def _sensible(end: LooseEnd, names: PartNames) -> LooseEnd:
    """The promise of a job that the part cannot have is only that there is something left to do to it."""
    end = closes_what_is_open(end, names)
    if end.kind == "waiting" and names.is_tool(end.part):  # "my torque wrench is at my brother's": it goes on nothing
        return replace(end, action="")
    return end if end.kind != "promised" or names.can_be(end.action, end.part) else replace(end, action="")


def _closes(end: LooseEnd, opened: Sequence[LooseEnd], name_of: Callable[[str], str]) -> bool:
    """True where the end only tells that something opened will be closed, or is half closed."""
    return any(
        name_of(other.part) == name_of(end.part) and same_job(other.action, end.action) and bool(end.action)
        for other in opened
    )


def _same_matter(end: LooseEnd, other: LooseEnd, name_of: Callable[[str], str]) -> bool:
    """True where another end tells of the same part nearby: what is put off is told there, and its kind is surer."""
    return name_of(end.part) == name_of(other.part) and abs(end.start_word - other.start_word) < _NEARBY


def _other_side_told(end: LooseEnd, others: Sequence[LooseEnd], name_of: Callable[[str], str]) -> bool:
    """ "The right one I'll grease tomorrow" is told by what is done on the left only, and once."""
    return end.kind == "promised" and any(
        other.kind == "one_side_only" and name_of(other.part) == name_of(end.part)
        and end.side in ("", OTHER_SIDE.get(other.side, ""))
        and overlap(end, other)
        for other in others
    )  # fmt: skip


def _is_none(end: LooseEnd, reading: Reading) -> bool:
    """True where what is told around it leaves nothing open."""
    judges = (
        _closed_at_once, _is_on, _is_now_done, is_filled_since, is_left_out_for_good, is_only_some, only_dries,
        is_only_when,
    )  # fmt: skip
    return any(judge(end, reading) for judge in judges)


def _closed_at_once(end: LooseEnd, reading: Reading) -> bool:
    """True for what was left slack or for now and is done in the same sentence: it was never left open."""
    if end.kind == "not_closed":
        return False
    event = next((event for event in reading.events if event.id == end.closed_by), None)
    spots = reading.clauses_in(end.start_word, end.end_word)
    if event is None or not spots:
        return False
    last = reading.clauses_in(event.end_word - 1, event.end_word)
    return any(reading.clauses[spot].sentence == reading.clauses[spots[0]].sentence for spot in last)


def _is_on(end: LooseEnd, reading: Reading) -> bool:
    """ "The guard is on with two bolts, loose for now": whatever else is open there, the guard is on."""
    name_of = reading.names.name_of
    return end.kind == "not_closed" and end.action == "fit" and any(
        event.status == "done" and event.action == "fit" and event.id != end.event
        and overlap(end, event)
        and name_of(event.part) == name_of(end.part)
        for event in reading.events
    )  # fmt: skip


def _is_now_done(end: LooseEnd, reading: Reading) -> bool:
    """ "The grub screw hadn't been tightened. It has now.": open no more."""
    spots = reading.clauses_in(end.start_word, end.end_word)
    return end.kind in ("loose", "promised", "not_closed") and bool(spots) and is_now(
        reading.clauses[spots[-1]].end, reading.scan
    )  # fmt: skip


def _rank(end: LooseEnd) -> tuple[int, int]:
    return _RANK.index(end.kind), end.start_word


def _distinct(ends: Sequence[LooseEnd], names: PartNames) -> list[LooseEnd]:
    """One loose end for one matter: said twice, or said and concluded, counts once."""
    name_of = names.name_of
    kept: list[LooseEnd] = []
    for end in ends:
        twin = next(
            (
                other for other in kept
                if name_of(other.part) == name_of(end.part) and end.kind in SAME_MATTER[other.kind]
                and _same_place(other, end, names)
            ),
            None,
        )  # fmt: skip
        paint = twin is not None and (twin.kind, end.kind) == ("provisional", "promised") and end.action not in _PLACING
        # a bolt that is not done up yet is no opening that is not closed
        slack = end.part.split()[-1:] != [] and end.part.split()[-1] in FASTENERS and any(
            name_of(other.part) == name_of(end.part) and (other.kind, end.kind) == ("loose", "not_closed")
            and abs(other.start_word - end.start_word) <= _SAME_TALK
            for other in kept
        )  # fmt: skip
        if slack:
            continue
        if twin is None or paint or (twin.kind == end.kind and _comes_back(twin, end)):
            kept.append(end)
    return kept


def _same_place(first: LooseEnd, second: LooseEnd, names: PartNames) -> bool:
    """False for the left one and the right one, and for nuts far apart of which one has a place: nuts are many."""
    if first.side and second.side and first.side != second.side:
        return False
    if first.position and second.position and first.position != second.position:
        return False
    if (first.side, first.position) == (second.side, second.position) or not names.is_generic(first.part):
        return True
    return abs(first.start_word - second.start_word) < _NEARBY


def _comes_back(first: LooseEnd, second: LooseEnd) -> bool:
    """Two ends of one kind far apart with different actions are two matters."""
    if first.kind not in ("promised", "not_closed") or abs(first.start_word - second.start_word) < _FAR:
        return False
    if not second.action:
        return False  # a list of what is left names the part once more
    if not first.action:
        return abs(first.start_word - second.start_word) > _NEARBY
    return not same_job(first.action, second.action)


__all__ = ["closing_event", "find_loose_ends", "loose_end"]
