"""What sort of machine a recording is about, as far as its words and parts tell, and which assemblies that has."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence, Set
from dataclasses import dataclass, field, replace

from pipeline.chapters import find_terms, said_machine
from pipeline.correct.language import english
from pipeline.records import BuildLog
from pipeline.tokens import bare, written_tokens
from pipeline.vocabulary import Assembly, Machine, Vocabulary, regular_plural, regular_singular

# How much likelier a sort is that the owner's name for the machine tells, that the speaker presents it as, and that is
# once spoken of; a lathe is spoken of in many a workshop, so that more than so many times say no more.
_NAMED, _PRESENTED, _SPOKEN, _MOST_SPOKEN = 1e8, 1e5, 4.0, 3
# So many of the parts that are spoken of are of an assembly that the machine does not have, whatever assemblies it has:
# a machine of few is no likelier for that. Parts of one assembly come together, so that each says only so much.
_FOREIGN, _COUNTS = 0.05, 0.5
# The sort that has parts of its own by the names of others', how likely each such part is there, and how much likelier
# it is than any one other sort before anything is known.
OTHER, _VAGUE, _BEFORE = "other", 0.6, 6.0
# Of the parts that are named on machines of a sort known here, and on others, so many are in no assembly: counted over
# 160 narrations to develop on.
_STRANGE, _STRANGE_ELSEWHERE = 0.37, 0.62
# A name given to the machine that is none of a maker and of no known sort ("Fusee clock") is of such a one.
_NAMED_OTHER = 300.0
# A word no rarer than this is no maker's name, wherever it stands.
_ORDINARY = 25
# Sorts that are so many times less likely than the likeliest are ruled out.
_RULED_OUT = 1000.0
# An assembly heads work and chapters where the machine has it as likely as that.
_MAY_HEAD = 0.3
# A machine is of the sort that is as likely as that: its parts stand where that sort has them.
_IS_CLEAR = 0.6


@dataclass(frozen=True, slots=True)
class Sort:
    """`likely`: the assemblies that the machine may have, each with how likely it has it; `other`: how likely it is a
    machine that has parts of its own by the names of others'; `parts`: assembly by name of what this sort calls so."""

    likely: dict[str, float]
    other: float = 0.0
    parts: dict[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class SortEvidence:
    """What one recording tells of the sort of its machine; `parts`: assembly and name of every part spoken of."""

    spoken: _Spoken
    parts: frozenset[tuple[str, str]]

    @classmethod
    def by(cls, log: BuildLog, vocabulary: Vocabulary) -> SortEvidence:
        """What the words of the recording tell, and the parts that they name."""
        # what only doubtful words name may be no part of it at all
        own = [(event.assembly, event.part.lower()) for event in log.events if not event.doubt]
        terms = find_terms(written_tokens(log.words, log.corrections), vocabulary)
        named = [*own, *((found.term.part_of, found.term.name) for found in terms)]
        return cls(_Spoken.of(log, vocabulary), frozenset(named))


def told_by_others(sha256: str, evidence: Mapping[str, SortEvidence]) -> tuple[SortEvidence, ...]:
    """What all recordings but this one tell; `evidence` goes by the SHA-256 of their bytes."""
    return tuple(told for other, told in evidence.items() if other != sha256)


def assemblies_of(log: BuildLog, named: Iterable[tuple[str, str]], vocabulary: Vocabulary) -> dict[str, float]:
    """The assemblies that this machine may have, each with how likely it has it."""
    return sort_of(log, named, vocabulary).likely


def headings_of(log: BuildLog, vocabulary: Vocabulary, others: Sequence[SortEvidence] = ()) -> set[str]:
    """The assemblies that may head the work on this machine and the chapters of its recording."""
    likely = _sort([SortEvidence.by(log, vocabulary), *others], vocabulary).likely
    return {key for key, share in likely.items() if share >= _MAY_HEAD}


def sort_of(
    log: BuildLog, named: Iterable[tuple[str, str]], vocabulary: Vocabulary, others: Sequence[SortEvidence] = ()
) -> Sort:
    """What is known of the machine.

    `named`: assembly and name of every part that is spoken of. An assembly of no machine in
    particular ("Wiring and electrics") is on all of them. `others`: what other recordings of the same machine tell.
    """
    return _sort([SortEvidence(_Spoken.of(log, vocabulary), frozenset(named)), *others], vocabulary)


def _sort(told: Sequence[SortEvidence], vocabulary: Vocabulary) -> Sort:
    assemblies = vocabulary.assemblies
    if not vocabulary.machines:
        return Sort(dict.fromkeys(assemblies, 1.0))
    named = {part for one in told for part in one.parts}
    # the plural of a name is no other part
    once = {(key, " ".join([*name.split()[:-1], regular_singular(name.split()[-1])])) for key, name in named if name}
    parts = [(assemblies[key], name) for key, name in once if key in assemblies]
    spoken = _Spoken.all_of([one.spoken for one in told])
    strange = _strangeness(parts, len({name for key, name in once if not key}))
    weights = {
        machine.key: spoken.weight(machine)
        + _parts_weight(machine, parts, vocabulary.elsewhere)
        + (strange if machine.key == OTHER else 0.0)
        for machine in vocabulary.machines
        if not machine.where_told or spoken.tells(machine)
    }
    most = max(weights.values())
    shares = {key: math.exp(weight - most) for key, weight in weights.items() if weight > most - math.log(_RULED_OUT)}
    other = shares.pop(OTHER, 0.0)
    other /= other + sum(shares.values())
    # what says nothing of a machine of no sort is told by its vague names; only where it is likelier than all others it
    # takes the assemblies of others away
    here = min(1.0, 2.0 * (1.0 - other))
    likely = {}
    for key, assembly in assemblies.items():
        share = sum(shares.get(machine, 0.0) for machine in assembly.on) / sum(shares.values()) if shares else 0.0
        likely[key] = max(here * share, other if OTHER in assembly.on else 0.0) if assembly.on else 1.0
    most_likely = max(shares, key=shares.__getitem__, default="")
    is_clear = bool(shares) and shares[most_likely] * here > _IS_CLEAR * sum(shares.values())
    own = next(dict(machine.parts) for machine in vocabulary.machines if machine.key == most_likely) if is_clear else {}
    return Sort({key: share for key, share in likely.items() if share}, other, own)


@dataclass(frozen=True, slots=True)
class _Spoken:
    """What the owner and the speaker call the machine. `presented`: the sorts that it is introduced as; `words`: all
    that are said, but where they only tell what something is for ("bike pump"). `of_no_sort`: its name is an everyday
    one that no sort known here goes by."""

    name: tuple[str, ...]
    presented: tuple[str, ...]
    words: tuple[str, ...]
    sorts: frozenset[str]
    of_no_sort: bool
    of_other: bool

    @classmethod
    def of(cls, log: BuildLog, vocabulary: Vocabulary) -> _Spoken:
        """The words of one recording."""
        said = said_machine([word.text for word in log.words], vocabulary)
        words = [bare(word.text) for word in log.words]
        sorts = {word for machine in vocabulary.machines for word in (*machine.said, *machine.named)}
        tools = {name.split()[-1] for term in vocabulary.terms if term.kind == "tool" for name in term.spellings}
        heads = [*words[1:], ""]
        words = [
            "" if word in sorts and head in tools | sorts else word for word, head in zip(words, heads, strict=False)
        ]
        own = tuple(bare(word) for word in log.settings.machine.split())
        known = any(_times(word, own) for word in sorts)
        of_no_sort = not known and _is_everyday(log.settings.machine.split())
        others = [
            word for machine in vocabulary.machines if machine.key == OTHER for word in machine.said + machine.named
        ]
        of_other = any(_times(word, own[-len(word.split()) :]) for word in others)
        return cls(own, said.words, tuple(words), frozenset(sorts), of_no_sort, of_other)

    @classmethod
    def all_of(cls, recordings: Sequence[_Spoken]) -> _Spoken:
        """The words of all recordings of one machine; its name is that of the first."""
        presented = dict.fromkeys(words for one in recordings for words in one.presented)
        words = tuple(word for one in recordings for word in one.words)
        return replace(recordings[0], presented=tuple(presented), words=words)

    def tells(self, machine: Machine) -> bool:
        """True where the sort is said at all, by the owner or by the speaker of his own machine."""
        own = (*machine.said, *machine.named)
        return (
            any(self._times(words, self.name) for words in own)
            or any(words in own for words in self.presented)
            or any(self._times(words, self.words) for words in machine.said)
        )

    def weight(self, machine: Machine) -> float:
        """Log of how much likelier the sort is for the words."""
        own = (*machine.said, *machine.named)
        # a tractor's pump is no tractor
        called = machine.key == OTHER or not self.of_other
        named = math.log(_NAMED) if called and any(self._times(words, self.name) for words in own) else 0.0
        presented = sum(math.log(_PRESENTED) / n for n, words in enumerate(self.presented, start=1) if words in own)
        times = min(_MOST_SPOKEN, sum(self._times(words, self.words) for words in machine.said))
        before = 0.0
        if machine.key == OTHER:
            before = math.log(_BEFORE) + (math.log(_NAMED_OTHER) if self.of_no_sort else 0.0)
        return before + named + presented + math.log(_SPOKEN) * times

    def _times(self, name: str, words: Sequence[str]) -> int:
        """How often the words hold the name, but where it is a word of another sort's: no ride-on mower is a mower,
        and no lift truck a lift."""
        longer = (
            sort for sort in self.sorts if sort.endswith(f"-{name}") or (sort != name and f" {name} " in f" {sort} ")
        )
        return max(0, _times(name, words) - sum(_times(sort, words) for sort in longer))


def _is_everyday(name: Sequence[str]) -> bool:
    """ "Fusee clock", but not "Hallimore 500" nor "Brolga": a name of small words that everybody knows."""
    last = next((word for word in reversed(name) if word.isalpha()), "")
    return last.islower() and last == (name[-1] if name else "") and english().frequency(last) >= _ORDINARY


def _times(name: str, words: Sequence[str]) -> int:
    """How often the words hold the name, in singular or plural."""
    wordings = {tuple(one.split()) for one in (name, regular_plural(name))}
    length = len(name.split())
    return sum(tuple(words[at : at + length]) in wordings for at in range(len(words)))


def _parts_weight(machine: Machine, parts: Iterable[tuple[Assembly, str]], elsewhere: Set[str]) -> float:
    """Log likelihood of the parts: the same for every part that the machine has, and for every one that it lacks; but
    what machines of another sort call parts of their own may well be there."""
    has, lacks, vague = math.log(1 - _FOREIGN), math.log(_FOREIGN), math.log(_VAGUE)
    own = {name for name, _ in machine.parts}
    calls_so = machine.key == OTHER or machine.where_told
    weight = 0.0
    for part, name in parts:
        if part.on:
            told = has if machine.key in part.on or name in own else vague if calls_so and name in elsewhere else lacks
            weight += _COUNTS * told
    return weight


def _strangeness(parts: Iterable[tuple[Assembly, str]], strange: int) -> float:
    """Log of how much likelier so many parts of no assembly are on a machine of none of the sorts known here; few tell
    nothing against one."""
    known = sum(bool(part.on) for part, _ in parts)
    told = strange * math.log(_STRANGE_ELSEWHERE / _STRANGE)
    return max(0.0, _COUNTS * (told + known * math.log((1 - _STRANGE_ELSEWHERE) / (1 - _STRANGE))))
