"""The whole flow on one screen: one recording in, one build log out, every stage a plain function."""

from __future__ import annotations

import dataclasses
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

from pipeline.captions import CAPTION_WRITERS, find_cues
from pipeline.chapters import CHAPTER_WRITERS, chapter_findings, find_chapters, term_spans
from pipeline.correct import Match, Matcher, corrections_of, match
from pipeline.correct.asks import correction_findings
from pipeline.doubts import Doubts, likely
from pipeline.events import EventFinder, find_part_numbers, without_codes
from pipeline.files import write_text
from pipeline.hearing import ModelPlace, Sound, SpeechModel, hear
from pipeline.log import assemble_log, write_log
from pipeline.loose_ends import find_loose_ends
from pipeline.punctuation import punctuated
from pipeline.quantities import attach_quantities, check_quantities, find_quantities
from pipeline.records import BuildLog, Correction, Event, Finding, Quantity, Settings, Token, Transcript
from pipeline.render import WRITERS, SortEvidence, headings_of, render_log, told_by_others
from pipeline.second_hearing import SecondHearing, hear_again, mark_doubtful
from pipeline.tokens import written_tokens
from pipeline.transcripts import is_transcript, read_transcript
from pipeline.vocabulary import Vocabulary, spoken_spelling


@dataclass(frozen=True)
class Bench:
    """What every recording of a run shares. `matcher`, `finder` and `place` are asked for when they are needed, so that
    a file that cannot be read is told of at once; `second_hearing` False takes the words as first heard; `own_spelling`
    takes the spelling of the settings for that of each speaker."""

    settings: Settings
    vocabulary: Vocabulary
    matcher: Callable[[], Matcher]
    finder: Callable[[], EventFinder]
    place: Callable[[], ModelPlace]
    second_hearing: bool = True
    own_spelling: bool = False
    chapter_count: int | None = None
    on_progress: Callable[[int, int], None] = lambda done_ms, total_ms: None
    # seconds spent in each stage, added up over the run
    seconds: dict[str, float] = field(default_factory=dict)
    models: dict[str, SpeechModel] = field(default_factory=dict)
    # what each recording of the build tells of the sort of its machine, by the SHA-256 of its bytes
    told: dict[str, SortEvidence] = field(default_factory=dict)

    def told_by_others(self, sha256: str) -> tuple[SortEvidence, ...]:
        """What all recordings of the build but this one tell of the sort of its machine."""
        return told_by_others(sha256, self.told)

    @contextmanager
    def timed(self, stage: str) -> Iterator[None]:
        """Adds the time of the block to the stage's account."""
        begun = time.perf_counter()
        yield
        self.seconds[stage] = self.seconds.get(stage, 0.0) + time.perf_counter() - begun

    def model(self, place: ModelPlace, language: str) -> SpeechModel:
        """The loaded speech model; loaded once a run."""
        if place.identity not in self.models:
            self.models[place.identity] = SpeechModel(place, language)
        return self.models[place.identity]


