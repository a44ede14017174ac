"""Mixes what was learned more than once and packs it for the installed package. No part of the installed package.

    python tools/adapt_pack.py A.npz:0.45 B.npz:0.35 --into pipeline/data/speech_adapters.npz

Each of A and B was written by `adapt_train.py`, at full strength. Averaged additions err less than each alone where
they have learned nothing (Wortsman and others, "Model soups", 2022).
"""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

import numpy as np


def pack(learned: list[tuple[dict[str, Any], float]]) -> dict[str, Any]:
    """For each weight the weighted sum of the products, as 8-bit factors and their scales (see `adapted.adapt`)."""
    packed: dict[str, Any] = {}
    for name in sorted(key.removesuffix(":up") for key in learned[0][0] if key.endswith(":up")):
        products = [
            share * (arrays[f"{name}:up"].astype(np.float32) @ arrays[f"{name}:down"].astype(np.float32))
            for arrays, share in learned
        ]
        rank = sum(arrays[f"{name}:up"].shape[1] for arrays, _ in learned)
        left, sizes, right = np.linalg.svd(np.sum(products, axis=0), full_matrices=False)
        up, down = left[:, :rank], right[:rank]
        up_step, down_step = np.abs(up).max(axis=0) / 127, np.abs(down).max(axis=1) / 127
        packed[f"{name}:up"] = np.round(up / up_step).astype(np.int8)
        packed[f"{name}:down"] = np.round(down / down_step[:, None]).astype(np.int8)
        packed[f"{name}:scale"] = (sizes[:rank] * up_step * down_step).astype(np.float32)
    return packed


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("learned", nargs="+", help="FILE:SHARE")
    parser.add_argument("--into", type=Path, required=True)
    args = parser.parse_args()
    learned = []
    for one in args.learned:
        file, _, share = one.rpartition(":")
        with np.load(file) as arrays:
            learned.append((dict(arrays), float(share)))
    np.savez_compressed(args.into, **pack(learned))


if __name__ == "__main__":
    main()
