"""The reader network in torch: a BERT encoder with heads for what a word tells, and for pairs of words."""

from __future__ import annotations

import math
from pathlib import Path

import torch
from safetensors.torch import load_file
from torch import Tensor, nn
from torch.nn import functional

from pipeline.reader.network import ROLES, STEPS, WIDTH
from pipeline.reader.reading import ACTIONS, FIGURES, KINDS, MARKS, STATUSES

PLACES = ("side", "position", "condition")
WINDOW_BEFORE, WINDOW_AFTER = 110, 30


class Layer(nn.Module):
    def __init__(self, width: int, heads: int, inner: int) -> None:
        super().__init__()
        self.heads = heads
        self.query, self.key, self.value = (nn.Linear(width, width) for _ in range(3))
        self.out, self.norm = nn.Linear(width, width), nn.LayerNorm(width, eps=1e-12)
        self.up, self.down = nn.Linear(width, inner), nn.Linear(inner, width)
        self.last = nn.LayerNorm(width, eps=1e-12)

    def forward(self, x: Tensor, mask: Tensor | float, asked: Tensor | None = None) -> Tensor:
        """What the layer makes of the pieces `asked` (all, if not given), which see all others."""
        size, _, width = x.shape
        own = x if asked is None else x[:, asked]
        q, k, v = (
            part(pieces).view(size, pieces.shape[1], self.heads, width // self.heads).transpose(1, 2)
            for part, pieces in ((self.query, own), (self.key, x), (self.value, x))
        )
        if self.training:
            hidden = mask.to(q.dtype) if isinstance(mask, Tensor) else None
            seen = functional.scaled_dot_product_attention(q, k, v, hidden, dropout_p=0.1)
        else:  # written out, as the exported network has it
            seen = torch.softmax(q @ k.transpose(-1, -2) / math.sqrt(width // self.heads) + mask, -1) @ v
        seen = seen.transpose(1, 2).reshape(size, own.shape[1], width)
        x = self.norm(own + functional.dropout(self.out(seen), 0.1, self.training))
        return self.last(x + functional.dropout(self.down(functional.gelu(self.up(x))), 0.1, self.training))


class Encoder(nn.Module):
    def __init__(
        self, words: int = 30522, width: int = 384, layers: int = 6, heads: int = 12, inner: int = 1536
    ) -> None:
        super().__init__()
        self.words, self.places = nn.Embedding(words, width), nn.Embedding(512, width)
        self.kind = nn.Parameter(torch.zeros(width))
        self.norm = nn.LayerNorm(width, eps=1e-12)
        self.layers = nn.ModuleList([Layer(width, heads, inner) for _ in range(layers)])

    def forward(self, pieces: Tensor) -> Tensor:
        return self.read(self.words(pieces), (pieces == 0)[:, None, None, :] * -1e4)

    def read(self, words: Tensor, mask: Tensor | float = 0.0, asked: Tensor | None = None) -> Tensor:
        """What the layers make of the pieces' vectors [batch, length, width]; `mask` is added to all attention.

        `asked`: the pieces of which anybody wants to know (all, if not given): the last layer leaves the others out.
        """
        x = words + self.places(torch.arange(words.shape[1], device=words.device)) + self.kind
        x = functional.dropout(self.norm(x), 0.1, self.training)
        for layer in self.layers[:-1]:
            x = layer(x, mask)
        return self.layers[-1](x, mask, asked)


class Reader(nn.Module):
    """Word pieces [batch, length] to actions, statuses, ends, marks, figures, queries, keys of [batch, length, ...].

    `encoder` makes `width` numbers of each piece and holds the pieces' own in `words`; `inner` is the size between it
    and queries or keys.
    """

    # Numbers of 16 bits are good enough to learn with, and of the product's network only for that.
    half_when_reading = False

    def __init__(self, encoder: nn.Module | None = None, width: int = 384, inner: int = 256) -> None:
        super().__init__()
        self.encoder = encoder or Encoder()
        self.action, self.status = nn.Linear(width, len(ACTIONS) + 1), nn.Linear(width, len(STATUSES))
        self.ends, self.marks = nn.Linear(width, len(KINDS) + 1), nn.Linear(width, len(MARKS))
        self.figures = nn.Linear(width, len(FIGURES) + 1)
        self.query, self.key = (
            nn.Sequential(nn.Linear(width, inner), nn.GELU(), nn.Linear(inner, ROLES * WIDTH)) for _ in range(2)
        )
        self.bias = nn.Parameter(torch.zeros(ROLES, len(STEPS) + 1))

    def forward(self, pieces: Tensor) -> tuple[Tensor, ...]:
        half = (self.training or self.half_when_reading) and pieces.is_cuda
        with torch.autocast(pieces.device.type, torch.bfloat16, enabled=half):
            x = self.encoder(pieces)
        x = functional.dropout(x.float(), 0.1, self.training)
        size, length, _ = x.shape
        query, key = (part(x).view(size, length, ROLES, WIDTH) for part in (self.query, self.key))
        return self.action(x), self.status(x), self.ends(x), self.marks(x), self.figures(x), query, key

    def pairs(self, query: Tensor, key: Tensor, at: Tensor, of: Tensor, role: int) -> Tensor:
        """Scores [..., at, of] of pairs of words: `of` is what the word `at` is about. The places broadcast."""
        edges = torch.tensor(STEPS, dtype=torch.float32, device=key.device)
        steps = torch.bucketize((of - at).to(torch.float32), edges)
        # to look the biases up would be slow to learn from: there are few of them and very many pairs
        apart = functional.one_hot(steps, len(STEPS) + 1).to(key.dtype) @ self.bias[role]
        return query @ key.transpose(-1, -2) * 2 / math.sqrt(WIDTH) + apart

    @classmethod
    def from_base(cls, folder: Path) -> Reader:
        """The network with the encoder of FOLDER/model.safetensors."""
        encoder, state = Encoder(), load_file(str(folder / "model.safetensors"))
        with torch.no_grad():
            encoder.words.weight.copy_(state["embeddings.word_embeddings.weight"])
            encoder.places.weight.copy_(state["embeddings.position_embeddings.weight"])
            encoder.kind.copy_(state["embeddings.token_type_embeddings.weight"][0])
            for norm, name in [(encoder.norm, "embeddings.LayerNorm")]:
                norm.weight.copy_(state[f"{name}.weight"])
                norm.bias.copy_(state[f"{name}.bias"])
            for number, layer in enumerate(encoder.layers):
                name = f"encoder.layer.{number}."
                for part, where in (
                    (layer.query, "attention.self.query"), (layer.key, "attention.self.key"),
                    (layer.value, "attention.self.value"), (layer.out, "attention.output.dense"),
                    (layer.norm, "attention.output.LayerNorm"), (layer.up, "intermediate.dense"),
                    (layer.down, "output.dense"), (layer.last, "output.LayerNorm"),
                ):  # fmt: skip
                    part.weight.copy_(state[f"{name}{where}.weight"])
                    part.bias.copy_(state[f"{name}{where}.bias"])
        return cls(encoder)
