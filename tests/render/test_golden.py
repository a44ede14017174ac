"""The documents are what they were: a change shows here line by line, and is then looked at."""

from __future__ import annotations

import difflib

import pytest

from tests.render.golden import FOLDER, documents

_NOW = documents()


@pytest.mark.parametrize("name", sorted({*_NOW, *(path.name for path in FOLDER.iterdir())}))
def test_golden(name: str) -> None:
    was = (FOLDER / name).read_bytes().decode() if (FOLDER / name).exists() else ""
    if _NOW.get(name) != was:
        lines = difflib.unified_diff(was.splitlines(), _NOW.get(name, "").splitlines(), "was", "is", lineterm="", n=1)
        pytest.fail(f"{name} differs; if it should, run: python -m tests.render.golden\n" + "\n".join(lines))
