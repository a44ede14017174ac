"""From tokens to events: the stages of this package in order."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace

from pipeline.events.clauses import NONE
from pipeline.events.details import DetailReader, Details
from pipeline.events.event_sense import EventSense
from pipeline.events.notes import find_notes
from pipeline.events.order import number_orders
from pipeline.events.phrase import Phrase, Scan
from pipeline.events.phrases import PhraseFinder
from pipeline.events.predicate import Predicate
from pipeline.events.predicates import PredicateSearch
from pipeline.events.presented import find_presented
from pipeline.events.reading import read_units
from pipeline.events.rules import load_rules
from pipeline.events.scope import Scope
from pipeline.records import Event, Note, PartMention, Quantity, Settings, Status, Token
from pipeline.vocabulary import Vocabulary


@dataclass(frozen=True, slots=True)
class EventsFound:
    """Everything the event rules found, each in order of the words."""

    events: tuple[Event, ...] = ()
    mentions: tuple[PartMention, ...] = ()
    notes: tuple[Note, ...] = ()


class EventFinder:
    """The event rules over one vocabulary. Building one takes a moment; `find` is quick and keeps no state."""

    def __init__(self, vocabulary: Vocabulary) -> None:
        self._rules = load_rules()
        self._phrases = PhraseFinder(self._rules, vocabulary)

    def find(
        self,
        tokens: Sequence[Token],
        quantities: Sequence[Quantity] = (),
        settings: Settings | None = None,
        segment_starts: Collection[int] = (),
    ) -> EventsFound:
        """Events, presented parts and notes of the tokens. The rules need nothing of the settings so far."""
        del settings
        units = read_units(tokens, segment_starts, self._rules.bases)
        if not units:
            return EventsFound()
        first_unit: dict[int, int] = {}
        for index, unit in enumerate(units):
            first_unit.setdefault(tokens[unit.token].start_word, index)
        scan = self._phrases.scan(units, quantities, first_unit)
        predicates = PredicateSearch(self._rules, scan, self._phrases.finish_at).run()
        scope = Scope(self._rules, scan, predicates)
        scope.question_ends = frozenset(
            index + 1 for index, unit in enumerate(units)
            if "?" in tokens[unit.token].text and (index + 1 == len(units) or units[index + 1].token != unit.token)
        )  # fmt: skip
        scope.decide()
        builder = _Builder(self, tokens, quantities, scan, predicates, scope)
        return builder.build()

    def read(self, tokens: Sequence[Token]) -> Scan:
        """Phrases and verbs of the tokens, for stages that read on from here."""
        units = read_units(tokens, (), self._rules.bases)
        return self._phrases.scan(units, (), {})


class _Builder(EventSense):
    """Turns predicates into events, resolving pronouns on the way."""

    def __init__(
        self, finder: EventFinder, tokens: Sequence[Token], quantities: Sequence[Quantity], scan: Scan,
        predicates: list[Predicate], scope: Scope,
    ) -> None:  # fmt: skip
        super().__init__(finder._rules, scan, predicates, DetailReader(finder._rules, scan, tokens))
        self._tokens, self._quantities, self._scope = tokens, quantities, scope
        self._claimed: set[str] = set()

    def build(self) -> EventsFound:
        """Events in order with their ids, then what hangs on them."""
        for place, predicate in enumerate(self._predicates):
            if predicate.action:
                self._one(place, predicate)
            else:
                self._remark(predicate)
        events = [replace(event, id=f"e{index}") for index, event in enumerate(self._events, 1)]
        spans = self._places
        events = number_orders(events, spans, self._scan, self._rules)
        mentions = find_presented(self._scan, self._rules, self._tokens, spans)
        notes = find_notes(self._scan, self._rules, self._tokens)
        return EventsFound(tuple(events), tuple(mentions), tuple(notes))

    def _one(self, place: int, predicate: Predicate) -> None:
        end = max(self._scope.clause_end(place), predicate.end)
        parts = self._parts(place, predicate)
        clause = self._details.read(self._clause_start(place, predicate), predicate.verb, end, predicate.objects)
        if predicate.action in ("fill", "drain", "top_up", "bleed"):
            parts, clause = _container(parts, clause, predicate)
        self._last_parts = parts or self._last_parts
        if predicate.status == NONE:
            return
        if self._comes_off_again(predicate, parts):
            return
        parts = [part for part in parts if self._makes_sense(predicate, part)]
        for part in parts:
            self._emit(predicate, part, clause, end)
        if predicate.provisional_with is not None:
            self._emit_held(predicate, predicate.provisional_with, end)
        if predicate.action in _JOINING and predicate.status in ("done", "planned", "provisional", "advised"):
            for part in self._fitted_with(predicate, end):
                self._emit(replace_action(predicate), part, Details(), end)

    def _emit_held(self, predicate: Predicate, part: Phrase, end: int) -> None:
        """The bolts of "on with two bolts finger tight" or "with the old bolts for now"."""
        loose = self._scan.text[part.end : part.end + 1] in (["finger"], ["fingers"], ["hand"], ["loose"], ["loosely"])
        action = "tighten" if loose else "fit"
        held = replace(
            predicate, action=action, status="provisional", said_as="with", trigger="for now", objects=[part]
        )
        self._emit(held, part, Details(), end)

    def _comes_off_again(self, predicate: Predicate, parts: list[Phrase]) -> bool:
        """ "it has to come back off": no event of its own; the part that is on is only there provisionally."""
        if predicate.action != "remove" or predicate.status != "planned":
            return False
        words = self._scan.text[predicate.verb : predicate.end + 2]
        returns = "back" in words or "again" in words
        for part in parts:
            for index in range(len(self._events) - 1, -1, -1):
                event = self._events[index]
                if (
                    event.part == part.name
                    and event.action in ("fit", "assemble")
                    and event.status in ("done", "provisional")
                ):
                    if not returns and event.status != "provisional":
                        return False
                    self._events[index] = replace(
                        event, status="provisional", why=f"{event.why}; then “{' '.join(words)}”"
                    )
                    return returns and predicate.trigger in _MUST
        if parts and returns and predicate.trigger in _MUST:
            predicate.action, predicate.status = "fit", "provisional"
        return False

    def _clause_start(self, place: int, predicate: Predicate) -> int:
        """A place said in front ("on the left the bearing is in") belongs to what follows."""
        start = predicate.start
        floor = self._predicates[place - 1].end if place else 0
        while start > floor and self._scan.gap[start] < 2 and start - floor < 8:
            if self._scan.text[start - 1] in ("and", "but", "so", "then", "because"):
                break
            start -= 1
        return start if place == 0 or start > floor or self._scan.gap[start] >= 1 else predicate.start

    def _remark(self, predicate: Predicate) -> None:
        """ "it's a new one", "that's the original": kept with the part and with its last event."""
        scan, text = self._scan, self._scan.text
        if predicate.lemma != "be" or predicate.subject is None:
            return
        at = predicate.end
        while at < len(text) and text[at] in (
            "all",
            "just",
            "actually",
            "obviously",
            "now",
            "also",
            "both",
            "really",
            "the",
            "a",
            "an",
        ):
            at += 1
        if at >= len(text) or scan.gap[at] >= 2:
            return
        phrase = scan.starting.get(at) or scan.starting.get(at - 1)
        if phrase is not None and phrase.is_part:
            return
        condition = self._rules.condition.at(text, at)
        said = condition[1] if condition else ""
        if not said:
            return
        self._focus.pass_over(predicate.verb)
        subject = predicate.subject
        parts = [subject] if subject.is_part else self._focus.resolve(subject) if subject.is_pronoun else []
        for part in parts:
            self._focus.touch(predicate.verb, [replace(part, condition=said)])
            sentence, _ = self._scope.sentence(predicate.verb)
            for index in range(len(self._events) - 1, -1, -1):
                event = self._events[index]
                if self._places[index][0] < sentence or said in self._rules.of_the_old:
                    break
                if event.part == part.name and not event.condition and subject.is_pronoun:
                    self._events[index] = replace(event, condition=said)
                    break

    def _emit(self, predicate: Predicate, part: Phrase, clause: Details, end: int) -> None:
        start = min(predicate.start, part.start if part.start >= predicate.start - 12 else predicate.start)
        quantities = self._quantities_in(predicate, end)
        action = self._action(predicate, part, quantities)
        if action == "inspect" and self._details.measures(clause.tool):
            action = "measure"
        if action == "tighten" and any(qty.kind == "torque" for qty in quantities):
            action = "torque"
        condition = predicate.condition or part.condition or clause.condition
        if action == "renew" and clause.condition:
            condition = clause.condition
        if condition in self._rules.of_the_old and action in ("fit", "renew", "torque", "assemble"):
            condition = ""
        finish = predicate.finish if action == "coat" and predicate.finish else part.finish
        first, last = self._scan.units[start].token, self._scan.units[max(start, end - 1)].token
        side = part.side or clause.side or self._details.side_in_force(start)
        event = Event(
            "", action, part.name, _status(predicate.status), side,
            part.position or clause.position,
            condition, finish, part.count, tuple(qty.id for qty in quantities), clause.tool,
            " ".join(token.text for token in self._tokens[first : last + 1]), self._tokens[first].start_word,
            self._tokens[last].end_word, self._tokens[first].start_ms, part.assembly, predicate.fluid or clause.fluid,
            clause.fastening, clause.reason, clause.applicability,
            why=_why(predicate, action),
        )  # fmt: skip
        if self._repeats(event, start) or self._known_new(event, predicate, start):
            return
        self._claimed.update(event.quantities)
        self._events.append(event)
        self._places.append((start, end))

    def _quantities_in(self, predicate: Predicate, end: int) -> list[Quantity]:
        """Figures said between the verb group and the end of the clause."""
        first = self._tokens[self._scan.units[predicate.start].token].start_word
        last = self._tokens[self._scan.units[max(predicate.start, end - 1)].token].end_word
        return [
            qty
            for qty in self._quantities
            if first <= qty.start_word < last and qty.kind not in ("count", "thread", "spanner")
        ]


_MUST = frozenset(("has to", "have to", "will have to", "has got to", "have got to", "got to", "must", "needs to"))
_JOINING = frozenset(("fit", "assemble", "repair", "renew"))


def replace_action(predicate: Predicate) -> Predicate:
    """The predicate of the part that goes with another: fitted, in the same status."""
    return replace(predicate, action="fit", finish="", condition="", fluid="", said_as="with")


def _status(status: str) -> Status:
    return status  # type: ignore[return-value]


def _container(parts: list[Phrase], clause: Details, predicate: Predicate) -> tuple[list[Phrase], Details]:
    """ "drained the oil from the gearbox": the gearbox is the part, the oil its fluid."""
    if predicate.fluid or not parts:
        return parts, clause
    container = clause.container
    if len(parts) == 1 and parts[0].kind == "fluid" and container is not None and container.kind in ("part", ""):
        return [container], replace(clause, fluid=parts[0].name)
    return parts, clause


def _why(predicate: Predicate, action: str) -> str:
    reason = f"“{predicate.said_as}” means {action.replace('_', ' ')}"
    return f"{reason}; {predicate.trigger}" if predicate.trigger else reason
