"""The only door to the speech libraries: voice activity, batched decoding, and forced decoding of given wordings."""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pipeline.errors import WitnessmarkError
from pipeline.hearing.model import ModelPlace
from pipeline.hearing.sound import SAMPLE_RATE
from pipeline.hearing.windows import MAX_WINDOW_MS

# Measured on the four samples: five beams make as many word errors as two, in a third more time.
_BEAM_SIZE = 2
BATCH_WINDOWS = 8
MOST_FRAMES = 3000
"""Frames of 10 ms that the encoder takes at once: 30 s."""
STATE_MS = 20
"""Milliseconds of sound in one state of the encoder."""
_LEAST_PROBABILITY = 1e-10


@dataclass(frozen=True, slots=True)
class HeardWord:
    """A word with its time inside the window and the mean probability of its pieces."""

    text: str
    start_ms: int
    end_ms: int
    probability: float


@dataclass(frozen=True, slots=True)
class HeardWindow:
    """`log_probability`: mean over the window's tokens. `no_speech`: the model's probability that nobody spoke."""

    words: tuple[HeardWord, ...]
    log_probability: float
    no_speech: float


@dataclass(frozen=True, slots=True)
class EncodedSound:
    """`states`: what the encoder makes of a stretch of sound, shape (n, width), one row a 20 ms. `frames` of 10 ms."""

    states: NDArray[np.float32]
    frames: int


@dataclass(frozen=True, slots=True)
class ForcedWord:
    """A word of a wording: natural log probability, summed over its `tokens` pieces, and its time in the stretch."""

    text: str
    log_probability: float
    tokens: int
    start_ms: int
    end_ms: int


