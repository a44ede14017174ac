"""Reads the vocabulary packs: TOML a mechanic can edit, one line a term."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from pipeline.errors import WitnessmarkError
from pipeline.resources import resource_folder

_NOT_PACKS = ("assemblies", "settings")


@dataclass(frozen=True, slots=True)
class Term:
    """One thing a practitioner says, under its British name.

    `spellings` starts with `name` and goes on with other names for the same thing; `american` is the name
    preferred by an American reader ("" if the same). `kind`: part, fastener, tool, fluid, finish, material, action
    or measure. `part_of` is a key of assemblies.toml. `pair`: "sides", "ends" (front and rear) or "".
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


def pack_names(folder: Path | None = None) -> tuple[str, ...]:
    """Names of the shipped packs, sorted."""
    folder = folder or resource_folder("vocab")
    return tuple(sorted(path.stem for path in folder.glob("*.toml") if path.stem not in _NOT_PACKS))


def read_pack(path: Path) -> tuple[Term, ...]:
    """Terms of one pack file.

    Raises:
        WitnessmarkError: the file cannot be read or is not valid TOML.
    """
    try:
        data = tomllib.loads(path.read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        raise WitnessmarkError(f"cannot read vocabulary {path}: {error}; mend the file or leave it out") from error
    terms = []
    for name, entry in data.get("terms", {}).items():
        american = entry.get("us", "")
        others = [american] if american else []
        spellings = dict.fromkeys([name, *others, *entry.get("also", [])])
        terms.append(
            Term(
                name=name,
                spellings=tuple(spellings),
                american=american,
                plural=entry.get("plural", regular_plural(name)),
                kind=entry.get("kind", data.get("kind", "part")),
                part_of=entry.get("part_of", data.get("part_of", "")),
                pair=entry.get("pair", ""),
                pack=path.stem,
            )
        )
    return tuple(terms)


def load_vocabulary(packs: Sequence[str] = (), extra: Iterable[Path] = ()) -> Vocabulary:
    """Shipped packs by name (none named: all of them), then the user's own files.

    Raises:
        WitnessmarkError: no such pack (the message lists those there are), or a file cannot be read.
    """
    folder = resource_folder("vocab")
    known = pack_names(folder)
    unknown = [name for name in packs if name not in known]
    if unknown:
        raise WitnessmarkError(f"no vocabulary pack called {unknown[0]!r}; there are: {', '.join(known)}")
    paths = [folder / f"{name}.toml" for name in (packs or known)] + list(extra)
    terms: dict[str, Term] = {}
    for path in paths:
        for term in read_pack(path):
            terms.setdefault(term.name, term)
    data = tomllib.loads((folder / "assemblies.toml").read_text(encoding="utf-8"))
    assemblies = {
        key: Assembly(key, entry["title"], entry.get("hazard", "")) for key, entry in data["assemblies"].items()
    }
    return Vocabulary(tuple(terms.values()), assemblies, dict(data["hazards"]))
