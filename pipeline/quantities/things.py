"""What is talked of: the vocabulary's terms, made longer where they are the tail of a longer name, and other nouns."""

from __future__ import annotations

from collections.abc import Container, Sequence
from dataclasses import dataclass

from pipeline.quantities.counts import counted_nouns
from pipeline.quantities.mentions import Mention, find_mentions, name_words, named
from pipeline.quantities.names import describes, is_function_word, is_verb_behind, nameable, pointing
from pipeline.quantities.scan import cue_words
from pipeline.vocabulary import Term, Vocabulary, regular_singular

_LONGEST_NAME = 4
# "The old bore" is the bore, and "the whole machine" the machine.
_NO_NAMES = frozenset({"old", "new", "used", "whole", "spare", "heavy", "thin"})
# Kinds of term whose name goes on to the left: "seat belt bolt".
_GENERIC = frozenset({"fastener"})


@dataclass(frozen=True, slots=True)
class Thing:
    """A thing over words `start` to `end` (half-open). `term` is None for a noun outside the vocabulary."""

    name: str
    kind: str
    start: int
    end: int
    term: Term | None


def find_things(
    words: Sequence[str],
    stops: Sequence[bool],
    vocabulary: Vocabulary,
    pointed: Container[int] = (),
    ends: Container[int] = (),
) -> list[Thing]:
    """Things in a run of bare words, in order.

    Args:
        words: bare words, without a possessive 's.
        stops: whether punctuation follows each word.
        vocabulary: the terms.
        ends: places of the words that end a sentence.
        pointed: places where a noun begins if a nameable word stands there, as behind "the".
    """
    mentions, naming = find_mentions(words, vocabulary, ends), name_words(vocabulary)
    things: list[Thing] = []
    taken = 0
    for place, mention in enumerate(mentions):
        if mention.end <= taken:
            continue
        end, last = mention.end, mention
        for following in mentions[place + 1 :]:
            if following.start != end or stops[end - 1] or mention.term.kind not in ("part", "fastener"):
                break
            if following.term.kind not in ("part", "fastener"):
                break
            end, last = following.end, following
        while end < len(words) and not stops[end - 1] and words[end] in counted_nouns() and nameable(words[end]):
            end += 1
        start = _with_its_side(words, _left_end(words, stops, mention, taken, naming), taken)
        owner = things[-1] if things else None
        joins = start < mention.start or words[start] in cue_words("fluid_heads")
        if owner is not None and owner.end == start and joins and not stops[start - 1] and owner.kind == "part":
            # "headset top nut", "gearbox grease"
            things.pop()
            start = owner.start
        thing = _thing(words, start, end, last, mention, vocabulary)
        things.append(_measured(words, thing, vocabulary) if thing.kind == "measure" else thing)
        taken = end
    every = [*things, *_nouns(words, stops, things, vocabulary, pointed)]
    whole = (_without_its_tool(words, _with_its_o(words, thing, vocabulary), vocabulary) for thing in every)
    return sorted(whole, key=lambda thing: thing.start)


def _without_its_tool(words: Sequence[str], thing: Thing, vocabulary: Vocabulary) -> Thing:
    """ "plug wrench is thirteen sixteenths", "axle nut spanner nineteen": of what the tool turns."""
    if thing.end - thing.start < 2 or words[thing.end - 1] not in cue_words("turning_tools"):
        return thing
    turned = named(words[thing.end - 2 : thing.end - 1], vocabulary)
    if turned is None or turned.kind not in ("part", "fastener"):
        return thing
    return _named(words, thing.start, thing.end - 1, turned.kind, vocabulary)


def _with_its_o(words: Sequence[str], thing: Thing, vocabulary: Vocabulary) -> Thing:
    """ "the o ring", in two words, and "o ring groove": no other ring; "the u bolts"."""
    if thing.start >= 1 and words[thing.start - 1] in ("u", "j") and words[thing.start] in ("bolt", "bolts"):
        name = " ".join((*words[thing.start - 1 : thing.end - 1], regular_singular(words[thing.end - 1])))
        return Thing(name, thing.kind, thing.start - 1, thing.end, None)
    if thing.start < 1 or words[thing.start - 1] != "o" or words[thing.start] not in ("ring", "rings"):
        return thing
    term = named((f"o-{words[thing.start]}", *words[thing.start + 1 : thing.end]), vocabulary)
    if term is not None:
        return Thing(term.name, term.kind, thing.start - 1, thing.end, term)
    name = " ".join((*words[thing.start - 1 : thing.end - 1], regular_singular(words[thing.end - 1])))
    return Thing(name, "part", thing.start - 1, thing.end, None)


def _with_its_side(words: Sequence[str], start: int, taken: int) -> int:
    """ "drive side spokes": of a wheel the side is part of the name."""
    wheel = words[start] in ("spoke", "spokes")
    named = wheel and start - 2 >= taken and words[start - 1] == "side" and words[start - 2] in ("drive", "non-drive")
    return start - 2 if named else start


