"""What every document shows of one log, worked out once: templates only lay it out."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import groupby
from pathlib import PurePath

from pipeline.chapters import said_machine
from pipeline.records import BuildLog, Event, Finding, Note
from pipeline.render.cautions import ELSEWHERE, IN_ORDER, cautions, cautions_of
from pipeline.render.figures import Figure, by_kind, figures_of
from pipeline.render.machine_sort import SortEvidence
from pipeline.render.open_points import DoubtfulWords, OpenEnd, doubtful_words, open_end
from pipeline.render.parts import PartRow, part_rows
from pipeline.render.places import Course, course_of
from pipeline.render.quotes import Quote, Quotes
from pipeline.render.sentences import STATUSES, full_sentence, sentence
from pipeline.render.spelling import Names, in_spelling, long_date
from pipeline.render.spoken_names import subjects_as_said
from pipeline.render.stills import Pictures, Still
from pipeline.render.timeline import Timeline, timeline
from pipeline.render.transcript import Paragraph, paragraphs
from pipeline.times import ms_to_clock
from pipeline.tokens import bare
from pipeline.vocabulary import Vocabulary

# Findings that the page shows in a better place: doubtful words and figures stand in lists of their own.
SHOWN_OTHERWISE = ("ask", "doubtful_figure", "unit_misheard")
# What makes an order of assembly; two parts are hardly one.
_TAKEN_OFF, _FEWEST_STEPS = ("remove", "dismantle", "slacken", "disconnect"), 3
_IS_STEP = ("done", "provisional", "advised")
_BECAUSE, _PURPOSE = (
    re.compile(r"^((because|['’]?cause|cos|since|as)\s+)+", re.IGNORECASE),
    ("so that", "in case", "otherwise"),
)
_DATE_IN_NAME = re.compile(r"(?<!\d)((?:19|20)\d\d)([-_.]?)(\d\d)\2(\d\d)(?!\d)")


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of the log. `sentence` is without the status, `full` has it in front; `quote` proves it."""

    event: Event
    quote: Quote
    sentence: str
    full: str
    label: str
    details: tuple[tuple[str, str], ...]
    figures: tuple[Figure, ...]
    still: Still | None

    @property
    def clock(self) -> str:
        """When it was said."""
        return ms_to_clock(self.event.start_ms)

    @property
    def extra_figures(self) -> tuple[Figure, ...]:
        """Figures that tell more than the sentence and the details do."""
        others = (fig for fig in self.figures if fig.qty.kind != "spanner")
        told = (fig for fig in others if fig.conversion or fig.unmarked not in self.sentence)
        return tuple({(fig.in_sentence, fig.conversion): fig for fig in told}.values())  # said twice, shown once


@dataclass(frozen=True, slots=True)
class Group:
    """The entries of one assembly by time, with the cautions that go with work on it."""

    title: str
    cautions: tuple[str, ...]
    entries: tuple[Entry, ...]

    @property
    def caution(self) -> str:
        """All of its cautions in one paragraph."""
        return " ".join(self.cautions)


@dataclass(frozen=True, slots=True)
class ChapterLine:
    """A chapter with its clock time and its picture strip."""

    number: int
    start_ms: int
    title: str
    strip: tuple[Still, ...]

    @property
    def clock(self) -> str:
        """When it begins."""
        return ms_to_clock(self.start_ms)


@dataclass(frozen=True, slots=True)
class Media:
    """The recording beside the page: `href` relative to the page, `tag` "audio" or "video"; no `href`: none there."""

    href: str = ""
    tag: str = "audio"


