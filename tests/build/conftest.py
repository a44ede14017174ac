from __future__ import annotations

from pathlib import Path

import pytest

from pipeline.build import add_recording, start_build
from pipeline.records import Settings
from pipeline.vocabulary import Vocabulary, load_vocabulary
from tests.build.penhallow_days import DAYS


@pytest.fixture(scope="session")
def vocabulary() -> Vocabulary:
    return load_vocabulary()


@pytest.fixture
def empty(tmp_path: Path) -> Path:
    """A build folder without recordings."""
    folder = tmp_path / "penhallow"
    start_build(folder, Settings(machine="Penhallow 175", units="imperial"))
    return folder


@pytest.fixture
def penhallow(empty: Path) -> Path:
    """A build folder with the three days."""
    for day in DAYS:
        add_recording(empty, day())
    return empty
