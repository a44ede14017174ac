"""What speaks for each thing that a figure may belong to, and for none: names that learned weights add up."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from pipeline.numbers.words import word_set
from pipeline.quantities.reasons import is_lent
from pipeline.quantities.scan import cue_words
from pipeline.quantities.things import Thing
from pipeline.records import Quantity, Token
from pipeline.tokens import bare, sentence_numbers

# Kinds of figure that belong to the same kinds of thing.
GROUPS = {
    "torque": "tight", "angle": "angle", "spanner": "spanner", "thread": "thread",
    "volume": "fluid", "viscosity": "oil", "percentage": "share", "ratio": "ratio",
    "length": "size", "clearance": "gap", "pressure": "pressure", "voltage": "electric", "current": "electric",
    "resistance": "electric", "temperature": "heat", "duration": "time", "mass": "mass", "speed": "speed",
    "teeth": "teeth", "grit": "grit", "count": "count",
}  # fmt: skip
# Last words of what is tightened: a torque belongs to these before it belongs to the washer under them.
_TIGHTENED = word_set(
    "bolt bolts nut nuts screw screws stud studs plug plugs cap caps spindle axle union banjo locknut fastener "
    "fasteners spindles adjuster lockring sprocket head clamp"
)
_UNDER = word_set("washer washers gasket gaskets seal seals pin shim shims spring springs grease paste circlip o-ring")
_MATERIALS = word_set("swarf cloth paper emery scotchbrite rag drawer book")
_BOOKS = word_set("book manual leaflet handbook spec specification instructions")
_FEATURES = word_set("thread threads hole holes top bottom end")
_GAUGES = word_set(
    "feeler feelers gauge micrometer meter multimeter strobe drill spanner socket wrench lathe indicator oven"
)
_LEVERS = word_set("bar wrench gun ratchet spanner")
_BETWEEN = word_set(
    "and but or so then because if when until while before after without with on in at of for to from off into by "
    "onto under over inside behind than is are was were be been it its they that this these i you we he she the a an "
    "my each per not no there here has had have takes took holds gets got goes go wants needs comes came put set "
    "only just about"
)
_VERBS = word_set(
    "is are was were takes took holds held gets get got go goes wants want needs need has had have reads read weighs "
    "runs draws came comes at went up reading should must will can could would"
)
_PREPOSITIONS = word_set("on in at from with off under behind inside onto into by of for to without over through per")
_BEFORE_NAMES = word_set("the a an my your his our their its this that these those each every flat old new both")
_MEASURES = word_set(
    "squish dish toe-in toe camber caster castor compression ratio rake taper output input interference pitch wear "
    "discard lift sag weight advance capacity reduction tolerance angle depth width length height diameter speed fit "
    "cut preload stroke mix range limit runout backlash end float play clearance gap"
)
_BARELY = _VERBS | word_set("a an the about only just nearly around set down set now exactly more less than to")
_POINTS = word_set("that's this's it's there's here's what's he's she's")
_BUCKETS = (0, 1, 2, 3, 4, 5, 6, 8, 10, 13, 17, 22, 30)
# "Left bore's fifty three": where, before what.
_BEFORE_HEADS = word_set("left right front rear back top bottom inner outer upper lower end low high new old other")
_OPENS = word_set("and but so then or now okay right")
_SUBJECTS = word_set("i you we they he she")
FARTHEST_BACK, FARTHEST_ON = 45, 16
"""So many words before and behind a figure what it is of may be named."""


@dataclass(frozen=True, slots=True)
class Span:
    """A quantity over token indexes."""

    qty: Quantity
    start: int
    end: int


# The figure before, with what it belongs to.
Last = tuple[Span, Thing | None] | None


@dataclass(frozen=True, slots=True)
class Speech:
    """The words around figures: bare and without a possessive 's (`short` where one stood), with their sentences.

    `stops`: whether punctuation follows, `sentence_of`: number of the sentence, a value a word.
    """

    words: Sequence[str]
    short: Sequence[bool]
    stops: Sequence[bool]
    sentence_of: Sequence[int]
    spans: Sequence[Span]

    @property
    def parted(self) -> list[bool]:
        """Whether no name runs on behind each word: punctuation, or "the ball joint's castle nut"."""
        return [stop or short for stop, short in zip(self.stops, self.short, strict=True)]


def read_speech(tokens: Sequence[Token], spans: Sequence[Span]) -> Speech:
    """The words of tokens as the evidence looks at them."""
    plain = [bare(token.text) for token in tokens]
    # "that's fine": no fine that stands there
    stops = [token.text.endswith((*",.;:!?…)",)) or word in _POINTS for token, word in zip(tokens, plain, strict=True)]
    for span in spans:
        # No name runs into a figure.
        for place in {span.start - 1, span.end - 1} - {-1}:
            stops[place] = True
    return Speech(
        [word.removesuffix("'s") for word in plain],
        [word.endswith("'s") for word in plain],
        stops,
        sentence_numbers(tokens),
        spans,
    )


def pointed_places(speech: Speech) -> frozenset[int]:
    """Places where a noun is to be expected without "the": behind a figure, behind "of", and what a sentence is of."""
    words, places = speech.words, {span.end for span in speech.spans}
    starts = {span.start for span in speech.spans}
    for place in range(len(words)):
        before = words[place - 1] if place else ""
        if place and speech.short[place - 1] and {*words[place + 1 : place + 2]} & _VERBS and not speech.stops[place]:
            places.add(place)  # "the arbor's nose is threaded"
        if before == "of" and not speech.stops[place - 1]:
            if place < 2 or words[place - 2] != "out":
                places.add(place)
        elif not place or speech.stops[place - 1] or before in _OPENS:
            named = place + 1 if words[place] in _BEFORE_HEADS and not speech.stops[place] else place
            for end in range(named, min(place + 3, len(words))):
                behind = words[end + 1] if end + 1 < len(words) else ""
                topic = behind in _SUBJECTS and not speech.stops[end]  # "tabletop I sanded it"
                plural = end + 1 in starts and words[end][-1:] == "s" != words[end][-2:-1]  # "rakers point six"
                if speech.short[end] or behind in _VERBS or topic or plural:
                    places.add(named)
                if speech.stops[end] or words[end] in _VERBS:
                    break
    return frozenset(places)


def candidates(span: Span, things: Sequence[Thing], speech: Speech) -> list[Thing]:
    """The things that a figure may belong to: those of its sentence and of two before, near enough.

    A volume is of a fluid or its vessel, never of a tool; nobody tightens a fluid or a wrench, and what a book says is
    not of the book.
    """
    sentence = speech.sentence_of[span.start]
    return [
        thing
        for thing in things
        if not (thing.kind == "tool" and span.qty.kind == "volume")
        and not (span.qty.kind == "torque" and (thing.kind == "fluid" or thing.name.lower().split()[-1] in _LEVERS))
        and thing.name.lower().split()[-1] not in _BOOKS
        and thing.name.lower() not in cue_words("never_own")
        and span.start - FARTHEST_BACK <= thing.start < span.end + FARTHEST_ON
        and not (thing.start < span.end and thing.end > span.start)
        and (
            0 <= sentence - speech.sentence_of[thing.start] <= 2
            and (thing.start < span.start or speech.sentence_of[thing.start] == sentence)
        )
    ]


def _bucket(distance: int) -> int:
    return next((bound for bound in _BUCKETS if distance <= bound), 99)


def evidence(span: Span, thing: Thing, rivals: Sequence[Thing], speech: Speech, last: Last) -> list[str]:
    """Names of what speaks for or against a thing. `last`: the figure before with its owner."""
    return list(_evidence(span, thing, rivals, speech, last))


def _evidence(span: Span, thing: Thing, rivals: Sequence[Thing], speech: Speech, last: Last) -> Iterator[str]:
    group, words = GROUPS.get(span.qty.kind, "other"), speech.words
    after = thing.start >= span.end
    side = "after" if after else "before"
    between = range(span.end, thing.start) if after else range(thing.end, span.start)
    apart = speech.sentence_of[span.start] - speech.sentence_of[thing.start]
    yield f"{group} of {thing.kind}"
    yield f"{side} {apart} apart"
    yield f"{group} {side}"
    if thing.term is None:
        yield f"unknown {side}"
    yield f"{side} {_bucket(len(between))}"
    for word in sorted({words[place] for place in between} & _BETWEEN):
        yield f"{side} past {word}"
    if any(speech.stops[place] for place in between if place != between[-1]) or (between and speech.short[between[-1]]):
        yield f"{side} past comma"
    yield from _figures_between(span, between, side, speech)
    passed = sum(rival.start in between for rival in rivals)
    yield f"{side} past {min(passed, 3)} things"
    if passed and any(rival.start in between and rival.kind == thing.kind for rival in rivals):
        yield f"{side} past the same kind"
    if not after and between and all(words[place] in _BARELY for place in between):
        yield "before, by a verb only"
        yield f"{group} before, by a verb only"
    if after:
        yield from _behind(span, thing, group, speech)
    yield from _said(thing, group, speech)
    if last is not None:
        yield from _as_before(span, thing, last, speech)
    if any(rival is not thing and rival.name == thing.name and rival.start < span.start for rival in rivals):
        yield "said twice"


def _figures_between(span: Span, between: range, side: str, speech: Speech) -> Iterator[str]:
    others = [other for other in speech.spans if other.start in between]
    if any(other.qty.kind == span.qty.kind for other in others):
        yield f"{side} past such a figure"
    if any(other.qty.kind != span.qty.kind for other in others):
        yield f"{side} past another figure"


def _behind(span: Span, thing: Thing, group: str, speech: Speech) -> Iterator[str]:
    """How a thing behind the figure is linked to it: "of oil", "on the drain plug", "twenty amp breaker"."""
    words = speech.words
    if thing.start == span.end:
        stopped = speech.short[span.end - 1] or span.qty.said[-1:] in ",.;:"
        yield f"{group} right before" if not stopped else "right before a stop"
        if not stopped and span.start and words[span.start - 1] in ("a", "an", "the"):
            yield "a figure right before"
        return
    link = words[span.end]
    if all(words[place] in _BEFORE_NAMES for place in range(span.end + 1, thing.start)):
        yield f"linked by {link}" if link in _PREPOSITIONS or link in _VERBS else "linked by another word"
        yield f"{group} linked" if link in _PREPOSITIONS else f"{group} not linked"
        if link in ("of", "on", "in", "for"):
            yield f"{group} linked by {link}"


def _said(thing: Thing, group: str, speech: Speech) -> Iterator[str]:
    """How a thing is said: behind which preposition, before which verb, at the beginning or not."""
    words, head = speech.words, speech.words[thing.end - 1]
    start = thing.start
    while start > 0 and words[start - 1] in _BEFORE_NAMES and not speech.stops[start - 1]:
        start -= 1
    before = words[start - 1] if start else ""
    if before in _PREPOSITIONS and not speech.stops[start - 1]:
        yield f"behind {before}"
        yield f"{group} behind a preposition"
    if not start or speech.sentence_of[start - 1] != speech.sentence_of[thing.start]:
        yield "opens the sentence"
    elif speech.stops[start - 1] or before in _OPENS:
        yield "opens a clause"
    following = words[thing.end] if thing.end < len(words) else ""
    if speech.short[thing.end - 1]:
        yield "before 's"
    elif following in _VERBS and not speech.stops[thing.end - 1]:
        yield f"before {following}"
        yield "before a verb"
    for name, heads in (
        ("tightened", _TIGHTENED), ("under", _UNDER), ("material", _MATERIALS), ("feature", _FEATURES),
        ("gauge", _GAUGES), ("measure", _MEASURES),
    ):  # fmt: skip
        if head in heads:
            yield f"{group} of a {name}"
            yield name
    if thing.end - thing.start > 1:
        yield "named at length"


def _as_before(span: Span, thing: Thing, last: tuple[Span, Thing | None], speech: Speech) -> Iterator[str]:
    """Whether the thing is what the figure before belongs to."""
    other, owner = last
    same_kind = "such" if other.qty.kind == span.qty.kind else "another"
    near = speech.sentence_of[span.start] - speech.sentence_of[other.start]
    lent = " lent" if is_lent(span.qty.why) else ""
    if owner is None:
        yield f"{same_kind} figure before has none"
    elif owner.name == thing.name:
        yield f"of {same_kind} figure before{lent}"
        yield f"of the figure before, {min(near, 2)} apart"
        if other.end < thing.start < span.start:
            yield "said again since"
        if owner.start >= other.end:
            yield f"behind {same_kind} figure before"
    elif other.end < thing.start < span.start:
        yield f"said since {same_kind} figure"
        if thing.end < len(speech.words) and (speech.short[thing.end - 1] or speech.words[thing.end] in _VERBS):
            yield "subject since"
    else:
        yield f"not of {same_kind} figure before{lent}"


def nothing(span: Span, rivals: Sequence[Thing], speech: Speech, last: Last) -> list[str]:
    """Names of what speaks for a figure that belongs to nothing said."""
    group = GROUPS.get(span.qty.kind, "other")
    names = ["nothing", f"nothing {group}"]
    sentence = speech.sentence_of[span.start]
    here = [rival for rival in rivals if speech.sentence_of[rival.start] == sentence]
    names.append(f"nothing of {min(len(here), 3)} here")
    if not any(rival.start < span.start for rival in here):
        names.append("nothing before it here")
    before = speech.words[span.start - 1] if span.start else ""
    names.append(f"nothing behind {before}" if before in _BETWEEN else "nothing")
    if last is not None and last[0].qty.kind == span.qty.kind:
        names.append("nothing as before" if last[1] is None else "nothing, unlike before")
    return names


def is_tightened(name: str) -> bool:
    """Whether a thing of this name has a torque itself: a bolt or a cap, no pad or hose."""
    return name.lower().split()[-1] in _TIGHTENED