@dataclass(frozen=True, slots=True)
class Page:
    """All that a document of one recording is made of. `prefix` keeps its anchors apart in a book of many."""

    log: BuildLog
    prefix: str
    title: str
    day: str
    length: str
    lang: str
    media: Media
    groups: tuple[Group, ...]
    open_ends: tuple[OpenEnd, ...]
    closed_ends: tuple[OpenEnd, ...]
    figures: tuple[tuple[str, tuple[Figure, ...]], ...]
    all_figures: tuple[Figure, ...]
    doubtful: tuple[Figure, ...]
    ask: tuple[DoubtfulWords, ...]
    orders: tuple[tuple[int, tuple[Entry, ...]], ...]
    cautions: tuple[tuple[str, str], ...]
    notes: tuple[Note, ...]
    checks: tuple[Finding, ...]
    remarks: tuple[Finding, ...]
    parts: tuple[PartRow, ...]
    chapters: tuple[ChapterLine, ...]
    paragraphs: tuple[Paragraph, ...]
    timeline: Timeline

    @property
    def entries(self) -> tuple[Entry, ...]:
        """All entries by time."""
        return tuple(sorted((e for g in self.groups for e in g.entries), key=lambda e: e.event.start_word))

    @property
    def parts_by_assembly(self) -> list[tuple[str, list[PartRow]]]:
        """The parts list under the titles of its assemblies, in their order."""
        return [(title, list(rows)) for title, rows in groupby(self.parts, key=lambda row: row.assembly)]

    @property
    def to_check(self) -> int:
        """How many things wait for a person."""
        return len(self.open_ends) + len(self.doubtful) + len(self.ask) + len(self.checks)

    def clock(self, time_ms: int) -> str:
        """A time of the recording, for templates."""
        return ms_to_clock(time_ms)

    def own(self, text: str) -> str:
        """Our own words in the reader's spelling, for templates."""
        return in_spelling(text, self.log.settings.spelling)


def page_context(
    log: BuildLog,
    vocabulary: Vocabulary,
    media: Media | None = None,
    pictures: Pictures | None = None,
    prefix: str = "",
    others: Sequence[SortEvidence] = (),
) -> Page:
    """Works out everything that a document of this log shows; `others`: what other recordings of the machine tell."""
    spelling = log.settings.spelling
    names = Names.of(vocabulary, spelling)
    course = course_of(log, vocabulary, others)
    figures = figures_of(log, subjects_as_said(log, course, names))
    pictures = pictures or Pictures()
    titles = {key: in_spelling(assembly.title, spelling) for key, assembly in vocabulary.assemblies.items()}
    quotes = Quotes(log)
    entries = [_entry(event, quotes, figures, names, pictures.entries.get(event.id)) for event in log.events]
    ends = [open_end(loose, number, log, quotes, names) for number, loose in enumerate(log.loose_ends, start=1)]
    day = _iso_day(log.recording.made_on) or _day_in(log.recording.name)
    return Page(
        log=log,
        prefix=prefix,
        title=log.settings.machine or _said_name(log, vocabulary) or PurePath(log.recording.name).stem or "Recording",
        day=long_date(day, spelling) if day else "",
        length=ms_to_clock(log.recording.duration_ms),
        lang="en-US" if spelling == "american" else "en-GB",
        media=media or Media(),
        groups=_groups(entries, course, vocabulary, titles, names),
        open_ends=tuple(end for end in ends if not end.loose.closed_by),
        closed_ends=tuple(end for end in ends if end.loose.closed_by),
        figures=tuple((title, tuple(group)) for title, group in by_kind(figures.values())),
        all_figures=tuple(figures.values()),
        doubtful=tuple(figure for figure in figures.values() if figure.doubtful),
        ask=doubtful_words(log),
        orders=_orders(entries),
        cautions=cautions(course, vocabulary, titles, names),
        notes=quotes.notes(log.notes),
        checks=tuple(f for f in log.findings if f.level != "note" and f.rule not in SHOWN_OTHERWISE),
        remarks=tuple(finding for finding in log.findings if finding.level == "note"),
        parts=tuple(part_rows(log, course, vocabulary, names, figures, titles)),
        chapters=tuple(
            ChapterLine(number, chapter.start_ms, chapter.title, pictures.chapters.get(number, ()))
            for number, chapter in enumerate(log.chapters, start=1)
        ),
        paragraphs=tuple(paragraphs(log)),
        timeline=timeline(log, {entry.event.id: entry.full for entry in entries}),
    )


