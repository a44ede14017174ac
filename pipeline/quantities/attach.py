"""Which part, fluid or fastener a figure belongs to, on which side, and with which thread."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass, replace

from pipeline.numbers.words import word_set
from pipeline.quantities.things import Thing, find_things
from pipeline.records import Quantity, Token
from pipeline.tokens import bare, ends_sentence
from pipeline.vocabulary import Vocabulary

# kind of figure -> kinds of term it belongs to, best first; a kind not listed here belongs to nothing.
WANTED = {
    "volume": ("fluid", "part"),
    "viscosity": ("fluid", "part"),
    "torque": ("fastener", "part"),
    "angle": ("fastener", "part"),
    "pressure": ("part", "fluid", "measure"),
    "length": ("part", "fastener", "material", "measure"),
    "clearance": ("part", "fastener", "measure"),
    "thread": ("fastener", "part"),
    "spanner": ("fastener", "part"),
    "count": ("fastener", "part"),
    "teeth": ("part",),
    "ratio": ("part", "fluid"),
    "percentage": ("fluid", "part", "material"),
    "temperature": ("part", "fluid", "fastener", "material"),
    "duration": ("part", "fluid", "fastener", "material"),
    "mass": ("part", "fluid", "fastener"),
    "voltage": ("part",),
    "current": ("part",),
    "resistance": ("part",),
    "speed": ("part",),
    "grit": ("part", "fastener", "material"),
}
_LINKS = word_set(
    "on in of for into at to the a an each both every per all my our this that these those up onto "
    "around from new old left right front rear side hand two three four six eight other"
)
_SIDES = {
    "left": "left",
    "right": "right",
    "nearside": "nearside",
    "offside": "offside",
    "port": "left",
    "starboard": "right",
}
_POSITIONS = {
    "front": "front",
    "rear": "rear",
    "back": "rear",
    "inlet": "inlet",
    "intake": "inlet",
    "exhaust": "exhaust",
    "inner": "inner",
    "outer": "outer",
    "top": "top",
    "bottom": "bottom",
    "upper": "upper",
    "lower": "lower",
}
# Last words of what is tightened: a torque belongs to these before it belongs to the washer under them.
_TIGHTENED = word_set(
    "bolt bolts nut nuts screw screws stud studs plug plugs cap caps spindle axle union banjo locknut fastener "
    "fasteners spindles adjuster lockring sprocket head"
)
_UNDER = word_set("washer washers gasket gaskets seal seals pin shim shims spring springs grease paste circlip o-ring")
_TOLL = 6.0
_MATERIALS = word_set("swarf cloth paper emery scotchbrite rag")
_FEATURES = word_set("thread threads hole holes cloth paper")
# Fluids go before their vessel.
_KIND_TOLLS = {"volume": 8.0, "clearance": 5.0, "length": 5.0}
# A noun outside the vocabulary counts as so much further off.
_UNKNOWN_TOLL, _UNKNOWN_AFTER = 1.0, 4.0
# What is treated is said before how hot or how long.
_TREATED = ("temperature", "duration")
_PLACE_LINKS = word_set("on in at for the to side and hand goes go went into of each ones are is get gets")
_FARTHEST = 22.0
# What stands in another clause than the figure before it.
_NEW_CLAUSE = word_set("or but before because so if when until otherwise although though while")
_CLAUSE_TOLL = 10.0
_OBLIQUE = word_set("on in at from with off under behind inside onto into by")
_BEFORE_NAMES = word_set("the a an my your his our their its this that these those each every flat old new")
_OBLIQUE_TOLL = 8.0


@dataclass(frozen=True, slots=True)
class _Span:
    """A quantity over token indexes."""

    qty: Quantity
    start: int
    end: int


def attach_quantities(
    quantities: Sequence[Quantity], tokens: Sequence[Token], vocabulary: Vocabulary
) -> list[Quantity]:
    """The quantities with `subject`, `side`, `position`, and for torques and spanners the `thread` said with them.

    A subject is the vocabulary's British name of the nearest fitting term: in the same sentence, else in the one
    before. "" where nothing fits.
    """
    if not quantities:
        return []
    starts = [token.start_word for token in tokens]
    spans = [_Span(qty, bisect_left(starts, qty.start_word), bisect_left(starts, qty.end_word)) for qty in quantities]
    sentence_of, number = [], 0
    for token in tokens:
        sentence_of.append(number)
        number += ends_sentence(token.text)
    words = [bare(token.text).removesuffix("'s") for token in tokens]
    stops = [token.text[-1] in ",.;:!?…)" for token in tokens]
    for span in spans:
        # No name runs into a figure.
        for place in {span.start - 1, span.end - 1} - {-1}:
            stops[place] = True
    found = find_things(words, stops, vocabulary)
    mentions = [thing for thing in found if not {*words[thing.start : thing.end]} <= set(_POSITIONS)]
    attached = []
    for span in spans:
        mention = _subject(span, spans, mentions, words, sentence_of)
        side, position = _place(span, spans, mention, words, sentence_of)
        qty = replace(
            span.qty,
            subject=mention.name if mention else "",
            side=side,
            position=position,
        )
        if qty.kind in ("torque", "spanner"):
            qty = replace(qty, thread=_thread(span, spans, sentence_of))
        attached.append(qty)
    return attached


def _subject(
    span: _Span, spans: Sequence[_Span], mentions: Sequence[Thing], words: Sequence[str], sentence_of: Sequence[int]
) -> Thing | None:
    wanted = WANTED.get(span.qty.kind, ())
    best: tuple[float, Thing] | None = None
    first = bisect_left(mentions, span.start - 40, key=lambda mention: mention.end)
    for mention in mentions[first:]:
        if mention.start > span.end + 20:
            break
        if mention.kind not in wanted or (mention.start < span.end and mention.end > span.start):
            continue
        cost = _cost(span, spans, mention, mentions, words, sentence_of) + _unlikely(span, mention, words, wanted)
        if cost < _FARTHEST and (best is None or cost < best[0]):
            best = (cost, mention)
    return best[1] if best else None


def _unlikely(span: _Span, mention: Thing, words: Sequence[str], wanted: tuple[str, ...]) -> float:
    """Toll for a term of a kind that such a figure seldom belongs to."""
    last = words[mention.end - 1]
    unknown = 0.0 if mention.term is not None else _UNKNOWN_TOLL if mention.start < span.start else _UNKNOWN_AFTER
    if last in _MATERIALS or (span.qty.kind in ("grit", "thread", "torque") and last in _FEATURES):
        return 12.0
    if span.qty.kind not in ("torque", "spanner", "angle"):
        return _KIND_TOLLS.get(span.qty.kind, 3.0) * wanted.index(mention.kind) + unknown
    if last in _UNDER:
        return 3.0 * _TOLL
    return 0.0 if last in _TIGHTENED else _TOLL + unknown


def _cost(
    span: _Span,
    spans: Sequence[_Span],
    mention: Thing,
    mentions: Sequence[Thing],
    words: Sequence[str],
    sentence_of: Sequence[int],
) -> float:
    """How far a mention is from a figure, in words, with a toll for what lies between."""
    if mention.start >= span.end:
        between = range(span.end, mention.start)
        linked = all(words[place] in _LINKS for place in between) and len(between) <= 5
        if sentence_of[mention.start] != sentence_of[span.start]:
            return 99.0
        if between and (span.qty.kind == "ratio" or words[span.end] == "with"):
            return 99.0
        cost = 0.3 * len(between) if linked and span.qty.kind not in _TREATED else 4.0 + len(between)
        if words[span.end] == "of" and linked and between:
            return -2.0 if mention.kind != "measure" else 10.0
        if any(words[place] in _NEW_CLAUSE for place in between):
            cost += _CLAUSE_TOLL
    else:
        between = range(mention.end, span.start)
        apart = sentence_of[span.start] - sentence_of[mention.start]
        if apart > 1 or span.qty.kind == "count":
            return 99.0
        cost = 1.0 + 0.8 * len(between) + (6.0 if apart else 0.0)
        if _is_oblique(mention, mentions, words):
            cost += _OBLIQUE_TOLL
    for other in spans:
        if other.qty.kind == span.qty.kind and other.start in between:
            cost += 5.0
    return cost


def _is_oblique(mention: Thing, mentions: Sequence[Thing], words: Sequence[str]) -> bool:
    """Whether a thing only says where another is: the contactor in "the coil on the contactor"."""
    start = mention.start - 1
    while start > 0 and words[start] in _BEFORE_NAMES:
        start -= 1
    return words[start] in _OBLIQUE and any(other.end == start for other in mentions)


def _place(
    span: _Span, spans: Sequence[_Span], mention: Thing | None, words: Sequence[str], sentence_of: Sequence[int]
) -> tuple[str, str]:
    """(side, position) said after the figure ("28 on the front"), before it ("front 28"), or beside what it is for."""
    taken = {place for other in spans if other is not span for place in range(other.start, other.end)}
    starts = [(span.end, 1), (span.start - 1, -1)]
    if mention is not None:
        starts += [(mention.end, 1), (mention.start - 1, -1)]
        between = range(mention.end, span.start)
        if between and not any(other.start in between and other.qty.kind == span.qty.kind for other in spans):
            # "front caliper bolts are thirty newton metres, the rear ones ...": what names the part comes first.
            starts.insert(0, (mention.start - 1, -1))
    for start, step in starts:
        places = range(start, min(start + 5, len(words)) if step > 0 else max(start - 5, -1), step)
        found = _run(places, span, taken, words, sentence_of)
        if any(found):
            return found
    return "", ""


def _run(
    places: range, span: _Span, taken: set[int], words: Sequence[str], sentence_of: Sequence[int]
) -> tuple[str, str]:
    side = position = ""
    for place in places:
        if not 0 <= place < len(words):
            break
        word = words[place]
        if place in taken or sentence_of[place] != sentence_of[span.start]:
            break
        if word in _SIDES:
            side = side or _SIDES[word]
        elif word in _POSITIONS:
            position = position or _POSITIONS[word]
        elif word not in _PLACE_LINKS or side or position:
            break
    return side, position


def _thread(span: _Span, spans: Sequence[_Span], sentence_of: Sequence[int]) -> str:
    """The thread said with a torque or spanner: the nearest one in the sentence, one before it first."""
    best: tuple[float, str] | None = None
    for other in spans:
        if other.qty.kind != "thread" or sentence_of[other.start] != sentence_of[span.start]:
            continue
        before = other.start < span.start
        distance = float(span.start - other.end if before else other.start - span.end + 2)
        low, high = sorted((other.start, span.start))
        rivals = sum(item.qty.kind == span.qty.kind and low < item.start < high for item in spans)
        distance += 6.0 * rivals
        if distance <= 16 and (best is None or distance < best[0]):
            best = (distance, other.qty.thread)
    return best[1] if best else ""
