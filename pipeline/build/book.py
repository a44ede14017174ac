"""The build book: what all recordings of one machine tell together, worked out once for every output."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import groupby
from pathlib import Path

from pipeline.build.book_parts import BookPart, book_parts
from pipeline.build.checks import CheckLine, check_build
from pipeline.build.ends import BuildEnd, loose_ends_of
from pipeline.build.moments import Day, Moment, days_of
from pipeline.build.recordings import Build
from pipeline.quantities import customary
from pipeline.records import Note, Settings
from pipeline.render.cautions import ELSEWHERE, IN_ORDER
from pipeline.render.figures import KIND_TITLES, Figure
from pipeline.render.page import SHOWN_OTHERWISE, Entry
from pipeline.render.sentences import LOOSE_ENDS, loose_end_title
from pipeline.render.spelling import Names, in_spelling
from pipeline.times import ms_to_clock
from pipeline.vocabulary import Vocabulary


@dataclass(frozen=True, slots=True)
class Line:
    """One entry of the work; `since` is the loose end that it left, once another entry has closed that."""

    entry: Entry
    moment: Moment
    since: EndLine | None = None

    @property
    def anchor(self) -> str:
        """Its place in the book."""
        return f"{self.moment.day.page.prefix}{self.entry.event.id}"


@dataclass(frozen=True, slots=True)
class Group:
    """The work on one assembly, by recordings; `caution` is what goes with such work, or ""."""

    title: str
    caution: str
    blocks: tuple[tuple[Day, tuple[Line, ...]], ...]


@dataclass(frozen=True, slots=True)
class EndLine:
    """A loose end. `closed` says what closed it and `closed_at` where; "" and None while open."""

    end: BuildEnd
    title: str
    meaning: str
    moment: Moment
    closed: str = ""
    closed_at: Moment | None = None


@dataclass(frozen=True, slots=True)
class FigureLine:
    """A figure as spoken, its equals in other units, and where it was said."""

    figure: Figure
    equals: str
    moment: Moment


@dataclass(frozen=True, slots=True)
class Book:
    """All that the documents of a build show. `first`/`last` are "" without recordings.

    `asked` are the questions about doubtful words, `checks` all other findings but those about `doubtful` figures.
    """

    build: Build
    settings: Settings
    lang: str
    title: str
    first: str
    last: str
    length: str
    days: tuple[Day, ...]
    open_ends: tuple[EndLine, ...]
    closed_ends: tuple[EndLine, ...]
    checks: tuple[tuple[CheckLine, Moment], ...]
    asked: tuple[tuple[CheckLine, Moment], ...]
    doubtful: tuple[FigureLine, ...]
    groups: tuple[Group, ...]
    parts: tuple[BookPart, ...]
    fluids: tuple[BookPart, ...]
    figures: tuple[tuple[str, tuple[FigureLine, ...]], ...]
    orders: tuple[tuple[Day, tuple[Line, ...]], ...]
    cautions: tuple[tuple[str, str], ...]
    notes: tuple[tuple[Note, Moment], ...]

    @property
    def to_check(self) -> int:
        """How many things wait for a person."""
        return len(self.open_ends) + len(self.checks) + len(self.asked) + len(self.doubtful)

    @property
    def parts_by_assembly(self) -> list[tuple[str, list[BookPart]]]:
        """The parts under the title of their assembly, in the order in which the assemblies came up."""
        return [(title, list(rows)) for title, rows in groupby(self.parts, key=lambda row: row.assembly)]

    @property
    def entry_count(self) -> int:
        """How many entries the work has."""
        return sum(len(day.recording.log.events) for day in self.days)

    def own(self, text: str) -> str:
        """Our own words in the reader's spelling, for templates."""
        return in_spelling(text, self.settings.spelling)


def make_book(build: Build, vocabulary: Vocabulary, into: Path) -> Book:
    """Works out the book; `into` is the folder that it will lie in, for the links."""
    settings = build.settings.settings
    names = Names.of(vocabulary, settings.spelling)
    days = days_of(build.recordings, settings, vocabulary, into)
    by_slug = {day.recording.slug: day for day in days}
    built_ends = loose_ends_of(build, vocabulary)
    ends = [_end_line(end, by_slug, names) for end in built_ends]
    lines = check_build(build, vocabulary, built_ends)
    open_places = {line.place for line in lines if line.kind == "loose_end"}
    found = [(line, by_slug[line.recording].moment(line.start_ms)) for line in lines if line.kind == "finding"]
    figures = tuple(_figures(days))
    rows = book_parts(days, vocabulary)
    return Book(
        build=build,
        settings=settings,
        lang="en-US" if settings.spelling == "american" else "en-GB",
        title=settings.machine or build.folder.resolve().name,
        first=days[0].day if days else "",
        last=days[-1].day if days else "",
        length=ms_to_clock(sum(day.recording.log.recording.duration_ms for day in days)),
        days=days,
        open_ends=tuple(line for line in ends if not line.closed and _place(line.moment) in open_places),
        closed_ends=tuple(line for line in ends if line.closed),
        checks=tuple(pair for pair in found if pair[0].rule not in SHOWN_OTHERWISE),
        asked=tuple(pair for pair in found if pair[0].rule == "ask"),
        doubtful=tuple(line for line in figures if line.figure.doubtful and not _is_settled(line, build)),
        groups=tuple(_groups(days, ends)),
        parts=tuple(row for row in rows if row.kind != "fluid"),
        fluids=tuple(row for row in rows if row.kind == "fluid"),
        figures=tuple(_by_kind(figures)),
        orders=tuple(_orders(days)),
        cautions=tuple(_cautions(days)),
        notes=tuple((note, day.moment(note.start_ms, note.start_word)) for day in days for note in day.page.notes),
    )


