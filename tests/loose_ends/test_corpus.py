"""Loose ends on their corpora; the held-out file was written before tuning and is only measured."""

from pathlib import Path

import pytest

from tests.loose_ends.scoring import CORPUS, score


@pytest.mark.parametrize(
    ("name", "recall", "precision"),
    [("loose_ends.toml", 0.94, 0.92), ("loose_ends_heldout.toml", 0.92, 0.92), ("loose_ends_unseen.toml", 0.82, 0.84)],
)
def test_recall_and_precision(name: str, recall: float, precision: float) -> None:
    lines: list[str] = []
    right, missed, extra = score(Path(CORPUS / name), lines)
    assert right / (right + missed) >= recall, "\n".join(lines)
    assert right / (right + extra) >= precision, "\n".join(lines)