def _left_end(words: Sequence[str], stops: Sequence[bool], mention: Mention, taken: int, naming: Container[str]) -> int:
    """Where a longer name begins that a term ends: "stem faceplate bolts"; `naming` are words of the names of parts."""
    start = mention.start
    least = max(taken, mention.end - _LONGEST_NAME)
    if mention.term.kind not in _GENERIC and words[mention.start] not in counted_nouns():
        if mention.term.kind not in ("part", "fluid"):
            return start
        # "the fuel lift pump", "my slip clutch spring": what other parts are named with
        while start > least and not stops[start - 1] and words[start - 1] in naming and nameable(words[start - 1]):
            start -= 1
        if start > least and not stops[start - 1] and words[start - 1] in cue_words("inside_part_names"):
            opens = start < 2 or stops[start - 2] or words[start - 2] in pointing() or nameable(words[start - 2])
            start -= bool(opens)
        return start
    while start > least and not stops[start - 1]:
        # "the reach screw": words that are nouns only in front of a name
        inside = words[start - 1] in cue_words("inside_names") and start >= 2 and not stops[start - 2]
        verb = words[start - 1] in cue_words("verbs_in_names") and (start < 2 or stops[start - 2])
        part = words[start - 1] in cue_words("inside_part_names")
        opens = part and (start < 2 or stops[start - 2] or words[start - 2] in pointing())
        if not (nameable(words[start - 1]) or verb or opens) and not (
            inside and (words[start - 2] in pointing() or nameable(words[start - 2]))
        ):
            break
        start -= 1
    return start


def noun_phrase(
    words: Sequence[str], stops: Sequence[bool], head: int, things: Sequence[Thing], vocabulary: Vocabulary
) -> Thing:
    """The thing whose name ends with the word at `head`, which is in none of `things`: "the start winding", and "dogs"
    behind "third gear" with all of it."""
    start, taken = head, {place for thing in things for place in range(thing.start, thing.end)}
    while start > 0 and start - 1 not in taken and head - start + 1 < _LONGEST_NAME and not stops[start - 1]:
        led = start > 1 and words[start - 2] in pointing() and not stops[start - 2]
        described = words[start - 1] in _NO_NAMES or is_function_word(words[start - 1])
        if not nameable(words[start - 1]) and not (led and not described):
            break
        start -= 1
    before = next((thing for thing in things if thing.end == start and thing.kind in ("part", "fastener")), None)
    if before is not None and not stops[start - 1]:
        start = before.start
    return _named(words, start, head + 1, "part", vocabulary)


def _thing(words: Sequence[str], start: int, end: int, last: Mention, first: Mention, vocabulary: Vocabulary) -> Thing:
    if (start, end) == (first.start, first.end):
        return Thing(first.term.name, first.term.kind, start, end, first.term)
    return _named(words, start, end, last.term.kind, vocabulary)


def _measured(words: Sequence[str], measure: Thing, vocabulary: Vocabulary) -> Thing:
    """The thing whose measure a term names: the plug of "plug gap"; a measure that names none stays one."""
    end = measure.end
    while end > measure.start and {words[end - 1], regular_singular(words[end - 1])} & cue_words("measure_words"):
        end -= 1
    if end == measure.start and measure.end - end > 1 and words[end] in counted_nouns():
        end += 1  # "float height"
    return measure if end == measure.start else _named(words, measure.start, end, "part", vocabulary)


def _named(words: Sequence[str], start: int, end: int, kind: str, vocabulary: Vocabulary) -> Thing:
    term = named(words[start:end], vocabulary)
    if term is not None:
        return Thing(term.name, term.kind, start, end, term)
    if words[end - 1] in cue_words("fluid_heads"):
        kind = "fluid"
    return Thing(" ".join((*words[start : end - 1], regular_singular(words[end - 1]))), kind, start, end, None)


def _pointed(words: Sequence[str], stops: Sequence[bool], place: int) -> bool:
    """ "the system", "the whole system"."""
    before = place - 1
    if before > 0 and not stops[before] and describes(words[before]):
        before -= 1
    return before >= 0 and words[before] in pointing() and not stops[before]


def _nouns(
    words: Sequence[str],
    stops: Sequence[bool],
    things: Sequence[Thing],
    vocabulary: Vocabulary,
    pointed_at: Container[int],
) -> list[Thing]:
    """Nouns outside the vocabulary: what follows "the", "a" or "my" up to a word that no name contains, and parts."""
    taken = {place for thing in things for place in range(thing.start, thing.end)}
    found: list[Thing] = []
    place = 0
    while place < len(words):
        pointed = place in pointed_at or _pointed(words, stops, place)
        if place in taken or not nameable(words[place]) or not (pointed or words[place] in counted_nouns()):
            place += 1
            continue
        end = place + 1
        while end < len(words) and end - place < _LONGEST_NAME and not stops[end - 1] and end not in taken:
            if not nameable(words[end]) or is_verb_behind(words, end, stops):
                break
            end += 1
        while not pointed and place > 0 and place - 1 not in taken and end - place < _LONGEST_NAME:
            inside = words[place - 1] in cue_words("inside_names") and place >= 2 and words[place - 2] in pointing()
            part = words[place - 1] in cue_words("inside_part_names")
            inside = inside or (part and (place < 2 or stops[place - 2] or words[place - 2] in pointing()))
            if stops[place - 1] or not (nameable(words[place - 1]) or inside):
                break
            place -= 1
        if end < len(words) and words[end] in ("one", "ones") and not stops[end - 1]:
            place = end
            continue
        noun = _measured(words, Thing("", "measure", place, end, None), vocabulary)
        found.append(noun if noun.kind != "measure" else _named(words, place, end, "part", vocabulary))
        place = end
    return found
