"""The hearing stage around a scripted model: what is kept when a run is stopped, what is dropped and said."""

import wave
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from pipeline.hearing import listen as listen_module
from pipeline.hearing.listen import hear
from pipeline.hearing.model import ModelPlace
from pipeline.hearing.speech_model import HeardWindow, HeardWord

PLACE = ModelPlace(Path("nowhere"), "scripted-1")
GOOD = HeardWindow((HeardWord("Right,", 100, 400, 0.9), HeardWord("so", 500, 700, 0.95)), -0.2, 0.01)


class ScriptedModel:
    """Gives each window its number; stops like Ctrl-C at the batch `stop_at`."""

    def __init__(self, heard: Sequence[HeardWindow], stop_at: int = 99) -> None:
        self.heard, self.stop_at, self.batches, self.careful = list(heard), stop_at, 0, 0

    def hear_windows(self, windows: Sequence[Any]) -> list[HeardWindow]:
        if self.batches == self.stop_at:
            raise KeyboardInterrupt
        self.batches += 1
        return [self.heard.pop(0) for _ in windows]

    def hear_carefully(self, samples: Any) -> HeardWindow:
        self.careful += 1
        return GOOD


@pytest.fixture
def recording(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("WITNESSMARK_CACHE", str(tmp_path / "cache"))
    path = tmp_path / "bench.wav"
    with wave.open(str(path), "wb") as out:
        out.setnchannels(1)
        out.setsampwidth(2)
        out.setframerate(8_000)
        out.writeframes(np.zeros(8_000 * 400, "<i2").tobytes())
    monkeypatch.setattr(
        listen_module, "find_speech", lambda samples: [(s * 20_000, s * 20_000 + 18_000) for s in range(20)]
    )
    return path


def loader(model: ScriptedModel) -> Callable[[ModelPlace, str], Any]:
    return lambda place, language: model


def test_a_stopped_run_goes_on_where_it_was(recording: Path) -> None:
    first = ScriptedModel([GOOD] * 20, stop_at=2)
    with pytest.raises(KeyboardInterrupt):
        hear(recording, PLACE, load=loader(first))
    seen: list[tuple[int, int]] = []
    second = ScriptedModel([GOOD] * 4)
    hearing = hear(recording, PLACE, load=loader(second), on_progress=lambda done, total: seen.append((done, total)))
    assert second.batches == 1
    assert len(hearing.transcript.words) == 40
    assert seen[0] == (16 * 18_000, 20 * 18_000)
    assert seen[-1] == (20 * 18_000, 20 * 18_000)


def test_what_was_heard_is_not_heard_again_but_another_model_hears_anew(recording: Path) -> None:
    hear(recording, PLACE, load=loader(ScriptedModel([GOOD] * 20)))
    unused = ScriptedModel([])
    assert len(hear(recording, PLACE, load=loader(unused)).transcript.words) == 40
    assert unused.batches == 0
    other = ScriptedModel([GOOD] * 20)
    hear(recording, ModelPlace(Path("nowhere"), "scripted-2"), load=loader(other))
    assert other.batches == 3


def test_a_half_written_last_line_is_heard_again(recording: Path, tmp_path: Path) -> None:
    hear(recording, PLACE, load=loader(ScriptedModel([GOOD] * 20)))
    (journal,) = (tmp_path / "cache" / "hearings").iterdir()
    journal.write_text(journal.read_text()[:-30])
    again = ScriptedModel([GOOD])
    assert len(hear(recording, PLACE, load=loader(again)).transcript.words) == 40
    assert again.batches == 1


def test_a_looping_window_gets_the_careful_hearing(recording: Path) -> None:
    loop = HeardWindow(tuple(HeardWord("tight", i * 50, i * 50 + 50, 0.99) for i in range(40)), -0.1, 0.0)
    model = ScriptedModel([loop] + [GOOD] * 19)
    assert len(hear(recording, PLACE, load=loader(model)).transcript.words) == 40
    assert model.careful == 1


def test_text_over_noise_is_left_out_and_said(recording: Path) -> None:
    noise = HeardWindow((HeardWord("Thanks", 0, 300, 0.2), HeardWord("all", 300, 400, 0.3)), -1.5, 0.9)
    hearing = hear(recording, PLACE, load=loader(ScriptedModel([noise] + [GOOD] * 19)))
    assert len(hearing.transcript.words) == 38
    assert [f.rule for f in hearing.findings] == ["text-over-noise"]
    assert "Thanks all" in hearing.findings[0].message


def test_words_are_dated_in_the_recording_and_pauses_open_segments(recording: Path) -> None:
    transcript = hear(recording, PLACE, load=loader(ScriptedModel([GOOD] * 20))).transcript
    assert [w.start_ms for w in transcript.words[:4]] == [100, 500, 20_100, 20_500]
    assert transcript.segment_starts == tuple(range(0, 40, 2))
    assert transcript.recording.duration_ms == 400_000
    assert transcript.from_sound


def test_a_recording_without_speech_says_so(recording: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(listen_module, "find_speech", lambda samples: [])
    hearing = hear(recording, PLACE, load=loader(ScriptedModel([])))
    assert hearing.transcript.words == ()
    assert [f.rule for f in hearing.findings] == ["no-speech"]


def test_a_cache_that_cannot_be_written_costs_only_the_cache(recording: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("WITNESSMARK_CACHE", "/proc/nowhere")
    hearing = hear(recording, PLACE, load=loader(ScriptedModel([GOOD] * 20)))
    assert len(hearing.transcript.words) == 40
    assert [f.rule for f in hearing.findings] == ["not-cached"]
