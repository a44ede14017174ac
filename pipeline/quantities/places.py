"""On which side and at which end a figure belongs, and the thread said with it."""

from __future__ import annotations

from collections.abc import Sequence

from pipeline.numbers.words import ONES, word_set
from pipeline.quantities.owners import Span
from pipeline.quantities.things import Thing

_SIDES = {
    "left": "left",
    "right": "right",
    "nearside": "nearside",
    "offside": "offside",
    "port": "left",
    "starboard": "right",
    "lefts": "left",
    "rights": "right",
}
POSITIONS = {
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
    "fronts": "front",
    "rears": "rear",
    "backs": "rear",
    "tops": "top",
    "bottoms": "bottom",
    "inners": "inner",
    "outers": "outer",
}
PLACES = frozenset({*_SIDES, *POSITIONS})
_MOVES = word_set(
    "go goes going gone went put puts putting come comes came coming get gets got getting is are was were be been "
    "screw screws screwed bolt bolted slide slides slid pop pops popped push pushed bring brings brought wind winds "
    "wound drop drops dropped straight"
)
_PARTICLES = word_set("in on up down off out together again")
_POINTING = word_set("on in at for")
_PLACE_LINKS = word_set(
    "on in at for the to side and hand goes go went into of each one ones are is was were get gets got have has had "
    "runs reads now about only"
) | frozenset(ONES)
# "Five mil left", as against "thirty on the left" and "28 left front".
_NAMED = word_set("hand side one ones front rear top bottom inner outer upper lower")
_BE = word_set("is are was were at get gets have has had one ones")
_LEFT_OVER = frozenset({"length", "clearance", "volume", "percentage", "mass"})
# Words between a part and its figure.
_FARTHEST = 8


def place_of(
    span: Span, spans: Sequence[Span], mention: Thing | None, words: Sequence[str], sentence_of: Sequence[int]
) -> tuple[str, str]:
    """(side, position) said after the figure ("28 on the front"), before it ("front 28"), or beside what it is for."""
    taken = {place for other in spans if other is not span for place in range(other.start, other.end)}
    starts = [(span.end, 1), (span.start - 1, -1)]
    next_one = _next_ones(span, spans, mention, words)
    if next_one:  # "inlet two thou, exhaust four thou", "rear tyre thirty two psi, front thirty"
        starts = [(span.start - 1, -1)]
    if mention is not None:
        if any(told := _told_between(span, spans, mention, words)):
            return told
        starts += [(mention.end, 1), (mention.start - 1, -1)] if not next_one else [(mention.start - 1, -1)]
        between = range(mention.end, span.start)
        if mention.end <= span.start and not any(
            other.start in between and other.qty.kind == span.qty.kind for other in spans
        ):
            # "front caliper bolts are thirty newton metres, the rear ones ...": what names the part comes first,
            # but not in "75 in the back tyre and 70 in the front".
            pointed = span.end < len(words) and words[span.end] in _POINTING
            starts.insert(1 if pointed else 0, (mention.start - 1, -1))
            if words[mention.start] in PLACES and not pointed:
                starts = [(span.start - 1, -1)]  # "front brake pads three mil, rear ones five": its name tells
    for start, step in starts:
        places = range(start, min(start + 5, len(words)) if step > 0 else max(start - 5, -1), step)
        found = _run(places, span, taken, words, sentence_of)
        if any(found):
            return found
    return "", ""


def _next_ones(span: Span, spans: Sequence[Span], mention: Thing | None, words: Sequence[str]) -> bool:
    """Whether the place right behind a figure is that of the next one: places stand before their figures here."""
    place = span.end + (span.end < len(words) and words[span.end] == "the")
    if place >= len(words) or words[place] not in PLACES:
        return False
    ahead = [other for other in spans if other.start == place + 1 and other.qty.kind == span.qty.kind]
    if not ahead or (ahead[0].end < len(words) and words[ahead[0].end] in PLACES):
        return False
    return words[span.start - 1] in PLACES or (mention is not None and mention.end == span.start)


