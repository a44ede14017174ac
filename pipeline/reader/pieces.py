"""Word pieces of BERT and their vectors, which the networks that read words have in common."""

from __future__ import annotations

import gzip
import os
from collections.abc import Sequence
from functools import cache
from pathlib import Path

import numpy as np
import onnxruntime
from numpy.typing import NDArray
from tokenizers import Tokenizer, models, normalizers, pre_tokenizers

from pipeline.resources import usable_cores

DATA = Path(__file__).resolve().parent.parent / "data"
_LONGEST_WORD = 60


class Pieces:
    """The pieces as `tools/export_reader.py` writes them. `first`, `last`: what stands around a text."""

    def __init__(self) -> None:
        words = gzip.decompress((DATA / "reader_pieces.gz").read_bytes()).decode("utf-8").split("\n")
        numbers = {word: number for number, word in enumerate(words)}
        self.tokenizer = Tokenizer(models.WordPiece(numbers, unk_token="[UNK]"))
        self.tokenizer.normalizer = normalizers.BertNormalizer(lowercase=True)
        self.tokenizer.pre_tokenizer = pre_tokenizers.BertPreTokenizer()
        self._unknown, self.first, self.last = (words.index(name) for name in ("[UNK]", "[CLS]", "[SEP]"))
        with np.load(DATA / "reader_vectors.npz") as packed:
            self._steps, self._zero, self._size = (packed[name] for name in ("steps", "zero", "size"))

    def of_words(self, words: Sequence[str]) -> tuple[list[int], list[int]]:
        """The place of each word's first piece, and the pieces. Speech repeats itself: each word is cut once."""
        different = list(dict.fromkeys(word[:_LONGEST_WORD] for word in words))
        encoded = self.tokenizer.encode_batch(different, add_special_tokens=False)
        cut = {word: own.ids or [self._unknown] for word, own in zip(different, encoded, strict=True)}
        first: list[int] = []
        pieces: list[int] = []
        for word in words:
            first.append(len(pieces))
            pieces += cut[word[:_LONGEST_WORD]]
        return first, pieces

    def vectors(self, pieces: Sequence[int]) -> NDArray[np.float32]:
        """Vectors of pieces; shape (pieces, width)."""
        found: NDArray[np.float32] = (self._steps[pieces].astype(np.float32) - np.float32(self._zero)) * self._size
        return found


@cache
def load_pieces() -> Pieces:
    """The pieces of this installation."""
    return Pieces()


def one_session(path: Path, without: Sequence[str] = ()) -> onnxruntime.InferenceSession:
    """A network ready to run, on the cores that this process may use: the library would take all there are.

    Where OMP_NUM_THREADS says so, on fewer: of many processes side by side each should take one. `without`: names of
    the library's optimizations that are left out.
    """
    options = onnxruntime.SessionOptions()
    options.log_severity_level = 3
    # without this, processors that lack VNNI add products in 16 bits and cut large sums off: they would read otherwise
    options.add_session_config_entry("session.x64quantprecision", "1")
    cores = usable_cores()
    told = os.environ.get("OMP_NUM_THREADS", "")
    options.intra_op_num_threads = min(cores, max(1, int(told))) if told.isdecimal() else cores
    return onnxruntime.InferenceSession(
        path.read_bytes(), options, providers=["CPUExecutionProvider"], disabled_optimizers=list(without)
    )
