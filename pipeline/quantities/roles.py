"""What a figure is beside others of its kind: found, wanted by a book or the speaker, a limit, or of the old part."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise, takewhile

from pipeline.numbers.words import word_set
from pipeline.quantities.owners import Span, Speech

FOUND, WANTED, LIMIT, OLD = "found", "wanted", "limit", "old"
_NO_ROLE = frozenset({"count", "thread", "spanner", "viscosity", "grit", "teeth", "ratio"})
_LIMITS = word_set("limit limits minimum min maximum max discard")
_NO_FURTHER = word_set("thinner less more smaller bigger wider thicker lower higher under over")
_BOOKS = word_set("book manual sheet leaflet handbook spec specs specification makers maker factory standard drawing")
_OUGHT = frozenset(
    {("meant", "to"), ("supposed", "to"), ("ought", "to"), ("wants", "to"), ("want", "to"), ("calls", "for")}
)
_HELD = word_set("be have hold read measure take show get sit")
_ARE = word_set("is was are were")
_WERE = word_set("was were had measured came")
_READ = word_set("measured measures measuring getting reads reading showing shows")
_NOT_FOUND = word_set("torque")
# How near to a figure the words stand that tell its role.
_LIMIT_WITHIN, _LIMIT_BEHIND, _WANTED_BEHIND = 5, 2, 7
# Between "new" and what was measured: "ten new, eight and a half minimum".
_WHEN_NEW = frozenset({("new",), ("when", "new"), ("from", "new")})


def role_of(place: int, spans: Sequence[Span], speech: Speech) -> str:
    """The role of the figure at a place among `spans`, by the words of its sentence up to the figures beside it."""
    span = spans[place]
    if span.qty.kind in _NO_ROLE:
        return ""
    before, said, behind = _words_around(place, spans, speech)
    if _is_limit(before, said, behind):
        return LIMIT
    if _is_old(before) or _was_before(place, before, spans, speech):
        return OLD
    leads_on = place + 1 < len(spans) and speech.sentence_of[spans[place + 1].start] == speech.sentence_of[span.start]
    if _is_wanted(before, behind, leads_on):
        return WANTED
    # "the tyre's at 1.2 bar"
    stands = before[-1:] == ["at"] and len(before) > 1 and (speech.short[span.start - 2] or before[-2] in _ARE)
    read = stands or bool({*before[-_LIMIT_WITHIN:]} & _READ)
    return FOUND if read and span.qty.kind not in _NOT_FOUND else ""


def _words_around(place: int, spans: Sequence[Span], speech: Speech) -> tuple[list[str], list[str], list[str]]:
    """The words before a figure, its own, and those behind it, up to the next figures and the ends of the sentence."""
    span, words = spans[place], speech.words
    sentence = speech.sentence_of[span.start]
    first = spans[place - 1].end if place else 0
    last = spans[place + 1].start if place + 1 < len(spans) else len(words)
    before = [words[at] for at in range(first, span.start) if speech.sentence_of[at] == sentence]
    behind = [words[at] for at in range(span.end, last) if speech.sentence_of[at] == sentence]
    if span.end and speech.sentence_of[span.end - 1] != sentence:
        behind = []
    return before, list(words[span.start : span.end]), behind


def _is_limit(before: Sequence[str], said: Sequence[str], behind: Sequence[str]) -> bool:
    """ "the limit's 39.5", "eight point five minimum", "no thinner than point six"."""
    near = before[-_LIMIT_WITHIN:]
    if {*near, *said} & _LIMITS or {*behind[:_LIMIT_BEHIND]} & _LIMITS:
        return True
    told = [*near, *said]
    return any(
        one in ("no", "not") and two in _NO_FURTHER and "than" in told[at + 2 : at + 3]
        for at, (one, two) in enumerate(pairwise(told))
    )


def _is_old(before: Sequence[str]) -> bool:
    """ "the old one was sixty", "it used to be five", "the one I took out was 1.65"."""
    if ("used", "to") in pairwise(before):
        return True
    if "old" in before:
        behind = before[before.index("old") + 1 :]
        return bool({*behind[:4]} & _WERE) and not {*behind} & {"new", "now"}
    out = [at for at, word in enumerate(before) if word == "out" and before[at - 1] in ("took", "came")]
    return bool(out) and {*before[out[-1] + 1 :]} <= {"was", "were", "it", "is", "about", "measured", "at"}


def _was_before(place: int, before: Sequence[str], spans: Sequence[Span], speech: Speech) -> bool:
    """ "it was five thou and now it's three": the next figure of the kind says how it is now."""
    if not {*before} & {"was", "were"} or place + 1 >= len(spans):
        return False
    span, after = spans[place], spans[place + 1]
    between = speech.words[span.end : after.start]
    return after.qty.kind == span.qty.kind and len(between) <= 8 and "now" in between


def _is_wanted(before: Sequence[str], behind: Sequence[str], leads_on: bool) -> bool:
    """ "it should be ten", "the book says 65", "forty, the manual says", "three hundred and seventy it should hold"."""
    pairs = list(pairwise(before))
    if {*before} & _BOOKS or any(pair in _OUGHT for pair in pairs):
        return True
    if any(word in ("should", "shall") and {*before[at + 1 : at + 3]} & _HELD for at, word in enumerate(before)):
        return True
    if tuple(behind[:2]) in _WHEN_NEW or (behind[:1] == ["new"] and len(behind) < 2):
        return True
    if leads_on:
        return False  # "it was ninety five when it should be one fifty"
    near = list(takewhile(lambda word: word not in ("but", "so", "and"), behind[:_WANTED_BEHIND]))
    told = any(
        word in _BOOKS and {*near[at + 1 : at + 2]} & {"says", "said", "gives", "wants"} for at, word in enumerate(near)
    )
    led = "according" in near and bool({*near} & _BOOKS)
    held = any(word == "should" and {*near[at + 1 : at + 2]} & _HELD for at, word in enumerate(near))
    return told or led or held
