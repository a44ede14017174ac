"""Doubtful places as the third look learns from them: texts with pairs, clusters of pairs, and batches of clusters."""

from __future__ import annotations

import multiprocessing
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from correction_rows import Floats, Ints
from numpy.typing import NDArray

from pipeline.correct.third_look import AROUND, clusters, laid_out

# This share of the pieces around a place is hidden, so that what is learned does not rest on one of them.
DROP = 0.15
HIDDEN, ENDS = 103, (101, 102)
WORKERS = 5


@dataclass(frozen=True)
class Doubtful:
    """The likelier pairs of one text. `pieces`, `place`: those of its words, and where each word's begin; `line`: the
    number of each word's line. `start`, `end`, `form`, `labels`: one entry a pair, as in `Rows`; `form` counts the
    forms of the file. `features`: shape (pairs, features). `context`: what a first look adds to them for the second
    look, shape (looks, pairs, 3); the looks are one without each fold, and the shipped one.
    """

    kind: str
    fold: int
    garbled: int
    pieces: Ints
    place: Ints
    line: Ints
    start: Ints
    end: Ints
    form: Ints
    labels: Ints
    features: Floats
    context: Floats


@dataclass(frozen=True)
class Cluster:
    """Pairs `members` of a text that compete, by the first look `look`."""

    text: Doubtful
    members: Ints
    look: int

    def inputs(self) -> NDArray[np.float32]:
        """The features of the members and their context; shape (members, features)."""
        context = self.text.context[self.look, self.members]
        return np.concatenate([self.text.features[self.members], context], axis=1).astype(np.float32)


# What the processes that make batches read: the pieces of each form, and the clusters of each batch.
meant: list[list[int]] = []
_rows: list[list[Cluster]] = []


def clusters_of(texts: Sequence[Doubtful], look: int) -> list[Cluster]:
    """All clusters of the texts."""
    return [
        Cluster(text, members, look)
        for text in texts
        for members in clusters(text.start, text.end, text.context[look, :, 0].astype(np.float64))
    ]


def batches(rows: list[list[Cluster]], seed: int | None) -> Iterator[dict[str, Any]]:
    """The rows as padded arrays, made by other processes; shuffled and partly hidden where there is a `seed`."""
    global _rows
    _rows = rows
    with multiprocessing.get_context("fork").Pool(WORKERS) as pool:
        yield from pool.imap(_batch, [(number, seed) for number in range(len(rows))])


def _batch(job: tuple[int, int | None]) -> dict[str, Any]:
    number, seed = job
    rng = None if seed is None else np.random.default_rng((seed, number))
    found: dict[str, list[Any]] = {name: [] for name in ("pieces", "kinds", "owner", "features", "labels", "cluster")}
    count = 0
    for place, cluster in enumerate(_rows[number]):
        if rng is not None:
            cluster = Cluster(cluster.text, rng.permutation(cluster.members), cluster.look)
        pieces, kinds, owner = (np.array(each, dtype=np.int64) for each in _shown(cluster))
        if rng is not None:
            around = (kinds == AROUND) & ~np.isin(pieces, ENDS)
            pieces[around & (rng.random(len(kinds)) < DROP)] = HIDDEN
        for name, row in (("pieces", pieces), ("kinds", kinds), ("owner", np.where(owner < 0, -1, owner + count))):
            found[name].append(row)
        found["features"].append(cluster.inputs())
        found["labels"].append(cluster.text.labels[cluster.members])
        found["cluster"].append(np.full(len(cluster.members), place))
        count += len(cluster.members)
    width = max(map(len, found["pieces"]))
    batch: dict[str, Any] = {name: np.concatenate(found[name]) for name in ("features", "labels", "cluster")}
    for name, filler in (("pieces", 0), ("kinds", AROUND), ("owner", -1)):
        batch[name] = np.stack([np.pad(row, (0, width - len(row)), constant_values=filler) for row in found[name]])
    return batch


def _shown(cluster: Cluster) -> tuple[list[int], list[int], list[int]]:
    text, members = cluster.text, cluster.members
    own = [(int(text.start[n]), int(text.end[n]), meant[int(text.form[n])]) for n in members.tolist()]
    return laid_out(text.pieces.tolist(), text.place, text.line, own, ENDS)
