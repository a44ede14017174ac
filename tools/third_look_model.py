"""The network of the third look in torch: three layers of a BERT encoder over a doubtful place and all its terms."""

from __future__ import annotations

import torch
from reader_model import Encoder
from torch import Tensor, nn
from torch.nn import functional

LAYERS, KINDS = 3, 4
WIDE, NARROW = 384, 24


class ThirdLookModel(nn.Module):
    """Clusters of pairs to the log odds of each pair that its term was said.

    `mean`, `scale`: of the features, shape (features,). What the pieces of a term and the first piece say is made
    narrow before the features join it: there is little to learn it from.
    """

    def __init__(self, encoder: Encoder, mean: Tensor, scale: Tensor) -> None:
        super().__init__()
        self.encoder = encoder
        encoder.layers = encoder.layers[:LAYERS]
        self.kinds = nn.Embedding(KINDS, WIDE)
        nn.init.normal_(self.kinds.weight, std=0.01)
        self.register_buffer("mean", mean)
        self.register_buffer("scale", scale)
        self.read = nn.Sequential(nn.Linear(2 * WIDE, 128), nn.GELU(), nn.Dropout(0.3), nn.Linear(128, NARROW))
        self.told = nn.Linear(len(mean), 64)
        self.both = nn.Sequential(nn.Linear(64 + NARROW, 48), nn.GELU(), nn.Linear(48, 1))
        self.told_alone, self.read_alone = nn.Linear(64, 1), nn.Linear(NARROW, 1)

    def forward(self, words: Tensor, kinds: Tensor, asked: Tensor, owner: Tensor, features: Tensor) -> Tensor:
        """Of one cluster: `words` [1, pieces, width], `kinds` [1, pieces], `asked` [asked]: the first piece and those
        of the terms, `owner` [pairs, asked]: their shares in each pair's term, `features` [pairs, features]."""
        x = self.encoder.read(words + self.kinds(kinds), asked=asked)[0]
        return self.judged(owner @ x, torch.ones_like(owner[:, :1]) @ x[:1], features)

    def judged(self, term: Tensor, whole: Tensor, features: Tensor) -> Tensor:
        """Log odds from what is read of each pair's term and of the whole text, and the features."""
        told = functional.relu(self.told((features - self.mean) / self.scale))
        read = functional.gelu(self.read(torch.cat([term, whole], -1)))
        return (self.told_alone(told) + self.read_alone(read) + self.both(torch.cat([told, read], -1)))[..., 0]
