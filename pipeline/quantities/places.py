"""On which side and at which end a figure belongs, and the thread said with it."""

from __future__ import annotations

from collections.abc import Sequence

from pipeline.numbers.words import word_set
from pipeline.quantities.owners import Span
from pipeline.quantities.things import Thing

_SIDES = {
    "left": "left",
    "right": "right",
    "nearside": "nearside",
    "offside": "offside",
    "port": "left",
    "starboard": "right",
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
}
_MOVES = word_set(
    "go goes going gone went put puts putting come comes came coming get gets got getting is are was were be been "
    "screw screws screwed bolt bolted slide slides slid pop pops popped push pushed bring brings brought wind winds "
    "wound drop drops dropped straight"
)
_PARTICLES = word_set("in on up down off out together again")
_POINTING = word_set("on in at for")
_PLACE_LINKS = word_set("on in at for the to side and hand goes go went into of each ones are is get gets")


def place_of(
    span: Span, spans: Sequence[Span], mention: Thing | None, words: Sequence[str], sentence_of: Sequence[int]
) -> tuple[str, str]:
    """(side, position) said after the figure ("28 on the front"), before it ("front 28"), or beside what it is for."""
    taken = {place for other in spans if other is not span for place in range(other.start, other.end)}
    starts = [(span.end, 1), (span.start - 1, -1)]
    if mention is not None:
        starts += [(mention.end, 1), (mention.start - 1, -1)]
        between = range(mention.end, span.start)
        if between and not any(other.start in between and other.qty.kind == span.qty.kind for other in spans):
            # "front caliper bolts are thirty newton metres, the rear ones ...": what names the part comes first,
            # but not in "75 in the back tyre and 70 in the front".
            pointed = span.end < len(words) and words[span.end] in _POINTING
            starts.insert(1 if pointed else 0, (mention.start - 1, -1))
    for start, step in starts:
        places = range(start, min(start + 5, len(words)) if step > 0 else max(start - 5, -1), step)
        found = _run(places, span, taken, words, sentence_of)
        if any(found):
            return found
    return "", ""


def _run(
    places: range, span: Span, taken: set[int], words: Sequence[str], sentence_of: Sequence[int]
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
        elif word in POSITIONS and not (word == "back" and _is_return(place, words)):
            position = position or POSITIONS[word]
        elif word not in _PLACE_LINKS or side or position:
            break
    return side, position


def _is_return(place: int, words: Sequence[str]) -> bool:
    """ "the bolts go back at ten", "carrier back in": to where they were, and no place."""
    before, after = words[place - 1] if place else "", words[place + 1] if place + 1 < len(words) else ""
    return before in _MOVES or (after in _PARTICLES and before != "the")


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
