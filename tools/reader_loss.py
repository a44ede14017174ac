"""Batches of narrations as tensors, and what the reader network is to learn from them."""

from __future__ import annotations

import random
from collections.abc import Sequence
from typing import Any

import numpy as np
import torch
from numpy.typing import NDArray
from reader_model import PLACES, WINDOW_AFTER, WINDOW_BEFORE, Reader
from reader_texts import Chunk, pieces_of
from torch import Tensor
from torch.nn import functional

from pipeline.reader.reading import ACTIONS, FIGURE_EVENT, FIGURE_OWNER, FIGURES, KINDS, STATUSES, VERB_PART

# Words of an event's quoted stretch, of which one tells the event, are nearly free to tell nothing.
FREE = 0.1
FIGURE_LOSS = 0.5
NEVER = -1e4
UNKNOWN = -100  # no target for the mark behind a word


def batch_of(chunks: list[Chunk], rng: random.Random, drop: float) -> dict[str, NDArray[Any]]:
    """The chunks as padded arrays: B chunks, L pieces, N words, E events, M attribute words, K loose ends."""
    events = [_inside(chunk) for chunk in chunks]
    told = [
        [(i, row) for i, row in enumerate(c.text.example["attributes"]) if c.low <= row[0] < c.high] for c in chunks
    ]
    ends = [[e for e in c.text.example["ends"] if c.low <= e["span"][0] and e["span"][1] <= c.high] for c in chunks]
    figures = [_figures_inside(chunk) for chunk in chunks]
    size, words = len(chunks), max(c.high - c.low for c in chunks)
    numbers = max(1, max(map(len, figures)))
    most = max(1, max(map(len, events)))
    spots, kinds = max(1, max(map(len, told))), max(1, max(map(len, ends)))
    rows = [pieces_of(chunk, rng, drop) for chunk in chunks]
    out = {
        "pieces": np.zeros((size, max(map(len, rows))), dtype=np.int64),
        "first": np.zeros((size, words), dtype=np.int64),
        "target": np.zeros((size, words), dtype=np.int64), "sure": np.zeros((size, words), dtype=np.float32),
        "quiet": np.zeros((size, words), dtype=np.float32), "event": np.zeros((size, most), dtype=bool),
        "action": np.zeros((size, most), dtype=np.int64), "status": np.zeros((size, most), dtype=np.int64),
        "known": np.zeros((size, most), dtype=bool), "tells": np.zeros((size, most, words), dtype=bool),
        "parts": np.zeros((size, most, words), dtype=bool), "against": np.zeros((size, most, words), dtype=bool),
        "share": np.ones((size, most), dtype=np.float32), "spot": np.zeros((size, spots), dtype=np.int64),
        "has": np.zeros((size, most, len(PLACES), spots), dtype=bool), "not": np.zeros((size, most, spots), dtype=bool),
        "kind": np.zeros((size, kinds), dtype=np.int64), "end": np.zeros((size, kinds, words), dtype=bool),
        "open": np.zeros((size, kinds, words), dtype=bool), "mark": np.full((size, words), UNKNOWN, dtype=np.int64),
        "figure": np.full((size, words), UNKNOWN, dtype=np.int64),
        "number": np.zeros((size, numbers), dtype=np.int64), "owned": np.zeros((size, numbers), dtype=bool),
        "owner": np.zeros((size, numbers, words), dtype=bool), "telling": np.zeros((size, numbers, words), dtype=bool),
        "real": np.zeros((size, words), dtype=bool),
    }  # fmt: skip
    for b, chunk in enumerate(chunks):
        low, count, text = chunk.low, chunk.high - chunk.low, chunk.text
        out["pieces"][b, : len(rows[b])] = rows[b]
        out["first"][b, :count] = np.array(text.first[low : chunk.high]) - text.first[low] + 1
        out["sure"][b, :count] = 0 if text.example["only_figures"] else 1
        out["quiet"][b, :count] = 0 if text.example["only_figures"] or text.example["only_events"] else 1
        out["real"][b, :count] = True
        for f, (start, _, _, owners, told_with) in enumerate(figures[b]):
            out["number"][b, f], out["owned"][b, f] = start - low, owners is not None
            out["owner"][b, f, [at - low for at in owners or () if low <= at < chunk.high]] = True
            spots = [text.example["events"][k]["at"] for k in told_with]
            out["telling"][b, f, [at - low for at in spots if low <= at < chunk.high]] = True
        for start, end, kind, _, _ in text.example["figures"]:
            label = FIGURES.index(kind) + 1 if kind else 0
            out["figure"][b, max(0, start - low) : max(0, min(count, end - low))] = label
        if text.example["marks"]:
            out["mark"][b, :count] = text.example["marks"][low : chunk.high]
        _fill_events(out, b, chunk, events[b])
        for k, (_, row) in enumerate(told[b]):
            out["spot"][b, k] = row[0] - low
        _fill_places(out, b, chunk, events[b], told[b])
        for end in text.example["ends"]:
            out["quiet"][b, max(0, end["span"][0] - low) : max(0, min(count, end["span"][1] - low))] = FREE
        for k, end in enumerate(ends[b]):
            out["kind"][b, k] = KINDS.index(end["kind"]) + 1
            out["end"][b, k, end["span"][0] - low : end["span"][1] - low] = True
            out["open"][b, k, [at - low for at in end["parts"] if low <= at < low + count]] = True
    return out


