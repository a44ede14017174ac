"""What part and figure make of an action, and which events were told before."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace

from pipeline.events.as_it_was import worked_with
from pipeline.events.details import DetailReader
from pipeline.events.focus import Weigh
from pipeline.events.parts import PartResolver
from pipeline.events.phrase import Phrase, Scan
from pipeline.events.predicate import Predicate
from pipeline.events.reading import SENTENCE
from pipeline.events.rules import Rules
from pipeline.records import Event, Quantity

_OF_MEASURES = frozenset(("measure", "adjust", "inspect", "machine", "test", "renew"))
_OF_FLUIDS = frozenset(
    ("drain", "fill", "fit", "top_up", "renew", "remove", "inspect", "measure", "test", "lubricate", "bleed")
)
_ONLY_NEW = ("is new", "new")
FILLING = frozenset(("fill", "top_up", "drain"))
_UNDONE_BY_A_FAULT = frozenset(("clean", "torque", "tighten", "lubricate"))
_SENTENCE_BEFORE = 12
_SAME_JOB = 60
_DRAWN = frozenset(("run", "thread", "feed", "pass", "lead", "take", "pull", "bring", "push", "poke"))
_ALONG = frozenset(("through", "under", "down", "along", "round", "around", "behind", "up", "over", "past", "across"))


def sides_differ(one: Event, other: Event) -> bool:
    """The left one and the right one are two."""
    pairs = ((one.side, other.side), (one.position, other.position))
    return any(first and second and first != second for first, second in pairs)


def _tells_one_side(event: Event, other: Event) -> bool:
    """ "both shoes are on; the right one is the old one": more than that they are on."""
    placed, before = bool(event.side or event.position), bool(other.side or other.position)
    return placed and not before and bool(event.condition) and event.condition != other.condition


class EventSense(PartResolver):
    """Keeps the events found so far, with the units (start, end) of each."""

    def __init__(
        self, rules: Rules, scan: Scan, predicates: list[Predicate], details: DetailReader, weigh: Weigh
    ) -> None:
        super().__init__(rules, scan, predicates, details, weigh)
        self._events: list[Event] = []
        self._places: list[tuple[int, int]] = []

    def _makes_sense(self, predicate: Predicate, part: Phrase) -> bool:
        """A clearance is measured or set, not fitted; oil that comes out was not removed by hand."""
        if part.kind == "tool" and predicate.action in ("fit", "remove"):
            left_in = predicate.lemma in self._rules.words["leaving_in"]  # "stuffed a rag in the port"
            stuffing = part.head in self._rules.words["stuffing"] and "out" in predicate.said_as.split()
            taken = predicate.action == "remove" and part.determiner not in ("a", "an", "some", "another")
            left_in = left_in or (stuffing and taken)  # "took the rag out"
            if predicate.doubt == "read" or not self._rules.plain.get(predicate.lemma):
                return left_in or predicate.voice in ("state", "verbless")
        if predicate.action == "fit" and not predicate.fluid and self._details.is_paste(part):
            return False
        if part.kind == "measure":
            return predicate.action in _OF_MEASURES
        if part.kind == "fluid":
            return predicate.action in _OF_FLUIDS and not (predicate.action == "remove" and predicate.voice == "middle")
        return True

    def _action(self, predicate: Predicate, part: Phrase, quantities: list[Quantity]) -> str:
        """What the part or the figure makes of the verb: screws are set, oil is filled in, nuts go down to a torque."""
        action = predicate.action
        words = self._scan.text[predicate.verb : predicate.end + 6]
        for sense in self._rules.senses:
            if sense.fits(predicate.lemma, action, part.head, words):
                return sense.means
        if action == "inspect" and predicate.said_as == "go over" and predicate.subject is not None:
            action = "inspect" if predicate.subject.kind == "person" else "fit"
        if action == "clean" and predicate.lemma in ("soak", "dip") and self._in_oil(predicate):
            return "lubricate"
        if (
            predicate.lemma in _DRAWN
            and action in ("fit", "tighten", "cut")
            and part.head in self._rules.words["lines"]
        ):
            return "route" if predicate.said_as.split()[-1] in _ALONG else action
        if predicate.lemma in self._rules.adjusting_verbs and part.name.endswith(self._rules.adjusting_heads):
            return "adjust" if action in ("fit", "remove", "tighten", "slacken", "machine") else action
        if part.kind == "fluid" and action == "fit":
            return "fill"
        if part.kind == "fluid" and action == "remove":
            return "drain"
        if action == "fit" and part.kind == "fastener" and any(qty.kind == "torque" for qty in quantities):
            return "torque"
        return action

    def _can_be_about(self, predicate: Predicate, part: Phrase) -> bool:
        """Work is not done to the tool it is done with, and oil does not go into what is only named afterwards."""
        if worked_with(self._scan, part):
            return False
        if predicate.doubt != "read":
            return True
        text, gap = self._scan.text, self._scan.gap
        state = self._rules.condition.at(text, predicate.verb)
        is_so = text[predicate.verb - 1] in self._rules.words["be"]
        if state and is_so and state[1] in self._rules.of_the_old and predicate.action in _UNDONE_BY_A_FAULT:
            return False  # "the bulb's blown": that was not done to it
        later = any(unit >= SENTENCE for unit in gap[predicate.verb + 1 : part.start + 1])
        return not (predicate.action in FILLING and later)

    def _is_new_one_in(self, predicate: Predicate) -> bool:
        """ "New one's in.", "that's a new one going on": nobody can doubt that."""
        told, text = predicate.objects, self._scan.text
        if predicate.action != "fit" or predicate.status != "done" or len(told) != 1 or told[0].head != "one":
            return False
        if not told[0].is_pronoun or told[0].condition != "new" or self._scan.text[predicate.end :][:1] == ["there"]:
            return False
        goes_on = predicate.form == "ing" and predicate.lemma == "go" and text[told[0].start - 1] == "'s"
        open_end = predicate.end < len(text) and not self._scan.gap[predicate.end]
        return (predicate.voice in ("state", "passive") or goes_on) and not open_end

    def _told_filled(self, predicate: Predicate, actions: Collection[str] = FILLING) -> bool:
        """Whether a filling was told in the sentence of an amount, or right before it."""
        return any(
            event.action in actions and start < predicate.end and end > predicate.start - _SENTENCE_BEFORE
            for event, (start, end) in zip(self._events, self._places, strict=True)
        )

    def _in_oil(self, predicate: Predicate) -> bool:
        """ "soaked the plates in a bit of oil"."""
        for phrase in self._scan.phrases_in(predicate.verb + 1, predicate.end + 6):
            if self._scan.text[phrase.start - 1] == "in":
                return phrase.head in ("oil", "fluid", "grease")
        return False

    def _repeats(self, event: Event, start: int, end: int) -> bool:
        """A restart ("I fitted the, I fitted the seal") is one event, and what the same words tell twice is too."""
        for index in range(len(self._events) - 1, max(-1, len(self._events) - 4), -1):
            other = self._events[index]
            if sides_differ(other, event) or _tells_one_side(event, other):
                continue
            same = (other.action, other.part, other.status) == (event.action, event.part, event.status)
            if same and start < self._places[index][1] and self._places[index][0] < end:
                return True
            if (
                start - self._places[index][1] < 10
                and (other.action, other.part, other.status, other.side, other.position)
                == (event.action, event.part, event.status, event.side, event.position)
                and (other.why == event.why or "is new" in other.why)
                and other.condition == event.condition
            ):
                return True
        return False

    def _known_new(self, event: Event, predicate: Predicate, start: int) -> bool:
        """ "The new seal is in. ... The seal is new": one fitting, told twice, in either order."""
        for index in range(len(self._events) - 1, -1, -1):
            other = self._events[index]
            if start - self._places[index][1] > _SAME_JOB or other.part != event.part:
                continue
            if (other.side, other.position) != (event.side, event.position) or other.status != "done":
                continue
            if other.action not in ("fit", "renew") or event.action not in ("fit", "renew") or event.status != "done":
                continue
            if predicate.said_as in _ONLY_NEW and other.condition in ("", "new"):
                self._events[index] = replace(other, condition="new")
                return True
            if any(f"“{said}”" in other.why for said in _ONLY_NEW) and event.condition in ("", "new"):
                self._events[index] = replace(event, condition="new", count=event.count or other.count)
                self._places[index] = start, self._places[index][1]
                return True
        return False
