"""The hearing stage around a scripted model: what is kept when a run is stopped, what is dropped and said."""

import json
import wave
from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from pipeline.hearing import listen as listen_module
from pipeline.hearing.heard import HeardPiece, HeardWord
from pipeline.hearing.listen import hear
from pipeline.hearing.model import ModelPlace
from pipeline.hearing.speech_model import CONTEXT_TOKENS, PIECE_MS

PLACE = ModelPlace(Path("nowhere"), "scripted-1", "scripted")
# Five of these make up each of the two streams that the recording below is laid in.
STREAM_MS = 7 * 18_000 + 6 * 400


def piece(number: int = 0, **changes: Any) -> HeardPiece:
    words = (HeardWord(f"Bolt{number},", 100, 400, 0.9), HeardWord("so", 500, 700, 0.95))
    return replace(HeardPiece(words, (11, 12, 13), 28_000, -0.2, 0.01), **changes)


def pieces(count: int, **changes: Any) -> list[HeardPiece]:
    return [piece(number, **changes) for number in range(count)]


class ScriptedModel:
    """Gives each piece the next of a script; stops like Ctrl-C at the piece `stop_at`."""

    def __init__(self, heard: Sequence[HeardPiece], stop_at: int = 99, workers: int = 1) -> None:
        self.heard, self.stop_at, self.workers = list(heard), stop_at, workers
        self.contexts: list[list[int]] = []
        self.lengths: list[int] = []

    def hear_piece(self, samples: Any, context: Sequence[int]) -> HeardPiece:
        if len(self.contexts) == self.stop_at:
            raise KeyboardInterrupt
        self.contexts.append(list(context))
        self.lengths.append(len(samples))
        return self.heard.pop(0)


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
        listen_module, "find_speech", lambda samples: [(s * 20_000, s * 20_000 + 18_000) for s in range(14)]
    )
    return path


def loader(model: ScriptedModel) -> Callable[[ModelPlace, str], Any]:
    return lambda place, language: model


def test_a_stopped_run_goes_on_where_it_was(recording: Path) -> None:
    first = ScriptedModel(pieces(10), stop_at=6)
    with pytest.raises(KeyboardInterrupt):
        hear(recording, PLACE, load=loader(first))
    seen: list[tuple[int, int]] = []
    second = ScriptedModel(pieces(4))
    hearing = hear(recording, PLACE, load=loader(second), on_progress=lambda done, total: seen.append((done, total)))
    assert second.contexts == [[11, 12, 13] * 3] * 2 + [[11, 12, 13] * 4] * 2
    assert len(hearing.transcript.words) == 20
    assert seen[0] == (6 * 28_000, 2 * STREAM_MS)
    assert seen[-1] == (2 * STREAM_MS, 2 * STREAM_MS)
    assert seen == sorted(seen)


def test_what_was_heard_is_not_heard_again_but_another_model_hears_anew(recording: Path) -> None:
    hear(recording, PLACE, load=loader(ScriptedModel(pieces(10))))
    unused = ScriptedModel([])
    assert len(hear(recording, PLACE, load=loader(unused)).transcript.words) == 20
    assert unused.contexts == []
    other = ScriptedModel(pieces(10))
    hear(recording, ModelPlace(Path("nowhere"), "scripted-2", "scripted"), load=loader(other))
    assert len(other.contexts) == 10


def test_a_half_written_last_line_is_heard_again(recording: Path, tmp_path: Path) -> None:
    hear(recording, PLACE, load=loader(ScriptedModel(pieces(10))))
    (journal,) = (tmp_path / "cache" / "hearings").iterdir()
    journal.write_text(journal.read_text()[:-30])
    again = ScriptedModel(pieces(1))
    assert len(hear(recording, PLACE, load=loader(again)).transcript.words) == 20
    assert len(again.contexts) == 1


def test_what_an_older_version_heard_is_heard_anew(recording: Path, tmp_path: Path) -> None:
    hear(recording, PLACE, load=loader(ScriptedModel(pieces(10))))
    (journal,) = (tmp_path / "cache" / "hearings").iterdir()
    head, *rest = journal.read_text().splitlines()
    journal.write_text("\n".join([json.dumps(json.loads(head) | {"version": 2}), *rest]))
    again = ScriptedModel(pieces(10))
    hear(recording, PLACE, load=loader(again))
    assert len(again.contexts) == 10


