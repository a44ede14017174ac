"""Fluids and consumables that went in or on, though no entry has them: "with paraffin", "a dab of thread lock"."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from pipeline.records import BuildLog, Event
from pipeline.render.places import Course
from pipeline.tokens import bare, ends_sentence
from pipeline.vocabulary import Vocabulary

# What is used stands behind such words, and not behind these.
_USED = frozenset(("with", "of", "some", "using", "in"))
_NOT_USED = frozenset(("no", "not", "any", "without", "out", "never", "ordinary", "old", "full", "from", "off"))
_BEFORE = 4
# An amount is of what is said so near it.
_NEAR = 8


@dataclass(frozen=True, slots=True)
class Used:
    """A fluid by its term's name, with its figures' ids, and where it was said."""

    fluid: str
    figures: tuple[str, ...]
    said: str
    start_word: int
    end_word: int
    start_ms: int


def used_fluids(log: BuildLog, course: Course, vocabulary: Vocabulary) -> Iterator[Used]:
    """Each fluid that the talk tells was used and that no event has, once, with the amounts said of it."""
    kinds = {name: term for term in vocabulary.terms if term.kind == "fluid" for name in term.spellings}
    events = [event for event in log.events if event.status not in ("advised", "negated")]
    told = {kinds[name].name for event in events for name in (event.fluid, event.part) if name in kinds}
    tokens = course.tokens
    keys = [bare(token.text) for token in tokens]
    for found in course.terms:
        if found.term.kind != "fluid" or found.term.name in told:
            continue
        first, last = tokens[found.start], tokens[found.end - 1]
        start = found.start
        while start and found.start - start < _BEFORE and not ends_sentence(tokens[start - 1].text):
            start -= 1
        before = keys[start : found.start]
        near = [
            qty for qty in log.quantities
            if qty.kind in ("volume", "viscosity") and qty.subject in found.term.spellings and not qty.bound
            and min(abs(qty.start_word - last.end_word), abs(first.start_word - qty.end_word)) <= _NEAR
        ]  # fmt: skip
        if (
            _NOT_USED.intersection(before)
            or not (near or _USED.intersection(before))
            or _is_told(log.events, first.start_word)
        ):
            continue
        told.add(found.term.name)
        said = " ".join(token.text for token in tokens[found.start : found.end])
        figures = tuple(qty.id for qty in near)
        yield Used(found.term.name, figures, said, first.start_word, last.end_word, first.start_ms)


def _is_told(events: tuple[Event, ...], word: int) -> bool:
    """True inside an event that was not done, or only advised: nothing was used there."""
    return any(
        event.start_word <= word < event.end_word and event.status in ("advised", "negated", "planned")
        for event in events
    )
