"""What sort of machine a recording is about, as far as its words and parts tell, and which assemblies that has."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from pipeline.records import BuildLog
from pipeline.tokens import bare
from pipeline.vocabulary import Assembly, Machine, Vocabulary, regular_plural

# How much likelier a sort is that the owner's name for the machine tells, and that is once spoken of; a lathe is spoken
# of in many a workshop, so that more than so many times say no more.
_NAMED, _SPOKEN, _MOST_SPOKEN = 1e8, 4.0, 3
# So many of the parts that are spoken of are of an assembly that the machine does not have; parts of one assembly come
# together, so that each says only so much.
_FOREIGN, _COUNTS = 0.1, 0.5
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
    spoken = [bare(word.text) for word in log.words]
    weights = {
        machine.key: _words_weight(machine, log.settings.machine, spoken)
        + _parts_weight(machine.key, parts, vocabulary)
        for machine in vocabulary.machines
    }
    most = max(weights.values())
    shares = {key: math.exp(weight - most) for key, weight in weights.items() if weight > most - math.log(_RULED_OUT)}
    likely = {
        key: sum(shares.get(machine, 0.0) for machine in assembly.on) / sum(shares.values()) if assembly.on else 1.0
        for key, assembly in assemblies.items()
    }
    return {key: share for key, share in likely.items() if share}


def _words_weight(machine: Machine, name: str, spoken: Sequence[str]) -> float:
    own = [bare(word) for word in name.split()]
    weight = math.log(_NAMED) if any(_times(words, own) for words in (*machine.said, *machine.named)) else 0.0
    return weight + math.log(_SPOKEN) * min(_MOST_SPOKEN, sum(_times(words, spoken) for words in machine.said))


def _times(name: str, words: Sequence[str]) -> int:
    """How often the words hold the name, in singular or plural."""
    wordings = {tuple(one.split()) for one in (name, regular_plural(name))}
    length = len(name.split())
    return sum(tuple(words[at : at + length]) in wordings for at in range(len(words)))


def _parts_weight(machine: str, parts: Iterable[Assembly], vocabulary: Vocabulary) -> float:
    """Log likelihood of the parts: each assembly of the machine is as likely to be spoken of as another."""
    has = sum(machine in assembly.on for assembly in vocabulary.assemblies.values())
    lacks = sum(bool(assembly.on) and machine not in assembly.on for assembly in vocabulary.assemblies.values())
    own, foreign = math.log((1 - _FOREIGN) / has), math.log(_FOREIGN / max(lacks, 1))
    return _COUNTS * sum(own if machine in part.on else foreign for part in parts if part.on)
