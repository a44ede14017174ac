"""One thing a practitioner says, and all of them together."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Term:
    """One thing a practitioner says, under its British name.

    `spellings` starts with `name` and goes on with other names for the same thing; `american` is the name
    preferred by an American reader ("" if the same). `kind`: part, fastener, tool, fluid, finish, material, action,
    measure, or name (of the machine). `part_of` is a key of assemblies.toml. `pair`: "sides", "ends" (front and
    rear) or "".
    """

    name: str
    spellings: tuple[str, ...]
    american: str
    plural: str
    kind: str
    part_of: str
    pair: str
    pack: str


@dataclass(frozen=True, slots=True)
class Assembly:
    """What parts belong to. `hazard`: a key of the table of cautions or ""; `on`: machines that have it, () for all."""

    key: str
    title: str
    hazard: str
    on: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Machine:
    """A sort of machine, and the words by which it goes: in speech, and besides as part of its own name."""

    key: str
    said: tuple[str, ...]
    named: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Vocabulary:
    """All loaded terms with the assemblies and cautions they refer to, and the sorts of machine that have those."""

    terms: tuple[Term, ...]
    assemblies: dict[str, Assembly]
    cautions: dict[str, str]
    machines: tuple[Machine, ...] = ()


def regular_plural(name: str) -> str:
    """Plural of the last word by the regular rules of English.

    >>> regular_plural("gudgeon pin"), regular_plural("bush"), regular_plural("body"), regular_plural("key")
    ('gudgeon pins', 'bushes', 'bodies', 'keys')
    """
    if name.endswith(("s", "x", "z", "ch", "sh")):
        return name + "es"
    if name.endswith("y") and name[-2:-1] not in ("a", "e", "o", "u", ""):
        return name[:-1] + "ies"
    return name + "s"
