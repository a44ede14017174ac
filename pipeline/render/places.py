"""Where on the machine an entry belongs: nuts, oil and seals go with the assembly that is being worked on."""

from __future__ import annotations

import math
from bisect import bisect_right
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from pipeline.chapters import TermMention, find_terms
from pipeline.records import BuildLog, Token
from pipeline.render.machine_sort import SortEvidence
from pipeline.render.spots import SURE, Item, Spot, Topic, spots_of
from pipeline.tokens import written_tokens
from pipeline.vocabulary import Vocabulary

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
# That an entry is of another assembly than the speaker has just said he turns to, more where he named the assembly
# itself, and less with every entry since; what was worked on before is so many entries away.
_NOT_ANNOUNCED, _NOT_IN_WHOLE, _FORGOTTEN, _TURNED_AWAY = 0.9, 1.5, 0.12, 8
# A name that says so much is of its own assembly, whatever was announced, the less so where that was an assembly
# itself ("the hydraulics"); after so many the work is there no more.
_OWN_NAME, _OWN_IN_WHOLE, _NO_MORE = 0.95, 2.05, 2
# A recording that names so many different parts of one assembly, and that share of all, is about that assembly: what
# has no place is there, however long none of its parts is named.
_HOME_NAMES, _HOME_SHARE, _AT_HOME = 6, 0.5, 0.2
# A part that the vocabulary does not know is less sure to be there than a nut is, and one of another sort of machine
# still less.
_STRANGE, _FOREIGN = 2.0, 0.5
_TIE = 1e-6
# What is said of the same part again says little more about where the work is, and so does what is only spoken of.
_SAID_AGAIN, _SPOKEN_OF = 0.3, 0.6
# An assembly that the machine hardly has is not warned of.
_MAY_HAVE = 0.3
# To go on to another assembly with the very part that was told a moment ago, within so many entries.
_SAME_PART, _MOMENT = 1.5, 2
# What a place costs by how unlikely it is that the machine has it, in nats.
_UNLIKELY = 0.5

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


def course_of(log: BuildLog, vocabulary: Vocabulary, others: Sequence[SortEvidence] = ()) -> Course:
    """The assembly's key for every event and mention.

    Most parts have a name that says where they are, but a name can mislead ("pedal", "tank", "rotor"), and nuts and
    seals are everywhere. Who talks about a washer is where he was a moment ago, an assembly that is named only once
    is rarely what is worked on, and work moves on where a chapter begins: the cheapest course through
    the assemblies (Viterbi) weighs all this. Assemblies of other sorts of machine are none of its places; `others` is
    what other recordings of the machine tell of its sort.
    """
    tokens = written_tokens(log.words, log.corrections)
    terms = find_terms(tokens, vocabulary)
    spots, sort, topics = spots_of(log, tokens, terms, vocabulary, others)
    likely = sort.likely
    starts_ms = sorted({chapter.start_ms for chapter in log.chapters} | {topic.start_ms for topic in topics})
    chapters = [bisect_right(starts_ms, spot.start_ms) for spot in spots]
    told = _told(spots, topics, [chapter.start_ms for chapter in log.chapters])
    said_so = [spot.weights for spot in spots] + [topic.weights for topic in topics]
    named = Counter(key for weights in said_so for key, weight in weights.items() if weight >= SURE)
    unlikely = {key: -_UNLIKELY * math.log(likely[key]) for key in named}
    far = _distances(spots, chapters, [topic.start_ms for topic in topics])
    home = _home(spots)
    said: set[tuple[int, str]] = set()
    costs: list[dict[str, float]] = []
    moves: list[float] = []
    for at, spot in enumerate(spots):
        moved = at == 0 or chapters[at] != chapters[at - 1]
        moves.append(_MOVED_WITH_CHAPTER if moved else _MOVED)
        factor = (_SAID_AGAIN if (chapters[at], spot.name) in said else 1.0) * (1.0 if spot.item else _SPOKEN_OF)
        said.add((chapters[at], spot.name))
        announced, fee = told[at]
        cost = _costs(spot, factor, named, far[at], home if not fee or announced == home else "")
        if fee:
            cost = {key: cost[key] + (fee if key != announced else 0.0) for key in cost}
        costs.append({key: cost[key] + unlikely.get(key, 0.0) for key in cost})
        if ago := _told_ago(spots, at):
            moves[-ago:] = [move + _SAME_PART for move in moves[-ago:]]
    course = _cheapest(costs, moves)
    own = [(spot, spot.item, place) for spot, place in zip(spots, course, strict=True) if spot.item is not None]
    named_by = {item: tuple(key for key in spot.named(place) if likely[key] >= _MAY_HAVE) for spot, item, place in own}
    return Course({item: place for _, item, place in own}, named_by, likely, tokens, terms)


