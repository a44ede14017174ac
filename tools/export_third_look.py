"""Writes the trained network of the third look as the product carries it: `pipeline/data/third_look.onnx`, 8-bit.

    python tools/export_third_look.py THIRD.pt --base FOLDER [--into FILE]

Needs torch, onnx and onnxruntime. No part of the installed package.
"""

from __future__ import annotations

import argparse
from pathlib import Path

import torch
from export_reader import DATA, LENGTH, export
from reader_model import Reader
from third_look_model import WIDE, ThirdLookModel

from pipeline.correct.third_look import LENGTH as LONGEST
from pipeline.correct.third_look import MOST


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("weights", type=Path)
    parser.add_argument("--base", type=Path, required=True)
    parser.add_argument("--into", type=Path, default=DATA / "third_look.onnx")
    arguments = parser.parse_args()
    state = {name: value.float() for name, value in torch.load(arguments.weights, map_location="cpu").items()}
    model = ThirdLookModel(Reader.from_base(arguments.base).encoder, state["mean"], state["scale"])
    missing, surplus = model.load_state_dict(state, strict=False)
    assert missing == ["encoder.words.weight"] and not surplus, (missing, surplus)
    pairs = torch.export.Dim("pairs", min=1, max=MOST)
    asked = torch.export.Dim("asked", min=1, max=LONGEST)
    inputs = {
        "words": torch.randn(1, 40, WIDE), "kinds": torch.zeros(1, 40, dtype=torch.long),
        "asked": torch.arange(10), "owner": torch.rand(3, 10), "features": torch.randn(3, len(state["mean"])),
    }  # fmt: skip
    dynamic = {
        "words": {1: LENGTH}, "kinds": {1: LENGTH}, "asked": {0: asked}, "owner": {0: pairs, 1: asked},
        "features": {0: pairs},
    }  # fmt: skip
    export(model, inputs, dynamic, "odds", arguments.into)


if __name__ == "__main__":
    main()
