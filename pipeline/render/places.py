"""Where on the machine an entry belongs: nuts, oil and seals go with the assembly that is being worked on."""

from __future__ import annotations

import re
from bisect import bisect_right
from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from typing import TypeAlias

from pipeline.records import BuildLog, Event, PartMention
from pipeline.vocabulary import Vocabulary

# Assemblies of the vocabulary that are sorts of things and not places on a machine.
SORTS = ("bench", "fasteners", "finishes", "fluids", "hardware", "materials", "measuring", "tools", "workshop")

# Assemblies that both vehicles and machine tools have.
_ANYWHERE = ("electrics", "hydraulics", "lubrication")
# Packs of one sort of machine each, with assemblies that the others do not have; told apart where so many times as many
# parts are of what that sort does not have.
_VEHICLES = ("bicycle", "car", "motorcycle", "outboard")
_RATHER = 2
# So many times as many parts make a recording one about machine tools, or about vehicles: a lathe has belts and a
# float, too, but a car has no tailstock.
_CLEARLY_SHOP, _CLEARLY_VEHICLES = 1.5, 2

# What it costs to believe that the work went on to another assembly, in the middle of a chapter and where one begins;
# that an entry is not of the assembly its name says; and that nobody knows where it belongs.
_MOVED, _MOVED_WITH_CHAPTER = 1.0, 0.3
_MISPLACED, _UNPLACED = 1.2, 1.1
# That an assembly is worked on of which one part only is named, or two, or more; and that an entry without a place of
# its own is there, too.
_OWN, _CARRIED = (0.4, 0.1, 0.0), (0.4, 0.03, 0.02)
_TIE, _LEAST_SURE = 1e-6, 0.5
# Entries without a place of their own are where one so many entries before or after them is.
_SINCE, _UNTIL = 14, 7
# What is said of the same part again says little more about where the work is.
_SAID_AGAIN = 0.3
# An assembly whose caution matters most is not lightly taken for another.
_DANGEROUS = ("brakes", "steering", "wheels")

Item: TypeAlias = Event | PartMention
Places: TypeAlias = dict[Item, str]


def places_of(log: BuildLog, vocabulary: Vocabulary) -> Places:
    """The assembly's key for every event and mention, "" where nothing tells.

    Most parts have a name that says where they are, but a name can mislead ("pedal", "tank", "rotor"), and nuts and
    seals are everywhere. Who talks about a washer is where he was a moment ago, an assembly of which one part only is
    ever named is rarely what is worked on, and work moves on where a chapter begins: the cheapest course through
    the assemblies (Viterbi) weighs all this. In a recording about a lathe a drive belt does not belong to an engine's
    cooling, nor a collet to a motorcycle, and a van has no bicycle's drivetrain.
    """
    starts_ms = [chapter.start_ms for chapter in log.chapters]
    items: list[Item] = sorted([*log.events, *log.mentions], key=lambda item: (item.start_ms, item.start_word))
    real = _fitting(items, vocabulary)
    own = [item.assembly if item.assembly in real else "" for item in items]
    named: dict[str, set[str]] = defaultdict(set)
    for item, key in zip(items, own, strict=True):
        if key:
            named[key].add(item.part.lower())
    sure = _Sureness(vocabulary)
    costs: list[dict[str, float]] = []
    moves: list[float] = []
    said: set[tuple[int, str]] = set()
    chapter = -1
    for number, item in enumerate(items):
        before, chapter = chapter, bisect_right(starts_ms, item.start_ms)
        moves.append(_MOVED_WITH_CHAPTER if chapter != before else _MOVED)
        weight = sure.of(item) * (_SAID_AGAIN if (chapter, item.part) in said else 1.0)
        said.add((chapter, item.part))
        costs.append(_costs(own[number], weight, named, {*own[max(0, number - _SINCE) : number + _UNTIL]}))
    return dict(zip(items, _cheapest(costs, moves), strict=True))


def _costs(own: str, weight: float, named: Mapping[str, set[str]], near: set[str]) -> dict[str, float]:
    """What each place of an entry costs, given its own by its name and those of the entries near."""
    if not own:
        carried = {place: _CARRIED[min(len(parts), 3) - 1 if place in near else 0] for place, parts in named.items()}
        return {"": 0.0, **carried}
    costs = {"": _UNPLACED * max(weight, _LEAST_SURE), **dict.fromkeys(named, _MISPLACED * weight)}
    costs[own] = _OWN[min(len(named[own]), 3) - 1] * min(weight, max(0.0, 2.0 - weight))
    return costs


def _cheapest(costs: Sequence[Mapping[str, float]], moves: Sequence[float]) -> list[str]:
    """The places of the entries whose costs and moves together are least."""
    if not costs:
        return []
    total = dict(costs[0])
    came: list[dict[str, str]] = []
    for cost, move in zip(costs[1:], moves[1:], strict=True):
        best = min(total, key=total.__getitem__)
        # as good to go later as now: what was named last holds until something else is
        came.append({place: place if total[place] < total[best] + move - _TIE else best for place in cost})
        total = {place: total[came[-1][place]] + (move if came[-1][place] != place else 0.0) + cost[place]
                 for place in cost}  # fmt: skip
    place = min(total, key=total.__getitem__)
    course = [place]
    for step in reversed(came):
        place = step[place]
        course.append(place)
    return course[::-1]


class _Sureness:
    """How much the name of a part says about where it is."""

    def __init__(self, vocabulary: Vocabulary) -> None:
        self._ending: dict[str, Counter[str]] = defaultdict(Counter)
        for term in vocabulary.terms:
            self._ending[term.name.lower().split()[-1]][term.part_of] += 1
        self._titles = {
            key: set(re.findall(r"[a-z]+", assembly.title.lower())) for key, assembly in vocabulary.assemblies.items()
        }
        self._hazards = {key: assembly.hazard for key, assembly in vocabulary.assemblies.items()}

    def of(self, item: Item) -> float:
        """About 1: less for a word that many assemblies have one of, more where the name says it or danger asks."""
        words = item.part.lower().split()
        if not words or not item.assembly:
            return 1.0
        sure = 1.5 if self._hazards.get(item.assembly) in _DANGEROUS else 1.0
        if len(words) > 1:
            return sure + (1.5 if self._titles.get(item.assembly, set()) & set(words) else 0.5)
        ends = self._ending[words[0]]
        share = ends[item.assembly] / ends.total() if ends else 1.0
        return sure * (1.5 if share == 1 else share)


def _fitting(items: Iterable[Item], vocabulary: Vocabulary) -> set[str]:
    """Assemblies that the recording can be about: of the sort of machine that most of its parts are of."""
    real = set(vocabulary.assemblies) - set(SORTS)
    used: dict[str, set[str]] = defaultdict(set)
    for term in vocabulary.terms:
        used[term.pack].add(term.part_of)
    shop = used["machine_shop"] & real
    vehicles = real - shop - set(_ANYWHERE)
    said = Counter(assembly for assembly, _ in {(item.assembly, item.part.lower()) for item in items})
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
