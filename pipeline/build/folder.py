"""The build folder of one machine: build.toml, vocab/, recordings/. Plain files, and they are the truth."""

from __future__ import annotations

import contextlib
import fcntl
import json
import re
import time
import tomllib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, get_args

from pipeline.errors import WitnessmarkError
from pipeline.files import write_reason, write_text
from pipeline.records import Settings, Spelling, UnitSystem
from pipeline.vocabulary import UserWords, Vocabulary, load_vocabulary, pack_names

SETTINGS_NAME = "build.toml"
RECORDINGS_NAME = "recordings"
VOCABULARY_NAME = "vocab"
_LOCK_NAME = ".lock"
_LOCK_WAIT_S = 30.0

_SETTINGS_TEXT = """\
# The build of one machine. Change a line with any text editor; it holds from the next command on.

machine = {machine}

# Only these vocabulary packs; [] means all of them. There are: {packs}.
# Words of your own go into vocab/: a text file with one term a line, or a pack like the shipped ones (.toml).
vocab = {vocab}

# Whose pints, gallons and fluid ounces are meant: "imperial" or "us"; "" leaves them unconverted.
units = {units}

# Spelling of what is written about the work: "british" or "american". What was said is never respelled.
spelling = {spelling}

# Things of `witnessmark check` that you have looked at and settled, as it prints them: ["day-1 3:12", ...].
settled = []
"""


@dataclass(frozen=True, slots=True)
class BuildSettings:
    """What build.toml says. `settled` holds "RECORDING m:ss" of what a person has looked at."""

    settings: Settings
    settled: frozenset[str] = frozenset()


def start_build(folder: Path, settings: Settings) -> Path:
    """Makes a build folder and returns the path of its build.toml. What else lies in the folder stays as it is.

    Raises:
        WitnessmarkError: there is a build already, the machine has no name, a pack is not there, or the folder
            cannot be written.
    """
    machine = " ".join(settings.machine.split())
    if not machine or not machine.isprintable():
        raise WitnessmarkError('the machine needs a name of plain characters; give one: --machine "Penhallow 175"')
    if settings.packs:
        load_vocabulary(settings.packs)  # names the packs there are, if one is not there
    path = folder / SETTINGS_NAME
    text = _SETTINGS_TEXT.format(
        machine=_toml(machine),
        packs=", ".join(pack_names()),
        vocab=_toml(list(settings.packs)),
        units=_toml(settings.units or ""),
        spelling=_toml(settings.spelling),
    )
    for part in (folder / RECORDINGS_NAME, folder / VOCABULARY_NAME):
        with _writing(part):
            part.mkdir(parents=True, exist_ok=True)
    with locked(folder):
        if path.exists():
            raise WitnessmarkError(f"there is a build in {folder} already; choose another folder, or edit {path}")
        write_text(path, text)  # last: it is what makes the folder a build
    return path


def is_build(folder: Path) -> bool:
    """True where `start_build` has made a build."""
    return (folder / SETTINGS_NAME).is_file()


def build_settings(folder: Path) -> Settings:
    """The settings of a build, for the stages.

    Raises:
        WitnessmarkError: the folder is not a build, or its build.toml is wrong; the sentence says where.
    """
    return read_settings(folder).settings


def _no_build(folder: Path) -> str:
    """What to do where a folder is no build: the one around it is meant, if that is one."""
    above = next((parent for parent in folder.absolute().parents if is_build(parent)), None)
    if above is not None and folder.exists():
        return f"{folder} lies in the build {above}; give that folder"
    return f'{folder} is not a build folder; make one with: witnessmark start {folder} --machine "..."'