def run_recording(media: Path, bench: Bench, made_on: str = "") -> BuildLog:
    """Hears (or reads) one recording and works out everything there is to know about it.

    Raises:
        WitnessmarkError: the file cannot be read or heard.
    """
    with bench.timed("hear"):
        transcript, sound, findings = _words_of(media, bench)
    transcript = dataclasses.replace(transcript, recording=dataclasses.replace(transcript.recording, made_on=made_on))
    if bench.own_spelling:
        spelling = spoken_spelling([word.text for word in transcript.words], bench.vocabulary)
        bench = dataclasses.replace(bench, settings=dataclasses.replace(bench.settings, spelling=spelling))
    with bench.timed("load"):
        matcher, finder = bench.matcher(), bench.finder()
    with bench.timed("correct"):
        matched = match(transcript.words, matcher)
        corrections = corrections_of(matched)
    with bench.timed("hear again"):
        second = _second_hearing(transcript, sound, corrections, matched, bench)
        corrections = list(second.corrections)
        findings += second.findings
    with bench.timed("extract"):
        written = written_tokens(transcript.words, corrections)
        tokens = punctuated(
            written_tokens(transcript.words, likely(transcript.words, corrections)), bench.settings,
            line_starts=frozenset(transcript.segment_starts),
        )  # fmt: skip
        quantities = mark_doubtful(_quantities(tokens, bench), second.doubts)
        part_numbers = find_part_numbers(finder.read(tokens), tokens, quantities)
        quantities = without_codes(quantities, part_numbers)
        found = finder.find(tokens, quantities, bench.settings)
        loose_ends = find_loose_ends(found.events, found.mentions, tokens, bench.vocabulary)
        doubts = Doubts(transcript.words, corrections)
        findings += correction_findings(corrections, transcript.words)
        findings += check_quantities(quantities, bench.settings, tokens)
    with bench.timed("chapters"):
        chapters = find_chapters(
            transcript.words,
            written,
            found.events,
            bench.vocabulary,
            transcript.recording.duration_ms,
            count=bench.chapter_count,
            segment_starts=transcript.segment_starts,
            spelling=bench.settings.spelling,
            assemblies=_headings(transcript, corrections, found.events, bench),
        )
        if transcript.words:  # where nobody spoke, that is said already
            findings += chapter_findings(chapters, bench.chapter_count)
    return assemble_log(
        transcript,
        corrections,
        quantities,
        doubts.shown(found.events),
        doubts.shown(found.mentions),
        doubts.shown(found.notes),
        chapters,
        doubts.shown(loose_ends),
        findings,
        bench.settings,
        part_numbers,
    )


def _headings(
    transcript: Transcript, corrections: Sequence[Correction], events: Sequence[Event], bench: Bench
) -> set[str]:
    told = BuildLog(
        transcript.recording, transcript.words, tuple(corrections), events=tuple(events), settings=bench.settings
    )
    return headings_of(told, bench.vocabulary, bench.told_by_others(transcript.recording.sha256))


def _words_of(media: Path, bench: Bench) -> tuple[Transcript, Sound | None, list[Finding]]:
    if is_transcript(media):
        transcript, findings = read_transcript(media)
        return transcript, None, list(findings)
    hearing = hear(media, bench.place(), bench.settings.language, bench.model, bench.on_progress)
    return hearing.transcript, hearing.sound, list(hearing.findings)


def _second_hearing(
    transcript: Transcript, sound: Sound | None, corrections: list[Correction], matched: Match | None, bench: Bench
) -> SecondHearing:
    if sound is None or not bench.second_hearing or not transcript.words:
        return SecondHearing(tuple(corrections))
    quantities = _quantities(punctuated(written_tokens(transcript.words, corrections), bench.settings), bench)
    model = bench.model(bench.place(), bench.settings.language)
    return hear_again(transcript, sound, corrections, quantities, bench.matcher(), model, matched=matched)


def _quantities(tokens: tuple[Token, ...], bench: Bench) -> list[Quantity]:
    return attach_quantities(find_quantities(tokens, bench.settings), tokens, bench.vocabulary)


OUTPUTS = ("log.json", *WRITERS, "chapters.txt", "chapters.vtt", *CAPTION_WRITERS)


def write_outputs(
    log: BuildLog,
    into: Path,
    vocabulary: Vocabulary,
    media: Path | None,
    pictures: bool = True,
    pdf: bool = False,
    others: Sequence[SortEvidence] = (),
) -> list[Path]:
    """Writes every file that people get; log.json first, since all others can be made again from it.

    `others`: what other recordings of the same machine tell of its sort.

    Raises:
        WitnessmarkError: a file cannot be written; each file is there whole or not at all.
    """
    write_log(log, into / "log.json")
    playable = None if media is None or is_transcript(media) else media
    paths = [into / "log.json", *render_log(log, into, vocabulary, playable, pictures, pdf, others)]
    cues = find_cues(
        log.words,
        log.corrections,
        log.quantities,
        log.segment_starts,
        keep_together=term_spans(written_tokens(log.words, log.corrections), vocabulary),
        duration_ms=log.recording.duration_ms,
    )
    texts = {name: writer(cues) for name, writer in CAPTION_WRITERS.items()}
    for name in ("chapters.txt", "chapters.vtt"):
        texts[name] = CHAPTER_WRITERS[name](log.chapters, log.recording.duration_ms)
    for name, text in texts.items():
        write_text(into / name, text)
        paths.append(into / name)
    return paths
