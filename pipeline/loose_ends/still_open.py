"""What is still out, off or open in so many words, and what a remark that leaves something open is really about."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from pipeline.events.phrase import Phrase, Scan, says
from pipeline.loose_ends.follows import loose_end
from pipeline.loose_ends.names import PartNames
from pipeline.loose_ends.reading import Reading
from pipeline.loose_ends.said import told_end
from pipeline.loose_ends.sentences import Sentences
from pipeline.loose_ends.signs import load_stuff
from pipeline.loose_ends.topics import Topics
from pipeline.records import Event, LooseEnd

_STILL = frozenset(("still", "stays", "staying", "stay"))
_OPEN = frozenset(("out", "off", "open", "undone"))
_IT = frozenset(("it", "that", "this", "they", "those", "these"))
_BE = frozenset(("is", "are", "'s", "be", "'re"))
_NOT_NOW = frozenset(("if", "was", "were", "not", "when", "you", "until", "till", "before", "unless", "while"))
# "it's still off by a thou", "off the road": nothing that is to be put back.
_GOES_ON = frozenset(("by", "the", "of", "to", "centre", "center", "line"))
_TAKEN = {"remove": "fit", "dismantle": "fit", "disconnect": "connect", "slacken": "tighten"}
_REACH = 60
_WHERE = frozenset(("on", "in", "of", "at", "under", "behind", "from", "by"))
# "pump, pump. ... what have I used, six sixty": filled, and told by how much went in, so many words on.
_FILLS = frozenset(("fill", "filling", "filled", "pump", "pumping", "pour", "pouring", "poured", "top", "topping"))
_TOOK = (
    ("have", "i", "used"),
    ("i", "have", "used"),
    ("that", "'s", "used"),
    ("all", "went", "in"),
    ("it", "has", "taken"),
)
_FILLED_WITHIN = 150
_LETS_SOME = tuple(
    (verb, *some) for verb in ("let", "draw", "drew", "drawn", "suck", "sucked", "bled", "drain", "drained")
    for some in (("some",), ("a", "bit"), ("a", "little"), ("a", "drop"))
)  # fmt: skip
_NOT_FITTING = (("not", "fitting"), ("not", "refitting"), ("not", "putting"), ("not", "using"))
_FOR_GOOD = (
    ("scrap",), ("for", "the", "bin"), ("in", "the", "bin"), ("beyond", "saving"), ("beyond", "repair"),
    ("never", "had"), ("not", "needed"), ("no", "need"), ("does", "without"), ("not", "be", "needing"),
    ("not", "need", "it"), ("not", "need", "one"), ("not", "need", "them"),
)  # fmt: skip
_FOR_NOW = frozenset(("yet", "until", "till", "today", "tonight"))
_WHY_WITHIN = 8
_GOES = frozenset(("goes", "go", "runs", "run", "sits", "sit", "rides", "rubs", "bears", "fits", "was", "is", "comes"))
_MONEY = frozenset(("dollar", "quid", "pound", "euro", "cent", "penny", "bob", "buck", "rupee"))


def find_still_open(
    events: Sequence[Event], sentences: Sentences, topics: Topics, names: PartNames
) -> Iterator[LooseEnd]:
    """ "I've the level plug out, and it's still out", "both these caps on the left cover are still open"."""
    scan = sentences.scan
    for at in range(1, len(scan.text) - 1):
        if scan.text[at] not in _STILL or scan.text[at + 1] not in _OPEN or any(scan.gap[at : at + 2]):
            continue
        first, stop = sentences.bounds(at)
        follows = scan.text[at + 2 : at + 3] if at + 2 < stop and not scan.gap[at + 2] else []
        if _NOT_NOW & set(scan.text[max(first, at - 4) : at]) or _GOES_ON & set(follows):
            continue
        clause = next((place for place in range(at, first, -1) if scan.gap[place]), first)
        subject = scan.text[at - 2 : at]
        if len(subject) == 2 and subject[0] in _IT and subject[1] in _BE:
            event = _taken_before(events, sentences, at)
            # what is no plug or cover may be off for good
            if event is not None and names.is_cover(event.part):
                yield loose_end("not_closed", event, _TAKEN[event.action])
        elif scan.text[at - 1] in _BE:
            named = [phrase for phrase in scan.phrases_in(clause, at) if phrase.is_part and phrase.kind != "tool"]
            # "both these caps on the left cover are still open"
            several = scan.text[at - 1] == "are"
            own = [phrase for phrase in named if phrase.plural or (not several and not _is_placed(phrase, scan))]
            named = own[-1:]
            if named and names.is_cover(named[0].name):
                topic = topics.of_phrase(named[0])
                yield told_end("not_closed", topic, sentences, named[0].start, at + 2, "fit")


def _is_placed(phrase: Phrase, scan: Scan) -> bool:
    """ "on the left cover": where something is."""
    return phrase.start > 0 and scan.text[phrase.start - 1] in _WHERE


def _taken_before(events: Sequence[Event], sentences: Sentences, at: int) -> Event | None:
    """The last thing that came off before a unit, if nothing was put on since."""
    for event in reversed(events):
        _, end = sentences.units(event)
        if end > at or at - end > _REACH:
            continue
        return event if event.action in _TAKEN and event.status == "done" else None
    return None


def rightly_named(end: LooseEnd, reading: Reading) -> LooseEnd:
    """The end with the part that waits: "the clip's a two dollar part and I haven't got one" is about the clip."""
    spots = reading.clauses_in(end.start_word, end.end_word)
    if end.kind != "waiting" or not spots:
        return end
    start = reading.clauses[spots[0]].start
    if _MONEY.isdisjoint(end.part.split()[:-1]) and not _is_where(end, reading, start, reading.clauses[spots[-1]].end):
        return end
    named = reading.scan.phrases_in(start, reading.clauses[spots[-1]].end)
    first = next((part for part in named if part.is_part and part.name != end.part), None)
    return end if first is None else replace(end, part=first.name, side=first.side, position=first.position, event="")


def _is_where(end: LooseEnd, reading: Reading, start: int, stop: int) -> bool:
    """ "A groove worn in it where the thread goes": a place, and nothing that waits."""
    own = [part for part in reading.scan.phrases_in(start, stop) if part.name == end.part]
    text = reading.scan.text
    return bool(own) and all(
        "where" in text[max(start, part.start - 2) : part.start + 1] and text[part.end : part.end + 1]
        and text[part.end] in _GOES for part in own
    )  # fmt: skip


def is_filled_since(end: LooseEnd, reading: Reading) -> bool:
    """Whether what was drained is told as filled by how much went in."""
    spots = reading.clauses_in(end.start_word, end.end_word)
    if (end.kind, end.action) != ("not_closed", "fill") or not spots:
        return False
    text = reading.scan.text
    start = reading.clauses[spots[-1]].end
    for at in range(start, min(len(text) - 2, start + _FILLED_WITHIN)):
        if tuple(text[at : at + 3]) in _TOOK and not _FILLS.isdisjoint(text[start:at]):
            return True
    return False


def is_only_some(end: LooseEnd, reading: Reading) -> bool:
    """ "It was over the line, so I've let some out": less than all, and nothing is empty."""
    spots = reading.clauses_in(end.start_word, end.end_word)
    if (end.kind, end.action) != ("not_closed", "fill") or not spots:
        return False
    text = reading.scan.text
    for at in range(reading.clauses[spots[0]].start, reading.clauses[spots[-1]].end):
        if tuple(text[at : at + 2]) in _LETS_SOME or tuple(text[at : at + 3]) in _LETS_SOME:
            return True
    return False


def only_dries(end: LooseEnd, reading: Reading) -> bool:
    """ "Until the glue's dry": nothing is empty."""
    return end.kind == "not_closed" and end.part.split(" ")[-1] in load_stuff("sets_hard") and bool(reading.clauses)


def is_left_out_for_good(end: LooseEnd, reading: Reading) -> bool:
    """ "I'm not fitting the chain guard, it's scrap": nothing is left to do, for which somebody waits."""
    spots = reading.clauses_in(end.start_word, end.end_word)
    if end.kind not in ("not_closed", "promised") or not spots:
        return False
    first, last = reading.clauses[spots[0]], reading.clauses[spots[-1]]
    text = reading.scan.text[first.start : last.end + _WHY_WITHIN]
    left = says(text, _NOT_FITTING, 0, last.end - first.start) and says(text, _FOR_GOOD, 0, len(text))
    return left and not _FOR_NOW & set(text)


def closes_what_is_open(end: LooseEnd, names: PartNames) -> LooseEnd:
    """A cover or a cap that is open is put on again, not filled."""
    fills = end.kind == "not_closed" and end.action == "fill" and names.is_cover(end.part)
    return replace(end, action="fit") if fills else end
