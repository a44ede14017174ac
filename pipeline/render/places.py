"""Where on the machine an entry belongs: nuts, oil and seals go with the assembly that is being worked on."""

from __future__ import annotations

from bisect import bisect_right
from collections import Counter, defaultdict
from collections.abc import Iterable
from typing import TypeAlias

from pipeline.records import BuildLog, Event, PartMention
from pipeline.vocabulary import Vocabulary

# Assemblies of the vocabulary that are sorts of things and not places on a machine.
SORTS = ("bench", "fasteners", "finishes", "fluids", "hardware", "materials", "measuring", "tools", "workshop")

# Assemblies that both vehicles and machine tools have.
_ANYWHERE = ("electrics", "hydraulics")
# Packs of one sort of machine each, with assemblies that the others do not have; told apart where so many times as many
# entries are about what that sort does not have.
_VEHICLES = ("bicycle", "car", "motorcycle", "outboard")
_RATHER = 2
# So many times as many entries make a recording one about machine tools, or about vehicles: a lathe has belts and a
# float, too, but a car has no tailstock.
_CLEARLY_SHOP, _CLEARLY_VEHICLES = 2, 3

Item: TypeAlias = Event | PartMention
Places: TypeAlias = dict[Item, str]


def places_of(log: BuildLog, vocabulary: Vocabulary) -> Places:
    """The assembly's key for every event and mention, "" where nothing tells.

    What names no place takes the place of the nearest entry before it in the same chapter, else of the nearest
    after it: who talks about a washer is where he was a moment ago. In a recording about a lathe a drive belt does not
    belong to an engine's cooling, nor a collet to a motorcycle, and a van has no bicycle's drivetrain.
    """
    starts_ms = [chapter.start_ms for chapter in log.chapters]
    items: list[Item] = sorted([*log.events, *log.mentions], key=lambda item: (item.start_ms, item.start_word))
    real = _fitting(items, vocabulary)
    chapters: dict[int, list[Item]] = {}
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


def _fitting(items: Iterable[Item], vocabulary: Vocabulary) -> set[str]:
    """Assemblies that the recording can be about: of the sort of machine that most entries are of."""
    real = set(vocabulary.assemblies) - set(SORTS)
    used: dict[str, set[str]] = defaultdict(set)
    for term in vocabulary.terms:
        used[term.pack].add(term.part_of)
    shop = used["machine_shop"] & real
    vehicles = real - shop - set(_ANYWHERE)
    said = Counter(item.assembly for item in items)
    in_shop, in_vehicles = (sum(said[key] for key in keys) for keys in (shop, vehicles))
    if in_shop >= _CLEARLY_SHOP * in_vehicles and in_shop:
        return real - vehicles
    if in_vehicles >= _CLEARLY_VEHICLES * in_shop and in_vehicles:
        real -= shop
    others = set().union(*(used[pack] for pack in _VEHICLES))
    for pack in _VEHICLES:
        elsewhere = set().union(*(keys for name, keys in used.items() if name != pack))
        # what has a caution keeps its place, so that no caution is lost
        own = {key for key in (used[pack] - elsewhere) & real if not vocabulary.assemblies[key].hazard}
        if sum(said[key] for key in others - used[pack]) > _RATHER * sum(said[key] for key in own):
            real -= own
    return real