def test_each_piece_is_heard_with_what_was_said_before_it_in_its_stream(recording: Path) -> None:
    model = ScriptedModel([piece(number, tokens=(number,) * 50) for number in range(10)])
    hear(recording, PLACE, load=loader(model))
    # One worker takes turns: the even pieces of the script are of one stream, the odd ones of the other.
    assert model.contexts[:4] == [[], [], [0] * 50, [1] * 50]
    for number in range(4, 10):
        assert model.contexts[number] == [number - 4] * (CONTEXT_TOKENS - 50) + [number - 2] * 50
    last_ms = STREAM_MS - 4 * 28_000
    assert model.lengths == [PIECE_MS * 16] * 8 + [last_ms * 16] * 2


def test_doubtful_text_is_no_context(recording: Path) -> None:
    model = ScriptedModel([piece(number, steady=number != 5) for number in range(10)])
    hear(recording, PLACE, load=loader(model))
    assert [len(context) for context in model.contexts] == [0, 0, 3, 3, 6, 6, 9, 0, 12, 3]


def test_a_piece_of_which_next_to_nothing_was_heard_is_not_heard_for_ever(recording: Path) -> None:
    model = ScriptedModel(pieces(1_000, heard_ms=0), stop_at=1_000)
    hear(recording, PLACE, load=loader(model))
    assert len(model.contexts) < 400


def test_several_workers_hear_the_same(recording: Path) -> None:
    class Counting(ScriptedModel):
        """Hears how much was said before."""

        def hear_piece(self, samples: Any, context: Sequence[int]) -> HeardPiece:
            super().hear_piece(samples, context)
            return piece(len(context))

    one = hear(recording, PLACE, load=loader(Counting(pieces(10)))).transcript
    several = Counting(pieces(10), workers=3)
    assert hear(recording, ModelPlace(Path("nowhere"), "other", "other"), load=loader(several)).transcript == one
    assert [word.text for word in one.words[:6:2]] == ["Bolt0,", "Bolt3,", "Bolt6,"]


def test_a_loop_that_runs_over_the_end_of_a_piece_is_cut_to_one(recording: Path) -> None:
    loop = piece(words=tuple(HeardWord("tight", i * 50, i * 50 + 50, 0.99) for i in range(3)))
    hearing = hear(recording, PLACE, load=loader(ScriptedModel([loop] * 10)))
    assert len(hearing.transcript.words) == 2
    assert [f.rule for f in hearing.findings] == ["repeated-text"] * 2


def test_text_over_noise_is_left_out_and_said(recording: Path) -> None:
    words = (HeardWord("Thanks", 0, 300, 0.2), HeardWord("all", 300, 400, 0.3))
    noise = piece(words=words, log_probability=-1.5, no_speech=0.9)
    hearing = hear(recording, PLACE, load=loader(ScriptedModel([noise, *pieces(9)])))
    assert len(hearing.transcript.words) == 18
    assert [f.rule for f in hearing.findings] == ["text-over-noise"]
    assert "Thanks all" in hearing.findings[0].message


def test_words_are_dated_in_the_recording_and_pauses_open_segments(recording: Path) -> None:
    transcript = hear(recording, PLACE, load=loader(ScriptedModel(pieces(10)))).transcript
    # The second piece begins 28 s into the stream: 9.6 s into its second stretch, which begins at 20 s.
    assert [w.start_ms for w in transcript.words[:4]] == [100, 500, 29_700, 30_100]
    assert transcript.segment_starts == tuple(range(0, 20, 2))
    assert transcript.recording.duration_ms == 400_000
    assert transcript.from_sound


def test_a_recording_without_speech_says_so(recording: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(listen_module, "find_speech", lambda samples: [])
    hearing = hear(recording, PLACE, load=loader(ScriptedModel([])))
    assert hearing.transcript.words == ()
    assert [f.rule for f in hearing.findings] == ["no-speech"]


def test_a_cache_that_cannot_be_written_costs_only_the_cache(recording: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("WITNESSMARK_CACHE", "/proc/nowhere")
    hearing = hear(recording, PLACE, load=loader(ScriptedModel(pieces(10))))
    assert len(hearing.transcript.words) == 20
    assert [f.rule for f in hearing.findings] == ["not-cached"]
