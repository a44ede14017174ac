"""What the reader network takes a number for: names of evidence, and numbers that only it can place."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import pytest

from pipeline.quantities import find_quantities
from pipeline.quantities.read_kinds import ReadKinds
from pipeline.reader import Reading
from pipeline.reader.reading import FIGURES
from pipeline.records import Settings
from pipeline.tokens import line_words, written_tokens
from tests.quantities.scoring import found_in
from tests.reader.test_reader import read


class Fixed:
    """A reader that takes every word for figures of the same kinds."""

    def __init__(self, **shares: float) -> None:
        self.asked = 0
        self._row = np.log([shares.get(kind or "none", 1e-6) for kind in ("", *FIGURES)]).astype(np.float32)

    def read(self, words: Sequence[str]) -> Reading | None:
        """The same for each of the words."""
        self.asked += 1
        _, reading = read(" ".join(words))
        return replace(reading, figures=np.stack([self._row] * len(words)))


def test_a_length_may_be_a_clearance() -> None:
    kinds = ReadKinds(["it", "is", "four"], Fixed(clearance=0.6, length=0.2, none=0.2))
    assert kinds.likely(2, 3) == ["length", "clearance"]
    assert "length read first" in kinds.whether(2, 3, "length") and "length read 1" in kinds.whether(2, 3, "length")
    assert "none read -1" in kinds.whether(2, 3, "")
    assert list(kinds.rather(2, 3, "clearance", "length")) == ["clearance read 1", "clearance read at all 0"]


def test_the_text_is_read_once_and_only_when_a_number_asks() -> None:
    fixed = Fixed(torque=0.9, none=0.1)
    kinds = ReadKinds(["to", "nine", "or", "ten"], fixed)
    assert fixed.asked == 0
    assert kinds.likely(1, 2) == kinds.likely(3, 4) == ["torque"]
    assert fixed.asked == 1


def test_text_without_a_bare_number_is_not_read() -> None:
    fixed = Fixed(torque=1.0)
    tokens = written_tokens(line_words("Put half a litre of oil in and leave it."))
    assert [qty.kind for qty in find_quantities(tokens, Settings(), reader=fixed)] == ["volume"]
    assert fixed.asked == 0


@pytest.mark.parametrize(
    ("said", "kind", "value"),
    [
        ("I put a meter across the battery, twelve nine standing.", "voltage", 12.9),
        ("The head nuts go down to twenty-four.", "torque", 24.0),
    ],
)
def test_a_number_that_only_the_talk_can_place(said: str, kind: str, value: float) -> None:
    assert [(qty.kind, qty.value) for qty in found_in(said)] == [(kind, value)]


def test_two_numbers_with_a_pause_are_no_decimal() -> None:
    assert not [qty for qty in found_in("I rang him at ten, two of us went.") if qty.kind != "count"]
