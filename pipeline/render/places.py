"""Where on the machine an entry belongs: nuts, oil and seals go with the assembly that is being worked on."""

from __future__ import annotations

import math
from bisect import bisect_right
from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from pipeline.chapters import TermMention, find_terms, topic_words
from pipeline.records import BuildLog, Event, PartMention, Token
from pipeline.render.machine_sort import Sort, sort_of
from pipeline.render.part_places import SORTS, PartPlaces
from pipeline.tokens import bare, written_tokens
from pipeline.vocabulary import Vocabulary, regular_singular

# What it costs to believe that the work went on to another assembly, in the middle of a chapter and where one begins;
# that an entry is not of the assembly its name says; and that nobody knows where it belongs.
_MOVED, _MOVED_WITH_CHAPTER = 1.0, 0.4
_MISPLACED, _UNPLACED = 1.2, 1.3
# That an assembly is worked on that is named only once, or twice, or more often; and that an entry without a place of
# its own is there, too.
_OWN, _CARRIED = (0.4, 0.1, 0.0), (0.4, 0.1, 0.02)
# What an entry without a place costs for every entry between it and the nearest that is of the assembly, after the
# first few; a chapter's beginning keeps them apart.
_FADING, _NEAR, _NEXT_CHAPTER = 0.08, 3, 2
# A recording that names so many different parts of one assembly, and that share of all, is about that assembly: what
# has no place is there, however long none of its parts is named.
_HOME_NAMES, _HOME_SHARE, _AT_HOME = 6, 0.5, 0.2
# A part that the vocabulary does not know is less sure to be there than a nut is, and one of another sort of machine
# still less.
_STRANGE, _FOREIGN = 2.0, 0.5
_TIE, _SURE = 1e-6, 0.7
# What is said of the same part again says little more about where the work is, and so does what is only spoken of.
_SAID_AGAIN, _SPOKEN_OF = 0.3, 0.6
# A part called for short, after its whole name was said, is where that is.
_FOR_SHORT = 0.6

# Kinds of term that stand somewhere on the machine; but engine oil is spoken of everywhere.
_PLACED, _EVERYWHERE = ("part", "fastener", "fluid"), "lubrication"
# Brakes are named for short, and an assembly that the machine hardly has is not warned of.
_BRAKES, _MAY_HAVE = frozenset(("brakes", "front_brake", "rear_brake")), 0.3
_OBJECTS = frozenset(("it", "him", "her", "them"))
_THE = frozenset(("the", "this", "my", "that"))
# So likely a machine that calls parts of its own by the names of others' takes no heading from such a name.
_MAY_BE_OTHER = 0.3
# What a place costs by how unlikely it is that the machine has it, in nats.
_UNLIKELY = 0.5

Item: TypeAlias = Event | PartMention
Places: TypeAlias = dict[Item, str]


@dataclass(frozen=True, slots=True)
class Course:
    """Where each entry belongs ("" where nothing tells), and the assembly that its own words name, if any do.

    `likely`: the assemblies that the machine may have, each with how likely it has it. `tokens`, `terms`: the corrected
    text and the vocabulary's terms in it.
    """

    places: Places
    named: dict[Item, tuple[str, ...]]
    likely: Mapping[str, float]
    tokens: Sequence[Token]
    terms: Sequence[TermMention]

    def keys(self, item: Item) -> tuple[str, ...]:
        """The assembly that an entry stands under, and the one that its own words name."""
        return self.places[item], *self.named[item]


@dataclass(frozen=True, slots=True)
class _Spot:
    """A place in the recording where something is named. `weights`: how much speaks for each assembly."""

    start_ms: int
    name: str
    weights: Mapping[str, float]
    item: Item | None = None
    strange: bool = False
    foreign: bool = False

    def named(self, place: str) -> tuple[str, ...]:
        """The assembly that the name speaks for, if it says enough, and far more than for the place where it stands.

        Only a name that the vocabulary has says so much, and one word alone ("stem", "hub", "hopper") only of brakes.
        """
        if self.strange or (" " not in self.name and not _BRAKES.intersection(self.weights)):
            return ()
        weight = max(self.weights.values(), default=0.0)
        if weight < max(_SURE, 2 * self.weights.get(place, 0.0)):
            return ()
        return tuple(key for key, own in self.weights.items() if own == weight)[:1]


