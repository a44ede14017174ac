"""The user's own words and decisions. They live in the user's folder (or a build's), never in the shipped packs."""

from __future__ import annotations

import os
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

import platformdirs

from pipeline.errors import WitnessmarkError
from pipeline.files import write_text

_TERMS, _DECISIONS = "my_terms.toml", "decisions.toml"
_TERMS_HEAD = "# Your own terms: one line a term, as in the shipped packs. Edit freely.\n"
_DECISIONS_HEAD = "# What you decided about corrections. A line you take away is forgotten.\n"


def user_folder() -> Path:
    """Where the user's own files live; the environment variable WITNESSMARK_HOME goes before the usual place."""
    return Path(os.environ.get("WITNESSMARK_HOME") or platformdirs.user_config_dir("witnessmark", appauthor=False))


def _quoted(text: str) -> str:
    return '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'


def _read(path: Path) -> dict[str, dict[str, object]]:
    if not path.exists():
        return {}
    try:
        return tomllib.loads(path.read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        raise WitnessmarkError(
            f"cannot read {path}: {getattr(error, 'strerror', None) or error}; mend the file or take it away"
        ) from error


@dataclass(frozen=True)
class UserWords:
    """Terms and decisions of one folder.

    `accepted`: what was heard -> the name of the term that was meant. `rejected`: what was heard -> terms it never is.
    """

    folder: Path
    terms: Mapping[str, Mapping[str, object]] = field(default_factory=dict)
    accepted: Mapping[str, str] = field(default_factory=dict)
    rejected: Mapping[str, tuple[str, ...]] = field(default_factory=dict)

    @property
    def pack(self) -> Path:
        """The user's own pack, which may not exist yet."""
        return self.folder / _TERMS

    @classmethod
    def load(cls, folder: Path | None = None) -> UserWords:
        """What the folder holds (the user's own without `folder`); nothing where there is none yet."""
        folder = folder or user_folder()
        decisions = _read(folder / _DECISIONS)
        rejected: dict[str, tuple[str, ...]] = {}
        for heard, names in decisions.get("reject", {}).items():
            rejected[heard] = tuple(str(name) for name in names) if isinstance(names, list) else (str(names),)
        accepted = {heard: str(name) for heard, name in decisions.get("accept", {}).items()}
        terms = {
            name: dict(entry)
            for name, entry in _read(folder / _TERMS).get("terms", {}).items()
            if isinstance(entry, dict)
        }
        return cls(folder, terms, accepted, rejected)

    def accept(self, heard: str, name: str) -> UserWords:
        """From now on `heard` is `name`."""
        rejected = {key: tuple(n for n in names if key != heard or n != name) for key, names in self.rejected.items()}
        kept = {key: names for key, names in rejected.items() if names}
        return UserWords(self.folder, self.terms, {**self.accepted, heard: name}, kept)

    def reject(self, heard: str, name: str) -> UserWords:
        """From now on `heard` is never `name`."""
        accepted = {key: value for key, value in self.accepted.items() if (key, value) != (heard, name)}
        names = tuple(sorted({*self.rejected.get(heard, ()), name}))
        return UserWords(self.folder, self.terms, accepted, {**self.rejected, heard: names})

    def add(self, name: str, entry: Mapping[str, object]) -> UserWords:
        """A term of the user's own (again: its new entry)."""
        return UserWords(self.folder, {**self.terms, name: dict(entry)}, self.accepted, self.rejected)

    def save(self) -> None:
        """Writes both files, sorted.

        Raises:
            WitnessmarkError: the folder cannot be written.
        """
        terms = [f"{_quoted(name)} = {{{_entry(entry)}}}" for name, entry in sorted(self.terms.items())]
        accept = [f"{_quoted(heard)} = {_quoted(name)}" for heard, name in sorted(self.accepted.items())]
        reject = [
            f"{_quoted(heard)} = [{', '.join(map(_quoted, names))}]" for heard, names in sorted(self.rejected.items())
        ]
        try:
            if terms:
                source = 'source = "The user."\n\n[terms]\n'
                write_text(self.pack, _TERMS_HEAD + source + "\n".join(terms) + "\n")
            text = "\n".join([_DECISIONS_HEAD, "[accept]", *accept, "", "[reject]", *reject, ""])
            write_text(self.folder / _DECISIONS, text)
        except WitnessmarkError as error:
            raise WitnessmarkError(f"{error}, or set WITNESSMARK_HOME to another folder") from error


def _entry(entry: Mapping[str, object]) -> str:
    cells = []
    for key, value in sorted(entry.items()):
        shown = f"[{', '.join(_quoted(str(v)) for v in value)}]" if isinstance(value, list) else _quoted(str(value))
        cells.append(f"{key} = {shown}")
    return f" {', '.join(cells)} " if cells else ""
