"""From predicates to events: which of the proposals are believed, and of which part."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from pipeline.events.asked_first import answered, asked_first
from pipeline.events.clauses import NONE
from pipeline.events.deeds import PUT, Deed
from pipeline.events.details import Details
from pipeline.events.faults import FAULTY, faults, is_told
from pipeline.events.figure_links import FigureLinks, Linker, Told, by_weights
from pipeline.events.figure_of_another import without_others
from pipeline.events.figure_places import settled
from pipeline.events.judge import Decider
from pipeline.events.judging import Judging
from pipeline.events.named_jobs import NAMED_JOB, named_jobs
from pipeline.events.not_reached import by_plain_spanner, not_reached
from pipeline.events.notes import find_notes
from pipeline.events.one_list import all_to_come
from pipeline.events.options import LOOSE, implied, told_loosely
from pipeline.events.order import number_orders
from pipeline.events.own_details import coats_apart, other_place_told, with_own_details
from pipeline.events.phrase import Phrase, Scan
from pipeline.events.predicate import Predicate
from pipeline.events.presented import find_presented
from pipeline.events.read_once import ReadOnce
from pipeline.events.read_proposals import PhraseAt
from pipeline.events.rules import Rules
from pipeline.events.scope import Scope
from pipeline.events.taken_back import never_came, taken_back
from pipeline.events.told_again import told_once
from pipeline.events.went_in import with_what_went_in
from pipeline.events.without_verb import FILLED, filled
from pipeline.reader.reading import Reading
from pipeline.records import Event, Note, PartMention, Quantity, Token


@dataclass(frozen=True, slots=True)
class EventsFound:
    """Everything the event rules found, each in order of the words."""

    events: tuple[Event, ...] = ()
    mentions: tuple[PartMention, ...] = ()
    notes: tuple[Note, ...] = ()


class Builder(Judging):
    """Turns predicates into events, resolving pronouns on the way.

    `doubtful` are proposals of no rule's belief; `phrase_at` reads the phrase at a unit where the rules saw none.
    """

    def __init__(
        self, rules: Rules, decider: Decider, tokens: Sequence[Token], quantities: Sequence[Quantity], scan: Scan,
        predicates: list[Predicate], doubtful: list[Predicate], scope: Scope, phrase_at: PhraseAt,
        reading: Reading | None = None, linker: Linker = by_weights,
    ) -> None:  # fmt: skip
        super().__init__(rules, decider, tokens, quantities, scan, predicates, scope, phrase_at, reading)
        self._doubtful, self._reading, self._linker = doubtful, reading, linker
        self._with: dict[int, Predicate] = {}
        self._told_at: dict[int, list[tuple[Phrase, str]]] = {}
        self._read_once = ReadOnce()

    def build(self) -> EventsFound:
        """Events in order with their ids, then what hangs on them."""
        for place, predicate in self._in_order():
            if place < 0:
                self._implied(predicate)
            elif predicate.action:
                self._one(place, predicate)
            else:
                self._remark(predicate)
        for index in reversed(range(len(self._events))):
            event, span = self._events[index], self._places[index]
            elsewhere = other_place_told(index, self._events, self._part_units, self._scan)
            if (
                elsewhere
                or self._is_answered(index)
                or never_came(event, span, self._scan, self._rules, self._scrapped)
            ):
                self._untell(index)
            elif by_plain_spanner(event, span, self._scan):
                self._only_tightened(index)
        true = taken_back(self._events, self._places, self._scan, self._rules)
        true = with_own_details(true, self._places, self._part_units, self._scan, self._rules)
        true = all_to_come(true, self._wordless, self._part_units, self._scan)
        told = [Told(event, *heads) for event, heads in zip(true, self._heads, strict=True)]
        linked = FigureLinks(self._tokens, self._quantities, told, self._reading).linked(self._linker)
        figures = {qty.id: qty for qty in self._quantities}
        linked = not_reached(true, linked, self._scan, self._tokens, figures)
        linked = without_others(linked, self._scan, self._tokens, figures)
        own, spans = settled(linked, self._places, figures)
        events = number_orders(own, spans, self._scan, self._rules)
        events, spans = self._told_once(with_what_went_in(events, figures, self._tokens), spans)
        events, spans = coats_apart(events, spans, self._scan)
        events = [replace(event, id=f"e{index}") for index, event in enumerate(events, 1)]
        mentions = find_presented(self._scan, self._rules, self._tokens, spans, self._shown)
        notes = find_notes(self._scan, self._rules, self._tokens)
        return EventsFound(tuple(events), tuple(mentions), tuple(notes))

    def _only_tightened(self, index: int) -> None:
        """No torquing but a tightening, where that is not told already."""
        event = self._events[index]
        if any((other.action, other.part) == ("tighten", event.part) for other in self._events[index + 1 :]):
            self._untell(index)
        else:
            self._events[index] = replace(event, action="tighten")

    def _is_answered(self, index: int) -> bool:
        """Whether a part was only asked about, and the answer tells another deed; one that tells this is kept."""
        event, scan = self._events[index], self._scan
        asked = self._scope.question_ends
        if not (at := asked_first(event, self._part_units[index], self._wordless[index], scan, asked)):
            return False
        answer = answered(event, at, scan)
        told = any(
            other.part == event.part and other.action in PUT and span[1] > at
            for other, span in zip(self._events[index + 1 :], self._places[index + 1 :], strict=True)
        )
        if answer is not None and not told:
            self._events[index] = answer
        return answer is None or told

    def _told_once(
        self, events: list[Event], spans: list[tuple[int, int]]
    ) -> tuple[list[Event], list[tuple[int, int]]]:
        """The events without those that only tell another once more."""
        ways = {
            _key(event): (wordless, head)
            for event, wordless, head in zip(self._events, self._wordless, self._part_units, strict=True)
        }
        deeds = [
            Deed(event, span, *ways.get(_key(event), (False, span[1] - 1)))
            for event, span in zip(events, spans, strict=True)
        ]
        kept, listed = told_once(deeds, self._scan)
        self._shown |= listed
        return [deed.event for deed in kept], [deed.span for deed in kept]

    def _in_order(self) -> list[tuple[int, Predicate]]:
        """The predicates with their places, and between them (place -1) parts told without a verb."""
        told = [*enumerate(self._predicates)]
        for search in (implied, told_loosely):
            told += [(-1, predicate) for predicate in search(self._rules, self._scan, self._predicates)]
        scan = self._scan
        ruled = [*filled(self._rules, scan), *faults(scan), *named_jobs(self._rules, scan)]
        told += [(-1, predicate) for predicate in [*self._doubtful, *ruled]]
        if self._proposed is not None:
            told += [
                (-1, predicate)
                for predicate in self._proposed.proposals([predicate for _, predicate in told])
                if not self._scope.is_asked(predicate.verb)
            ]
        return sorted(told, key=lambda entry: entry[1].verb)

    def _one(self, place: int, predicate: Predicate) -> None:
        end = max(self._scope.clause_end(place), predicate.end)
        parts = self._parts(place, predicate)
        clause = self._details.read(self._clause_start(place, predicate), predicate.verb, end, predicate.objects)
        if predicate.action in ("fill", "drain", "top_up", "bleed"):
            parts, clause = _container(parts, clause, predicate)
        if self._comes_off_again(predicate, parts):
            predicate.status, predicate.trigger = NONE, "comes off again"
        told = [part for part in parts if self._makes_sense(predicate, part)]
        decided = self._judged(predicate, told, end)
        if clause.fluid and len(decided) > 1:  # what was drained from the gearbox is told with the gearbox
            decided = [(part, status) for part, status in decided if part.name != clause.fluid] or decided
        if predicate.status == "negated" and not decided:
            self._denied(predicate, parts)
        self._told_at.update(dict.fromkeys(range(predicate.verb, max(predicate.end, predicate.verb + 1)), decided))
        self._worked_on(predicate, [part for part, _ in decided] or parts)
        for part, status in decided:
            self._emit(replace(predicate, status=status), part, clause, end)
        self._leave_out(predicate, decided)
        if predicate.status == NONE:
            return
        if predicate.provisional_with is not None:
            self._hold(predicate, predicate.provisional_with)
        if predicate.action in _JOINING and predicate.status in ("done", "planned", "provisional", "advised"):
            for part in self._fitted_with(predicate, end):
                self._with.setdefault(part.start, _goes_with(predicate, part))

    def _implied(self, predicate: Predicate) -> None:
        """What no rule believes: a part without a verb of its own, a figure without a part, a doubtful reading."""
        clause = Details()
        if predicate.voice == FILLED:
            self._fill(predicate)
            return
        if predicate.voice == NAMED_JOB:
            self._emit(predicate, predicate.objects[0], clause, predicate.end)
            return
        if predicate.voice == FAULTY:
            if not self._scope.is_asked(predicate.verb) and not is_told(predicate, self._events, self._places):
                self._emit(predicate, predicate.objects[0], clause, predicate.end)
            return
        if predicate.doubt:
            clause = self._details.read(predicate.start, predicate.verb, predicate.end, predicate.objects)
            meant = [self._meant(told, predicate.action) for told in predicate.objects]
            # the reader means a part wherever it was named, also where it was worked on before
            again = predicate.doubt == "read"
            parts = [part for several in meant for part in several if again or part.start not in self._emitted]
        else:
            parts = [part for part in predicate.objects if predicate.voice in LOOSE or part.start not in self._emitted]
            if parts and parts[0].start in self._with and predicate.voice == "implied":
                if predicate.action != "fit":
                    return
                predicate = self._with[parts[0].start]
                parts = list(predicate.objects)
        if predicate.voice in LOOSE and not predicate.objects:
            parts = self._last_parts
        if predicate.doubt == "read":  # one verb does one thing to one part
            known = {part.name for part, _ in self._told_at.get(predicate.verb, ())}
            opened, stop = self._scope.sentence(predicate.verb)
            # "I haven't torqued the spindle nut": nor is it told of the bolt of a sentence before
            parts = [part for part in parts if part.name not in known and (not known or opened <= part.start < stop)]
            parts = self._read_once.left(predicate, parts)
        parts = [part for part in parts if self._makes_sense(predicate, part)]
        if predicate.objects and not parts:
            return
        decided = self._judged(predicate, parts, predicate.end)
        if predicate.doubt and decided:
            self._worked_on(predicate, [part for part, _ in decided])
            self._read_once.told(predicate, [part for part, _ in decided])
        for part, status in decided:
            self._emit(replace(predicate, status=status), part, clause, predicate.end)
        self._leave_out(predicate, decided)

    def _meant(self, told: Phrase, action: str) -> list[Phrase]:
        """The parts that a phrase names or points at."""
        if told.is_part:
            return [told]
        return self._focus.resolve(told, action) if told.is_pronoun else []

    def _worked_on(self, predicate: Predicate, parts: list[Phrase]) -> None:
        self._focus.touch(predicate.verb, parts, predicate.action)
        self._last_parts, self._last_told = parts or self._last_parts, predicate
        for part in parts:
            self._worked[part.name] = predicate.verb

    def _hold(self, predicate: Predicate, part: Phrase) -> None:
        """The bolts of "on with two bolts finger tight" or "with the old bolts for now"."""
        loose = self._scan.text[part.end : part.end + 1] in (["finger"], ["fingers"], ["hand"], ["loose"], ["loosely"])
        held = _goes_with(predicate, part)
        held.action, held.status, held.trigger = "tighten" if loose else "fit", "provisional", "for now"
        self._with[part.start] = held

    def _clause_start(self, place: int, predicate: Predicate) -> int:
        """A place said in front ("on the left the bearing is in") belongs to what follows."""
        start = predicate.start
        floor = self._predicates[place - 1].end if place else 0
        while start > floor and self._scan.gap[start] < 2 and start - floor < 8:
            if self._scan.text[start - 1] in ("and", "but", "so", "then", "because"):
                break
            start -= 1
        return start if place == 0 or start > floor or self._scan.gap[start] >= 1 else predicate.start


_JOINING = frozenset(("fit", "assemble", "repair", "renew", "connect"))


def _key(event: Event) -> tuple[int, str, str]:
    return event.start_word, event.action, event.part


def _goes_with(predicate: Predicate, part: Phrase) -> Predicate:
    """The predicate of the part that goes with another: fitted, in the same status."""
    return Predicate(
        part.start, part.start, part.start, part.end, "fit", "", "implied", "", None, [part],
        said_as=f"with {part.name}", status=predicate.status, trigger="with", lemma_before="with",
    )  # fmt: skip


def _container(parts: list[Phrase], clause: Details, predicate: Predicate) -> tuple[list[Phrase], Details]:
    """ "drained the oil from the gearbox": the gearbox is the part, the oil its fluid."""
    if predicate.fluid or not parts:
        return parts, clause
    container = clause.container
    if len(parts) == 1 and parts[0].kind == "fluid" and container is not None and container.kind in ("part", ""):
        return [container], replace(clause, fluid=parts[0].name)
    return parts, clause
