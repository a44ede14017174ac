"""Figures that are of nothing that is named: what is cut at a time, and what an engine is revved to."""

from __future__ import annotations

from pipeline.numbers.words import word_set
from pipeline.quantities.owners import Span, Speech

_CUTS = frozenset({"cut", "pass", "go", "peck", "stroke", "bite", "time", "rev", "revolution", "tooth"})
_TAKEN = frozenset({"cut", "cuts", "feed", "peck", "pecks", "pass", "passes"})
_A_CUT = word_set("a an the with of at take takes took taking another last first final finishing roughing")
_EACH = frozenset(
    {("each", "pass"), ("every", "pass"), ("each", "cut"), ("every", "cut"), ("each", "peck"), ("peck", "every")}
)
_REVVED = word_set("rev revs revved revving idle idles idling idled tickover")
_REVVED_WITHIN = 4


def of_nothing(span: Span, speech: Speech) -> bool:
    """Whether a figure is of nothing that is named: what is cut at a time, and what an engine is revved to."""
    return _taken_each_time(span, speech) or _revved(span, speech)


def _revved(span: Span, speech: Speech) -> bool:
    """ "when I rev to three thousand", "idles at nine hundred"."""
    before = max((other.end for other in speech.spans if other.end <= span.start), default=0)
    near = range(max(before, span.start - _REVVED_WITHIN), span.start)
    here = (place for place in near if speech.sentence_of[place] == speech.sentence_of[span.start])
    return span.qty.kind == "speed" and any(speech.words[place] in _REVVED for place in here)


def _taken_each_time(span: Span, speech: Speech) -> bool:
    """ "forty thou a cut", "two mil at a time", "five microns a pass", "a ten thou cut", "each pass five microns"."""
    if span.qty.kind not in ("length", "clearance") or span.qty.said[-1:] in ",.;:?!":
        return False
    behind, before = speech.words[span.end : span.end + 3], speech.words[max(0, span.start - 2) : span.start]
    if ({*behind[:1]} & _TAKEN and {*before[-1:]} & _A_CUT) or tuple(before) in _EACH:
        return True
    return (behind[:1] in (["a"], ["per"], ["each"], ["every"]) and {*behind[1:2]} <= _CUTS and len(behind) > 1) or (
        behind == ["at", "a", "time"]
    )
