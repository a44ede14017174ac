"""The voice activity detector and, marked `model`, the real speech model on a committed recording."""

import itertools
import json
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import jiwer
import numpy as np
import pytest
from numpy.typing import NDArray

from pipeline.hearing import SpeechModel, default_model, read_sound
from pipeline.hearing import speech_model as speech_model_module
from pipeline.hearing.sound import SAMPLE_RATE
from pipeline.hearing.speech_model import find_speech
from pipeline.tokens import bare

SAMPLE = Path(__file__).resolve().parents[2] / "samples" / "penhallow_seal"


@pytest.fixture(scope="module")
def samples() -> NDArray[Any]:
    return read_sound(SAMPLE / "penhallow_seal.ogg")[0].samples


def test_speech_is_found_alike_in_blocks(samples: NDArray[Any], monkeypatch: pytest.MonkeyPatch) -> None:
    silence = np.zeros(5 * SAMPLE_RATE, np.float32)
    sound = np.concatenate([silence, samples[: 60 * SAMPLE_RATE], silence, samples[60 * SAMPLE_RATE :], silence])

    def said(spans: list[tuple[int, int]]) -> NDArray[Any]:
        frames = np.zeros(len(sound) * 100 // SAMPLE_RATE, bool)
        for start_ms, end_ms in spans:
            frames[start_ms // 10 : end_ms // 10] = True
        return frames

    whole = find_speech(sound)
    monkeypatch.setattr(speech_model_module, "_BLOCK_SAMPLES", 50 * SAMPLE_RATE)
    blocks = find_speech(sound)
    assert blocks == sorted(blocks)
    assert all(end_ms <= start_ms for (_, end_ms), (start_ms, _) in itertools.pairwise(blocks))
    assert np.mean(said(whole) != said(blocks)) < 0.01
    assert not said(blocks)[:400].any()


def test_no_speech_is_found_in_silence_or_in_hardly_anything() -> None:
    assert find_speech(np.zeros(30 * SAMPLE_RATE, np.float32)) == []
    assert find_speech(np.zeros(100, np.float32)) == []


@pytest.fixture(scope="module")
def model(tmp_path_factory: pytest.TempPathFactory) -> Iterator[SpeechModel]:
    patch = pytest.MonkeyPatch()
    patch.setenv("WITNESSMARK_CACHE", str(tmp_path_factory.mktemp("cache")))
    yield SpeechModel(default_model())
    patch.undo()


@pytest.mark.model
def test_a_piece_goes_on_from_the_one_before(model: SpeechModel, samples: NDArray[Any]) -> None:
    first = model.hear_piece(samples[: 30 * SAMPLE_RATE])
    assert 15_000 < first.heard_ms <= 30_000
    at = first.heard_ms * SAMPLE_RATE // 1000
    second = model.hear_piece(samples[at : at + 30 * SAMPLE_RATE], first.tokens[-32:])
    words = [bare(word.text) for word in (*first.words, *second.words)]
    said = [bare(word) for word in json.loads((SAMPLE / "gold.json").read_text(encoding="utf-8"))["reference"].split()]
    assert jiwer.wer(" ".join(said[: len(words)]), " ".join(words)) < 0.3
    starts = [word.start_ms for word in first.words]
    assert starts == sorted(starts)
    assert first.words[-1].end_ms <= first.heard_ms


@pytest.mark.model
def test_what_loops_is_heard_again_and_is_no_context_if_that_does_not_help(
    model: SpeechModel, samples: NDArray[Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    tried = []
    decode = model._decode

    def looping(encoded: Any, context: Any, **options: Any) -> Any:
        tried.append((context, options))
        text = decode(encoded, (), **options)
        return replace(text, text="and on and off " * 30)

    monkeypatch.setattr(model, "_decode", looping)
    heard = model.hear_piece(samples[: 30 * SAMPLE_RATE], [50_000] * 8)
    assert [(context, bool(options)) for context, options in tried] == [([50_000] * 8, False), ((), False), ((), True)]
    assert not heard.steady