def _entry(event: Event, quotes: Quotes, figures: Mapping[str, Figure], names: Names, still: Still | None) -> Entry:
    body = sentence(event, figures, names)
    own = tuple(figures[key] for key in event.quantities if key in figures)
    tool, spanner = _tool(event.tool, own)
    told = (
        ("Fastening", event.fastening),
        ("With", tool),
        ("Spanner", spanner),
        ("Why" if event.reason.lower().startswith(_PURPOSE) else "Because", _BECAUSE.sub("", event.reason)),
        ("Applies", event.applicability),
        ("Heard", f"“{event.doubt}”" if event.doubt else ""),
    )
    return Entry(
        event=event,
        quote=quotes.of(event.start_word, event.end_word, event.quantities),
        sentence=body,
        full=full_sentence(event, body),
        label=STATUSES[event.status].label,
        details=tuple((label, text) for label, text in told if text and text.lower() not in body.lower()),
        figures=own,
        still=still,
    )


def _tool(tool: str, figures: Iterable[Figure]) -> tuple[str, str]:
    """(The tool with its size as it was read, sizes that it does not name): "30 nm socket" was a 30 mm one."""
    others = []
    for figure in (figure for figure in figures if figure.qty.kind == "spanner"):
        size, said = figure.in_sentence, re.escape(" ".join(bare(word) for word in figure.qty.said.split()))
        tool, times = re.subn(rf"\b{said}\b", size.replace("\\", r"\\"), tool, count=1, flags=re.IGNORECASE)
        if not times and size not in tool:
            others.append(size)
    return tool, ", ".join(others)


def _groups(
    entries: list[Entry], course: Course, vocabulary: Vocabulary, titles: Mapping[str, str], names: Names
) -> tuple[Group, ...]:
    grouped: dict[str, list[Entry]] = {}
    for entry in entries:
        grouped.setdefault(course.places[entry.event], []).append(entry)
    # Work without an assembly comes last: it is the least use for finding something again.
    order = sorted(grouped, key=lambda key: (key == "", grouped[key][0].event.start_word))
    nameless = ELSEWHERE if len(order) > 1 else IN_ORDER
    return tuple(
        Group(
            titles.get(key, nameless),
            cautions_of((entry.event for entry in grouped[key]), course, vocabulary, names),
            tuple(grouped[key]),
        )
        for key in order
    )


def _orders(entries: list[Entry]) -> tuple[tuple[int, tuple[Entry, ...]], ...]:
    """The orders in which parts were put together: what came off or is to do is no step of one, and what is
    only told in its order ("from the front it goes ...") is."""
    put_on = [e for e in entries if e.event.action not in _TAKEN_OFF and e.event.status in _IS_STEP]
    orders = []
    for number in sorted({entry.event.sequence for entry in put_on} - {0}):
        steps = sorted((e for e in put_on if e.event.sequence == number), key=lambda e: e.event.step)
        own = {(e.event.part, e.event.side, e.event.position): e for e in reversed(steps)}
        if len(own) >= _FEWEST_STEPS:
            orders.append(tuple(step for step in steps if step in own.values()))
    return tuple(enumerate(orders, start=1))


def _said_name(log: BuildLog, vocabulary: Vocabulary) -> str:
    """The machine's name as the speaker introduces it, "" where he does not."""
    return said_machine([word.text for word in log.words], vocabulary).name


def _iso_day(text: str) -> date | None:
    try:
        return date.fromisoformat(text[:10])
    except ValueError:
        return None


def _day_in(name: str) -> date | None:
    """The date in a file name, year first ("2031-05-17", "20310517"): any other order can be read two ways."""
    match = _DATE_IN_NAME.search(name)
    if match is None:
        return None
    return _iso_day(f"{match[1]}-{match[3]}-{match[4]}")
