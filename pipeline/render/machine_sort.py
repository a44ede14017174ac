"""What sort of machine a recording is about, as far as its words and parts tell, and which assemblies that has."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from pipeline.chapters import said_machine
from pipeline.records import BuildLog
from pipeline.tokens import bare
from pipeline.vocabulary import Assembly, Machine, Vocabulary, regular_plural

# How much likelier a sort is that the owner's name for the machine tells, that the speaker presents it as, and that is
# once spoken of; a lathe is spoken of in many a workshop, so that more than so many times say no more.
_NAMED, _PRESENTED, _SPOKEN, _MOST_SPOKEN = 1e8, 1e5, 4.0, 3
# So many of the parts that are spoken of are of an assembly that the machine does not have, whatever assemblies it has:
# a machine of few is no likelier for that. Parts of one assembly come together, so that each says only so much.
_FOREIGN, _COUNTS = 0.05, 0.5
# Sorts that are so many times less likely than the likeliest are ruled out.
_RULED_OUT = 1000.0


def assemblies_of(log: BuildLog, named: Iterable[tuple[str, str]], vocabulary: Vocabulary) -> dict[str, float]:
    """The assemblies that this machine may have, each with how likely it has it.

    `named`: assembly and name of every part that is spoken of. An assembly of no machine in
    particular ("Wiring and electrics") is on all of them.
    """
    assemblies = vocabulary.assemblies
    if not vocabulary.machines:
        return dict.fromkeys(assemblies, 1.0)
    parts = [assemblies[key] for key, _ in set(named) if key in assemblies]
    spoken = _Spoken.of(log, vocabulary)
    weights = {
        machine.key: spoken.weight(machine) + _parts_weight(machine.key, parts) for machine in vocabulary.machines
    }
    most = max(weights.values())
    shares = {key: math.exp(weight - most) for key, weight in weights.items() if weight > most - math.log(_RULED_OUT)}
    likely = {
        key: sum(shares.get(machine, 0.0) for machine in assembly.on) / sum(shares.values()) if assembly.on else 1.0
        for key, assembly in assemblies.items()
    }
    return {key: share for key, share in likely.items() if share}


@dataclass(frozen=True, slots=True)
class _Spoken:
    """What the owner and the speaker call the machine. `presented`: the sorts that it is introduced as; `words`: all
    that are said, but where they only tell what something is for ("bike pump")."""

    name: tuple[str, ...]
    presented: tuple[str, ...]
    words: tuple[str, ...]

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
        return cls(tuple(bare(word) for word in log.settings.machine.split()), said.words, tuple(words))

    def weight(self, machine: Machine) -> float:
        """Log of how much likelier the sort is for the words."""
        own = (*machine.said, *machine.named)
        named = math.log(_NAMED) if any(_times(words, self.name) for words in own) else 0.0
        presented = sum(math.log(_PRESENTED) / n for n, words in enumerate(self.presented, start=1) if words in own)
        times = min(_MOST_SPOKEN, sum(_times(words, self.words) for words in machine.said))
        return named + presented + math.log(_SPOKEN) * times


def _times(name: str, words: Sequence[str]) -> int:
    """How often the words hold the name, in singular or plural."""
    wordings = {tuple(one.split()) for one in (name, regular_plural(name))}
    length = len(name.split())
    return sum(tuple(words[at : at + length]) in wordings for at in range(len(words)))


def _parts_weight(machine: str, parts: Iterable[Assembly]) -> float:
    """Log likelihood of the parts: the same for every part that the machine has, and for every one that it lacks."""
    has, lacks = math.log(1 - _FOREIGN), math.log(_FOREIGN)
    return _COUNTS * sum(has if machine in part.on else lacks for part in parts if part.on)
