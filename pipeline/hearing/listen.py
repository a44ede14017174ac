"""Hearing a recording: find the speech, hear it piece by piece, and take out what nobody said."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, ThreadPoolExecutor, wait
from dataclasses import dataclass
from pathlib import Path

from pipeline.hearing.faults import drop_repeats, is_noise_text, mend_times
from pipeline.hearing.heard import HeardPiece
from pipeline.hearing.journal import Journal
from pipeline.hearing.model import ModelPlace
from pipeline.hearing.sound import Sound, file_sha256, read_sound
from pipeline.hearing.speech_model import CONTEXT_TOKENS, PIECE_MS, SpeechModel, find_speech
from pipeline.hearing.streams import Stream, lay_streams
from pipeline.records import Finding, Recording, Transcript, Word
from pipeline.times import ms_to_clock

# A pause this long opens a new segment.
_SEGMENT_PAUSE_MS = 700
# A stream's last moments after its last word are the margin of the voice activity detector, without speech.
_TAIL_MS = 700
# The model may write that it heard next to nothing of a piece; the next one is not the same again.
_LEAST_STEP_MS = 1_000


@dataclass(frozen=True, slots=True)
class Hearing:
    """What was heard, with the sound it was heard in."""

    transcript: Transcript
    sound: Sound
    findings: tuple[Finding, ...]


def hear(
    path: Path,
    place: ModelPlace,
    language: str = "en",
    load: Callable[[ModelPlace, str], SpeechModel] = SpeechModel,
    on_progress: Callable[[int, int], None] = lambda done_ms, total_ms: None,
) -> Hearing:
    """Hears a sound or video file. What was heard before, with the same model, is not heard again.

    Args:
        path: any container PyAV opens.
        place: the speech model; `load` is called with it only when something is left to hear.
        language: language code of the speech model.
        load: makes the model; the second hearing passes a loader that keeps it.
        on_progress: told milliseconds of speech heard and to be heard, from 0 on.

    Raises:
        WitnessmarkError: the file cannot be read or the model cannot be loaded.
    """
    sound, findings = read_sound(path)
    sha256 = file_sha256(path)
    journal = Journal(sha256, place.identity, language)
    if journal.streams is None:
        journal.begin(lay_streams(find_speech(sound.samples)))
    streams = journal.streams or []
    _hear_missing(streams, journal, sound, lambda: load(place, language), on_progress)
    words: list[Word] = []
    for stream, pieces in zip(streams, journal.heard, strict=True):
        stream_words: list[Word] = []
        for start_ms, piece in pieces:
            heard_words = _placed(stream, start_ms, piece)
            if is_noise_text(heard_words, piece.log_probability, piece.no_speech):
                findings.append(_noise_finding(heard_words))
            else:
                stream_words += heard_words
        kept, repeat_findings = drop_repeats(stream_words)
        words += kept
        findings += repeat_findings
    words, time_findings = mend_times(words)
    findings += time_findings
    if journal.failure:
        findings.append(Finding("note", "not-cached", f"What was heard could not be kept: {journal.failure}.", 0))
    if not words:
        findings.append(
            Finding(
                "check",
                "no-speech",
                "No speech was found in this recording; if you did speak, check the microphone and its level.",
                0,
            )
        )
    recording = Recording(path.name, sound.duration_ms, sha256)
    transcript = Transcript(recording, tuple(words), segment_starts(words), from_sound=True)
    return Hearing(transcript, sound, tuple(findings))


def _hear_missing(
    streams: list[Stream],
    journal: Journal,
    sound: Sound,
    load: Callable[[], SpeechModel],
    on_progress: Callable[[int, int], None],
) -> None:
    """Hears all streams to their ends, several side by side, piece after piece in each."""
    total_ms = sum(stream.duration_ms for stream in streams)
    places_ms = [_place_ms(stream, pieces) for stream, pieces in zip(streams, journal.heard, strict=True)]

    def left_ms(index: int) -> int:
        return streams[index].duration_ms - places_ms[index]

    def hear_next(model: SpeechModel, index: int) -> HeardPiece:
        end_ms = min(places_ms[index] + PIECE_MS, streams[index].duration_ms)
        piece = streams[index].samples(sound.samples, places_ms[index], end_ms)
        return model.hear_piece(piece, _context(journal.heard[index]))

    waiting = [index for index in range(len(streams)) if left_ms(index)]
    if not waiting:
        return
    on_progress(sum(places_ms), total_ms)
    model = load()
    with ThreadPoolExecutor(model.workers) as pool:
        hearing: dict[Future[HeardPiece], int] = {}
        while waiting or hearing:
            # The stream with the most left to hear goes first, so that all end together.
            waiting.sort(key=lambda index: (left_ms(index), -index))
            while waiting and len(hearing) < model.workers:
                index = waiting.pop()
                hearing[pool.submit(hear_next, model, index)] = index
            for done in wait(hearing, return_when=FIRST_COMPLETED).done:
                index = hearing.pop(done)
                journal.add(index, places_ms[index], done.result())
                places_ms[index] = _place_ms(streams[index], journal.heard[index])
                if left_ms(index):
                    waiting.append(index)
            on_progress(sum(places_ms), total_ms)


def _place_ms(stream: Stream, pieces: Sequence[tuple[int, HeardPiece]]) -> int:
    """Where the next piece of a stream begins; its end when all is heard."""
    if not pieces:
        return 0
    start_ms, last = pieces[-1]
    place_ms = start_ms + max(last.heard_ms, _LEAST_STEP_MS)
    return place_ms if place_ms < stream.duration_ms - _TAIL_MS else stream.duration_ms


def _context(pieces: Sequence[tuple[int, HeardPiece]]) -> list[int]:
    """The last tokens heard in a stream; none from before a piece whose text is doubtful."""
    tokens: list[int] = []
    for _, piece in reversed(pieces):
        if not piece.steady or len(tokens) >= CONTEXT_TOKENS:
            break
        tokens = [*piece.tokens, *tokens]
    return tokens[-CONTEXT_TOKENS:]


def _placed(stream: Stream, start_ms: int, heard: HeardPiece) -> list[Word]:
    return [
        Word(
            text,
            stream.to_recording_ms(start_ms + word.start_ms),
            stream.to_recording_ms(start_ms + word.end_ms, is_end=True),
            word.probability,
        )
        for word in heard.words
        for text in word.text.split()
    ]


def _noise_finding(words: list[Word]) -> Finding:
    text = " ".join(word.text for word in words[:8]) + (" …" if len(words) > 8 else "")
    return Finding(
        "check",
        "text-over-noise",
        f"Between {ms_to_clock(words[0].start_ms)} and {ms_to_clock(words[-1].end_ms)} the recogniser wrote "
        f"{len(words)} words (“{text}”) where it heard hardly any speech; they were left out.",
        words[0].start_ms,
    )


def segment_starts(words: list[Word]) -> tuple[int, ...]:
    """Indexes of the words that open a segment: the first, and each one after a pause of 0.7 s or more."""
    return tuple(
        index
        for index, word in enumerate(words)
        if index == 0 or word.start_ms - words[index - 1].end_ms >= _SEGMENT_PAUSE_MS
    )
