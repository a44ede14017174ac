"""Published tables (vocab/standards/*.toml): every one names its source."""

from __future__ import annotations

import tomllib
from functools import cache
from typing import Any

from pipeline.errors import WitnessmarkError
from pipeline.resources import resource_folder


@cache
def standard(name: str) -> dict[str, Any]:
    """One table file as it stands.

    Raises:
        WitnessmarkError: no such table; the message lists those there are.
    """
    folder = resource_folder("vocab") / "standards"
    path = folder / f"{name}.toml"
    if not path.is_file():
        known = ", ".join(sorted(found.stem for found in folder.glob("*.toml")))
        raise WitnessmarkError(f"no table of standards called {name!r}; there are: {known}")
    return tomllib.loads(path.read_text(encoding="utf-8"))


def is_multigrade(table: str, cold: int, hot: int) -> bool:
    """Whether a table of oils (sae_j300: engines, sae_j306: gears) has a winter grade and a hot one.

    >>> is_multigrade("sae_j300", 10, 40), is_multigrade("sae_j300", 11, 40)
    (True, False)
    """
    oils = standard("fluids")[table]
    return cold in oils["winter"] and hot in oils["grades"]
