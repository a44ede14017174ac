"""Owners that the build of the sentence tells: "the guide it runs in is three fourteen", "a groove, two thou deep"."""

from __future__ import annotations

import re
from collections.abc import Sequence

from pipeline.numbers.words import word_set
from pipeline.quantities.owners import Last, Span, Speech
from pipeline.quantities.things import Thing

# Marks on a part, of which a depth or a length is told rather than of the part.
_MARKS = word_set(
    "groove scratch pit score scoring split crack dent chip nick gouge ridge slot lip notch keyway flat crater spigot "
    "undercut recess counterbore"
)
_SAID_OF_MARKS = frozenset({"deep", "long", "wide"})
_MARK_WITHIN = 16
# What opens a clause that tells which thing is meant, and what links the thing to it.
_RELATIVE = word_set("that which it they we i you he she both")
_PLACED = word_set(
    "in on above below under behind inside over through beside next at round around across top of by to off with into "
    "from"
)
_AFTER_COMMA = word_set("that which is are was were it it's")
_POINTS_BACK = word_set("it them that those there this these him her")
_VERBS = word_set(
    "is are was were be gets get takes took wants want needs need holds held has had goes go went reads read runs "
    "measures weighs comes came only"
)
_LEADS = word_set("a an the about another only just now still near nearly to at of bored set got good reamed turned")
_MOST_LEADS, _LONGEST_CLAUSE, _LONGEST_PLACE = 4, 8, 5
# A size that stands for its fasteners: "the M10s".
_SIZES = re.compile(r"m\d+(?:\.\d+)?'?s")
_POINTING = word_set("the a all both each two three four five six eight ten twelve of those these other")
_PRESSURE_SIDES = frozenset({"low", "high", "suction", "discharge"})
_SIDE_WITHIN, _PLACED_WITHIN = 8, 3
_VALVES = word_set("inlet inlets intake intakes exhaust exhausts")
_OF_VALVES = word_set("valve valves side pipe manifold port cam tappet tappets rocker rockers")
_VALVE_WITHIN = 6
_BEFORE_FIGURES, _MOST_BETWEEN = word_set("gap is was at gets"), 2
_PRONOUNS = word_set("that it there they what here where")


def told_owner(
    span: Span, things: Sequence[Thing], speech: Speech, owned: Sequence[tuple[Span, Thing | None]]
) -> Thing | None:
    """The thing that a figure can only belong to by the sentence's build, or None where that tells nothing.

    `owned`: the figures before that count nothing, with their owners.
    """
    last = owned[-1] if owned else None
    behind = speech.words[span.end : span.end + 1]
    if span.qty.kind == "count" or (span.qty.kind == "volume" and behind == ["of"]):
        return None
    pointed = (
        _weighed(span, things, speech)
        or _valve(span, speech)
        or _pointed(span, things, speech)
        or _side(span, speech)
        or _in_turn(span, things, speech)
        or _as_the_one_before(span, things, speech, last)
        or _each_behind(span, things, speech)
    )
    if pointed is not None:
        return pointed
    return _mark(span, things, speech, last) or _by_its_size(span, speech, owned) or _clause(span, things, speech)


def _weighed(span: Span, things: Sequence[Thing], speech: Speech) -> Thing | None:
    """ "fifteen grams of grease": what is weighed out, and not what it goes into."""
    if span.qty.kind != "mass" or speech.words[span.end : span.end + 1] != ["of"]:
        return None
    return next((thing for thing in things if 1 <= thing.start - span.end <= 2 and thing.kind == "fluid"), None)


def _valve(span: Span, speech: Speech) -> Thing | None:
    """ "twelve thou the inlet and fifteen the exhaust", "inlet's fine at point one": the valve, named by its place."""
    words = speech.words
    if span.qty.kind != "clearance":
        return None
    behind = words[span.end : span.end + 3]
    if behind[:1] == ["the"] and {*behind[1:2]} & _VALVES and not {*behind[2:3]} & _OF_VALVES:
        return Thing(behind[1].removesuffix("s"), "part", span.end + 1, span.end + 2, None)
    for place in range(span.start - 1, max(-1, span.start - _VALVE_WITHIN), -1):
        if speech.sentence_of[place] != speech.sentence_of[span.start] or not speech.words[place].isalpha():
            return None
        if words[place] in _VALVES and speech.short[place]:
            return Thing(words[place], "part", place, place + 1, None)
    return None


def second_of_two(owner: Thing, things: Sequence[Thing], speech: Speech) -> Thing | None:
    """ "between the punch and the die": what stands between two is of the first; None for any other thing."""
    words, place = speech.words, owner.start
    while place > 0 and words[place - 1] in _POINTING | {"my"}:
        place -= 1
    if place < 1 or words[place - 1] != "and":
        return None
    first = next((thing for thing in things if thing.end == place - 1 and thing.kind in ("part", "fastener")), None)
    led = first is not None and "between" in words[max(0, first.start - 2) : first.start]
    return first if led else None