def _is_settled(line: FigureLine, build: Build) -> bool:
    """True where a person has settled the figure, by the time of any of its words."""
    recording, qty = line.moment.day.recording, line.figure.qty
    times_ms = (word.start_ms for word in recording.log.words[qty.start_word : qty.end_word])
    return any(f"{recording.slug} {ms_to_clock(time_ms)}" in build.settings.settled for time_ms in times_ms)


def _place(moment: Moment) -> str:
    return f"{moment.day.recording.slug} {moment.clock}"


def _told(day: Day, entry: Entry) -> tuple[Entry, Moment]:
    return entry, day.moment(entry.event.start_ms, entry.event.start_word)


def _groups(days: Iterable[Day], ends: Iterable[EndLine]) -> Iterator[Group]:
    """Assemblies in the order in which work on them began; work without one comes last."""
    since = {(line.end.recording.slug, line.end.loose.event): line for line in ends if line.closed_at is not None}
    cautions: dict[str, list[str]] = {}
    blocks: dict[str, list[tuple[Day, tuple[Line, ...]]]] = {}
    for day in days:
        for group in day.page.groups:
            title = ELSEWHERE if group.title == IN_ORDER else group.title
            told = cautions.setdefault(title, [])
            told += [text for text in group.cautions if text not in told]
            lines = (
                Line(*_told(day, entry), since.get((day.recording.slug, entry.event.id))) for entry in group.entries
            )
            blocks.setdefault(title, []).append((day, tuple(lines)))
    for title in sorted(blocks, key=lambda title: title == ELSEWHERE):
        shown = IN_ORDER if list(blocks) == [ELSEWHERE] else title
        yield Group(shown, " ".join(cautions[title]), tuple(blocks[title]))


def _end_line(end: BuildEnd, by_slug: dict[str, Day], names: Names) -> EndLine:
    day = by_slug[end.recording.slug]
    loose = end.loose
    meaning = in_spelling(LOOSE_ENDS.get(loose.kind, loose.kind.replace("_", " ")), names.spelling)
    moment = day.moment(loose.start_ms, loose.start_word if loose.end_word > loose.start_word else None)
    title = loose_end_title(loose, end.recording.log, names)
    if not loose.closed_by:
        return EndLine(end, title, meaning, moment)
    if end.closer is None:
        return EndLine(end, title, meaning, moment, f"Closed by {loose.closed_by}")
    recording, event = end.closer
    closing_day = by_slug[recording.slug]
    closed = next(entry.full for entry in closing_day.page.entries if entry.event.id == event.id)
    return EndLine(end, title, meaning, moment, closed, closing_day.moment(event.start_ms, event.start_word))


def _figures(days: Iterable[Day]) -> Iterator[FigureLine]:
    for day in days:
        for _, group in day.page.figures:
            for figure in group:
                equals = (
                    "" if figure.doubtful or figure.guessed else ", ".join(customary(figure.qty)) or figure.conversion
                )
                yield FigureLine(figure, equals, day.moment(figure.qty.start_ms, figure.qty.start_word))


def _by_kind(figures: Iterable[FigureLine]) -> Iterator[tuple[str, tuple[FigureLine, ...]]]:
    kinds: dict[str, list[FigureLine]] = {kind: [] for kind in KIND_TITLES}
    for line in figures:
        kinds.setdefault(line.figure.qty.kind, []).append(line)
    for kind, group in kinds.items():
        if group:
            yield KIND_TITLES.get(kind, kind.capitalize()), tuple(group)


def _orders(days: Iterable[Day]) -> Iterator[tuple[Day, tuple[Line, ...]]]:
    for day in days:
        for _, entries in day.page.orders:
            yield day, tuple(Line(*_told(day, entry)) for entry in entries)


def _cautions(days: Iterable[Day]) -> Iterator[tuple[str, str]]:
    """Each caution once, with the assemblies of all recordings that it is for."""
    found: dict[str, list[str]] = {}
    for day in days:
        for text, assemblies in day.page.cautions:
            found.setdefault(text, []).extend(assemblies.split(", "))
    for text, titles in found.items():
        yield text, ", ".join(dict.fromkeys(titles))
