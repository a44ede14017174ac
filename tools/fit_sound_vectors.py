"""Learns vectors for stretches of sounds from mined hearings, and writes `pipeline/data/sound_vectors.npz`.

    python tools/fit_sound_vectors.py

Needs PyTorch, which is not installed with the project. Of a batch of garbles each must be nearer to its own term than
to the terms of all the others; garbles of every twentieth term are left out and say how well that goes.
"""

from __future__ import annotations

import zlib
from pathlib import Path

import numpy as np
import torch
from torch.nn.functional import cross_entropy, normalize

from pipeline.correct.channel import SIZE
from pipeline.correct.forms import split_words, ways_to_say
from pipeline.correct.sounds import padded
from pipeline.correct.strip import WIDTH
from pipeline.correct.vectors import PLACES, places
from pipeline.vocabulary import shipped_hearings

OUT = Path(__file__).resolve().parent.parent / "pipeline" / "data" / "sound_vectors.npz"
WIDE, EPOCHS, BATCH, RATE, MOST_OFTEN, SMOOTH = 24, 14, 768, 1e-2, 4, 0.02


def bags(stretches: list[tuple[int, ...]]) -> torch.Tensor:
    """How often each phone in its part is in each stretch; shape (stretches, SIZE * PLACES)."""
    keys, counts = places(padded(stretches, WIDTH))
    found = np.zeros((len(stretches), SIZE * PLACES), dtype=np.float32)
    np.add.at(found, (np.repeat(np.arange(len(stretches)), counts), keys), 1.0)
    return torch.from_numpy(found)


def roughness(table: torch.Tensor) -> torch.Tensor:
    """How much the vectors of a phone change from one part to the next."""
    parts = table.view(PLACES, SIZE, -1)
    return ((parts[1:] - parts[:-1]) ** 2).sum()


def main() -> None:
    torch.manual_seed(1)
    torch.set_num_threads(1)
    said, heard, weights, kept_back = [], [], [], []
    for form, garbles in shipped_hearings().items():
        own = ways_to_say(split_words(form))
        for garble, count in garbles.items():
            other = ways_to_say(garble.split())
            if own and other:
                said.append(own[0])
                heard.append(other[0])
                weights.append(float(min(count, MOST_OFTEN)))
                kept_back.append(zlib.crc32(form.encode()) % 20 == 0)
    own_bags, other_bags, weight = bags(said), bags(heard), torch.tensor(weights)
    learned, left = (torch.tensor([n for n, back in enumerate(kept_back) if back == which]) for which in (False, True))
    start = 0.2 * torch.randn(SIZE, WIDE).repeat(PLACES, 1)
    tables = [start.clone().requires_grad_(), start.clone().requires_grad_()]
    heat = torch.tensor(2.5, requires_grad=True)
    adam = torch.optim.Adam([*tables, heat], lr=RATE)

    def products(some: torch.Tensor) -> torch.Tensor:
        return normalize(other_bags[some] @ tables[1]) @ normalize(own_bags[some] @ tables[0]).T

    for epoch in range(EPOCHS):
        adam.param_groups[0]["lr"] = RATE * (1 - epoch / EPOCHS)
        for some in learned[torch.randperm(len(learned))].split(BATCH):
            loss = (
                cross_entropy(products(some) * heat.exp(), torch.arange(len(some)), reduction="none") * weight[some]
            ).sum() / weight[some].sum()
            loss = loss + SMOOTH * sum(roughness(table) for table in tables) / SIZE
            adam.zero_grad()
            loss.backward()
            adam.step()
    with torch.no_grad():
        alike = products(left)
        rank = (alike > alike.diag()[:, None]).sum(dim=1)
    shares = [f"among the first {most} of {len(left)}: {(rank < most).float().mean():.3f}" for most in (1, 6, 20)]
    print("; ".join(shares))
    own, other = (table.detach().numpy().astype(np.float16) for table in tables)
    np.savez_compressed(OUT, said=own, heard=other)


if __name__ == "__main__":
    main()
