"""What a figure is beside others of its kind: found, wanted by a book or the speaker, a limit, or of the old part."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise, takewhile

from pipeline.numbers.words import word_set
from pipeline.quantities.owners import Span, Speech

FOUND, WANTED, LIMIT, OLD = "found", "wanted", "limit", "old"
_NO_ROLE = frozenset({"count", "thread", "spanner", "viscosity", "grit", "teeth", "ratio"})
_LIMITS = word_set("limit limits minimum min maximum max discard allowed")
_NO_FURTHER = word_set("thinner less more smaller bigger wider thicker lower higher under over")
_BOOKS = word_set("book manual sheet leaflet handbook spec specs specification makers maker factory standard drawing")
_OUGHT = frozenset(
    {("meant", "to"), ("supposed", "to"), ("ought", "to"), ("wants", "to"), ("want", "to"), ("calls", "for")}
)
_HELD = word_set("be have hold read measure take show get sit")
_DONE = word_set("got get put had did made")
_ARE = word_set("is was are were")
_WERE = word_set("was were had measured came")
_READ = word_set("measured measures measuring getting reads reading showing shows")
_NOT_FOUND = word_set("torque")
# How near to a figure the words stand that tell its role.
_LIMIT_WITHIN, _LIMIT_BEHIND, _WANTED_BEHIND = 5, 2, 7
# "It was five thou, so I ... and now it's three", "before it was four", "I set it to two".
_NOW_WITHIN, _NOW_CLOSE, _NOW_FARTHEST = 8, 4, 20
_BEFORE_IT_WAS = {
    ("before", "it", "was"),
    ("before", "that", "was"),
    ("before", "they", "were"),
    ("originally", "it", "was"),
}
_SET_TO = {
    (verb, it, "to") for verb in ("set", "adjusted", "brought", "opened", "closed") for it in ("it", "them", "that")
}
# Between "new" and what was measured: "ten new, eight and a half minimum".
_WHEN_NEW = frozenset({("new",), ("when", "new"), ("from", "new")})


def role_of(place: int, spans: Sequence[Span], speech: Speech) -> str:
    """The role of the figure at a place among `spans`, by the words of its sentence up to the figures beside it."""
    span = spans[place]
    if span.qty.kind in _NO_ROLE:
        return ""
    before, said, behind = _words_around(place, spans, speech)
    leads_on = place + 1 < len(spans) and speech.sentence_of[spans[place + 1].start] == speech.sentence_of[span.start]
    if _is_limit(before, said, behind, leads_on):
        return LIMIT
    if _is_old(before) or _was_before(place, before, spans, speech):
        return OLD
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


def _is_limit(before: Sequence[str], said: Sequence[str], behind: Sequence[str], leads_on: bool) -> bool:
    """ "the limit's 39.5", "eight point five minimum", "no thinner than point six"."""
    near = before[-_LIMIT_WITHIN:]
    if {*near, *said} & _LIMITS:
        return True
    # "eight hundredths, the limit's fifteen", "ninety point four, allowed is ninety point five"
    leading = behind[:1] in (["the"], ["and"], ["but"], ["limit"]) or behind[-1:] in (["is"], ["are"])
    of_the_next = leads_on and leading
    if {*behind[:_LIMIT_BEHIND]} & _LIMITS and not of_the_next:
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
    """ "it was five thou and now it's three", "fifty microns, before it was two hundred", "the air gap was one point
    two, I set it to zero point four": how it was, beside another figure of the kind that says how it is."""
    if tuple(before[-3:]) in _BEFORE_IT_WAS:
        return place > 0 and spans[place - 1].qty.kind == spans[place].qty.kind
    if not {*before} & {"was", "were", "had"} or place + 1 >= len(spans):
        return False
    span, after = spans[place], spans[place + 1]
    between = speech.words[span.end : after.start]
    if after.qty.kind != span.qty.kind or after.qty.unit != span.qty.unit:
        return False
    now = "now" in (between if len(between) <= _NOW_WITHIN else between[-_NOW_CLOSE:])
    set_to = tuple(between[-3:]) in _SET_TO
    return len(between) <= _NOW_FARTHEST and (now or set_to)


def _is_wanted(before: Sequence[str], behind: Sequence[str], leads_on: bool) -> bool:
    """ "it should be ten", "the book says 65", "forty, the manual says", "three hundred and seventy it should hold"."""
    said = [at for at, word in enumerate(before) if word == "i" and {*before[at + 1 : at + 3]} & _DONE]
    before = before[said[-1] :] if said else before  # "that's what the book says, I only got four in"
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
