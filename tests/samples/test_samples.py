"""The committed samples agree with their scripts, their gold facts and the recorded hearings."""

import hashlib
import itertools
import json
from pathlib import Path
from typing import Any

import av
import jiwer
import numpy as np
import pytest

from pipeline.tokens import bare

ROOT = Path(__file__).resolve().parents[2]
SAMPLES = sorted(path.parent for path in (ROOT / "samples").glob("*/gold.json"))
HEARD = Path(__file__).parent / "heard"


def load(folder: Path) -> dict[str, Any]:
    data: dict[str, Any] = json.loads((folder / "gold.json").read_text(encoding="utf-8"))
    return data


def media(folder: Path) -> Path:
    return next(path for path in folder.iterdir() if path.suffix in (".ogg", ".mp4"))


@pytest.fixture(params=SAMPLES, ids=lambda folder: str(folder.name))
def sample(request: pytest.FixtureRequest) -> Path:
    folder: Path = request.param
    return folder


def test_there_are_three_samples_and_one_is_a_video() -> None:
    assert len(SAMPLES) >= 3
    assert any(media(folder).suffix == ".mp4" for folder in SAMPLES)


def test_all_samples_stay_under_20_mb() -> None:
    assert sum(path.stat().st_size for path in (ROOT / "samples").rglob("*") if path.is_file()) < 20e6


def test_recording_lasts_three_to_eight_minutes(sample: Path) -> None:
    with av.open(str(media(sample))) as container:
        assert container.duration is not None
        assert 3 * 60 <= container.duration / 1e6 <= 8 * 60


def test_script_is_the_reference(sample: Path) -> None:
    assert (sample / "script.txt").read_text(encoding="utf-8").split() == load(sample)["reference"].split()


def test_facts_rest_on_the_words_they_quote(sample: Path) -> None:
    gold = load(sample)
    words = [bare(word) for word in gold["reference"].split()]
    facts = [fact for key in ("terms", "quantities", "events", "loose_ends") for fact in gold[key]]
    assert len(facts) > 60
    for fact in facts:
        assert words[fact["start_word"] : fact["end_word"]] == [bare(word) for word in fact["said"].split()]


def test_chapters_run_forward_from_zero(sample: Path) -> None:
    starts = [chapter["start_ms"] for chapter in load(sample)["chapters"]]
    assert starts[0] == 0 and len(starts) >= 5
    assert all(before < after for before, after in itertools.pairwise(starts))


def test_hearing_is_of_this_recording_and_mostly_right(sample: Path) -> None:
    heard = json.loads((HEARD / f"{sample.name}.json").read_text(encoding="utf-8"))
    assert heard["recording"]["sha256"] == hashlib.sha256(media(sample).read_bytes()).hexdigest()
    words = heard["words"]
    assert all(0 <= word["start_ms"] <= word["end_ms"] for word in words)
    spoken = " ".join(map(bare, load(sample)["reference"].split()))
    assert jiwer.wer(spoken, " ".join(bare(word["text"]) for word in words)) < 0.17


def test_stills_of_the_video_differ() -> None:
    video = next(media(folder) for folder in SAMPLES if media(folder).suffix == ".mp4")
    stills = []
    with av.open(str(video)) as container:
        for second in (5, 40, 90, 150, 220):
            container.seek(second * 1_000_000)
            frame = next(container.decode(video=0))
            assert (frame.width, frame.height) == (480, 270)
            stills.append(frame.to_ndarray(format="gray").astype(np.float64))
    for first, second_still in itertools.pairwise(stills):
        assert np.abs(first - second_still).mean() > 5
