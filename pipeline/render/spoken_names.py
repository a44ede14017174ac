"""What the speaker calls the part that a figure belongs to: figures come under the vocabulary's names."""

from __future__ import annotations

from collections import defaultdict

from pipeline.chapters import TermMention, find_terms
from pipeline.records import BuildLog
from pipeline.render.spelling import Names
from pipeline.tokens import written_tokens
from pipeline.vocabulary import Vocabulary, regular_plural


def subjects_as_said(log: BuildLog, vocabulary: Vocabulary, names: Names) -> dict[str, str]:
    """Quantity id -> its part by the wording that is said nearest to the figure, else by the reader's name for it."""
    tokens = written_tokens(log.words, log.corrections)
    said: dict[str, list[tuple[int, str]]] = defaultdict(list)
    for found in find_terms(tokens, vocabulary):
        said[found.term.name].append((tokens[found.start].start_word, _singular(found)))
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
