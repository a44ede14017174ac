"""Writes the events, and what is said of one later on: that it comes off again, or that the part is a new one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from pipeline.events.details import DetailReader, Details
from pipeline.events.event_sense import EventSense, sides_differ
from pipeline.events.focus import Weigh
from pipeline.events.open_lists import WORDLESS
from pipeline.events.own_condition import own_condition, own_count
from pipeline.events.own_words import named_at, same_thing
from pipeline.events.phrase import Phrase, Scan
from pipeline.events.predicate import Predicate
from pipeline.events.presented import told_after
from pipeline.events.reader_places import ReaderPlaces
from pipeline.events.rules import Rules
from pipeline.events.scope import Scope
from pipeline.events.verdicts import verdict
from pipeline.records import Event, Quantity, Status, Token

_MUST = frozenset(("has to", "have to", "will have to", "has got to", "have got to", "got to", "must", "needs to"))


# What two words so near each other tell of one part is told in one status.
_TOUCHING = 2
# The words of what was found are quoted with the event where they stand so near.
_VERDICT_WITHIN = 14
_LONGEST_ONE, _PUT_IN = 5, frozenset(("fit", "renew", "assemble"))
_DONE_UP = frozenset(("tighten", "torque"))
_ONE_LIST = 25


class EventTelling(EventSense):
    """The events so far of one scan."""

    def __init__(
        self, rules: Rules, scan: Scan, predicates: list[Predicate], tokens: Sequence[Token],
        quantities: Sequence[Quantity], scope: Scope, weigh: Weigh, places: ReaderPlaces | None = None,
    ) -> None:  # fmt: skip
        super().__init__(rules, scan, predicates, DetailReader(rules, scan, tokens), weigh)
        self._tokens, self._quantities, self._scope = tokens, quantities, scope
        self._emitted: set[int] = set()
        self._only_read: set[int] = set()
        # events told by a word of another part's name
        self._borrowed: set[int] = set()
        self._read_places = places
        # beside each event: the token that tells it and the last token of its part, whether it was told without a
        # verb, and the last unit of its part
        self._heads: list[tuple[int, int]] = []
        self._wordless: list[bool] = []
        self._part_units: list[int] = []

    def _emit(self, predicate: Predicate, part: Phrase, clause: Details, end: int) -> None:
        start = min(predicate.start, part.start if part.start >= predicate.start - 12 else predicate.start)
        if predicate.voice == "read":  # the network points at one word: the part beside it is quoted too
            end = max(end, part.end if part.end <= end + 12 else end)
        action = self._action(predicate, part, [])
        if action == "inspect" and self._details.measures(clause.tool):
            action = "measure"
        found, named = "", self._one_at(predicate) or part
        if action == "inspect":
            found, stop = verdict(self._scan, self._tokens, named)
            end = max(end, stop if stop <= end + _VERDICT_WITHIN else end)
        condition = predicate.condition or part.condition or clause.condition
        if action == "renew" and clause.condition:
            condition = clause.condition
        if condition in self._rules.of_the_old and action in ("fit", "renew", "torque", "assemble"):
            condition = ""
        finish = predicate.finish if action == "coat" and predicate.finish else part.finish
        first, last = self._scan.units[start].token, self._scan.units[max(start, end - 1)].token
        whole = self._details.sentence_place(start)
        side = part.side or clause.side or whole[0] or self._details.side_in_force(start)
        said = {"side": side, "position": part.position or clause.position or whole[1], "condition": condition}
        units, verb = self._scan.units, part.end - 1 if predicate.voice == "implied" else predicate.verb
        verb, head = units[min(verb, len(units) - 1)].token, units[part.end - 1].token
        if self._read_places is not None:
            # "the left fork seal", "the right hand one is new": nobody can doubt that
            sure = {"side": named.side, "position": named.position}
            choose = self._read_places.choose
            said = {what: sure.get(what) or choose(what, verb, head, value) for what, value in said.items()}
            one = told_after(named, self._scan, self._rules)[0] if named is not part else ""
            read, told = said["condition"], one or part.condition or told_after(part, self._scan, self._rules)[0]
            if told and told not in self._rules.of_the_old and (action in _PUT_IN if not read else read != condition):
                said["condition"] = told  # "the shoes are new, and the cam is original": the reader meant the shoes
        said["condition"] = own_condition(said["condition"], action, predicate, part, self._scan, self._rules)
        event = Event(
            "", action, part.name, _status(predicate.status), said["side"], said["position"],
            said["condition"], finish, own_count(predicate, part, named, self._scan), (), clause.tool,
            " ".join(token.text for token in self._tokens[first : last + 1]), self._tokens[first].start_word,
            self._tokens[last].end_word, self._tokens[first].start_ms, part.assembly, predicate.fluid or clause.fluid,
            clause.fastening, clause.reason, clause.applicability,
            why=_why(predicate, action), found=found,
        )  # fmt: skip
        own = named_at(predicate.verb, self._scan) if predicate.voice == "read" else None
        borrowed = own is not None and not same_thing(own.name, part.name)
        if not borrowed:
            self._tell_itself(event, start)
        if self._read_twice(event, predicate, start, end, (verb, head)):
            return
        if self._names_more(event, part, (start, end), (verb, head)):
            return
        if self._repeats(event, start, end) or self._known_new(event, predicate, start):
            return
        if predicate.voice == "read":
            self._only_read.add(len(self._events))
        if borrowed:
            self._borrowed.add(len(self._events))
        self._emitted.add(part.start)
        self._events.append(event)
        self._places.append((start, end))
        self._heads.append((verb, head))
        self._wordless.append(
            (bool(predicate.doubt) or predicate.voice in WORDLESS) and predicate.lemma_before != "with"
        )
        self._part_units.append(part.end - 1)

    def _tell_itself(self, event: Event, start: int) -> None:
        """ "the adjuster nut, then the stem nut": what a word of the first told of the second is not told twice."""
        for index in sorted(self._borrowed, reverse=True):
            other = self._events[index]
            if (other.action, other.part) == (event.action, event.part) and start - self._places[index][0] < _ONE_LIST:
                self._untell(index)

    def _untell(self, index: int) -> None:
        """Takes an event out again."""
        for told in (self._events, self._places, self._heads, self._wordless, self._part_units):
            del told[index]
        self._only_read, self._borrowed = (
            {at - (at > index) for at in told if at != index} for told in (self._only_read, self._borrowed)
        )

    def _one_at(self, predicate: Predicate) -> Phrase | None:
        """The "one" with a place of its own at which the network read something: "the right hand one is new"."""
        for start in range(predicate.verb, max(-1, predicate.verb - _LONGEST_ONE), -1):
            phrase = self._scan.starting.get(start)
            if phrase is not None and phrase.is_pronoun and phrase.end > predicate.verb:
                return phrase if predicate.voice == "read" and (phrase.side or phrase.position) else None
        return None

    def _read_twice(self, event: Event, predicate: Predicate, start: int, end: int, heads: tuple[int, int]) -> bool:
        """What the network alone saw, and a rule saw a few words on or before, is one event: the rule's stays."""
        for index in range(len(self._events) - 1, max(-1, len(self._events) - 4), -1):
            other, (opened, closed) = self._events[index], self._places[index]
            shorter = predicate.voice == "read" and other.part.endswith(f" {event.part}")  # "the bearing carrier"
            if start - closed >= 10 or not (shorter or other.part == event.part):
                continue
            if sides_differ(other, event):
                continue
            # "tightened them, I did not put a torque on them"
            denied = "negated" in (other.status, event.status) and {other.action, event.action} <= _DONE_UP
            if other.action != event.action and not denied:
                continue
            if other.status != event.status and start - closed > _TOUCHING and not denied:
                continue
            if predicate.voice == "read":
                return True
            if index in self._only_read:
                self._put(index, event, (min(opened, start), max(closed, end)), heads)
                return True
        return False

    def _names_more(self, event: Event, part: Phrase, span: tuple[int, int], heads: tuple[int, int]) -> bool:
        """ "the gearbox sprocket is only on there": what the network saw of a sprocket there was this one."""
        first, last = self._scan.units[part.start].token, self._scan.units[part.end - 1].token
        for index in range(max(0, len(self._events) - 3), len(self._events)):
            other, told = self._events[index], self._heads[index][0]
            less = other.action == event.action and event.part.endswith(f" {other.part}")
            if index in self._only_read and less and first <= told <= last:
                self._put(index, event, span, heads)
                return True
        return False

    def _put(self, index: int, event: Event, span: tuple[int, int], heads: tuple[int, int]) -> None:
        """What a rule saw, in the place of what the network alone saw of it."""
        self._events[index], self._places[index], self._heads[index] = event, span, heads
        self._only_read.discard(index)

    def _quantities_in(self, predicate: Predicate, end: int) -> list[Quantity]:
        """Figures said between the verb group and the end of the clause."""
        first = self._tokens[self._scan.units[predicate.start].token].start_word
        last = self._tokens[self._scan.units[max(predicate.start, end - 1)].token].end_word
        return [
            qty
            for qty in self._quantities
            if first <= qty.start_word < last and qty.kind not in ("count", "thread", "spanner")
        ]

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
                    and event.status in ("done", "provisional", "planned")
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


def _status(status: str) -> Status:
    return status  # type: ignore[return-value]


def _why(predicate: Predicate, action: str) -> str:
    told = action.replace("_", " ")
    if predicate.voice == "read":  # the network points at one word of those that tell it, often only "the"
        return f"the words around “{predicate.said_as}” were read as {told}"
    reason = f"“{predicate.said_as}” means {told}"
    return f"{reason}; {predicate.trigger}" if predicate.trigger else reason