def _figures_inside(chunk: Chunk) -> list[list[Any]]:
    """The figures of which something is known, with what they belong to."""
    return [
        row for row in chunk.text.example["figures"]
        if row[2] and chunk.low <= row[0] < chunk.high
        and all(chunk.low <= at < chunk.high for at in row[3] or ())
    ]  # fmt: skip


def _inside(chunk: Chunk) -> list[dict[str, Any]]:
    return [
        event for event in chunk.text.example["events"]
        if chunk.low <= event["span"][0] and event["span"][1] <= chunk.high
        and (event["at"] < 0 or chunk.low <= event["at"] < chunk.high)
    ]  # fmt: skip


def _fill_events(out: dict[str, Any], b: int, chunk: Chunk, events: list[dict[str, Any]]) -> None:
    low, count = chunk.low, chunk.high - chunk.low
    for event in chunk.text.example["events"]:
        for at in {*(range(*event["span"]) if event["at"] < 0 or event not in events else ()), event["at"]}:
            if low <= at < low + count:
                out["sure"][b, at - low] = FREE
    for e, event in enumerate(events):
        out["event"][b, e], out["action"][b, e] = True, ACTIONS.index(event["action"]) + 1
        out["status"][b, e], out["known"][b, e] = STATUSES.index(event["status"]), event["at"] >= 0
        if event["at"] >= 0:
            out["tells"][b, e, event["at"] - low] = True
            out["target"][b, event["at"] - low] = out["action"][b, e]
            out["sure"][b, event["at"] - low] = 1
        mine = [at - low for at in event["parts"] if low <= at < low + count]
        out["parts"][b, e, mine] = True
        out["against"][b, e, :count] = True
    for e, event in enumerate(events):
        if event["at"] < 0:
            span = slice(event["span"][0] - low, event["span"][1] - low)
            free = (out["target"][b, span] == 0) | (out["target"][b, span] == out["action"][b, e])
            out["tells"][b, e, span] = free if free.any() else True
        same = [k for k, other in enumerate(events) if _together(event, other)]
        out["against"][b, e] &= ~out["parts"][b, same].any(0)
        out["share"][b, e] = 1 / len(same)


def _together(event: dict[str, Any], other: dict[str, Any]) -> bool:
    """True where one word may tell both."""
    if event["at"] >= 0 and other["at"] >= 0:
        return bool(event["at"] == other["at"])
    return bool(event["span"][0] < other["span"][1] and other["span"][0] < event["span"][1])


def _fill_places(out: dict[str, Any], b: int, chunk: Chunk, events: list[dict[str, Any]], told: Any) -> None:
    """Which attribute words are a gold event's, and which are not."""
    for e, event in enumerate(events):
        wanted = {what: set(places) for what, places in event["attributes"]}
        for k, (i, row) in enumerate(told):
            what = PLACES.index(row[2])
            if i in wanted.get(row[2], ()):
                out["has"][b, e, what, k] = True
        values = {what: {chunk.text.example["attributes"][i][3] for i in places} for what, places in wanted.items()}
        for k, (_, row) in enumerate(told):
            out["not"][b, e, k] = row[3] not in values.get(row[2], ())


def words_read(model: Reader, pieces: Tensor, first: Tensor) -> list[Tensor]:
    """All that the network says of the words that begin with the pieces `first` [B, N]: [B, N, ...] each."""
    rows = torch.arange(len(first), device=first.device)[:, None]
    return [out[rows, first] for out in model(pieces)]


