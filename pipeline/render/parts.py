"""The parts list: one row a part as it stands on the machine, and the fluids that went in or came out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from pipeline.records import BuildLog, Event, PartMention, PartNumber
from pipeline.render.figures import Figure
from pipeline.render.own_verbs import own_verb
from pipeline.render.part_fluids import used_fluids
from pipeline.render.part_hosts import Item, are_one, hosts_of, is_feature, is_shared
from pipeline.render.places import Course
from pipeline.render.same_part import SameParts
from pipeline.render.sentences import ACTIONS, STATUSES, thing
from pipeline.render.spelling import Names, in_spelling, placed
from pipeline.times import ms_to_clock
from pipeline.vocabulary import Vocabulary

# Terms of these kinds are no parts, whatever was done with them.
_NOT_PARTS = ("tool", "finish", "action", "measure")
# Work that is not on this machine, or is said not to have been done, brings no part into its list.
_NOT_WORK = ("advised", "negated")


@dataclass(slots=True)
class PartRow:
    """One line of the parts list.

    `amount` is for fluids; `count` is the largest number said, None if none was; `plural` where several were meant.
    `number` is what it is ordered by ("6302 2RS"). `host` is what a nut or spring is of, `last_word` where it
    was named last.
    `called`: the one other name of the term that the speaker has used, "" for more names or the term's own.
    """

    part: str
    kind: str
    side: str
    position: str
    assembly: str
    number: str = ""
    condition: str = ""
    finish: str = ""
    count: int | None = None
    amount: str = ""
    start_ms: int = 0
    start_word: int = 0
    end_word: int = 0
    said: str = ""
    plural: bool = False
    doubt: str = ""
    called: str | None = None
    host: str = ""
    last_word: int = 0
    work: list[str] = field(default_factory=list)
    events: list[str] = field(default_factory=list)

    @property
    def title(self) -> str:
        """The part with its place: "rear brake shoes"; marked where only doubtful words name it."""
        return placed(self.part, self.position, self.side) + (" [?]" if self.doubt else "")

    @property
    def clock(self) -> str:
        """When it was first said."""
        return ms_to_clock(self.start_ms)


def part_rows(
    log: BuildLog,
    course: Course,
    vocabulary: Vocabulary,
    names: Names,
    figures: Mapping[str, Figure],
    titles: Mapping[str, str],
) -> list[PartRow]:
    """Rows in the order of assemblies as they came up; `titles` names every assembly key."""
    places = course.places
    kinds = {term.name: term.kind for term in vocabulary.terms}
    # a bicycle's crank is no crankshaft: names of what this machine does not have are left as they were said
    foreign = {term.name for term in vocabulary.terms if term.part_of and term.part_of not in course.likely}
    measured, same = _measured(vocabulary), SameParts(vocabulary)
    rows: list[PartRow] = []
    own: dict[tuple[str, str], list[PartRow]] = {}
    items: list[Item] = sorted([*log.events, *log.mentions, *map(_numbered, log.part_numbers)], key=_by_word)
    hosts = hosts_of(items, vocabulary)
    numbers = {(qty.start_word, qty.end_word): qty.number for qty in log.part_numbers}
    assembly = ""
    for item in items:
        if isinstance(item, Event) and item.status in _NOT_WORK:
            continue
        assembly = titles.get(places[item], "") if item in places else assembly
        term = names.terms.get(item.part, item.part)
        term = item.part if term in foreign else term
        kind = kinds.get(term, "measure" if term.split()[-1:] and term.split()[-1].lower() in measured else "part")
        if term and kind not in _NOT_PARTS and not is_feature(item.part):
            called = placed(term, item.position, item.side)
            alone = is_shared(term) or is_shared(item.part) or same.is_own(called)
            place = own.setdefault((called, "" if alone else assembly), [])
            condition = in_spelling(item.condition, names.spelling)
            number = numbers.get((item.start_word, item.end_word), "") if item not in places else ""
            row = _same(place, item, assembly, condition, hosts[item], number)
            if row is None:
                row = _part_row(item, term, kind, assembly)
                place.append(row)
                rows.append(row)
            row.number = row.number or number
            row.host, row.last_word = hosts[item] or row.host, item.end_word
            _add(row, item, term, names)
        if isinstance(item, Event) and item.fluid and names.terms.get(item.fluid, item.fluid) != term:
            rows.append(_fluid_row(item, assembly, names, figures))
    rows += _used_rows(log, course, vocabulary, names, figures, titles)
    order = list(dict.fromkeys(row.assembly for row in rows))
    return sorted(rows, key=lambda row: (order.index(row.assembly), row.start_ms))


def _used_rows(
    log: BuildLog,
    course: Course,
    vocabulary: Vocabulary,
    names: Names,
    figures: Mapping[str, Figure],
    titles: Mapping[str, str],
) -> list[PartRow]:
    """Fluids that no entry has, with the work that they were said with."""
    items = sorted(course.places, key=_by_word)
    rows = []
    for used in used_fluids(log, course, vocabulary):
        before = [item for item in items if item.start_word <= used.start_word]
        assembly = titles.get(course.places[before[-1]], "") if before else ""
        amounts = dict.fromkeys(figures[key].in_sentence for key in used.figures if key in figures)
        row = PartRow(names.name(used.fluid), "fluid", "", "", assembly, amount=", ".join(amounts), said=used.said)
        row.start_ms, row.start_word, row.end_word = used.start_ms, used.start_word, used.end_word
        row.work.append("spoken of")
        rows.append(row)
    return rows


def _by_word(item: Item) -> int:
    return item.start_word


def _numbered(number: PartNumber) -> PartMention:
    """The part of a number as something that was shown."""
    return PartMention(
        number.part, number.side, number.position, "", "", None, number.said, number.start_word, number.end_word,
        number.start_ms,
    )  # fmt: skip


def _same(rows: Sequence[PartRow], item: Item, assembly: str, condition: str, host: str, number: str) -> PartRow | None:
    """The row of a part that this is said of again; nuts and springs of different things are different ones."""
    for row in reversed(rows) if is_shared(item.part) else rows:
        if condition and row.condition not in ("", condition):
            continue
        if number and row.number not in ("", number):
            continue
        if not is_shared(item.part) or (
            row.assembly == assembly and are_one(item, host, row.host, row.count, row.last_word)
        ):
            return row
    return None


def _measured(vocabulary: Vocabulary) -> set[str]:
    """Last words that are said of what is measured or set, and of no part: "clearance", "current"."""
    last: dict[bool, set[str]] = {True: set(), False: set()}
    for term in vocabulary.terms:
        last[term.kind == "measure"].update(name.lower().split()[-1] for name in term.spellings)
    return last[True] - last[False]


def _part_row(item: Event | PartMention, term: str, kind: str, assembly: str) -> PartRow:
    return PartRow(
        part=term,
        kind=kind,
        side=item.side,
        position=item.position,
        assembly=assembly,
        start_ms=item.start_ms,
        start_word=item.start_word,
        end_word=item.end_word,
        said=item.said,
        doubt=item.doubt,
    )


def _add(row: PartRow, item: Event | PartMention, term: str, names: Names) -> None:
    """What one more mention of the part tells about it."""
    row.condition = row.condition or in_spelling(item.condition, names.spelling)
    row.finish = row.finish or in_spelling(item.finish, names.spelling)
    row.count = max(filter(None, (row.count, item.count)), default=None)
    row.doubt = item.doubt and row.doubt
    row.plural = row.plural or names.said_number(item.part, item.said) is not None
    # a part goes by the speaker's other name for it as long as he has only that one
    row.called = item.part if item.part in names.others and row.called in (None, item.part) else ""
    row.part = names.name(row.called or term, row.count or (2 if row.plural else None))
    _add_work(row, item)


def _add_work(row: PartRow, item: Event | PartMention) -> None:
    if isinstance(item, PartMention):
        return
    row.events.append(item.id)
    told = _work(item)
    if told not in row.work:
        row.work.append(told)


def _work(event: Event, what: str = "") -> str:
    """What was done in a few words: "fitted", "to do: fit"; `what` follows the verb."""
    status = STATUSES[event.status]
    past, imperative = own_verb(event) or ACTIONS.get(event.action, (event.action,) * 2)
    verb = f"{past.lower() if status.past else imperative} {what}".strip()
    return verb if event.status == "done" else f"{status.label.lower()}: {verb}"


def _fluid_row(event: Event, assembly: str, names: Names, figures: Mapping[str, Figure]) -> PartRow:
    """Every filling or draining is its own row: amounts of two fillings are never added up."""
    own = [figures[key] for key in event.quantities if key in figures]
    return PartRow(
        part=names.name(event.fluid),
        kind="fluid",
        side="",
        position="",
        assembly=assembly,
        amount=", ".join(fig.in_sentence for fig in own if fig.qty.kind in ("volume", "mass", "viscosity")),
        start_ms=event.start_ms,
        start_word=event.start_word,
        end_word=event.end_word,
        said=event.said,
        work=[_work(event, thing(event, names))],
        events=[event.id],
    )
