"""From predicates to events: which of the proposals are believed, and of which part."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from pipeline.events.clauses import NONE
from pipeline.events.details import Details, owned_places
from pipeline.events.evidence import Evidence
from pipeline.events.faults import FAULTY, faults, is_told
from pipeline.events.figure_links import FigureLinks, Linker, Told, by_weights
from pipeline.events.figure_of_another import without_others
from pipeline.events.figure_places import settled
from pipeline.events.judge import Decider, Question
from pipeline.events.named_jobs import NAMED_JOB, named_jobs
from pipeline.events.notes import find_notes
from pipeline.events.old_and_new import is_one_of_two
from pipeline.events.one_list import all_to_come
from pipeline.events.open_lists import WORDLESS
from pipeline.events.options import LOOSE, implied, options_of, told_loosely, without_fuller_names
from pipeline.events.order import number_orders
from pipeline.events.own_details import coats_apart, other_place_told, with_own_details
from pipeline.events.own_words import of_their_own_word
from pipeline.events.phrase import Phrase, Scan
from pipeline.events.predicate import Predicate
from pipeline.events.presented import find_presented
from pipeline.events.read_once import ReadOnce
from pipeline.events.read_proposals import PhraseAt, ReadProposals
from pipeline.events.reader_evidence import ReaderEvidence
from pipeline.events.reader_places import ReaderPlaces
from pipeline.events.rules import Rules
from pipeline.events.scope import Scope
from pipeline.events.taken_back import never_came, taken_back
from pipeline.events.told_again import Deed, told_once
from pipeline.events.went_in import with_what_went_in
from pipeline.events.withheld import Withheld
from pipeline.events.without_verb import FILLED, filled
from pipeline.reader.reading import Reading
from pipeline.records import Event, Note, PartMention, Quantity, Token


@dataclass(frozen=True, slots=True)
class EventsFound:
    """Everything the event rules found, each in order of the words."""

    events: tuple[Event, ...] = ()
    mentions: tuple[PartMention, ...] = ()
    notes: tuple[Note, ...] = ()


class Builder(Withheld):
    """Turns predicates into events, resolving pronouns on the way.

    `doubtful` are proposals of no rule's belief; `phrase_at` reads the phrase at a unit where the rules saw none.
    """

    def __init__(
        self, rules: Rules, decider: Decider, tokens: Sequence[Token], quantities: Sequence[Quantity], scan: Scan,
        predicates: list[Predicate], doubtful: list[Predicate], scope: Scope, phrase_at: PhraseAt,
        reading: Reading | None = None, linker: Linker = by_weights,
    ) -> None:  # fmt: skip
        words = [token.text for token in tokens]
        places = ReaderPlaces(words, rules, reading, owned_places(scan)) if reading is not None else None
        super().__init__(rules, scan, predicates, tokens, quantities, scope, decider.referent, places)
        self._decider, self._doubtful, self._reading, self._linker = decider, doubtful, reading, linker
        self._evidence = Evidence(rules, scan, predicates)
        self._read = ReaderEvidence(scan, reading) if reading is not None else None
        self._proposed = ReadProposals(scan, self._read, phrase_at) if self._read is not None else None
        self._worked: dict[str, int] = {}
        self._named = [phrase for phrase in scan.phrases if phrase.is_part]
        self._with: dict[int, Predicate] = {}
        self._told_at: dict[int, list[tuple[Phrase, str]]] = {}
        self._read_once = ReadOnce()
        self._last_told: Predicate | None = None
        self._token_of = [unit.token for unit in scan.units]

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
            if elsewhere or never_came(event, span, self._scan, self._rules, self._scrapped):
                self._untell(index)
        true = taken_back(self._events, self._places, self._scan, self._rules)
        true = with_own_details(true, self._places, self._part_units, self._scan, self._rules)
        true = all_to_come(true, self._wordless, self._part_units, self._scan)
        told = [Told(event, *heads) for event, heads in zip(true, self._heads, strict=True)]
        linked = FigureLinks(self._tokens, self._quantities, told, self._reading).linked(self._linker)
        figures = {qty.id: qty for qty in self._quantities}
        linked = without_others(linked, self._scan, self._tokens, figures)
        own, spans = settled(linked, self._places, figures)
        events = number_orders(own, spans, self._scan, self._rules)
        events, spans = self._told_once(with_what_went_in(events, figures, self._tokens), spans)
        events, spans = coats_apart(events, spans, self._scan)
        events = [replace(event, id=f"e{index}") for index, event in enumerate(events, 1)]
        mentions = find_presented(self._scan, self._rules, self._tokens, spans, self._shown)
        notes = find_notes(self._scan, self._rules, self._tokens)
        return EventsFound(tuple(events), tuple(mentions), tuple(notes))

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

    def _judged(self, predicate: Predicate, chosen: list[Phrase], end: int) -> list[tuple[Phrase, str]]:
        """The parts that the predicate is about, each with its status."""
        if predicate.status == NONE and predicate.trigger != "no verb":
            return []
        if predicate.verb in self._untold or self._is_there_already(predicate) or self._is_only_shown(predicate):
            return []
        if (predicate.doubt or predicate.voice == "state") and self._only_laid_down(predicate):
            return []
        if predicate.action == "fit" and predicate.voice in WORDLESS and predicate.verb in self._came_off:
            predicate.action = "remove"
        options = options_of(predicate, chosen, self._scan, self._named, self._far_parts(predicate))
        options = [option for option in options if option.chosen or self._makes_sense(predicate, option.part)]
        options = [option for option in options if self._can_be_about(predicate, option.part)]
        quantities = self._quantities_in(predicate, end)
        meant = [(option, self._action(predicate, option.part, quantities)) for option in options]
        options, actions = [option for option, action in meant if action], [action for _, action in meant if action]
        last = self._last_parts
        shared = self._evidence.of_predicate(predicate, self._last_told, chosen)
        each = [
            self._evidence.of_option(predicate, option, action, chosen, self._worked, last)
            for option, action in zip(options, actions, strict=True)
        ]
        if self._read is not None:
            shared = [*shared, *self._read.of_predicate(predicate)]
            more = self._read.of_options(predicate, [option.part for option in options], actions)
            each = [[*features, *read] for features, read in zip(each, more, strict=True)]
        rules = [index for index, option in enumerate(options) if option.chosen]
        question = Question(predicate, options, actions, shared, each, rules, self._token_of)
        decided = self._decider.decide(question)
        decided = [row for row in decided if not self._is_awaited(predicate, options[row[0]].part)]
        decided = [row for row in decided if not self._tells_itself(predicate, options[row[0]].part, row[1])]
        if predicate.voice == "read":
            parts = [options[index].part for index, _ in decided]
            own = of_their_own_word(predicate.verb, parts, self._told_in_clause(predicate), self._scan)
            decided = [row for row in decided if options[row[0]].part in own]
        if predicate.voice == "to do" and predicate.status == "planned" and not decided:
            # "I've still got the bracket to fit" leaves no doubt
            decided = [(index, "planned") for index in rules if options[index].part.determiner]
        if self._is_new_one_in(predicate) or is_one_of_two(predicate, self._predicates, self._scan):
            decided = [(index, "done") for index, option in enumerate(options) if option.chosen]
        if decided and [told.is_pronoun and not told.plural for told in predicate.objects] == [True]:
            # "it" is one part: what agrees in number, then what most speaks for
            one = [(index, decided[0][1]) for index in rules if not options[index].part.plural]
            if one and all(options[index].part.plural for index, _ in decided):
                decided = one
            decided = [
                max(decided, key=lambda row: (not options[row[0]].part.plural, self._decider.weight(question, row[0])))
            ]
        decided = without_fuller_names(decided, options)
        if predicate.voice == "figure":  # a torque beside a bolt and a hose is the bolt's
            decided = [row for row in decided if options[row[0]].part.head not in _SOFT] or decided
        if self._scan.text[predicate.verb - 2 : predicate.verb] == ["not", "only"]:
            return [(options[index].part, predicate.status) for index, _ in decided]
        left = self._scope.is_left_to_do(predicate)
        return [
            (options[index].part, self._surely(predicate, options[index].part, status, left))
            for index, status in decided
        ]

    def _far_parts(self, predicate: Predicate) -> list[Phrase]:
        """Parts that the reader takes it to be about, however far."""
        if self._proposed is None or self._read is None or predicate.voice == "implied":
            return []
        return self._proposed.parts(self._read.token_of(predicate))

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


_SOFT = frozenset(("hose", "cable", "wire", "gasket", "seal", "belt", "grommet", "boot"))
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
