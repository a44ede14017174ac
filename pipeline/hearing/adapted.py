"""Adds what the speech model has learned of the workshop to its weights, which come as a CTranslate2 file.

What is added to a weight is the product of two narrow matrices (Hu and others, "LoRA: low-rank adaptation of large
language models", 2021), so that it takes 4 MB and not 145. Only weights of the decoder are touched, and not those that
make keys and values of the encoder's states; the encoder stays as it was.
"""

from __future__ import annotations

import struct
from collections.abc import Iterator, Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

Arrays = Mapping[str, NDArray[Any]]
FLOAT16 = 4
_BINARY_VERSION = 6


class _Reader:
    """Walks through the file. Its layout: CTranslate2's `model_spec.py`, binary version 6."""

    def __init__(self, data: bytes | bytearray) -> None:
        self._data = data
        self.at = 0

    def numbers(self, form: str) -> tuple[int, ...]:
        found = struct.unpack_from("<" + form, self._data, self.at)
        self.at += struct.calcsize("<" + form)
        return found

    def text(self) -> str:
        (length,) = self.numbers("H")
        self.at += length
        return self._data[self.at - length : self.at - 1].decode()


def weight_places(data: bytes | bytearray) -> Iterator[tuple[str, tuple[int, ...], int, int]]:
    """Name, shape, number of its type (`FLOAT16` or another) and place of each weight in the content of a model.bin.

    Raises:
        ValueError: the file is not of the known layout.
    """
    reader = _Reader(data)
    (version,) = reader.numbers("I")
    if version != _BINARY_VERSION:
        raise ValueError(f"model.bin has version {version}, not {_BINARY_VERSION}")
    reader.text()
    _, count = reader.numbers("II")
    for _ in range(count):
        name = reader.text()
        (rank,) = reader.numbers("B")
        shape = reader.numbers(f"{rank}I")
        kind, size = reader.numbers("BI")
        yield name, shape, kind, reader.at
        reader.at += size


def adapt(model: bytearray, adapters: Arrays) -> None:
    """Changes the content of a model.bin in place.

    `adapters`: for each weight that changes two matrices of small whole numbers and what they count for, NAME:up of
    shape (rows, rank), NAME:down (rank, columns) and NAME:scale (rank,); (up * scale) @ down is added to it.

    Raises:
        ValueError: the file is not of the known layout, or lacks a weight, or it has another shape or type.
    """
    wanted = {name.removesuffix(":up") for name in adapters if name.endswith(":up")}
    for name, shape, kind, place in weight_places(model):
        if name not in wanted:
            continue
        wanted.remove(name)
        up, down = (adapters[f"{name}:{part}"].astype(np.float32) for part in ("up", "down"))
        added = (up * adapters[f"{name}:scale"]) @ down
        if kind != FLOAT16 or added.shape != shape:
            raise ValueError(f"{name} is not a weight of shape {added.shape} in float16")
        weight = np.frombuffer(model, np.float16, added.size, place).reshape(shape)
        weight[:] = (weight.astype(np.float32) + added).astype(np.float16)
    if wanted:
        raise ValueError(f"model.bin has no {', '.join(sorted(wanted))}")
