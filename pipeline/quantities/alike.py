"""How much two texts sound alike: for units that were heard as other words."""

from __future__ import annotations

from functools import cache, lru_cache

import numpy as np

from pipeline.correct.pronounce import speak
from pipeline.correct.sounds import codes, distances, mass, padded

_WIDTH = 20


@cache
def phones(text: str) -> str:
    """The sounds of a text, the first way of saying each word.

    >>> phones("two pints")
    't7pInts'
    """
    return "".join(ways[0] for word in text.split() if (ways := speak(word)))


@lru_cache(maxsize=4096)
def alike(heard: str, others: tuple[str, ...]) -> tuple[float, ...]:
    """Likeness of the sounds of a heard text to each other text, 0 to 1."""
    own = codes(phones(heard))
    if not len(own):
        return (0.0,) * len(others)
    rows = padded([codes(phones(other)) for other in others], _WIDTH)
    mine = padded([own] * len(others), _WIDTH)
    return tuple((1.0 - distances(mine, rows) / np.maximum(mass(mine), mass(rows))).tolist())