def _told_between(span: Span, spans: Sequence[Span], mention: Thing, words: Sequence[str]) -> tuple[str, str]:
    """ "pads on the left are down to three mil": where, between the part and its figure."""
    between = range(mention.end, span.start)
    if len(between) > _FARTHEST or any(other.start in between for other in spans):
        return "", ""
    for place in between:
        pointed = words[place - 1] == "the" and words[place - 2] in _POINTING and place - 2 >= mention.end
        after = words[place + 1]
        if pointed and words[place] in PLACES and (place + 1 == span.start or after in _PLACE_LINKS | {"down", "up"}):
            return _SIDES.get(words[place], ""), POSITIONS.get(words[place], "")
    return "", ""


def _run(
    places: range, span: Span, taken: set[int], words: Sequence[str], sentence_of: Sequence[int]
) -> tuple[str, str]:
    side = position = ""
    for place in places:
        if not 0 <= place < len(words):
            break
        word = words[place]
        if word == "left" and place == span.end and _remains(span, words):
            break
        if place >= span.end and _elsewhere(place, span, taken, words):
            break
        if word in PLACES and words[place + 1 : place + 2] == ["to"] and {*words[place + 2 : place + 3]} & PLACES:
            break  # "half a thou left to right"
        if word in PLACES and words[place - 1] == "to" and words[place - 2] in PLACES:
            break
        if word == "and" and place >= span.end and not (side or position):
            break  # "are thirty foot pounds and the outer four are twenty"
        other = sentence_of[place] != sentence_of[span.start]
        if place in taken or (other and not _left_behind(place, span, words, sentence_of)):
            break
        if word in _SIDES:
            side = side or _SIDES[word]
        elif word in POSITIONS and not (word == "back" and _is_return(place, words)):
            position = position or POSITIONS[word]
        elif word not in _PLACE_LINKS or side or position:
            break
    return side, position


def _is_return(place: int, words: Sequence[str]) -> bool:
    """ "the bolts go back at ten", "carrier back in": to where they were, and no place."""
    before, after = words[place - 1] if place else "", words[place + 1] if place + 1 < len(words) else ""
    return before in _MOVES or (after in _PARTICLES and before != "the")


def _left_behind(place: int, span: Span, words: Sequence[str], sentence_of: Sequence[int]) -> bool:
    """ "eight thou inlet and ten thou. exhaust.": a full stop that was guessed, before a place alone."""
    ends = place + 1 >= len(words) or sentence_of[place + 1] != sentence_of[place]
    return place == span.end and ends and words[place] in PLACES


def _elsewhere(place: int, span: Span, taken: set[int], words: Sequence[str]) -> bool:
    """ "the four on the rear at sixty five psi, the fronts are sixty": a place that opens the next clause."""
    after = place + 1
    while after < len(words) and after - place <= 2 and words[after] in _BE:
        after += 1
    return words[place] in PLACES and after > place + 1 and after in taken and words[place - 1] in ("the", "and")


def _remains(span: Span, words: Sequence[str]) -> bool:
    """ "five mil left on them", as against "five left, three right"."""
    behind = words[span.end + 1 : span.end + 6]
    return span.qty.kind in _LEFT_OVER and "right" not in behind and not {*behind[:1]} & _NAMED


def in_its_place(name: str, span: Span, thing: Thing, place: str, words: Sequence[str]) -> str:
    """The name of what a figure is of, with its own place: of a rear bearing in "the front bearing got to forty one
    degrees, rear was thirty six"."""
    first, _, rest = name.partition(" ")
    named = _SIDES.get(first) or POSITIONS.get(first)
    if not named or not rest or not place or place == named or thing.end > span.start:
        return name
    since = [word for word in words[thing.end : span.end + 2] if (_SIDES.get(word) or POSITIONS.get(word)) == place]
    return f"{place} {rest}" if since else name


def thread_of(span: Span, spans: Sequence[Span], sentence_of: Sequence[int]) -> str:
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
