"""Writes the trained reader as the product carries it: `pipeline/data/reader.onnx`, 8-bit, and its word pieces.

    python tools/export_reader.py READER.pt --base FOLDER

Needs torch, onnx and onnxruntime. No part of the installed package.
"""

from __future__ import annotations

import argparse
import gzip
import tempfile
from pathlib import Path

import numpy as np
import onnx
import torch
from onnxruntime.quantization import QuantType, quantize_dynamic
from reader_model import Reader
from tokenizers import Tokenizer
from torch import Tensor, nn

DATA = Path(__file__).resolve().parent.parent / "pipeline" / "data"


class Flat(nn.Module):
    """Word pieces [1, length] to a row of numbers a piece: all heads beside each other, the queries and keys last."""

    def __init__(self, reader: Reader) -> None:
        super().__init__()
        self.reader = reader

    def forward(self, pieces: Tensor) -> Tensor:
        x = self.reader.encoder(pieces)
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
    with tempfile.TemporaryDirectory() as folder:
        plain = Path(folder) / "reader.onnx"
        example = torch.randint(1000, 2000, (1, 40))
        torch.onnx.export(
            Flat(reader), (example,), plain, input_names=["pieces"], output_names=["scores"],
            dynamic_shapes={"pieces": {1: torch.export.Dim("length", min=2, max=512)}}, dynamo=True,
            external_data=False,
        )  # fmt: skip
        quantize_dynamic(
            plain, arguments.into / "reader.onnx", weight_type=QuantType.QInt8, per_channel=True,
            op_types_to_quantize=["MatMul", "Gemm", "Gather"],
        )  # fmt: skip
    tidy(arguments.into / "reader.onnx")
    bias = reader.bias.detach().numpy()
    np.save(arguments.into / "reader_bias.npy", bias.astype(np.float32))
    vocabulary = Tokenizer.from_file(str(arguments.base / "tokenizer.json")).get_vocab()
    words = sorted(vocabulary, key=vocabulary.__getitem__)
    with gzip.GzipFile(arguments.into / "reader_pieces.gz", "wb", mtime=0) as file:
        file.write("\n".join(words).encode())


if __name__ == "__main__":
    main()