class SpeechModel:
    """A loaded Whisper model. Loading takes about a second; keep one for the whole run."""

    def __init__(self, place: ModelPlace, language: str = "en") -> None:
        from faster_whisper import BatchedInferencePipeline, WhisperModel
        from faster_whisper.tokenizer import Tokenizer

        try:
            self._model: Any = WhisperModel(
                str(place.folder), compute_type="int8", cpu_threads=os.cpu_count() or 2, local_files_only=True
            )
        except (RuntimeError, ValueError, OSError) as error:
            raise WitnessmarkError(f"cannot load the speech model in {place.folder}: {error}") from error
        if language not in self._model.supported_languages:
            known = ", ".join(sorted(self._model.supported_languages))
            raise WitnessmarkError(f"the speech model knows no language {language!r}; it knows: {known}")
        self._batched: Any = BatchedInferencePipeline(self._model)
        self._tokenizer: Any = Tokenizer(
            self._model.hf_tokenizer, self._model.model.is_multilingual, task="transcribe", language=language
        )
        self.identity = place.identity
        self.language = language

    def hear_windows(self, windows: Sequence[NDArray[np.float32]]) -> list[HeardWindow]:
        """Hears windows of at most 30 s each, shape (n,), several at a time."""
        clips, starts, at = [], [], 0
        for samples in windows:
            clips.append({"start": at / SAMPLE_RATE, "end": (at + len(samples)) / SAMPLE_RATE})
            starts.append(at * 1000 // SAMPLE_RATE)
            at += len(samples)
        segments, _ = self._batched.transcribe(
            np.concatenate(windows),
            language=self.language,
            beam_size=_BEAM_SIZE,
            word_timestamps=True,
            vad_filter=False,
            clip_timestamps=clips,
            batch_size=BATCH_WINDOWS,
        )
        rows: list[list[Any]] = [[] for _ in windows]
        ends = [*starts[1:], at * 1000 // SAMPLE_RATE]
        for segment in segments:
            # `seek` is the offset of the segment's window, in frames of 10 ms.
            seek_ms = segment.seek * 10
            index = next(i for i, end_ms in enumerate(ends) if seek_ms + 10 < end_ms or i == len(ends) - 1)
            rows[index].append(segment)
        return [_heard_window(row, start_ms) for row, start_ms in zip(rows, starts, strict=True)]

    def hear_carefully(self, samples: NDArray[np.float32]) -> HeardWindow:
        """One window with the slow defaults: five beams, and a second try at other temperatures when text loops."""
        segments, _ = self._model.transcribe(
            samples, language=self.language, word_timestamps=True, condition_on_previous_text=False
        )
        return _heard_window(list(segments), 0)

    def encode_short(self, samples: NDArray[np.float32]) -> EncodedSound:
        """Encodes a stretch of at most 30 s as long as it is, shape (n,); no silence is added, so short ones are cheap.

        On our narrations wordings are told apart as well as with the stretch padded to 30 s, at a third of the time or
        less.
        """
        features = self._model.feature_extractor(samples)[..., :-1][..., :MOST_FRAMES]
        encoded = self._model.encode(features)
        if encoded.device != "cpu":
            import ctranslate2

            encoded = encoded.to_device(ctranslate2.Device.cpu)
        return EncodedSound(np.array(encoded, np.float32)[0], features.shape[-1])

    def force(self, encoded: EncodedSound, wordings: Sequence[str]) -> list[tuple[ForcedWord, ...]]:
        """Forced decoding: how likely each wording is, word by word, given the sound, and when each word is said.

        All wordings are decoded as one batch. Raises nothing for odd text; an empty wording gives an empty tuple.
        """
        import ctranslate2

        pieces = [[self._tokenizer.encode(" " + word) for word in wording.split()] for wording in wordings]
        filled = [place for place, words in enumerate(pieces) if words]
        if not filled:
            return [() for _ in wordings]
        batch = ctranslate2.StorageView.from_array(np.repeat(encoded.states[None], len(filled), axis=0))
        tokens = [[token for word in pieces[place] for token in word] for place in filled]
        results = self._model.model.align(batch, self._tokenizer.sot_sequence, tokens, encoded.frames)
        forced: list[tuple[ForcedWord, ...]] = [() for _ in wordings]
        for place, result in zip(filled, results, strict=True):
            forced[place] = _forced_words(wordings[place].split(), pieces[place], result)
        return forced


def _forced_words(words: Sequence[str], pieces: Sequence[Sequence[int]], result: Any) -> tuple[ForcedWord, ...]:
    starts_ms: dict[int, int] = {}
    for token, step in result.alignments:
        starts_ms.setdefault(token, step * STATE_MS)
    last_ms = max(starts_ms.values(), default=0)
    forced, at = [], 0
    for word, tokens in zip(words, pieces, strict=True):
        end = at + len(tokens)
        probabilities = np.maximum(result.text_token_probs[at:end], _LEAST_PROBABILITY)
        start_ms = starts_ms.get(at, last_ms)
        end_ms = max(start_ms, starts_ms.get(end, last_ms))
        forced.append(ForcedWord(word, float(np.log(probabilities).sum()), len(tokens), start_ms, end_ms))
        at = end
    return tuple(forced)


def _heard_window(segments: Sequence[Any], offset_ms: int) -> HeardWindow:
    words: list[HeardWord] = []
    for segment in segments:
        for word in segment.words or ():
            start_ms = max(0, round(word.start * 1000) - offset_ms)
            end_ms = max(0, round(word.end * 1000) - offset_ms)
            heard = HeardWord(word.word.strip(), start_ms, end_ms, round(float(word.probability), 4))
            # The library breaks words at punctuation; only a space begins a word ("1" and ".5" are one figure).
            if words and not word.word.startswith(" "):
                before = words.pop()
                heard = HeardWord(
                    before.text + heard.text, before.start_ms, end_ms, min(before.probability, heard.probability)
                )
            if heard.text:
                words.append(heard)
    if not segments:
        return HeardWindow((), 0.0, 1.0)
    weights = [max(1, len(segment.tokens)) for segment in segments]
    return HeardWindow(
        tuple(words),
        float(np.average([segment.avg_logprob for segment in segments], weights=weights)),
        float(np.average([segment.no_speech_prob for segment in segments], weights=weights)),
    )


def find_speech(samples: NDArray[np.float32]) -> list[tuple[int, int]]:
    """Stretches of speech, (start_ms, end_ms) in order, by the voice activity detector; noise and silence left out."""
    from faster_whisper.vad import VadOptions, get_speech_timestamps

    if len(samples) < SAMPLE_RATE // 10:
        return []
    options = VadOptions(
        threshold=0.4,
        # The model hears better with the pauses of natural speech left in; only long ones are cut out.
        min_silence_duration_ms=2_000,
        speech_pad_ms=400,
        min_speech_duration_ms=120,
        max_speech_duration_s=MAX_WINDOW_MS // 1000 - 1,
    )
    spans = get_speech_timestamps(samples, options)
    return [(span["start"] * 1000 // SAMPLE_RATE, span["end"] * 1000 // SAMPLE_RATE) for span in spans]
