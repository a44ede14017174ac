"""Reads the vocabulary packs: TOML a mechanic can edit, one line a term."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable, Sequence
from pathlib import Path

from pipeline.errors import WitnessmarkError
from pipeline.records import Finding
from pipeline.resources import resource_folder
from pipeline.vocabulary.term_list import list_vocabulary, read_parts_csv, read_term_list
from pipeline.vocabulary.terms import Assembly, Machine, Term, Vocabulary, regular_plural
from pipeline.vocabulary.user import UserWords

_NOT_PACKS = ("assemblies", "settings")
SHARED_PACKS = ("actions", "brakes", "electrical", "fasteners", "finishes", "fluids", "materials", "tools")
"""They come along with any pack that is named: every machine has them."""
_COMES_WITH = {"outboard": ("motorcycle",), "motorcycle": ("car",)}  # whose engine parts are in the other pack


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
        raise WitnessmarkError(
            f"cannot read vocabulary {path}: {getattr(error, 'strerror', None) or error}; mend the file or leave it out"
        ) from error
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


def read_terms(path: Path) -> tuple[tuple[Term, ...], list[Finding]]:
    """Terms of any file a user may bring: a pack (.toml), a parts list (.csv, .tsv) or one term a line; and its faults.

    Raises:
        WitnessmarkError: the file cannot be read or holds no term.
    """
    suffix = path.suffix.lower()
    if suffix == ".toml":
        return read_pack(path), []
    if suffix in (".csv", ".tsv"):
        names, findings = read_parts_csv(path)
        return list_vocabulary(names, path.stem).terms, findings
    vocabulary, findings = read_term_list(path)
    return vocabulary.terms, findings


def _with_shared(packs: Sequence[str], known: Sequence[str]) -> list[str]:
    """The named packs, those they build on and the shared ones; all without a name."""
    if not packs:
        return list(known)
    wanted = list(packs)
    for name in wanted:
        wanted += [other for other in _COMES_WITH.get(name, ()) if other not in wanted]
    return list(dict.fromkeys([*wanted, *SHARED_PACKS]))


def load_vocabulary(packs: Sequence[str] = (), extra: Iterable[Path] = ()) -> Vocabulary:
    """Shipped packs by name (all without a name) with the shared ones, then `extra` files.

    Each of `extra` is a pack, a parts list or a list of terms. The user's own pack always comes along, and goes before
    shipped terms of the same name.

    Raises:
        WitnessmarkError: no such pack (the message lists those there are), or a file cannot be read.
    """
    folder = resource_folder("vocab")
    known = pack_names(folder)
    unknown = [name for name in packs if name not in known]
    if unknown:
        raise WitnessmarkError(f"no vocabulary pack called {unknown[0]!r}; there are: {', '.join(known)}")
    own = UserWords.load().pack
    paths = [own] if own.exists() else []
    paths += [folder / f"{name}.toml" for name in _with_shared(packs, known)] + list(extra)
    terms: dict[str, Term] = {}
    for path in paths:
        for term in read_terms(path)[0]:
            terms.setdefault(term.name, term)
    data = tomllib.loads((folder / "assemblies.toml").read_text(encoding="utf-8"))
    assemblies = {
        key: Assembly(key, entry["title"], entry.get("hazard", ""), tuple(entry.get("on", ())))
        for key, entry in data["assemblies"].items()
    }
    machines = tuple(
        Machine(
            key,
            tuple(entry["said"]),
            tuple(entry.get("named", ())),
            tuple((name, part_of) for part_of, names in data["own_parts"].get(key, {}).items() for name in names),
            entry.get("where_told", False),
        )
        for key, entry in data["machines"].items()
    )
    elsewhere = frozenset(data["elsewhere"]["names"])
    return Vocabulary(tuple(terms.values()), assemblies, dict(data["hazards"]), machines, elsewhere)
