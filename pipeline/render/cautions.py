"""The cautions that go with the work: for the assembly it stands under, and for what its own words name."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from pipeline.render.places import Course
from pipeline.render.spelling import Names, in_spelling
from pipeline.render.spots import Item
from pipeline.vocabulary import Vocabulary

# What work stands under that has no heading of its own: beside others, and where there is no other.
ELSEWHERE, IN_ORDER = "Other work", "In the order told"


def cautions_of(items: Iterable[Item], course: Course, vocabulary: Vocabulary, names: Names) -> tuple[str, ...]:
    """What to mind with these entries, each hazard once. No heading takes a caution away."""
    keys = dict.fromkeys(key for item in items for key in course.keys(item))
    texts = dict.fromkeys(filter(None, (_text(key, vocabulary) for key in keys)))
    return tuple(in_spelling(text, names.spelling) for text in texts)


def cautions(
    course: Course, vocabulary: Vocabulary, titles: Mapping[str, str], names: Names
) -> tuple[tuple[str, str], ...]:
    """Each caution once, with the headings of this log that it is for."""
    found: dict[str, dict[str, None]] = {}
    for item, place in course.places.items():
        for text in filter(None, (_text(key, vocabulary) for key in course.keys(item))):
            # where it stands, whatever it is of: no reader finds a heading that the log does not have
            found.setdefault(text, {})[titles.get(place, ELSEWHERE)] = None
    return tuple((in_spelling(text, names.spelling), ", ".join(for_)) for text, for_ in found.items())


def _text(key: str, vocabulary: Vocabulary) -> str:
    assembly = vocabulary.assemblies.get(key)
    return vocabulary.cautions.get(assembly.hazard, "") if assembly else ""