def _told_ago(spots: Sequence[Spot], at: int) -> int:
    """How many spots ago the part of one was worked on, 0 where that was not a moment ago."""
    moment = range(1, min(_MOMENT, at) + 1)
    again = (ago for ago in moment if spots[at - ago].item is not None and spots[at - ago].name == spots[at].name)
    return next(again, 0) if spots[at].item is not None else 0


def _told(spots: Sequence[Spot], topics: Sequence[Topic], chapters_ms: Sequence[int]) -> list[tuple[str, float]]:
    """For each spot the assembly that the speaker has said he turns to, and what it costs to be elsewhere.

    That holds until the next topic or chapter, or until he is plainly at something else.
    """
    starts_ms = [topic.start_ms for topic in topics]
    told: list[tuple[str, float]] = []
    others = since = before = 0
    for spot in spots:
        at = bisect_right(starts_ms, spot.start_ms)
        topic = topics[at - 1] if at else Topic(0, {})
        if at != before:
            others, since, before = 0, 0, at
        strongest = max(spot.weights.values(), default=0.0)
        key = max(topic.weights, key=topic.weights.__getitem__, default="")
        strong = strongest >= (_OWN_IN_WHOLE if topic.whole else _OWN_NAME) or _is_at_another_end(spot, key)
        is_other = strong and spot.weights.get(key) != strongest
        others = others + 1 if is_other else 0 if strongest and not strong else others
        same = bisect_right(chapters_ms, topic.start_ms) == bisect_right(chapters_ms, spot.start_ms)
        fee = (_NOT_IN_WHOLE if topic.whole else _NOT_ANNOUNCED) - _FORGOTTEN * since
        told.append((key, max(0.0, fee) if key and same and not strong and others < _NO_MORE else 0.0))
        since += spot.item is not None
    return told


def _is_at_another_end(spot: Spot, announced: str) -> bool:
    """ "Gearbox. ... Front spindle nut, torqued up": no gearbox has a front one."""
    own = max(spot.weights.values(), default=0.0) >= SURE and announced not in spot.weights
    return own and spot.item is not None and spot.item.position in ("front", "rear")


def _distances(spots: Sequence[Spot], chapters: Sequence[int], away_ms: Sequence[int]) -> list[dict[str, float]]:
    """For each spot, how many entries away the nearest that is of an assembly is, by assembly.

    `away_ms`: when the speaker said that he turns to something else.
    """
    count, entries = [], 0
    for at, spot in enumerate(spots):
        count.append(entries + _TURNED_AWAY * bisect_right(away_ms, spot.start_ms))
        entries += spot.item is not None and not _told_ago(spots, at)
    far: list[dict[str, float]] = [{} for _ in spots]
    for order in (range(len(spots)), range(len(spots) - 1, -1, -1)):
        last: dict[str, int] = {}
        for at in order:
            for key, weight in spots[at].weights.items():
                if weight >= SURE:
                    last[key] = at
            for key, other in last.items():
                apart = abs(count[at] - count[other]) + _NEXT_CHAPTER * (chapters[at] != chapters[other])
                far[at][key] = min(far[at].get(key, apart), apart)
    return far


def _home(spots: Sequence[Spot]) -> str:
    """The assembly that the whole recording is about, "" where there is none: it names most parts, and many of them."""
    names: dict[str, set[str]] = {}
    for spot in spots:
        weight = max(spot.weights.values(), default=0.0)
        for key, own in spot.weights.items():
            if own == weight >= SURE:
                names.setdefault(key, set()).add(spot.name)
    key = max(names, key=lambda key: len(names[key]), default="")
    many = len(names.get(key, ()))
    return key if many >= _HOME_NAMES and many >= _HOME_SHARE * sum(map(len, names.values())) else ""


def _costs(
    spot: Spot, factor: float, named: Mapping[str, int], far: Mapping[str, float], home: str
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
