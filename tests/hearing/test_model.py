"""Putting the default model together, with small stand-ins for the two halves where damage has to be seeded."""

import hashlib
from pathlib import Path

import pytest

from pipeline.errors import WitnessmarkError
from pipeline.hearing import model as model_module
from pipeline.hearing.model import DEFAULT_SHA256, default_model, resolve_model


@pytest.fixture
def halves(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("WITNESSMARK_CACHE", str(tmp_path / "cache"))
    for number, part in enumerate(("one", "two"), start=1):
        data = tmp_path / part / "data"
        data.mkdir(parents=True)
        (data / f"model.bin.part{number}").write_bytes(part.encode() * 1000)
        for name in ("config.json", "tokenizer.json", "vocabulary.txt"):
            (data / name).write_text("{}")
    monkeypatch.setattr(model_module, "_PARTS", ("one", "two"))
    monkeypatch.setattr(model_module, "files", lambda part: tmp_path / part)
    monkeypatch.setattr(model_module, "DEFAULT_SHA256", hashlib.sha256(b"one" * 1000 + b"two" * 1000).hexdigest())
    return tmp_path


def test_the_halves_are_joined_once(halves: Path) -> None:
    place = default_model(plain=True)
    assert (place.folder / "model.bin").read_bytes() == b"one" * 1000 + b"two" * 1000
    (halves / "two" / "data" / "model.bin.part2").unlink()
    assert default_model(plain=True) == place
    assert [path.name for path in place.folder.parent.iterdir()] == [place.folder.name]


def test_a_damaged_half_is_refused_and_leaves_nothing(halves: Path) -> None:
    (halves / "two" / "data" / "model.bin.part2").write_bytes(b"twx" * 1000)
    with pytest.raises(WitnessmarkError, match="SHA-256"):
        default_model(plain=True)
    assert not (halves / "cache" / "models").exists()


def test_a_missing_half_is_refused_in_one_sentence(halves: Path) -> None:
    (halves / "one" / "data" / "model.bin.part1").unlink()
    with pytest.raises(WitnessmarkError, match="force-reinstall"):
        default_model(plain=True)


def test_the_real_packages_give_the_published_weights(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("WITNESSMARK_CACHE", str(tmp_path))
    weights = resolve_model("plain")[0].folder / "model.bin"
    with weights.open("rb") as stream:
        assert hashlib.file_digest(stream, "sha256").hexdigest() == DEFAULT_SHA256


def test_a_folder_without_weights_and_an_unknown_name_are_refused(tmp_path: Path) -> None:
    with pytest.raises(WitnessmarkError, match=r"holds no model\.bin"):
        resolve_model(str(tmp_path))
    with pytest.raises(WitnessmarkError, match="there are: tiny"):
        resolve_model("enormous")


def test_without_a_network_a_model_that_is_not_here_is_refused_quickly(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("HF_HUB_OFFLINE", "1")
    monkeypatch.setenv("HF_HOME", str(tmp_path))
    with pytest.raises(WitnessmarkError, match="could not be fetched"):
        resolve_model("somebody/no-such-model")