def _pointed(span: Span, things: Sequence[Thing], speech: Speech) -> Thing | None:
    """ "Flywheel nut is sixty. Twenty on the four cover screws.": the torque that opens a clause, and what gets it."""
    words, start = speech.words, span.start
    opens = start == 0 or speech.sentence_of[start - 1] != speech.sentence_of[start]
    if span.qty.kind != "torque" or not opens or {*words[span.end : span.end + 1]} - {"on", "for"}:
        return None
    place = span.end + 1
    while place < min(len(words), span.end + _MOST_LEADS) and words[place] in _POINTING:
        place += 1
    return next((thing for thing in things if thing.start == place and thing.kind in ("part", "fastener")), None)


def _in_turn(span: Span, things: Sequence[Thing], speech: Speech) -> Thing | None:
    """ "front brake pads three mil, rear brake pads five": each thing right before its figure."""
    before = next((thing for thing in things if thing.end == span.start and thing.kind in ("part", "fastener")), None)
    after = next((thing for thing in things if 0 <= thing.start - span.end <= _PLACED_WITHIN), None)
    if before is None or after is None or after.name != before.name:
        return None
    ahead = any(other.start == after.end and other.qty.kind == span.qty.kind for other in speech.spans)
    return before if ahead else None


def _as_the_one_before(span: Span, things: Sequence[Thing], speech: Speech, last: Last) -> Thing | None:
    """ "High screw one turn, low screw one and a quarter": each right behind its name, and nothing else between."""
    if last is None or last[1] is None or last[0].qty.kind != span.qty.kind:
        return None
    before, owner = last
    here = _right_before(span, things, speech)
    if here is None or not 0 <= here.start - before.end <= 1 or _right_before(before, things, speech) is not owner:
        return None
    named = here.term is not None or here.end - here.start > 1  # no "apart", "change" or "interference"
    return here if named and here.kind in ("part", "fastener") else None


def _right_before(span: Span, things: Sequence[Thing], speech: Speech) -> Thing | None:
    """The thing that a figure stands right behind: "second ring gap twelve"."""
    start = span.start
    while start > 0 and speech.words[start - 1] in _BEFORE_FIGURES and span.start - start < _MOST_BETWEEN:
        start -= 1
    near = (thing for thing in things if start <= thing.end <= span.start and thing.start < span.start)
    return next(near, None)


def _each_behind(span: Span, things: Sequence[Thing], speech: Speech) -> Thing | None:
    """ "four for the inlet and six for the exhaust", "eighteen on the long nuts and twelve on the short nuts"."""
    here = _linked(span, things, speech)
    if here is None or span.qty.kind not in ("torque", "clearance", "angle"):
        return None
    sentence = speech.sentence_of[span.start]
    others = (
        other
        for other in speech.spans
        if other is not span and other.qty.kind == span.qty.kind and speech.sentence_of[other.start] == sentence
    )
    link = speech.words[span.end : span.end + 1]
    alike = (other for other in others if speech.words[other.end : other.end + 1] == link)
    return here if any(_linked(other, things, speech) for other in alike) else None


def _linked(span: Span, things: Sequence[Thing], speech: Speech) -> Thing | None:
    """The part behind "on the" or "for the" right behind a figure."""
    words = speech.words
    if words[span.end : span.end + 1] not in (["on"], ["for"]) or span.qty.said[-1:] in ",.;:":
        return None
    place = span.end + 1
    while place < len(words) and place - span.end < _MOST_LEADS and words[place] in _POINTING:
        place += 1
    for thing in things:
        if thing.start == place and thing.kind == "fastener":
            return thing
    valve, sided = words[place : place + 1], words[place + 1 : place + 2] == ["side"]
    if not sided and span.qty.kind == "clearance" and {*valve} & _VALVES:  # a place elsewhere
        return Thing(valve[0].removesuffix("s"), "part", place, place + 1, None)
    return None


def _side(span: Span, speech: Speech) -> Thing | None:
    """ "thirty five psi on the low side", "the high side's at one forty": a side of an air conditioning."""
    if span.qty.kind != "pressure":
        return None
    words = speech.words
    behind = range(span.end + 2, span.end + 3) if tuple(words[span.end : span.end + 2]) == ("on", "the") else range(0)
    for place in (*behind, *range(span.start - 2, max(-1, span.start - _SIDE_WITHIN), -1)):
        if speech.sentence_of[min(place, len(words) - 1)] != speech.sentence_of[span.start]:
            continue
        if any(place < other.start < span.start for other in speech.spans):
            continue
        if words[place : place + 1] and words[place] in _PRESSURE_SIDES and words[place + 1 : place + 2] == ["side"]:
            if words[place + 2 : place + 3] == ["of"]:
                return None
            return Thing(f"{words[place]} side", "part", place, place + 2, None)
    return None


