"""How far the reader is from what a teacher says of the same words. No part of the installed package.

Distillation (Hinton, Vinyals, Dean, Distilling the Knowledge in a Neural Network, 2015): beside the facts of a
narration, the network learns a larger one's probabilities for everything it says of it. The teacher has not learned
the narration, so that it is as unsure of it as of new speech.
"""

from __future__ import annotations

from collections.abc import Sequence

import torch
from reader_loss import FIGURE_LOSS, NEVER, scores_around
from reader_model import Reader
from torch import Tensor
from torch.nn import functional

from pipeline.reader.reading import FIGURE_EVENT, FIGURE_OWNER, PART_PLACE, VERB_PART, VERB_PLACE

# So many words of a chunk, those that tell most, are asked what they are about.
TELLING = 16
NEAR = 40


def distil_loss(
    reader: Reader, said: Sequence[Tensor], teacher: Reader, taught: Sequence[Tensor], batch: dict[str, Tensor]
) -> Tensor:
    """The sum over a batch, per chunk; `said` and `taught` are what the two say of its words."""
    size = len(batch["first"])
    told = (batch["quiet"] > 0).float()
    speaks = 1 - functional.softmax(taught[0], -1)[..., 0]
    loss = _apart(taught[0], said[0], told) + _apart(taught[1], said[1], told * speaks)
    loss = loss + 0.5 * _apart(taught[2], said[2], told)
    loss = loss + _apart(taught[3], said[3], (batch["mark"] >= 0).float())
    asked = (batch["figure"] >= 0).float()
    loss = loss + 0.5 * _apart(taught[4], said[4], asked)
    weight, place = (speaks * told).topk(min(TELLING, speaks.shape[1]), 1)
    rows = torch.arange(size, device=place.device)[:, None]
    number = batch["number"]
    figured = (functional.softmax(taught[4], -1)[..., 1:].sum(-1) * asked)[rows, number]
    for role, at, share, worth in (
        (VERB_PART, place, weight, 1.0),
        (FIGURE_OWNER, number, figured, FIGURE_LOSS),
        (FIGURE_EVENT, number, figured, FIGURE_LOSS),
    ):
        loss = loss + worth * _pairs_apart(reader, said, teacher, taught, batch["real"], at, share, role)
    return (loss + _places_apart(reader, said, teacher, taught, batch, place, weight)) / size


def _apart(taught: Tensor, said: Tensor, weight: Tensor) -> Tensor:
    """The divergence of Kullback and Leibler of what is said from what is taught, over the last axis."""
    taught, said = functional.log_softmax(taught, -1), functional.log_softmax(said, -1)
    return ((taught.exp() * (taught - said)).sum(-1) * weight).sum()


def _alone_apart(taught: Tensor, said: Tensor) -> Tensor:
    """The same for scores each of which stands for itself."""
    wanted = taught.sigmoid()
    own = functional.binary_cross_entropy_with_logits(taught, wanted, reduction="none")
    return functional.binary_cross_entropy_with_logits(said, wanted, reduction="none") - own


def _pairs_apart(
    reader: Reader, said: Sequence[Tensor], teacher: Reader, taught: Sequence[Tensor], real: Tensor, place: Tensor,
    weight: Tensor, role: int,
) -> Tensor:  # fmt: skip
    """Which word the words at `place` [B, E] are about, and whether each is it at all."""
    rows = torch.arange(len(place), device=place.device)[:, None]
    wanted, window = scores_around(teacher, place, taught[5][rows, place], taught[6], role)
    given, _ = scores_around(reader, place, said[5][rows, place], said[6], role)
    window = window & real[:, None]
    choice = _apart(wanted.masked_fill(~window, NEVER), given.masked_fill(~window, NEVER), weight)
    return choice + 0.3 * ((_alone_apart(wanted, given) * window).sum(-1) * weight).sum()


def _places_apart(
    reader: Reader, said: Sequence[Tensor], teacher: Reader, taught: Sequence[Tensor], batch: dict[str, Tensor],
    place: Tensor, weight: Tensor,
) -> Tensor:  # fmt: skip
    """Which words of side, position and condition belong to what the words at `place` tell."""
    rows = torch.arange(len(place), device=place.device)[:, None]
    spot = batch["spot"]
    near = ((spot[:, None] - place[..., None]).abs() < NEAR) & (spot > 0)[:, None]
    parts, _ = scores_around(teacher, place, taught[5][rows, place], taught[6], VERB_PART)
    head = parts.masked_fill(~batch["real"][:, None], NEVER).argmax(-1)
    scores = []
    for model, out in ((teacher, taught), (reader, said)):
        score = torch.zeros((), device=place.device)
        for role, at in ((VERB_PLACE, place), (PART_PLACE, head)):
            query, key = out[5][rows, at][:, :, role], out[6][rows, spot][:, :, role]
            score = score + model.pairs(query, key, at[..., None], spot[:, None], role)
        scores.append(score)
    return (_alone_apart(*scores) * near * weight[..., None]).sum()
