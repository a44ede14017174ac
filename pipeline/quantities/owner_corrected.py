"""Owners that the speaker corrects: "Eleven newton metres. Sorry, that's the pump bolts. These are sixteen." """

from __future__ import annotations

from collections.abc import Sequence

from pipeline.numbers.words import word_set
from pipeline.quantities.owners import Span, Speech
from pipeline.quantities.things import Thing

_SORRY = word_set("sorry no wait actually oops oh hang on rather")
_POINTS = word_set("that those these it them")
_LINKS = word_set("is are was were for the of on to my")
_MEANS_FIRST = word_set("these this they those")
_MOST_LEADING, _NEXT_WITHIN = 8, 14

Owners = Sequence[Thing | None]


def put_right_owners(
    spans: Sequence[Span], owners: Owners, things: Sequence[Thing], speech: Speech
) -> list[Thing | None]:
    """The owners, where one is taken back the one that is put in its place; what was taken back is then of the figure
    that follows of "these"."""
    right = list(owners)
    for place, span in enumerate(spans):
        meant = _meant(span, things, speech)
        if meant is None or (first := right[place]) is None or meant.name == first.name:
            continue
        right[place] = meant
        last = span
        for after in range(place + 1, len(spans)):
            other = spans[after]
            between = speech.words[max(last.end, meant.end) : other.start]
            named = any(max(last.end, meant.end) <= thing.start < other.start for thing in things)
            near = len(between) <= _NEXT_WITHIN and other.qty.kind == span.qty.kind and not named
            if not near or (last is span and not {*between} & _MEANS_FIRST):
                break
            right[after], last = first, other
    return right


def _meant(span: Span, things: Sequence[Thing], speech: Speech) -> Thing | None:
    """The thing of "sorry, that's the pump bolts" right behind a figure."""
    words, at = speech.words, span.end
    while at < min(span.end + _MOST_LEADING, len(words)) and words[at] in _SORRY:
        at += 1
    if at == span.end or at >= len(words) or words[at] not in _POINTS:
        return None
    at += 1
    while at < len(words) and words[at] in _LINKS:
        at += 1
    meant = next((thing for thing in things if thing.start == at and thing.kind in ("part", "fastener")), None)
    return meant if meant is not None and speech.stops[meant.end - 1] else None