def loss_of(model: Reader, batch: dict[str, Tensor], said: Sequence[Tensor]) -> Tensor:
    """The sum over everything that a batch tells, per chunk; `said` is what the network says of its words."""
    size, words = batch["first"].shape
    rows = torch.arange(size, device=batch["first"].device)[:, None]
    actions, statuses, ends, marks, figures, query, key = said
    logp = functional.log_softmax(actions, -1)
    loss = (-logp.gather(2, batch["target"][..., None])[..., 0] * batch["sure"]).sum()
    loss = loss + functional.cross_entropy(
        marks.flatten(0, 1), batch["mark"].flatten(), ignore_index=UNKNOWN, reduction="sum"
    )
    loss = loss + 0.5 * functional.cross_entropy(
        figures.flatten(0, 1), batch["figure"].flatten(), ignore_index=UNKNOWN, reduction="sum"
    )
    # [B, E, N]: how much each word tells each event's action
    tells = logp.transpose(1, 2).gather(1, batch["action"][..., None].expand(-1, -1, words))
    tells = tells.masked_fill(~batch["tells"], NEVER)
    unknown = batch["event"] & ~batch["known"]
    loss = loss - (torch.logsumexp(tells, -1).clamp(max=0) * unknown).sum()
    place = tells.argmax(-1)
    loss = (
        loss
        + (
            functional.cross_entropy(statuses[rows, place].flatten(0, 1), batch["status"].flatten(), reduction="none")
            * batch["event"].flatten()
        ).sum()
    )
    loss = loss + _pair_loss(model, batch, rows, place, query, key)
    quiet = functional.log_softmax(ends, -1)
    loss = loss - 0.5 * (quiet[..., 0] * batch["quiet"]).sum()
    spoken = quiet.transpose(1, 2).gather(1, batch["kind"][..., None].expand(-1, -1, words))
    spoken = spoken.masked_fill(~batch["end"], NEVER)
    loss = loss - 0.5 * (torch.logsumexp(spoken, -1).clamp(max=0) * batch["end"].any(-1)).sum()
    place = spoken.argmax(-1)
    score, window = scores_around(model, place, query[rows, place], key)
    right, wrong = batch["open"] & window, ~batch["open"] & (batch["sure"] > 0)[:, None] & window
    share = torch.ones_like(right[..., 0], dtype=score.dtype)
    loss = loss + 0.5 * _choice_loss(score, right, wrong, right.any(-1), share)[0]
    return (loss + FIGURE_LOSS * _figure_loss(model, batch, rows, query, key)) / size


def _figure_loss(model: Reader, batch: dict[str, Tensor], rows: Tensor, query: Tensor, key: Tensor) -> Tensor:
    """What each figure belongs to, and which word tells what was done with it."""
    place = batch["number"]
    score, window = scores_around(model, place, query[rows, place], key, FIGURE_OWNER)
    window = window & batch["real"][:, None]
    right = batch["owner"] & window
    share = torch.ones_like(right[..., 0], dtype=score.dtype)
    loss, _ = _choice_loss(score, right, window & ~batch["owner"], right.any(-1), share)
    nobodys = batch["owned"] & ~batch["owner"].any(-1)
    loss = loss + 0.3 * ((functional.softplus(score) * window).sum(-1) * nobodys).sum()
    score, _ = scores_around(model, place, query[rows, place], key, FIGURE_EVENT)
    right = batch["telling"] & window
    return loss + _choice_loss(score, right, window & ~batch["telling"], right.any(-1), share)[0]


def scores_around(
    model: Reader, place: Tensor, query: Tensor, key: Tensor, role: int = VERB_PART
) -> tuple[Tensor, Tensor]:
    """Scores [B, E, N] of all words as what the word at `place` [B, E] is about, and which of them are near it."""
    words = torch.arange(key.shape[1], device=key.device)
    score = model.pairs(query[:, :, role], key[:, :, role], place[..., None], words[None, None], role)
    away = words[None, None] - place[..., None]
    return score, (away >= -WINDOW_BEFORE) & (away < WINDOW_AFTER)


def _choice_loss(score: Tensor, right: Tensor, wrong: Tensor, named: Tensor, share: Tensor) -> tuple[Tensor, Tensor]:
    """(Loss, the right words' scores): which word it is, and (by a score above nought) that it is one at all."""
    best = score.masked_fill(~right, NEVER)
    both = torch.logsumexp(score.masked_fill(~(right | wrong), NEVER), -1)
    choice = (both - torch.logsumexp(best, -1)) * named
    alone = functional.softplus(-best.max(-1).values) * named
    others = (functional.softplus(score) * wrong).sum(-1) * share * named
    return choice.sum() + 0.3 * (alone.sum() + others.sum()), best


def _pair_loss(
    model: Reader, batch: dict[str, Tensor], rows: Tensor, place: Tensor, query: Tensor, key: Tensor
) -> Tensor:
    """Each event's part among all words around it, and its attributes among the words that can tell one."""
    score, window = scores_around(model, place, query[rows, place], key)
    right, wrong = batch["parts"] & window, batch["against"] & window
    named = right.any(-1) & batch["event"]
    # a list has several parts: they share what speaks against other words
    loss, best = _choice_loss(score, right, wrong, named, batch["share"])
    head = best.argmax(-1)
    spot = batch["spot"]
    at = spot[:, None, :]
    placed = model.pairs(query[rows, place][:, :, 1], key[rows, spot][:, :, 1], place[..., None], at, 1)
    placed = placed + model.pairs(query[rows, head][:, :, 2], key[rows, spot][:, :, 2], head[..., None], at, 2)
    has = batch["has"] & named[..., None, None]
    most = placed[:, :, None].masked_fill(~has, NEVER).max(-1).values
    loss = loss + (functional.softplus(-most) * has.any(-1)).sum()
    near = ((at - place[..., None]).abs() < 40) & named[..., None]
    return loss + (functional.softplus(placed) * (batch["not"] & near)).sum()