def read_settings(folder: Path) -> BuildSettings:
    """All of build.toml.

    Raises:
        WitnessmarkError: as `build_settings`.
    """
    path = folder / SETTINGS_NAME
    try:
        data = tomllib.loads(path.read_text(encoding="utf-8-sig"))
    except (FileNotFoundError, NotADirectoryError) as error:
        raise WitnessmarkError(_no_build(folder)) from error
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        reason = (error.strerror if isinstance(error, OSError) else None) or error
        raise WitnessmarkError(f"cannot read {path}: {reason}; mend that") from error
    known = ("machine", "vocab", "units", "spelling", "settled")
    unknown = next((key for key in data if key not in known), None)
    if unknown is not None:
        raise WitnessmarkError(f"{path} has no setting called {unknown!r}; there are: {', '.join(known)}")
    settings = Settings(
        machine=_text(path, data, "machine", ()),
        packs=tuple(_texts(path, data, "vocab")),
        units=_text(path, data, "units", get_args(UnitSystem)) or None,  # type: ignore[arg-type]
        spelling=_text(path, data, "spelling", get_args(Spelling)) or "british",  # type: ignore[arg-type]
    )
    return BuildSettings(settings, frozenset(" ".join(item.split()) for item in _texts(path, data, "settled")))


def build_vocabulary(folder: Path) -> Vocabulary:
    """The packs of the build, then its own words: vocab/*.toml (packs), vocab/*.txt (one term a line), and what
    `witnessmark vocab --into` has put into it.

    Raises:
        WitnessmarkError: as `build_settings`, or a vocabulary file cannot be read.
    """
    packs = build_settings(folder).packs
    own = [path for path in (folder / VOCABULARY_NAME).glob("*") if path.suffix in (".toml", ".txt")]
    taught = UserWords.load(folder).pack
    return load_vocabulary(packs, sorted(own) + ([taught] if taught.is_file() else []))


@contextlib.contextmanager
def locked(folder: Path, wait_s: float = _LOCK_WAIT_S) -> Iterator[None]:
    """Keeps other runs from writing into the build meanwhile. The system lets go of it if the process dies.

    Raises:
        WitnessmarkError: another run holds it for longer than `wait_s` seconds.
    """
    path = folder / _LOCK_NAME
    with _writing(path):
        file = path.open("ab")
    with file:
        deadline = time.monotonic() + wait_s
        while True:
            try:
                fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
                break
            except OSError as error:
                if time.monotonic() >= deadline:
                    raise WitnessmarkError(
                        f"another witnessmark is writing into {folder}; wait until it has ended, then run this again"
                    ) from error
                time.sleep(0.05)
        yield


@contextlib.contextmanager
def _writing(path: Path) -> Iterator[None]:
    try:
        yield
    except OSError as error:
        raise WitnessmarkError(f"cannot write {path}: {write_reason(error)}") from error


def _toml(value: str | list[str]) -> str:
    """A JSON string is a TOML basic string (TOML 1.0, "String"): the machine's name is printable, so no DEL."""
    return json.dumps(value, ensure_ascii=False)


def _text(path: Path, data: dict[str, Any], key: str, choices: Sequence[str]) -> str:
    value = data.get(key, "")
    if not isinstance(value, str):
        raise WitnessmarkError(f"{path}: {key} must be a text in quotation marks; mend that line")
    if choices and value not in ("", *choices):
        raise WitnessmarkError(f"{path}: {key} cannot be {value!r}; there are: {', '.join(choices)}")
    return value


def _texts(path: Path, data: dict[str, Any], key: str) -> list[str]:
    value = data.get(key, [])
    if not isinstance(value, list) or not all(isinstance(item, str) for item in value):
        raise WitnessmarkError(f'{path}: {key} must be a list of texts, such as ["one", "two"]; mend that line')
    return value


def slug_of(name: str) -> str:
    """A folder name that reads well in a path, a link and a shell.

    >>> slug_of("2031-05-17 Penhallow, day 3.wav"), slug_of("../..")
    ('2031-05-17-penhallow-day-3', 'recording')
    """
    stem = Path(name).stem.casefold()
    return re.sub(r"[\W_]+", "-", stem)[:60].strip("-") or "recording"