def course_of(log: BuildLog, vocabulary: Vocabulary) -> Course:
    """The assembly's key for every event and mention.

    Most parts have a name that says where they are, but a name can mislead ("pedal", "tank", "rotor"), and nuts and
    seals are everywhere. Who talks about a washer is where he was a moment ago, an assembly that is named only once
    is rarely what is worked on, and work moves on where a chapter begins: the cheapest course through
    the assemblies (Viterbi) weighs all this. Assemblies of other sorts of machine are none of its places.
    """
    tokens = written_tokens(log.words, log.corrections)
    terms = find_terms(tokens, vocabulary)
    spots, sort = _spots(log, tokens, terms, vocabulary)
    likely = sort.likely
    starts_ms = [chapter.start_ms for chapter in log.chapters]
    chapters = [bisect_right(starts_ms, spot.start_ms) for spot in spots]
    named = Counter(key for spot in spots for key, weight in spot.weights.items() if weight >= _SURE)
    unlikely = {key: -_UNLIKELY * math.log(likely[key]) for key in named}
    far = _distances(spots, chapters)
    home = _home(spots)
    said: set[tuple[int, str]] = set()
    costs: list[dict[str, float]] = []
    moves: list[float] = []
    for at, spot in enumerate(spots):
        moved = at == 0 or chapters[at] != chapters[at - 1]
        moves.append(_MOVED_WITH_CHAPTER if moved else _MOVED)
        factor = (_SAID_AGAIN if (chapters[at], spot.name) in said else 1.0) * (1.0 if spot.item else _SPOKEN_OF)
        said.add((chapters[at], spot.name))
        cost = _costs(spot, factor, named, far[at], home)
        costs.append({key: cost[key] + unlikely.get(key, 0.0) for key in cost})
    course = _cheapest(costs, moves)
    own = [(spot, spot.item, place) for spot, place in zip(spots, course, strict=True) if spot.item is not None]
    named_by = {item: tuple(key for key in spot.named(place) if likely[key] >= _MAY_HAVE) for spot, item, place in own}
    return Course({item: place for _, item, place in own}, named_by, likely, tokens, terms)


def _spots(
    log: BuildLog, tokens: Sequence[Token], named_terms: Sequence[TermMention], vocabulary: Vocabulary
) -> tuple[list[_Spot], Sort]:
    """The log's entries, and between them what is spoken of, by time; and what is known of the machine."""
    terms = [(tokens[found.start], found) for found in named_terms if _tells_a_place(found, tokens)]
    items: list[Item] = sorted([*log.events, *log.mentions], key=lambda item: (item.start_ms, item.start_word))
    own = [(item.assembly, item.part.lower()) for item in items if item.assembly not in SORTS]
    spoken = [(found.term.part_of, found.term.name) for _, found in terms if found.term.part_of not in SORTS]
    sort = sort_of(log, [*own, *spoken], vocabulary)
    vague = vocabulary.elsewhere if sort.other >= _MAY_BE_OTHER else frozenset[str]()
    places = PartPlaces(vocabulary, set(sort.likely), log.settings.spelling, vague)
    said = [(token, found, places.of(found.wording)) for token, found in terms]
    in_full = defaultdict(list)
    for token, found, weights in said:
        if " " in found.wording:
            in_full[regular_singular(found.wording.lower().split()[-1])].append((token.start_ms, weights))
    spots = []
    for item in items:
        part = item.part
        full = in_full.get(regular_singular(part.lower()), ())
        weights = places.of(part, item.assembly) or _as_in_full(item.start_ms, full)
        about = (item, places.is_strange(part), places.is_foreign(part))
        spots.append(_Spot(item.start_ms, part.lower(), weights, *about))
    told = {(item.part.lower(), word) for item in items for word in range(item.start_word, item.end_word)}
    for token, found, weights in said:
        if weights and not any((name.lower(), token.start_word) in told for name in found.term.spellings):
            spots.append(_Spot(token.start_ms, found.wording, weights))
    named = {at for _, found in terms for at in range(found.start, found.end)}
    spots += [
        _Spot(token.start_ms, word, weights)
        for at, token in enumerate(tokens)
        if at not in named and at and bare(tokens[at - 1].text) in _THE and _ends_phrase(tokens, at)
        and (word := bare(token.text)) not in topic_words().general and (weights := places.topic(word))
    ]  # fmt: skip
    return sorted(spots, key=lambda spot: spot.start_ms), sort


