"""The only door to the speech libraries: voice activity, decoding, and forced decoding of given wordings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pipeline.errors import WitnessmarkError
from pipeline.hearing.heard import Decoded, HeardPiece, heard_words
from pipeline.hearing.model import ModelPlace
from pipeline.hearing.sound import SAMPLE_RATE
from pipeline.resources import usable_cores

PIECE_MS = 30_000
"""The model takes this much sound at once."""
CONTEXT_TOKENS = 64
"""How much of the text before a piece is given as its context."""
MOST_FRAMES = 3000
"""Frames of 10 ms that the encoder takes at once: 30 s."""
STATE_MS = 20
"""Milliseconds of sound in one state of the encoder."""
_MOST_WORKERS = 8
_BEAM_SIZE = 5
_LEAST_PROBABILITY = 1e-10
# On the second try no four tokens may follow each other twice.
_NO_REPEAT = 4
# The first words begin within this many states of the piece's start: one second.
_FIRST_TIMESTAMP = 50
_LONGEST_STRETCH_S = 28
_BLOCK_SAMPLES = 5 * 60 * SAMPLE_RATE
_OPENING, _CLOSING = "\"'“¿([{-", "\"'.。,，!！?？:：”)]}、"


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
    """A loaded Whisper model. Loading takes about a second; keep one for the whole run.

    `workers`: how many calls of `hear_piece` may run at once, each in a thread of its own. The decoder gains little
    from a second core, so two pieces side by side are much quicker than one after the other on both.
    """

    def __init__(self, place: ModelPlace, language: str = "en") -> None:
        from faster_whisper.tokenizer import Tokenizer
        from faster_whisper.transcribe import get_suppressed_tokens

        cores = usable_cores()
        self._place = place
        self.workers = min(_MOST_WORKERS, cores)
        self._model = self._load(self.workers, max(1, cores // self.workers))
        if language not in self._model.supported_languages:
            known = ", ".join(sorted(self._model.supported_languages))
            raise WitnessmarkError(f"the speech model knows no language {language!r}; it knows: {known}")
        self._tokenizer: Any = Tokenizer(
            self._model.hf_tokenizer, self._model.model.is_multilingual, task="transcribe", language=language
        )
        self._suppressed = list(get_suppressed_tokens(self._tokenizer, [-1]))
        self.encoder = place.encoder
        self.language = language

    def _load(self, workers: int, threads: int) -> Any:
        from faster_whisper import WhisperModel

        try:
            return WhisperModel(
                str(self._place.folder),
                compute_type="int8",
                cpu_threads=threads,
                num_workers=workers,
                local_files_only=True,
            )
        except (RuntimeError, ValueError, OSError) as error:
            raise WitnessmarkError(f"cannot load the speech model in {self._place.folder}: {error}") from error

    @cached_property
    def _undivided(self) -> Any:
        """The same model for one call at a time, on all cores."""
        return self._model if self.workers == 1 else self._load(1, usable_cores())

    def hear_piece(self, samples: NDArray[np.float32], context: Sequence[int] = ()) -> HeardPiece:
        """Hears at most 30 s, shape (n,). `context`: tokens of the text before it, at most `CONTEXT_TOKENS`."""
        features = self._model.feature_extractor(samples)[..., :-1][..., :MOST_FRAMES]
        frames = features.shape[-1]
        encoded = self._model.encode(np.pad(features, ((0, 0), (0, MOST_FRAMES - frames))))
        text = self._decode(encoded, context)
        if not text.is_good:
            text = self._decode_again(encoded, text)
        segments, _, is_over = self._model._split_segments_by_timestamps(
            self._tokenizer,
            list(text.tokens),
            time_offset=0.0,
            segment_size=frames,
            segment_duration=frames / 100,
            seek=0,
        )
        segments = [segment for segment in segments if self._says(segment["tokens"])]
        self._model.add_word_timestamps([segments], self._tokenizer, encoded, frames, _OPENING, _CLOSING, 0.0)
        words = heard_words([word for segment in segments for word in segment["words"]])
        # Unless the model wrote that nothing more is said, its last sentence may be cut off: it goes on from there.
        heard_ms = frames * 10 if is_over or not words else words[-1].end_ms
        tokens = tuple(token for segment in segments for token in segment["tokens"])
        return HeardPiece(words, tokens, heard_ms, text.log_probability, text.no_speech, text.steady)

    def _decode(self, encoded: Any, context: Sequence[int], **options: Any) -> Decoded:
        before = [self._tokenizer.sot_prev, *context] if context else []
        (result,) = self._model.model.generate(
            encoded,
            [[*before, *self._tokenizer.sot_sequence]],
            beam_size=_BEAM_SIZE,
            return_scores=True,
            return_no_speech_prob=True,
            suppress_tokens=self._suppressed,
            max_initial_timestamp_index=_FIRST_TIMESTAMP,
            **options,
        )
        tokens = tuple(result.sequences_ids[0])
        # The score is the mean without the end of the text, which is a token too.
        log_probability = result.scores[0] * len(tokens) / (len(tokens) + 1)
        return Decoded(self._tokenizer.decode(tokens), tokens, log_probability, result.no_speech_prob)

    def _decode_again(self, encoded: Any, first: Decoded) -> Decoded:
        """Without the context, which may have led astray, then with repetition forbidden; else the likeliest text."""
        tried = [first]
        for options in ({}, {"no_repeat_ngram_size": _NO_REPEAT}):
            again = self._decode(encoded, (), **options)
            if again.is_good:
                return again
            tried.append(again)
        best = max(tried, key=lambda text: (not text.is_loop, text.log_probability))
        return replace(best, steady=False)

    def _says(self, tokens: Sequence[int]) -> bool:
        return bool(self._tokenizer.decode([token for token in tokens if token < self._tokenizer.eot]).strip())

    def encode_short(self, samples: NDArray[np.float32]) -> EncodedSound:
        """Encodes a stretch of at most 30 s as long as it is, shape (n,); no silence is added, so short ones are cheap.

        On our narrations wordings are told apart as well as with the stretch padded to 30 s, at a third of the time or
        less.
        """
        features = self._undivided.feature_extractor(samples)[..., :-1][..., :MOST_FRAMES]
        encoded = self._undivided.encode(features)
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
        results = self._undivided.model.align(batch, self._tokenizer.sot_sequence, tokens, encoded.frames)
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


def find_speech(samples: NDArray[np.float32]) -> list[tuple[int, int]]:
    """Stretches of speech, (start_ms, end_ms) in order, by the voice activity detector; noise and silence left out.

    Long recordings are looked through in blocks, since the detector makes several copies of what it is given.
    """
    found: list[tuple[int, int]] = []
    at = 0
    while len(samples) - at >= SAMPLE_RATE // 10:
        block = samples[at : at + _BLOCK_SAMPLES]
        offset_ms = at * 1000 // SAMPLE_RATE
        stretches = _speech_in(block)
        at += len(block)
        if at < len(samples) and stretches and stretches[-1][0] > 0:
            # The block may have cut the last stretch: the next one begins with it.
            start_ms = offset_ms + stretches.pop()[0]
            at = start_ms * SAMPLE_RATE // 1000
        found += [(offset_ms + start_ms, offset_ms + end_ms) for start_ms, end_ms in stretches]
    return found


def _speech_in(samples: NDArray[np.float32]) -> list[tuple[int, int]]:
    from faster_whisper.vad import VadOptions, get_speech_timestamps

    options = VadOptions(
        threshold=0.4,
        # The model hears better with the pauses of natural speech left in; only long ones are cut out.
        min_silence_duration_ms=2_000,
        speech_pad_ms=400,
        min_speech_duration_ms=120,
        max_speech_duration_s=_LONGEST_STRETCH_S,
    )
    spans = get_speech_timestamps(samples, options)
    return [(span["start"] * 1000 // SAMPLE_RATE, span["end"] * 1000 // SAMPLE_RATE) for span in spans]
