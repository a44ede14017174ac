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
    """What parts belong to; `hazard` is a key of the table of cautions or ""."""

    key: str
    title: str
    hazard: str


@dataclass(frozen=True, slots=True)
class Vocabulary:
    """All loaded terms with the assemblies and cautions they refer to."""

    terms: tuple[Term, ...]
    assemblies: dict[str, Assembly]
    cautions: dict[str, str]


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