def _as_in_full(start_ms: int, in_full: Sequence[tuple[int, Mapping[str, float]]]) -> dict[str, float]:
    """ "The arm" is where the swinging arm is that was spoken of before it, a little less surely."""
    said = (weights for at_ms, weights in reversed(in_full) if at_ms <= start_ms)
    return {key: _FOR_SHORT * weight for key, weight in next(said, {}).items()}


def _ends_phrase(tokens: Sequence[Token], at: int) -> bool:
    """True for a noun that no other follows: "into the knee, with", not "the knee screw"."""
    following = bare(tokens[at + 1].text) if at + 1 < len(tokens) else ""
    return not tokens[at].text[-1:].isalnum() or following in topic_words().stop


def _tells_a_place(found: TermMention, tokens: Sequence[Token]) -> bool:
    behind = tokens[found.end] if found.end < len(tokens) else None
    if behind is not None and bare(behind.text) in _OBJECTS and tokens[found.end - 1].text[-1:].isalnum():
        return False  # "so I can wheel it out"
    oil = found.term.kind == "fluid" and found.term.part_of == _EVERYWHERE
    return found.plain and found.term.kind in _PLACED and not oil


def _distances(spots: Sequence[_Spot], chapters: Sequence[int]) -> list[dict[str, float]]:
    """For each spot, how many entries away the nearest that is of an assembly is, by assembly."""
    count, entries = [], 0
    for spot in spots:
        count.append(entries)
        entries += spot.item is not None
    far: list[dict[str, float]] = [{} for _ in spots]
    for order in (range(len(spots)), range(len(spots) - 1, -1, -1)):
        last: dict[str, int] = {}
        for at in order:
            for key, weight in spots[at].weights.items():
                if weight >= _SURE:
                    last[key] = at
            for key, other in last.items():
                apart = abs(count[at] - count[other]) + _NEXT_CHAPTER * (chapters[at] != chapters[other])
                far[at][key] = min(far[at].get(key, apart), apart)
    return far


def _home(spots: Sequence[_Spot]) -> str:
    """The assembly that the whole recording is about, "" where there is none: it names most parts, and many of them."""
    names: dict[str, set[str]] = {}
    for spot in spots:
        weight = max(spot.weights.values(), default=0.0)
        for key, own in spot.weights.items():
            if own == weight >= _SURE:
                names.setdefault(key, set()).add(spot.name)
    key = max(names, key=lambda key: len(names[key]), default="")
    many = len(names.get(key, ()))
    return key if many >= _HOME_NAMES and many >= _HOME_SHARE * sum(map(len, names.values())) else ""


def _costs(
    spot: _Spot, factor: float, named: Mapping[str, int], far: Mapping[str, float], home: str
) -> dict[str, float]:
    """What each place of a spot costs."""
    if not spot.weights:
        fading = _FADING * (_STRANGE if spot.strange else 1.0)
        base = _FOREIGN if spot.foreign else 0.0
        carried = {
            place: base
            + _CARRIED[min(many, 3) - 1]
            + fading * (_AT_HOME if place == home else 1.0) * max(0.0, far.get(place, len(far)) - _NEAR)
            for place, many in named.items()
        }
        return {"": 0.0, **carried}
    best = max(spot.weights.values())
    costs = {"": _UNPLACED * best * factor}
    for place, many in named.items():
        own = spot.weights.get(place, 0.0)
        costs[place] = _MISPLACED * (best - own) * factor
        if own:
            costs[place] += _OWN[min(many, 3) - 1] * min(1.0, max(0.0, 2.0 - own))
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
