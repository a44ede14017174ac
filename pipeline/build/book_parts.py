"""The parts list of a build: one row a part over all recordings, and what became of it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from pipeline.build.moments import Day, Moment
from pipeline.loose_ends.names import PartNames
from pipeline.records import Event
from pipeline.render.parts import PartRow
from pipeline.render.spelling import plural_of
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


def placed(part: str, side: str, position: str) -> str:
    """A part with its place, unless its name tells it already.

    >>> placed("brake shoe", "", "rear"), placed("front brake shoe", "", "front")
    ('rear brake shoe', 'front brake shoe')
    """
    before = (word for word in (position, side) if word and not set(word.split()) <= set(part.split()))
    return " ".join([*before, part])


@dataclass(slots=True)
class BookPart:
    """One row of the parts list; `count` is the largest number said. `origin` is one of `ORIGINS`, "" for fluids.
    `part_number` is what it is ordered by, "" where nobody said it."""

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
    work: list[str] = field(default_factory=list)
    moments: list[Moment] = field(default_factory=list)
    said: str = ""

    @property
    def name(self) -> str:
        """The part with its place: "front left brake shoes"."""
        return placed(self.part, self.side, self.position)

    @property
    def what(self) -> str:
        """Where it comes from, what was said of it and its number: "new, 6204 C3", "refinished (original, painted)"."""
        told = ", ".join(filter(None, (self.condition, self.finish)))
        if self.origin not in ("", "not said") and not (self.condition and self.condition in self.origin):
            told = f"{self.origin} ({told})" if told else self.origin
        return ", ".join(filter(None, (told, self.part_number)))


def book_parts(days: Iterable[Day], vocabulary: Vocabulary) -> list[BookPart]:
    """Rows by assembly in the order in which they came up. A part of another condition is another part."""
    name_of = PartNames(vocabulary).name_of
    places: dict[tuple[str, ...], list[BookPart]] = {}
    for day in days:
        events = {event.id: event for event in day.recording.log.events}
        for row in day.page.parts:
            own = [events[key] for key in row.events if key in events]
            if not _belongs(row, own):
                continue
            part = name_of(own[0].part if own else row.part)
            place = (part, placed(part, row.side, row.position), row.assembly)
            _add(places.setdefault(place, []), _book_part(row, own, day), own)
    rows = [row for same in places.values() for row in same]
    order = list(dict.fromkeys(row.assembly for row in rows))
    return sorted(rows, key=lambda row: (row.assembly == "", order.index(row.assembly)))


def _belongs(row: PartRow, own: list[Event]) -> bool:
    """False for what is only spoken of: advice, work not done, and a name of which nothing else was said."""
    if own:
        return any(event.status not in _NOT_WORK for event in own)
    return bool(row.condition or row.finish or row.count)


def part_counts(rows: Sequence[BookPart]) -> list[tuple[str, int, int]]:
    """(origin, rows, pieces) of the parts; a part whose number was not said counts as one."""
    found = [(origin, [row.count or 1 for row in rows if row.origin == origin]) for origin in ORIGINS]
    return [(origin, len(counts), sum(counts)) for origin, counts in found if counts]


def _book_part(row: PartRow, own: list[Event], day: Day) -> BookPart:
    return BookPart(
        row.part, row.kind, row.side, row.position, row.assembly, row.condition, row.finish, row.count,
        amount=row.amount or (_amounts(row, day) if row.kind == "fluid" else ""),
        origin="" if row.kind == "fluid" else _origin(row, own),
        part_number=row.number,
        work=list(row.work),
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
    same.moments += new.moments
    same.work += [work for work in new.work if work not in same.work]
    same.condition, same.finish = same.condition or new.condition, same.finish or new.finish
    same.part = _fuller(same, new) if (new.count or 0) > (same.count or 0) else same.part
    same.count = max(filter(None, (same.count, new.count)), default=None)
    same.part_number = same.part_number or new.part_number
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
