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
    """A sort of machine, and the words by which it goes: in speech, and besides as part of its own name.

    `parts`: assembly by what is there on this sort, whatever other machines call so. `where_told`: only where its
    words are said is a machine of this sort.
    """

    key: str
    said: tuple[str, ...]
    named: tuple[str, ...]
    parts: tuple[tuple[str, str], ...] = ()
    where_told: bool = False


@dataclass(frozen=True, slots=True)
class Vocabulary:
    """All loaded terms with the assemblies and cautions they refer to, and the sorts of machine that have those.

    `elsewhere`: names that machines of no sort among them have for parts of their own.
    """

    terms: tuple[Term, ...]
    assemblies: dict[str, Assembly]
    cautions: dict[str, str]
    machines: tuple[Machine, ...] = ()
    elsewhere: frozenset[str] = frozenset()


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


# Plurals in -ves of nouns in -f or -fe; all others ("valves", "sleeves") have their own e.
_F_STEMS = {"lea": "f", "hal": "f", "shel": "f", "cal": "f", "loa": "f", "hoo": "f", "scar": "f", "kni": "fe"}
_IRREGULAR = {"lenses": "lens", "gases": "gas", "axes": "axis", "buses": "bus", "teeth": "tooth", "feet": "foot"}


def regular_singular(word: str) -> str:
    """A noun without the ending of its plural; any other word as it is.

    >>> [regular_singular(word) for word in ("bolts", "bushes", "bodies", "boss", "leaves", "valves", "knives", "ties")]
    ['bolt', 'bush', 'body', 'boss', 'leaf', 'valve', 'knife', 'tie']
    """
    if word in _IRREGULAR or word in _IRREGULAR.values():
        return _IRREGULAR.get(word, word)
    if word.endswith("ves") and word[:-3] in _F_STEMS:
        return word[:-3] + _F_STEMS[word[:-3]]
    if word.endswith(("shes", "ches", "xes", "sses")):
        return word[:-2]
    if word.endswith("ies") and len(word) > 4:
        return word[:-3] + "y"
    return word[:-1] if word.endswith("s") and not word.endswith(("ss", "us", "is")) else word