def _by_its_size(span: Span, speech: Speech, owned: Sequence[tuple[Span, Thing | None]]) -> Thing | None:
    """ "and the two M10s are thirty two": the fasteners said to be of that size, and what those get."""
    words = speech.words
    if span.qty.kind != "thread" or not _SIZES.fullmatch(words[span.end - 1]):
        before, owner = owned[-1] if owned else (None, None)
        named = before is not None and before.qty.kind == "thread" and _SIZES.fullmatch(words[before.end - 1])
        linked = before is not None and {*words[before.end : span.start]} <= _VERBS | _LEADS | {"to"}
        return owner if named and linked and owner is not None and owner.kind == "fastener" else None
    return next(
        (
            owner
            for other, owner in reversed(owned)
            if owner is not None and owner.kind == "fastener"
            and (other.qty.kind, other.qty.value, other.qty.unit) == ("thread", span.qty.value, span.qty.unit)
        ),
        None,
    )  # fmt: skip


def _mark(span: Span, things: Sequence[Thing], speech: Speech, last: Last) -> Thing | None:
    """ "it's got a groove where the bearing spun, about ninety thou deep": the mark, and no part said since."""
    words, sentence = speech.words, speech.sentence_of[span.start]
    closed = span.end >= len(words) or span.qty.said[-1:] in (",", ".", ";", ":")
    behind = "" if closed else words[span.end]
    inside = {*words[span.start : span.end]} & _SAID_OF_MARKS
    if span.qty.kind != "length" or not (behind in _SAID_OF_MARKS or inside):
        return None
    marks = [
        thing
        for thing in things
        if thing.end <= span.start
        and span.start - thing.end <= _MARK_WITHIN
        and words[thing.end - 1].removesuffix("s") in _MARKS
        and speech.sentence_of[thing.start] == sentence
    ]
    named = [thing for thing in marks if words[thing.start - 1] in ("a", "an")]
    mark = (named or marks)[-1] if marks else None
    verb = _verb(span, speech)
    is_one = verb >= 0 and words[verb] in _VERBS
    if mark is not None and is_one and any(mark.end < thing.start and thing.end == verb for thing in things):
        return None  # "the groove is clean, and the shaft is ten millimetres long"
    between = mark is not None and last is not None and mark.end <= last[0].start
    return None if between and last is not None and last[1] is not mark else mark


def _verb(span: Span, speech: Speech) -> int:
    """The place of the last word before a figure and what leads to it."""
    verb = span.start - 1
    while verb >= 0 and speech.words[verb] in _LEADS and span.start - verb <= _MOST_LEADS and not speech.short[verb]:
        verb -= 1
    return verb


def _clause(span: Span, things: Sequence[Thing], speech: Speech) -> Thing | None:
    """ "the carrier they bolt to is a hundred and ten", "the plug in it's a nineteen", "a link that's bored to one"."""
    words, stops = speech.words, speech.stops
    verb = _verb(span, speech)
    if verb < 1 or not (words[verb] in _VERBS or speech.short[verb]):
        return None
    taken = {place for other in speech.spans for place in range(other.start, other.end)}
    by_end = {thing.end: thing for thing in things if thing.kind in ("part", "fastener", "tool")}
    first = max(0, verb - _LONGEST_CLAUSE)
    for opens in range(verb, first, -1):
        if opens in taken or speech.sentence_of[opens] != speech.sentence_of[verb]:
            return None
        if opens < verb and stops[opens] and not (opens + 1 == verb or words[opens + 1] in _AFTER_COMMA):
            return None
        thing = by_end.get(opens)
        if thing is None or speech.short[opens - 1]:
            continue
        clause = words[opens : verb + 1]
        if stops[opens - 1] and not _goes_on(clause, speech.short[verb]):
            continue
        if _tells_which(clause, speech.short[verb]) and not _nested(thing, speech, stops[verb - 1]):
            return thing
    return None


def _goes_on(clause: Sequence[str], short: bool) -> bool:
    """ "the carrier, they bolt through to is": a comma that was guessed, as the clause ends with its preposition."""
    inner = clause if short else clause[:-1]
    return len(inner) > 2 and inner[0] in _RELATIVE and (inner[-1] in _PLACED or inner[0] in ("that", "which"))


def _nested(thing: Thing, speech: Speech, stopped: bool) -> bool:
    """ "a seat for the bearing that must be ten", "the nut on the rod inside, that's ten": of the seat, of the nut."""
    heads = {"for", "of", "on", "in"} if stopped else {"for", "of"}
    return bool({*speech.words[max(0, thing.start - 2) : thing.start]} & heads)


def _tells_which(clause: Sequence[str], short: bool) -> bool:
    """Whether words between a thing and its figure only tell which thing it is."""
    inner = clause if short else clause[:-1]
    if not inner:
        return False
    placed = inner[0] in _PLACED
    if placed and len(inner) <= _LONGEST_PLACE and inner[-1] in _POINTS_BACK:
        return inner[0] != "of" and all(word in _PLACED | _POINTS_BACK | {"the", "end", "side"} for word in inner)
    relative = inner
    if placed and len(inner) > 2 and inner[1] in _POINTS_BACK:
        relative = inner[1:] if inner[1] == "that" else inner[2:]  # "the switch above it, that works the lamp"
    if relative[0] not in _RELATIVE:
        return False
    if len(relative) == 1:
        return short and relative[0] in ("that", "which")  # "a link that's bored to one and a quarter"
    return relative[-1] not in _RELATIVE | {"and", "but", "so"}
