"""A real clip of nine seconds and what a recogniser might have made of it: two garbles seeded into right words.

`bench.ogg` is synthetic speech made for this project (espeak-ng, a Scottish voice): "So I torqued the drain plug to
fifteen newton metres, and the grub screw in the selector fork is done up by hand. It was out by four thou."
`python -m tests.second_hearing.clip` makes it again, with the real model's answers in recorded/bench.json.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pipeline.correct import Matcher, build_matcher, correct
from pipeline.hearing import SpeechModel, default_model, read_sound
from pipeline.hearing.speech_model import EncodedSound, ForcedWord
from pipeline.quantities import find_quantities
from pipeline.records import Recording, Settings, Transcript, Word
from pipeline.second_hearing import SecondHearing, hear_again
from pipeline.second_hearing.ears import Ears
from pipeline.tokens import written_tokens
from pipeline.vocabulary import list_vocabulary

HERE = Path(__file__).resolve().parent
CLIP, ANSWERS = HERE / "recorded" / "bench.ogg", HERE / "recorded" / "bench.json"
SAID = (
    "So I torqued the drain plug to fifteen newton metres, and the grub screw in the selector fork is done up by hand. "
    "It was out by four thou."
)
HEARD = SAID.replace("fifteen", "50").replace("grub", "grout").replace("thou", "though")
DOUBTED = {"grout": 0.35, "though.": 0.4}


def words_heard() -> tuple[Word, ...]:
    """The heard words at the times at which they are said in the clip."""
    rows = json.loads(ANSWERS.read_text(encoding="utf-8"))["words"]
    return tuple(Word(text, start_ms, end_ms, DOUBTED.get(text, 0.97)) for text, start_ms, end_ms in rows)


def matcher() -> Matcher:
    return build_matcher(list_vocabulary(["drain plug", "grub screw", "shroud screw", "grease gun", "selector fork"]))


def hear_clip_again(ears: Ears, words: tuple[Word, ...] | None = None) -> SecondHearing:
    sound, _ = read_sound(CLIP)
    recording = Recording(CLIP.name, sound.duration_ms, "0" * 64)
    transcript = Transcript(recording, words or words_heard(), (0,), from_sound=True)
    terms = matcher()
    corrections = correct(transcript.words, terms)
    quantities = find_quantities(written_tokens(transcript.words, corrections), Settings())
    return hear_again(transcript, sound, corrections, quantities, terms, ears)


class RecordedEars:
    """Gives the answers that the real model once gave. A wording that it was not asked then counts as unlikely."""

    encoder = "recorded"

    def __init__(self) -> None:
        self.answers: dict[str, Any] = json.loads(ANSWERS.read_text(encoding="utf-8"))

    def encode_short(self, samples: NDArray[np.float32]) -> EncodedSound:
        return EncodedSound(np.full((1, 1), _is_noise(samples), np.float32), len(samples) // 160)

    def force(self, encoded: EncodedSound, wordings: Sequence[str]) -> list[tuple[ForcedWord, ...]]:
        answers = self.answers["noise" if encoded.states[0, 0] else "sound"]
        return [
            tuple(ForcedWord(*row) for row in answers.get(text, [[word, -8.0, 1, 0, 0] for word in text.split()]))
            for text in wordings
        ]


def _is_noise(samples: NDArray[np.float32]) -> float:
    return float(np.abs(samples).max(initial=0.0) < 0.01)


class _Recorder:
    """The real model, writing down what it answers."""

    def __init__(self, model: SpeechModel) -> None:
        self.model, self.encoder = model, model.encoder
        self.answers: dict[str, Any] = {"words": [], "noise": {}, "sound": {}}
        self.noises: set[int] = set()

    def encode_short(self, samples: NDArray[np.float32]) -> EncodedSound:
        encoded = self.model.encode_short(samples)
        if _is_noise(samples):
            self.noises.add(id(encoded.states))
        return encoded

    def force(self, encoded: EncodedSound, wordings: Sequence[str]) -> list[tuple[ForcedWord, ...]]:
        forced = self.model.force(encoded, wordings)
        kept = self.answers["noise" if id(encoded.states) in self.noises else "sound"]
        for wording, words in zip(wordings, forced, strict=True):
            kept[wording] = [[w.text, round(w.log_probability, 3), w.tokens, w.start_ms, w.end_ms] for w in words]
        return forced


def record() -> None:
    recorder = _Recorder(SpeechModel(default_model()))
    sound, _ = read_sound(CLIP)
    (said,) = recorder.model.force(recorder.model.encode_short(sound.samples), [SAID])
    rows = [[text, word.start_ms, word.end_ms] for text, word in zip(HEARD.split(), said, strict=True)]
    recorder.answers["words"] = rows
    ANSWERS.write_text(json.dumps(recorder.answers), encoding="utf-8")
    second = hear_clip_again(recorder)
    ANSWERS.write_text(json.dumps(recorder.answers, ensure_ascii=False, indent=1) + "\n", encoding="utf-8")
    print(*second.corrections, *second.doubts, *second.findings, sep="\n")


if __name__ == "__main__":
    record()
