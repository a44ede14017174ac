"""What is named in a recording, and what its name says about where on the machine that is."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence, Set
from dataclasses import dataclass
from itertools import pairwise
from typing import TypeAlias

from pipeline.chapters import TermMention, topic_words
from pipeline.records import BuildLog, Event, PartMention, Token
from pipeline.render.announced import announced
from pipeline.render.machine_sort import Sort, SortEvidence, sort_of
from pipeline.render.part_hosts import is_shared
from pipeline.render.part_places import SORTS, PartPlaces
from pipeline.tokens import bare
from pipeline.vocabulary import Vocabulary, regular_singular

# What a name must say at least to be sure.
SURE = 0.7
# A part called for short, after its whole name was said, is where that is; so is what is of a part named behind it.
_FOR_SHORT, _OF_IT = 0.6, 0.6
# A name of small hardware that says no more than that is one of many things.
_OF_MANY = 1.0
# Nuts and springs are everywhere: "the bolts" are the flywheel bolts only so long after those were named.
_SHORTLY_MS = 20_000

# Kinds of term that stand somewhere on the machine; but engine oil is spoken of everywhere.
_PLACED, _EVERYWHERE = ("part", "fastener", "fluid"), "lubrication"
# Brakes are named for short.
_BRAKES = frozenset(("brakes", "front_brake", "rear_brake"))
_CALLED_BRAKES = frozenset(("brake", "brakes"))
_OBJECTS = frozenset(("it", "him", "her", "them"))
_THE = frozenset(("the", "this", "my", "that"))
# "two bolts out of the caliper", "the screw that holds the float bowl": how a thing's part comes before it.
_OF = frozenset(
    ("of", "on", "off", "from", "in", "into", "onto", "for", "holds", "hold", "holding", "out", "to", "round", "under",
     "behind", "inside", "that", "which")
)  # fmt: skip
_OF_WITHIN = 5
# So likely a machine that calls parts of its own by the names of others' takes no heading from such a name.
_MAY_BE_OTHER = 0.3

Item: TypeAlias = Event | PartMention


@dataclass(frozen=True, slots=True)
class Topic:
    """What the speaker says that he turns to. `weights`: how much speaks for each assembly, none where it has none;
    `whole`: it is an assembly itself ("the hydraulics") and no part of one."""

    start_ms: int
    weights: Mapping[str, float]
    whole: bool = False


@dataclass(frozen=True, slots=True)
class Spot:
    """A place in the recording where something is named. `weights`: how much speaks for each assembly."""

    start_ms: int
    name: str
    weights: Mapping[str, float]
    item: Item | None = None
    strange: bool = False
    foreign: bool = False

    def named(self, place: str) -> tuple[str, ...]:
        """The assembly that the name speaks for, if it says enough, and far more than for the place where it stands.

        Only a name that the vocabulary has says so much, and one word alone ("stem", "hub", "hopper") only of brakes;
        what is called a brake is one, whether the vocabulary knows that name or not.
        """
        brakes = bool(_BRAKES.intersection(self.weights))
        called_so = brakes and not _CALLED_BRAKES.isdisjoint(self.name.split())
        if (self.strange and not called_so) or (" " not in self.name and not brakes):
            return ()
        weight = max(self.weights.values(), default=0.0)
        if weight < max(SURE, 2 * self.weights.get(place, 0.0)):
            return ()
        return tuple(key for key, own in self.weights.items() if own == weight)[:1]


def spots_of(
    log: BuildLog,
    tokens: Sequence[Token],
    named_terms: Sequence[TermMention],
    vocabulary: Vocabulary,
    others: Sequence[SortEvidence] = (),
) -> tuple[list[Spot], Sort, list[Topic]]:
    """The log's entries, and between them what is spoken of, by time; what is known of the
    machine; and what the speaker says that he turns to."""
    terms = [(tokens[found.start], found) for found in named_terms if _tells_a_place(found, tokens)]
    items: list[Item] = sorted([*log.events, *log.mentions], key=lambda item: (item.start_ms, item.start_word))
    own = [(item.assembly, item.part.lower()) for item in items if item.assembly not in SORTS and not item.doubt]
    spoken = [(found.term.part_of, found.term.name) for _, found in terms if found.term.part_of not in SORTS]
    sort = sort_of(log, [*own, *spoken], vocabulary, others)
    vague = vocabulary.elsewhere if sort.other >= _MAY_BE_OTHER else frozenset[str]()
    places = PartPlaces(vocabulary, set(sort.likely), log.settings.spelling, vague, sort.parts)
    said = [(token, found, places.of(found.wording)) for token, found in terms]
    in_full = defaultdict(list)
    for token, found, weights in said:
        if " " in found.wording:
            in_full[regular_singular(found.wording.lower().split()[-1])].append((token.start_ms, weights))
    hosts = _hosts(tokens, {found.start: weights for _, found, weights in said if found.term.kind != "fluid"})
    spots = []
    for item in items:
        part = item.part
        since_ms = item.start_ms - _SHORTLY_MS if is_shared(regular_singular(part.lower())) else 0
        full = [said for said in in_full.get(regular_singular(part.lower()), ()) if said[0] >= since_ms]
        weights = places.of(part, item.assembly) or _as_in_full(item.start_ms, full)
        # "drain plug out of the gearbox": many a thing has one, and it is told which
        host = hosts.get(item.end_word, {})
        many = part.lower().split()[-1:] and is_shared(regular_singular(part.lower().split()[-1]))
        if host and weights and many and max(weights.values()) <= _OF_MANY:
            weights = {key: weight / _OF_IT for key, weight in host.items()}
        weights = weights or host
        about = (item, places.is_strange(part), places.is_foreign(part))
        spots.append(Spot(item.start_ms, part.lower(), weights, *about))
    told = {(item.part.lower(), word) for item in items for word in range(item.start_word, item.end_word)}
    for token, found, weights in said:
        if weights and not any((name.lower(), token.start_word) in told for name in found.term.spellings):
            spots.append(Spot(token.start_ms, found.wording, weights))
    named = {at for _, found in terms for at in range(found.start, found.end)}
    spots += [
        Spot(token.start_ms, word, weights)
        for at, token in enumerate(tokens)
        if at not in named and at and bare(tokens[at - 1].text) in _THE and _ends_phrase(tokens, at)
        and (word := bare(token.text)) not in topic_words().general and (weights := places.topic(word))
    ]  # fmt: skip
    topics = _topics(tokens, places, {word for item in items for word in item.part.lower().split()})
    return sorted(spots, key=lambda spot: spot.start_ms), sort, topics


def _topics(tokens: Sequence[Token], places: PartPlaces, parts: Set[str]) -> list[Topic]:
    """What the speaker turns to: what has a place, and what is a thing of this recording; oil has none.

    `parts`: the words by which parts go.
    """
    keys = [bare(token.text) for token in tokens]
    things = parts | {word for before, word in pairwise(keys) if before in _THE}
    topics = []
    for topic in announced(tokens):
        name = " ".join(keys[topic.start : topic.end])
        weights = places.of(name)
        if _EVERYWHERE not in weights and (weights or keys[topic.end - 1] in things):
            topics.append(Topic(tokens[topic.start].start_ms, weights, places.is_whole(name)))
    return topics


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
    if [bare(token.text) for token in tokens[max(0, found.start - 2) : found.start]] == ["with", "a"]:
        return False  # "cleaned it up with a wire wheel"
    oil = found.term.kind == "fluid" and found.term.part_of == _EVERYWHERE
    return found.plain and found.term.kind in _PLACED and not oil


def _hosts(tokens: Sequence[Token], said: Mapping[int, Mapping[str, float]]) -> dict[int, dict[str, float]]:
    """The word behind a thing -> where the part is that it is of: "two bolts out of the caliper".

    `said`: for each token at which a term begins, what that says.
    """
    found = {}
    for at, token in enumerate(tokens):
        if not at or bare(token.text) not in _OF or not tokens[at - 1].text[-1:].isalnum():
            continue
        for behind in range(at + 1, min(at + _OF_WITHIN, len(tokens))):
            if not tokens[behind - 1].text[-1:].isalnum():
                break
            if weights := said.get(behind):
                found[token.start_word] = {key: _OF_IT * weight for key, weight in weights.items()}
                break
    return found
