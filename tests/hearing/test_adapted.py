"""Small additions to the weights of a model file: written into a made file and into the real one."""

import struct
from pathlib import Path

import numpy as np
import pytest

from pipeline.hearing.adapted import adapt, weight_places
from pipeline.hearing.model import default_model, resolve_model

HIGH, LOW = "decoder/layer_0/ffn/linear_0/weight", "decoder/layer_0/ffn/linear_1/weight"


def model_file(weights: dict[str, np.ndarray], version: int = 6) -> bytearray:
    """A file as CTranslate2 4 writes it (its documentation of `Model structure`, binary version 6)."""

    def text(value: str) -> bytes:
        return struct.pack("<H", len(value) + 1) + value.encode() + b"\0"

    out = struct.pack("<I", version) + text("WhisperSpec") + struct.pack("<II", 3, len(weights))
    for name, weight in weights.items():
        kind = {np.dtype(np.float32): 0, np.dtype(np.float16): 4}[weight.dtype]
        out += text(name) + struct.pack(f"<B{weight.ndim}I", weight.ndim, *weight.shape)
        out += struct.pack("<BI", kind, weight.nbytes) + weight.tobytes()
    return bytearray(out + struct.pack("<I", 0))


def two_weights() -> dict[str, np.ndarray]:
    rng = np.random.default_rng(1)
    return {HIGH: rng.normal(size=(6, 4)).astype(np.float16), LOW: rng.normal(size=(4, 6)).astype(np.float16)}


def test_the_product_is_added_to_its_weight_and_to_no_other() -> None:
    weights = two_weights()
    up, down = np.full((6, 2), 2, np.int8), np.full((2, 4), -1, np.int8)
    changed = model_file(weights)
    adapt(changed, {f"{HIGH}:up": up, f"{HIGH}:down": down, f"{HIGH}:scale": np.array([0.25, 0.5], np.float32)})
    wanted = {HIGH: (weights[HIGH].astype(np.float32) - 1.5).astype(np.float16), LOW: weights[LOW]}
    assert changed == model_file(wanted)


@pytest.mark.parametrize(
    ("name", "rows", "version", "message"),
    [(HIGH, 5, 6, "shape"), ("decoder/nothing/weight", 6, 6, "has no"), (HIGH, 6, 5, "version 5")],
)
def test_what_does_not_fit_is_refused(name: str, rows: int, version: int, message: str) -> None:
    adapters = {f"{name}:up": np.zeros((rows, 2)), f"{name}:down": np.zeros((2, 4)), f"{name}:scale": np.ones(2)}
    with pytest.raises(ValueError, match=message):
        adapt(model_file(two_weights(), version), adapters)


def test_only_the_decoder_of_the_shipped_model_has_learned(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("WITNESSMARK_CACHE", str(tmp_path))
    plain, learned = resolve_model("plain")[0], default_model()
    assert resolve_model(None, "fr")[0] == plain
    assert plain.encoder == learned.encoder and plain.identity != learned.identity
    one, other = (bytearray((place.folder / "model.bin").read_bytes()) for place in (plain, learned))
    differing = {
        name
        for (name, shape, _, at), (_, _, _, same) in zip(weight_places(one), weight_places(other), strict=True)
        if at == same and one[at : at + 2 * int(np.prod(shape))] != other[at : at + 2 * int(np.prod(shape))]
    }
    assert len(differing) == 36
    assert all(name.startswith("decoder/layer_") and name.endswith("weight") for name in differing)
    # what the decoder makes of the sound's states, keys and values, is as it was
    assert not any("/attention/linear_1/" in name for name in differing)
