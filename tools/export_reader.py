"""Writes the trained reader as the product carries it: `pipeline/data/reader.onnx`, 8-bit, and its word pieces.

    python tools/export_reader.py READER.pt --base FOLDER

The pieces' vectors (`reader_vectors.npz`) are those of the base, which no network here learns anew: all share them.
Needs torch, onnx and onnxruntime. No part of the installed package.
"""

from __future__ import annotations

import argparse
import gzip
import tempfile
from pathlib import Path
from typing import Any

import numpy as np
import onnx
import torch
from onnxruntime.quantization import QuantType, quantize_dynamic
from reader_model import Reader
from tokenizers import Tokenizer
from torch import Tensor, nn

WIDE = 384
LENGTH = torch.export.Dim("length", min=2, max=512)
DATA = Path(__file__).resolve().parent.parent / "pipeline" / "data"


class Flat(nn.Module):
    """Vectors of pieces [1, length, width] to a row of numbers each: all heads, the queries and keys last."""

    def __init__(self, reader: Reader) -> None:
        super().__init__()
        self.reader = reader

    def forward(self, words: Tensor) -> Tensor:
        x = self.reader.encoder.read(words)
        one = self.reader
        heads = (one.action, one.status, one.ends, one.marks, one.figures, one.query, one.key)
        return torch.cat([head(x) for head in heads], -1)


def tidy(path: Path) -> None:
    """Leaves out where each node came from: only the machine that exported it would understand."""
    model = onnx.load(path)
    graph = model.graph
    functions = [part for function in model.functions for part in (function, *function.node)]
    for part in (
        model,
        graph,
        *graph.node,
        *graph.value_info,
        *graph.input,
        *graph.output,
        *graph.initializer,
        *functions,
    ):
        del part.metadata_props[:]
        part.ClearField("doc_string")
    onnx.save(model, path)


def export(
    module: nn.Module, inputs: dict[str, Tensor], dynamic: dict[str, dict[int, Any]], output: str, into: Path
) -> None:
    """The module with 8-bit weights. `dynamic`: the axes of the inputs that have no fixed length."""
    with tempfile.TemporaryDirectory() as folder:
        plain = Path(folder) / "plain.onnx"
        torch.onnx.export(
            module.eval(), tuple(inputs.values()), plain, input_names=list(inputs), output_names=[output],
            dynamic_shapes=dynamic, dynamo=True, external_data=False,
        )  # fmt: skip
        kinds = ["MatMul", "Gemm", "Gather"]
        quantize_dynamic(plain, into, weight_type=QuantType.QInt8, per_channel=True, op_types_to_quantize=kinds)
    tidy(into)


def write_vectors(base: Path, into: Path) -> None:
    """The vectors of the base's word pieces as whole steps of one size from one zero."""
    vectors = Reader.from_base(base).encoder.words.weight.detach().numpy()
    size = (vectors.max() - vectors.min()) / 255
    zero = np.round(-vectors.min() / size)
    steps = np.clip(np.round(vectors / size) + zero, 0, 255).astype(np.uint8)
    np.savez_compressed(into / "reader_vectors.npz", steps=steps, zero=np.uint8(zero), size=np.float32(size))


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("weights", type=Path, nargs="+", help="reader0.pt reader1.pt")
    parser.add_argument("--base", type=Path, required=True)
    parser.add_argument("--into", type=Path, default=DATA)
    arguments = parser.parse_args()
    reader = Reader.from_base(arguments.base)
    state: dict[str, Tensor] = {}
    for path in arguments.weights:
        state |= torch.load(path, map_location="cpu")
    missing, surplus = reader.load_state_dict({k: v.float() for k, v in state.items()}, strict=False)
    assert missing in ([], ["encoder.words.weight"]) and not surplus, (missing, surplus)
    reader.eval()
    network = arguments.into / "reader.onnx"
    export(Flat(reader), {"words": torch.randn(1, 40, WIDE)}, {"words": {1: LENGTH}}, "scores", network)
    write_vectors(arguments.base, arguments.into)
    bias = reader.bias.detach().numpy()
    np.save(arguments.into / "reader_bias.npy", bias.astype(np.float32))
    vocabulary = Tokenizer.from_file(str(arguments.base / "tokenizer.json")).get_vocab()
    words = sorted(vocabulary, key=vocabulary.__getitem__)
    with gzip.GzipFile(arguments.into / "reader_pieces.gz", "wb", mtime=0) as file:
        file.write("\n".join(words).encode())


if __name__ == "__main__":
    main()
