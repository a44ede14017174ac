"""Hearing a recording: find the speech, hear it window by window, and take out what nobody said."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from pipeline.hearing.faults import drop_repeats, has_loop, is_noise_text, mend_times
from pipeline.hearing.journal import Journal
from pipeline.hearing.model import ModelPlace
from pipeline.hearing.sound import Sound, file_sha256, read_sound
from pipeline.hearing.speech_model import BATCH_WINDOWS, HeardWindow, SpeechModel, find_speech
from pipeline.hearing.windows import Window, pack_windows
from pipeline.records import Finding, Recording, Transcript, Word
from pipeline.times import ms_to_clock

# A pause this long opens a new segment.
_SEGMENT_PAUSE_MS = 700


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
    if journal.windows is None:
        journal.begin(pack_windows(find_speech(sound.samples)))
    windows = journal.windows or []
    _hear_missing(windows, journal, sound, lambda: load(place, language), on_progress)
    words: list[Word] = []
    for index, window in enumerate(windows):
        heard_words = _placed(window, journal.heard[index])
        if is_noise_text(heard_words, journal.heard[index].log_probability, journal.heard[index].no_speech):
            findings.append(_noise_finding(heard_words))
            continue
        # Windows are decoded apart, so a loop never runs over a window's end, but people do repeat themselves.
        kept, repeat_findings = drop_repeats(heard_words)
        words.extend(kept)
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
    windows: list[Window],
    journal: Journal,
    sound: Sound,
    load: Callable[[], SpeechModel],
    on_progress: Callable[[int, int], None],
) -> None:
    missing = [index for index in range(len(windows)) if index not in journal.heard]
    total_ms = sum(window.duration_ms for window in windows)
    done_ms = total_ms - sum(windows[index].duration_ms for index in missing)
    if not missing:
        return
    on_progress(done_ms, total_ms)
    model = load()
    for at in range(0, len(missing), BATCH_WINDOWS):
        batch = missing[at : at + BATCH_WINDOWS]
        samples = [windows[index].samples(sound.samples) for index in batch]
        for index, piece, heard in zip(batch, samples, model.hear_windows(samples), strict=True):
            # Batched decoding has no second try; a looping window gets the careful one, which has.
            if has_loop([word.text for word in heard.words]):
                heard = model.hear_carefully(piece)
            journal.add(index, heard)
            done_ms += windows[index].duration_ms
        on_progress(done_ms, total_ms)


def _placed(window: Window, heard: HeardWindow) -> list[Word]:
    return [
        Word(
            piece,
            window.to_recording_ms(word.start_ms),
            window.to_recording_ms(word.end_ms, is_end=True),
            word.probability,
        )
        for word in heard.words
        for piece in word.text.split()
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
