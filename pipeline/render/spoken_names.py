"""What the speaker calls the part that a figure belongs to: figures come under the vocabulary's names."""

from __future__ import annotations

from collections import defaultdict

from pipeline.chapters import TermMention
from pipeline.records import BuildLog
from pipeline.render.places import Course
from pipeline.render.spelling import Names
from pipeline.vocabulary import regular_plural


def subjects_as_said(log: BuildLog, course: Course, names: Names) -> dict[str, str]:
    """Quantity id -> its part by the wording that is said nearest to the figure, else by the reader's name for it."""
    said: dict[str, list[tuple[int, str]]] = defaultdict(list)
    for found in course.terms:
        said[found.term.name].append((course.tokens[found.start].start_word, _singular(found)))
    called = {}
    for qty in log.quantities:
        near = said.get(names.terms.get(qty.subject, qty.subject), ())
        _, wording = min(near, key=lambda place: abs(place[0] - qty.start_word), default=(0, qty.subject))
        called[qty.id] = names.name(wording)
    return called


def _singular(found: TermMention) -> str:
    term = found.term
    if found.wording == term.plural:
        return term.name
    return next((name for name in term.spellings if found.wording == regular_plural(name)), found.wording)
