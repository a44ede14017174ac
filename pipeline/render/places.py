"""Where on the machine an entry belongs: nuts, oil and seals go with the assembly that is being worked on."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable
from typing import TypeAlias

from pipeline.records import BuildLog, Event, PartMention

# Assemblies of the vocabulary that are sorts of things and not places on a machine.
SORTS = ("bench", "fasteners", "finishes", "fluids", "hardware", "materials", "measuring", "tools", "workshop")

Places: TypeAlias = dict[Event | PartMention, str]


def places_of(log: BuildLog, known: Iterable[str]) -> Places:
    """The assembly's key for every event and mention, "" where nothing tells.

    What names no place takes the place of the nearest entry before it in the same chapter, else of the nearest
    after it: who talks about a washer is where he was a moment ago.
    """
    real = set(known) - set(SORTS)
    starts_ms = [chapter.start_ms for chapter in log.chapters]
    items: list[Event | PartMention] = sorted(
        [*log.events, *log.mentions], key=lambda item: (item.start_ms, item.start_word)
    )
    chapters: dict[int, list[Event | PartMention]] = {}
    for item in items:
        chapters.setdefault(bisect_right(starts_ms, item.start_ms), []).append(item)
    places: Places = {}
    for group in chapters.values():
        own = [item.assembly if item.assembly in real else "" for item in group]
        latest = next((key for key in own if key), "")
        for item, key in zip(group, own, strict=True):
            latest = key or latest
            places[item] = latest
    return places
