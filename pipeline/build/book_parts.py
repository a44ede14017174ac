"""The parts list of a build: one row a part over all recordings, and what became of it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from pipeline.build.moments import Day, Moment
from pipeline.loose_ends.names import PartNames
from pipeline.records import Event
from pipeline.render.part_hosts import is_shared
from pipeline.render.parts import PartRow
from pipeline.render.same_part import Row, SameParts, last_of
from pipeline.render.spelling import placed, plural_of
from pipeline.vocabulary import Vocabulary

# What the owner asks first of a part: is it new, or the one that was there? Of two that were said the first holds.
ORIGINS = ("new", "refinished", "original", "used again", "spare", "worn or broken", "not said")
_BY_CONDITION = {
    "new": "new",
    "original": "original",
    "refurbished": "refinished",
    "reused": "used again",
    "spare": "spare",
    "worn": "worn or broken",
    "broken": "worn or broken",
}
_REFINISHING = ("coat", "polish", "repair", "machine")
_NO_REFINISH = ("bare", "bare metal", "raw", "unpainted", "stainless", "hammered")
_GOES_ON = ("fit", "renew", "assemble")
# Work that is not on this machine, or is said not to have been done, brings no part into its list.
_NOT_WORK = ("advised", "negated")


@dataclass(slots=True)
class BookPart:
    """One row of the parts list; `count` is the largest number said. `origin` is one of `ORIGINS`, "" for fluids.
    `part_number` is what it is ordered by, "" where nobody said it; `term` is the one name of all spellings;
    `plural` is True where several were meant; `steps` are recording, time and what was done there."""

    part: str
    kind: str
    side: str
    position: str
    assembly: str
    condition: str
    finish: str
    count: int | None
    amount: str
    origin: str
    part_number: str = ""
    term: str = ""
    plural: bool = False
    steps: list[tuple[int, int, str]] = field(default_factory=list)
    moments: list[Moment] = field(default_factory=list)
    said: str = ""

    @property
    def work(self) -> list[str]:
        """What was done with it, each once, in the order in which it was told."""
        return list(dict.fromkeys(told for _, _, told in sorted(self.steps, key=lambda step: step[:2])))

    @property
    def name(self) -> str:
        """The part with its place: "front left brake shoes"."""
        return placed(self.part, self.position, self.side)

    @property
    def what(self) -> str:
        """Where it comes from, what was said of it and its number: "new, 6204 C3", "refinished (original, painted)"."""
        told = ", ".join(filter(None, (self.condition, self.finish)))
        if self.origin not in ("", "not said") and not (self.condition and self.condition in self.origin):
            told = f"{self.origin} ({told})" if told else self.origin
        return ", ".join(filter(None, (told, self.part_number)))


def book_parts(days: Iterable[Day], vocabulary: Vocabulary) -> list[BookPart]:
    """Rows by assembly in the order in which they came up. A part of another condition is another part.

    A part whose name says what it is of has one row under whatever headings it was worked on, and one that is called
    for short has that of its full name.
    """
    name_of, same = PartNames(vocabulary).name_of, SameParts(vocabulary)
    places: dict[tuple[str, ...], list[BookPart]] = {}
    for day in days:
        events = {event.id: event for event in day.recording.log.events}
        for row in day.page.parts:
            own = [events[key] for key in row.events if key in events]
            if not _belongs(row, own):
                continue
            part = name_of(own[0].part if own else row.part)
            side = "" if row.side == "both" else row.side
            called = placed(part, row.position, side)
            new = _book_part(row, own, day, part)
            everywhere = row.kind != "fluid" and not is_shared(part) and same.is_own(called)
            _add(places.setdefault((part, called, "" if everywhere else row.assembly), []), new, own)
    rows = _joined([row for group in places.values() for row in group], same)
    order = list(dict.fromkeys(row.assembly for row in rows))
    return sorted(rows, key=lambda row: (row.assembly == "", order.index(row.assembly)))


def _joined(rows: list[BookPart], same: SameParts) -> list[BookPart]:
    """Without the rows of parts that are called for short: what they tell stands under the full name."""
    parts = [row for row in rows if row.kind != "fluid"]
    numbered = [
        Row(
            row.term, row.side, row.position, row.assembly, row.condition, row.part_number, row.plural,
            tuple((moment.day.number, moment.start_ms) for moment in row.moments),
        )
        for row in parts
    ]  # fmt: skip
    fuller = same.fuller(numbered)
    for at in fuller:
        full, short = parts[last_of(at, fuller)], parts[at]
        _join(full, short)
        if full.count is None and (short.count or 0) > 1:
            full.count, full.part = short.count, plural_of(full.part)
    gone = {id(parts[at]) for at in fuller}
    return [row for row in rows if id(row) not in gone]


def _belongs(row: PartRow, own: list[Event]) -> bool:
    """False for what is only spoken of: advice, work not done, and a name of which nothing else was said."""
    if own:
        return any(event.status not in _NOT_WORK for event in own)
    return bool(row.condition or row.finish or row.count)


def part_counts(rows: Sequence[BookPart]) -> list[tuple[str, int, int]]:
    """(origin, rows, pieces) of the parts; a part whose number was not said counts as one."""
    found = [(origin, [row.count or 1 for row in rows if row.origin == origin]) for origin in ORIGINS]
    return [(origin, len(counts), sum(counts)) for origin, counts in found if counts]


def _book_part(row: PartRow, own: list[Event], day: Day, term: str) -> BookPart:
    part, side, count = row.part, row.side, row.count
    if side == "both":  # two of them are no other part than one
        part, side, count = plural_of(part) if not row.plural else part, "", count or 2
    return BookPart(
        part, row.kind, side, row.position, row.assembly, row.condition, row.finish, count,
        amount=row.amount or (_amounts(row, day) if row.kind == "fluid" else ""),
        origin="" if row.kind == "fluid" else _origin(row, own),
        part_number=row.number,
        term=term,
        plural=row.plural or (count or 1) > 1,
        steps=[(day.number, row.start_ms, told) for told in row.work],
        moments=[day.moment(row.start_ms, row.start_word)],
        said=row.said,
    )  # fmt: skip


def _amounts(row: PartRow, day: Day) -> str:
    """The volumes of a fluid that was itself what was filled or drained."""
    figures = (fig for entry in day.page.entries if entry.event.id in row.events for fig in entry.figures)
    return ", ".join(fig.in_sentence for fig in figures if fig.qty.kind in ("volume", "mass"))


def _add(same_place: list[BookPart], new: BookPart, own: list[Event]) -> None:
    """Joins the row to the one of the same part, if there is one among those of the same place."""
    goes_on = any(event.action in _GOES_ON for event in own)
    same = next((old for old in same_place if _is_same(old, new, goes_on)), None)
    if same is None:
        same_place.append(new)
        return
    _join(same, new)
    same.part = _fuller(same, new) if (new.count or 0) > (same.count or 0) else same.part
    same.count = max(filter(None, (same.count, new.count)), default=None)


def _join(same: BookPart, new: BookPart) -> None:
    """What is told of a part in another row of it."""
    same.steps = [*same.steps, *new.steps]
    same.moments = sorted([*same.moments, *new.moments], key=lambda moment: (moment.day.number, moment.start_ms))
    same.assembly = same.assembly or new.assembly
    same.condition, same.finish = same.condition or new.condition, same.finish or new.finish
    same.part_number = same.part_number or new.part_number
    same.plural = same.plural or new.plural
    same.origin = min((same.origin, new.origin), key=ORIGINS.index)


def _fuller(old: BookPart, new: BookPart) -> str:
    """The name of both by the fuller one, in the number of the new one: "cylinder head nut" and "head nuts" (4)."""
    if len(new.part.split()) >= len(old.part.split()):
        return new.part
    return old.part if (old.count or 1) > 1 else plural_of(old.part)


def _is_same(old: BookPart, new: BookPart, goes_on: bool) -> bool:
    """Fillings are never added up, and what goes on is not the worn part that came off."""
    if "fluid" in (old.kind, new.kind) or (goes_on and not new.condition and old.origin == "worn or broken"):
        return False
    if is_shared(old.term) and (old.condition, new.condition) == ("", "new"):
        return False  # new bolts are not those that came off
    if is_shared(old.term) and old.count and new.count and old.count != new.count:
        return False  # five bolts are not the four that hold something else
    return not old.condition or not new.condition or old.condition == new.condition


def _origin(row: PartRow, own: list[Event]) -> str:
    said = _BY_CONDITION.get(row.condition, "")
    if said in ("new", "refinished", "spare", "worn or broken"):
        return said
    refinished = any(event.action in _REFINISHING and event.status in ("done", "provisional", "past") for event in own)
    if refinished or (row.finish and row.finish not in _NO_REFINISH):
        return "refinished"
    if not said and any(event.action == "renew" and event.status in ("done", "provisional") for event in own):
        return "new"
    return said or "not said"
