"""The words as a text to read: paragraphs under their chapters, corrections laid over what was heard."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from pipeline.correct.asks import marked
from pipeline.records import BuildLog, Chapter, Correction
from pipeline.times import ms_to_clock
from pipeline.tokens import ends_sentence

_PAUSE_MS = 2000
_LONG_ENOUGH = 40  # words: from here a paragraph ends with its sentence or segment
_TOO_LONG = 120


@dataclass(frozen=True, slots=True)
class Piece:
    """A word as heard (`decision` ""), or a stretch with a correction laid over it."""

    start_word: int
    end_word: int
    text: str
    decision: str = ""
    heard: str = ""
    written: str = ""
    why: str = ""
    percent: int = 0


@dataclass(frozen=True, slots=True)
class Paragraph:
    """Some sentences and when they begin; `chapters` are those that begin with it, with their numbers from 1.

    Chapters in which nothing is said have a paragraph without pieces.
    """

    start_ms: int
    pieces: tuple[Piece, ...]
    chapters: tuple[tuple[int, Chapter], ...]

    @property
    def clock(self) -> str:
        """When it begins."""
        return ms_to_clock(self.start_ms)


def pieces_of(log: BuildLog) -> list[Piece]:
    """All words, each once, in order. Automatic corrections are shown as written, asked ones as heard."""
    shown = {corr.start_word: corr for corr in marked(log.corrections, log.words)}
    pieces: list[Piece] = []
    index = 0
    while index < len(log.words):
        corr = shown.get(index)
        if corr is None or corr.end_word <= index:
            pieces.append(Piece(index, index + 1, log.words[index].text))
            index += 1
        else:
            pieces.append(_corrected(corr))
            index = corr.end_word
    return pieces


def _corrected(corr: Correction) -> Piece:
    text = corr.written if corr.decision == "auto" else corr.heard
    percent = round(corr.score * 100)
    return Piece(
        corr.start_word, corr.end_word, text, corr.decision, corr.heard, corr.written, corr.why, percent
    )  # fmt: skip


def paragraphs(log: BuildLog) -> list[Paragraph]:
    """The transcript in paragraphs: cut at chapters, at pauses, and at sentence ends once it is long enough."""
    return list(_paragraphs(log))


def _paragraphs(log: BuildLog) -> Iterator[Paragraph]:
    segments = set(log.segment_starts)
    chapters = list(enumerate(log.chapters, start=1))
    current: list[Piece] = []
    begun: list[tuple[int, Chapter]] = []
    for piece in pieces_of(log):
        opens = []
        while chapters and chapters[0][1].start_ms <= log.words[piece.start_word].start_ms:
            opens.append(chapters.pop(0))
        if current and (opens or _breaks(log, current, piece, segments)):
            yield _paragraph(log, current, begun)
            current, begun = [], []
        begun += opens
        current.append(piece)
    if current:
        yield _paragraph(log, current, begun)
    if chapters:
        yield Paragraph(chapters[0][1].start_ms, (), tuple(chapters))


def _breaks(log: BuildLog, current: list[Piece], piece: Piece, segments: set[int]) -> bool:
    before = log.words[piece.start_word - 1]
    if log.words[piece.start_word].start_ms - before.end_ms >= _PAUSE_MS or len(current) >= _TOO_LONG:
        return True
    sentence_over = ends_sentence(before.text) or piece.start_word in segments
    return len(current) >= _LONG_ENOUGH and sentence_over


def _paragraph(log: BuildLog, pieces: list[Piece], chapters: list[tuple[int, Chapter]]) -> Paragraph:
    return Paragraph(log.words[pieces[0].start_word].start_ms, tuple(pieces), tuple(chapters))
